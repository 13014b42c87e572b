// Outlines against knitting by hand: every row's width summed, every row's edges looked for in the polygon,
// and shapes whose area everybody knows.
#include "compiler/piece_outline.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/check.hpp"
#include "compiler/files.hpp"
#include "compiler/pattern_document.hpp"
#include "compiler/piece_measures.hpp"
#include "tests/unit/pattern_files.hpp"
#include "tests/unit/random_fabric.hpp"
#include "tests/unit/read_back.hpp"

using namespace wale;

namespace {

/// A millimetre, in cm.
constexpr double millimetre = 0.1;

Checked checked(const std::string& text) {
  const FileAccess shelf =
      files_in_memory({{"p.wale", text}, {"locker.wale", read_project_file("examples/locker.wale")}});
  Checked out = check(load(Source("p.wale", text, 1), shelf));
  INFO(text);
  REQUIRE_FALSE(out.diagnostics.has_errors());
  return out;
}

double area_of(const PieceOutline& piece) {
  double out = 0;
  for (const Outline& outline : piece.outlines)
    for (const Limb& limb : outline.limbs) out += area_of(limb);
  return out;
}

/// The area inside the corners at which a drawing turns.
double drawn_area(const Limb& limb) {
  Limb drawn = limb;
  for (auto* edges : {&drawn.bottom, &drawn.right, &drawn.top, &drawn.left})
    for (OutlineEdge& edge : *edges) edge.corners = drawn_corners(edge.corners);
  return area_of(drawn);
}

/// How far the limb's polygon reaches at a height at which it has no corner.
std::pair<double, double> reach(const Limb& limb, double y) {
  const std::vector<Corner> corners = polygon(limb);
  double left = 1e9, right = -1e9;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Corner &a = corners[i], &b = corners[(i + 1) % corners.size()];
    if ((a.y - y) * (b.y - y) >= 0) continue;
    const double x = a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
    left = std::min(left, x);
    right = std::max(right, x);
  }
  return {left, right};
}

void replace(std::string& text, const std::string& words, const std::string& by) {
  if (const std::size_t at = text.find(words); at != std::string::npos) text.replace(at, words.size(), by);
}

const std::string garter = "fabric garter flat n st { every: <k> }\nfabric rings round n st { every: <k> }\n";

}  // namespace

TEST_CASE("a triangle has the area of its stitches, summed by hand") {
  // A shawl worked sideways, 22 st x 44 rows = 10 cm: 4 rows of 4 st; 5, 5, 6, 6 ... 64, 64; 4 rows of 64 st;
  // 63, 63
  // ... 4, 4. 16 + 2 (5 + 64) 60 / 2 + 256 + 2 (63 + 4) 60 / 2 = 8432 stitches.
  const Checked shawl = checked("gauge 22 st x 44 rows = 10 cm\n" + garter +
                                "fabric rising flat n st {\n  1: k2 yo <k>\n  2: <k>\n}\n"
                                "fabric falling flat n st {\n  1: k k2tog <k>\n  2: <k>\n}\n"
                                "piece shawl flat {\n  cast on 4\n  work garter for 4 rows\n"
                                "  repeat until 64 st { work rising for 2 rows }\n  work garter for 4 rows\n"
                                "  repeat until 4 st { work falling for 2 rows }\n  bind off\n}\n");
  const PieceOutline outline = outline_of(shawl.pattern.pieces.at(0), shawl.pattern);
  const double stitches = 8432 * (10 / 22.0) * (10 / 44.0);
  CHECK(area_of(outline) == doctest::Approx(stitches).epsilon(1e-9));
  CHECK(outline.size.area == doctest::Approx(stitches).epsilon(1e-9));
  // One straight edge, and the point at the other.
  const Limb& limb = outline.outlines.at(0).limbs.at(0);
  for (const Corner& corner : limb.left.at(0).corners) CHECK(corner.x == doctest::Approx(-20 / 22.0));
  CHECK(outline.size.length == doctest::Approx(248 * 10 / 44.0));
  CHECK(outline.size.width == doctest::Approx(64 * 10 / 22.0));
}

TEST_CASE("a sleeve is a trapezium, (a + b) / 2 times its height") {
  const Checked sleeve = checked("gauge 20 st x 28 rows = 10 cm\n" + garter +
                                 "piece sleeve flat {\n  cast on 40\n  work garter for 2 rows\n"
                                 "  widen 1 each side every 6 rows 10 times\n  bind off\n}\n");
  const PieceOutline outline = outline_of(sleeve.pattern.pieces.at(0), sleeve.pattern);
  const Limb& limb = outline.outlines.at(0).limbs.at(0);
  // Two rows of 20 cm, and 60 rows from 20 to 30 cm.
  const double row = 10 / 28.0;
  CHECK(drawn_area(limb) == doctest::Approx(2 * row * 20 + (20 + 30) / 2.0 * 60 * row).epsilon(1e-9));
  // The steps: six rows each of 42, 44 ... 60 stitches.
  CHECK(area_of(limb) == doctest::Approx((2 * 20 + 6 * (21 + 30) * 10 / 2.0) * row).epsilon(1e-9));
  const std::vector<Corner> right = drawn_corners(limb.right.at(0).corners);
  REQUIRE(right.size() == 3);
  CHECK(right.at(2).x == doctest::Approx(15));
  CHECK(right.at(2).y == doctest::Approx(62 * row));
  // In the round the same sleeve lies flat, half as wide.
  const Checked tube = checked("gauge 20 st x 28 rows = 10 cm\n" + garter +
                               "piece sleeve round {\n  cast on 40\n  work rings for 2 rounds\n"
                               "  widen 1 each side every 6 rounds 10 times\n  bind off\n}\n");
  const PieceOutline flat = outline_of(tube.pattern.pieces.at(0), tube.pattern);
  CHECK(area_of(flat) == doctest::Approx(area_of(outline) / 2).epsilon(1e-9));
  CHECK(flat.size.width == doctest::Approx(30));
  CHECK(flat.outlines.at(0).round);
}

TEST_CASE("what the printed words come to, worked row by row, is the area of the outline") {
  int pieces = 0;
  long long rows = 0;
  for (const char* name :
       {"beacon-mitts", "bollard-hat", "chequer-swatch", "fogbound-cowl", "harbour-slipover", "lantern-wrap",
        "signal-pad", "slipway-scarf", "tide-swatch", "tideline-shawl", "windward-tunic"}) {
    std::string text = read_project_file(fmt::format("examples/{}.wale", name));
    REQUIRE_FALSE(text.empty());
    // What is done with edges and held stitches is not read; it changes no row.
    if (const std::size_t bands = text.find("piece collar"); bands != std::string::npos) text.resize(bands);
    replace(text, "hold side-st as right-shoulder\n", "bind off side-st\n");
    replace(text, "  hold last side-st as left-shoulder\n", "");
    replace(text, "hold all as neck\n", "bind off\n");
    replace(text, "join all to right-shoulder of back", "bind off");
    replace(text, "join all to left-shoulder of back", "bind off");
    for (std::size_t at = text.find("  call the "); at != std::string::npos; at = text.find("  call the "))
      text.erase(at, text.find('\n', at) - at);
    const Checked all = checked(text);
    std::vector<const Pattern*> sizes{&all.pattern};
    for (const Pattern& each : all.larger) sizes.push_back(&each);
    for (const Pattern* size : sizes) {
      const Estimate estimate = estimate_yarn(*size, *all.stitches);
      const read_back::Reading reading(make_document(*size, *all.stitches, estimate, "untitled").blocks);
      for (std::size_t i = 0; i < size->pieces.size(); ++i) {
        const read_back::ReadPiece& read = reading.pieces().at(i);
        INFO(name, " ", size->size, " ", read.name);
        for (const auto& [stitches, high] : {std::pair{1.0, 1.0}, {0.8, 1.3}, {1.7, 0.6}}) {
          Pattern other = *size;
          for (Gauge& gauge : other.gauges) gauge.stitches_per_cm *= stitches, gauge.rows_per_cm *= high;
          const Gauge& gauge = other.gauges.front();
          double area = 0, widest = 0;
          for (const read_back::WorkedRow& row : read.worked) {
            const double width = row.wales / gauge.wales_per_cm();
            area += width / gauge.rows_per_cm * (row.form == Form::round ? 0.5 : 1);
            widest = std::max(widest, width);
          }
          const PieceOutline outline = outline_of(other.pieces[i], other);
          CHECK(area_of(outline) == doctest::Approx(area).epsilon(1e-6));
          CHECK(outline.size.area == doctest::Approx(area).epsilon(1e-6));
          const PieceMeasures measures = measures_of(other.pieces[i], other);
          CHECK(measures.length == outline.size.length);
          CHECK(measures.width == outline.size.width);
          // A cast-on may be wider than every row.
          CHECK(outline.size.width >= widest - millimetre);
          rows += static_cast<long long>(read.worked.size());
        }
        ++pieces;
      }
    }
  }
  MESSAGE(pieces, " pieces, ", rows, " rows");
  CHECK(pieces == 37);
}

namespace {

/// A row as she sees it: its edges in stitches from the middle of the cast-on.
struct HandRow {
  double left = 0, right = 0;
};
struct HandLimb {
  double foot = 0;  ///< rows below it
  std::vector<HandRow> rows;
};

/// Writes a random piece, and knits it by hand while it does.
class HandKnitter {
 public:
  explicit HandKnitter(naive::Dice& dice) : dice_(dice) {}

  std::string write() {
    const long long count = 2 * dice_.number(15, 60);
    right_ = static_cast<double>(count) / 2;
    left_ = -right_;
    say(fmt::format("cast on {}", count));
    even_by_name();
    for (long long i = dice_.number(1, 6); i > 0; --i) random_step(0);
    if (dice_.chance(70) && width() > 24) part();
    say("bind off");
    limbs.push_back(now_);
    for (std::size_t i = waiting_.size(); i > 0; --i) {
      const Waiting& held = waiting_[i - 1];
      say("resume " + held.name);
      left_ = held.left, right_ = held.right, height_ = held.height;
      now_ = {height_, {}};
      if (dice_.chance(80)) random_step(0);
      say("bind off");
      limbs.push_back(now_);
    }
    return text_;
  }

  std::vector<HandLimb> limbs;

 private:
  struct Waiting {
    std::string name;
    double left = 0, right = 0, height = 0;
  };

  double width() const { return right_ - left_; }
  void say(const std::string& words) {
    if (!silent_) text_ += "  " + words + "\n";
  }
  void row() {
    now_.rows.push_back({left_, right_});
    ++height_;
  }
  void rows(long long count) {
    for (long long i = 0; i < count; ++i) row();
  }

  void even_by_name() {
    const long long count = 2 * dice_.number(1, 6);
    say(fmt::format("work garter for {} rows", count));
    rows(count);
  }

  /// All of them begin and end with the right side facing.
  void random_step(int depth) {
    const long long kind = dice_.number(0, depth == 0 ? 5 : 3);
    if (kind == 0) {
      const long long count = 2 * dice_.number(1, 10);
      say(fmt::format("work even for {} rows", count));
      rows(count);
    } else if (kind <= 3) {
      shape(dice_.chance(50), dice_.chance(60) ? 1 : dice_.number(2, 4), dice_.number(0, 2),
            2 * dice_.number(1, 4), dice_.number(1, 5));
    } else if (kind == 4 && width() > 20) {
      const long long count = dice_.number(1, 5);
      say(fmt::format("bind off {}", count));
      right_ -= static_cast<double>(count);
      rows_after_bind_off();
    } else {
      repeat();
    }
  }

  void rows_after_bind_off() {
    const long long count = 2 * dice_.number(1, 3);
    say(fmt::format("work even for {} rows", count));
    rows(count);
  }

  void shape(bool widen, long long amount, long long where, long long every, long long times) {
    const double all = static_cast<double>(amount * times * (where == 0 ? 2 : 1));
    if (!widen && width() - all < 12) return;
    say(fmt::format("{} {} {} every {} rows {} times", widen ? "widen" : "narrow", amount,
                    where == 0   ? "each side"
                    : where == 1 ? "at the start"
                                 : "at the end",
                    every, times));
    for (long long i = 0; i < times; ++i) shape_once(widen, amount, where, every);
  }

  /// One stitch is worked where the right side begins or ends; several where a row begins, so at the left
  /// edge a row later.
  void shape_once(bool widen, long long amount, long long where, long long every) {
    const double by = static_cast<double>(widen ? amount : -amount);
    const bool steps = amount > 1;
    for (long long i = 0; i < every; ++i) {
      if (i == 0 && where != 2) right_ += by;
      if (i == (steps ? 1 : 0) && where != 1) left_ -= by;
      row();
    }
  }

  void repeat() {
    const long long times = dice_.number(2, 12), amount = dice_.chance(60) ? 1 : 2,
                    where = dice_.number(0, 2), every = 2 * dice_.number(1, 2), more = 2 * dice_.number(0, 3);
    const bool widen = dice_.chance(60);
    if (!widen && width() - static_cast<double>(2 * amount * times) < 12) return;
    say(fmt::format("repeat {} times {{", times));
    for (long long i = 0; i < times; ++i) {
      silent_ = i > 0;
      shape(widen, amount, where, every, 1);
      if (more > 0) {
        say(fmt::format("work even for {} rows", more));
        rows(more);
      }
    }
    silent_ = false;
    say("}");
  }

  /// Some stitches wait at one edge, or at both, while the others go on.
  void part() {
    for (long long i = dice_.number(1, 2); i > 0; --i) {
      const bool last = dice_.chance(50);
      const long long count = dice_.number(4, 8);
      const std::string name = fmt::format("part-{}", waiting_.size());
      say(fmt::format("hold {}{} as {}", last ? "last " : "", count, name));
      limbs.push_back(now_);
      const double by = static_cast<double>(count);
      Waiting held{name, left_, right_, height_};
      if (last)
        held.right = left_ + by, left_ += by;
      else
        held.left = right_ - by, right_ -= by;
      waiting_.push_back(held);
      now_ = {height_, {}};
    }
    say("join A");
    random_step(0);
  }

  naive::Dice& dice_;
  std::string text_;
  double left_ = 0, right_ = 0, height_ = 0;
  bool silent_ = false;
  HandLimb now_;
  std::vector<Waiting> waiting_;
};

}  // namespace

TEST_CASE("every row of random pieces stands where it stands by hand") {
  int looked_at = 0, parted = 0;
  long long rows = 0;
  for (std::uint64_t seed = 90'000; seed < 90'400; ++seed) {
    naive::Dice dice(seed);
    HandKnitter hand(dice);
    const long long wide = dice.number(8, 40), high = dice.number(10, 60);
    const std::string steps = hand.write();
    const std::string text = fmt::format(
        "yarn one \"One\" 100 g = 200 m\nstrand A = one\ngauge {} st x {} rows = 10 cm\n{}piece p flat "
        "{{\n{}}}\n",
        wide, high, garter, steps);
    const Checked pattern = check(Source("p.wale", text, 1));
    INFO("seed ", seed, "\n", text);
    if (pattern.diagnostics.has_errors()) {
      FAIL_CHECK(pattern.diagnostics.all().front().message);
      continue;
    }
    ++looked_at;
    parted += hand.limbs.size() > 1;
    const PieceOutline outline = outline_of(pattern.pattern.pieces.at(0), pattern.pattern);
    REQUIRE(outline.outlines.size() == 1);
    const std::vector<Limb>& limbs = outline.outlines.front().limbs;
    REQUIRE(limbs.size() == hand.limbs.size());
    const double stitch = 10.0 / static_cast<double>(wide), row = 10.0 / static_cast<double>(high);
    double area = 0, farthest = 0;
    for (std::size_t i = 0; i < limbs.size(); ++i)
      for (std::size_t k = 0; k < hand.limbs[i].rows.size(); ++k) {
        const HandRow& each = hand.limbs[i].rows[k];
        area += (each.right - each.left) * stitch * row;
        const auto [left, right] = reach(limbs[i], (hand.limbs[i].foot + static_cast<double>(k) + 0.5) * row);
        farthest =
            std::max({farthest, std::abs(left - each.left * stitch), std::abs(right - each.right * stitch)});
        ++rows;
      }
    CHECK(farthest < millimetre);
    CHECK(area_of(outline) == doctest::Approx(area).epsilon(1e-9));
    CHECK(outline.size.area == doctest::Approx(area).epsilon(1e-9));
  }
  MESSAGE(looked_at, " pieces, ", parted, " of them parted, ", rows, " rows");
  CHECK(looked_at == 400);
  CHECK(parted > 150);
}

TEST_CASE("a piece and its outline are the same length and width") {
  for (const PatternFile& file : pattern_files("patterns")) {
    const Compiled compiled = compile(file);
    if (compiled.checked.pattern.gauges.empty()) continue;
    for (const Piece& piece : compiled.checked.pattern.pieces) {
      INFO(file.name, " ", piece.name);
      const PieceOutline outline = outline_of(piece, compiled.checked.pattern);
      double highest = 0;
      for (const Outline& each : outline.outlines)
        for (const Limb& limb : each.limbs) {
          CHECK(area_of(limb) >= -1e-9);
          for (const Corner& corner : polygon(limb)) highest = std::max(highest, corner.y);
        }
      CHECK(highest == doctest::Approx(measures_of(piece, compiled.checked.pattern).length));
    }
  }
}

TEST_CASE("short rows raise the stitches they are worked over") {
  const Checked pattern =
      checked("gauge 10 st x 10 rows = 10 cm\n" + garter +
              "piece p flat {\n  cast on 30\n  work garter for 10 rows\n"
              "  rows {\n    1: k20 turn\n    2: <k>\n    3: k10 turn\n    4: <k>\n  }\n  bind off\n}\n");
  const PieceOutline outline = outline_of(pattern.pattern.pieces.at(0), pattern.pattern);
  // 10 rows of 30, two of 20 and two of 10, each stitch 1 cm wide and high.
  CHECK(area_of(outline) == doctest::Approx(300 + 40 + 20));
  const Limb& limb = outline.outlines.at(0).limbs.at(0);
  CHECK(limb.right.at(0).corners.back().y == doctest::Approx(14));
  CHECK(limb.left.at(0).corners.back().y == doctest::Approx(10));
}

TEST_CASE("stitches bound off amid a row open a neck, and what is held stands where it stood") {
  const Checked pattern =
      checked("yarn one \"One\" 100 g = 200 m\nstrand A = one\ngauge 10 st x 10 rows = 10 cm\n" + garter +
              "piece p flat {\n  cast on 30\n  work garter for 10 rows\n"
              "  rows { 1: k10 bo8 k12 }\n  hold last 10 as other\n"
              "  work garter for 5 rows\n  bind off\n  resume other\n  join A\n"
              "  work garter for 3 rows\n  bind off\n}\n");
  const PieceOutline outline = outline_of(pattern.pattern.pieces.at(0), pattern.pattern);
  CHECK(area_of(outline) == doctest::Approx(10 * 30 + 22 + 5 * 12 + 3 * 10));
  const auto& limbs = outline.outlines.at(0).limbs;
  REQUIRE(limbs.size() == 3);
  // From the right: 10 stitches, the neck of 8, 12 stitches.
  CHECK(limbs[2].right.at(0).corners.front().x == doctest::Approx(15));
  CHECK(limbs[2].left.at(0).corners.front().x == doctest::Approx(5));
  CHECK(limbs[1].right.at(0).corners.front().x == doctest::Approx(-3));
  CHECK(limbs[1].left.at(0).corners.front().x == doctest::Approx(-15));
}

TEST_CASE("another gauge stands around the same middle") {
  const Checked pattern = checked(
      "gauge 20 st x 20 rows = 10 cm, in garter\ngauge 10 st x 10 rows = 10 cm, in loose\n" + garter +
      "fabric loose flat n st { every: <p> }\n"
      "piece p flat {\n  cast on 20\n  work garter for 10 rows\n  work loose for 5 rows\n  bind off\n}\n");
  const PieceOutline outline = outline_of(pattern.pattern.pieces.at(0), pattern.pattern);
  CHECK(outline.size.width == doctest::Approx(20));
  CHECK(outline.size.length == doctest::Approx(10));
  CHECK(area_of(outline) == doctest::Approx(10 * 5 + 20 * 5));
  const auto& right = outline.outlines.at(0).limbs.at(0).right.at(0).corners;
  CHECK(right.front().x == doctest::Approx(5));
  CHECK(right.back().x == doctest::Approx(10));
}

TEST_CASE("an outline costs what its source does") {
  const Checked pattern = checked("gauge 20 st x 28 rows = 10 cm\n" + garter +
                                  "piece p flat {\n  cast on 20\n  work garter for 100000 rows\n"
                                  "  repeat 1000000 times { work garter for 2 rows }\n"
                                  "  repeat 2000 times {\n    widen 1 each side every 2 rows 2 times\n"
                                  "    narrow 1 each side every 2 rows 2 times\n  }\n  bind off\n}\n");
  const PieceOutline outline = outline_of(pattern.pattern.pieces.at(0), pattern.pattern);
  std::size_t corners = 0;
  for (const OutlineEdge& edge : outline.outlines.at(0).limbs.at(0).edges()) corners += edge.corners.size();
  CHECK(corners < 100);
  CHECK(outline.outlines.at(0).too_large);
  CHECK(outline.size.length == doctest::Approx(2'116'000 / 2.8));
}
