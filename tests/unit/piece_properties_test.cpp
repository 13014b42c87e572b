// Whole pieces, wide and long, held against the naive knitter: a cycle that is worked once and counted a
// thousand times must come to what a thousand times of working it come to.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check.hpp"
#include "compiler/fabric.hpp"
#include "tests/unit/naive.hpp"
#include "tests/unit/random_fabric.hpp"

using namespace wale;
using namespace wale::naive;

namespace {

using Counts = std::map<std::pair<std::string, std::string>, long long>;  ///< by stitch and strand

struct Panel {
  Sketch sketch;
  long long width = 0;
};

std::optional<Fabric> proved(const Sketch& sketch) {
  Fabric out = fabric_of(sketch);
  if (smallest_n(out.width, 1) < 0) return {};
  Diagnostics diagnostics;
  prove(out, vocabulary(), two_strands(), diagnostics);
  if (!out.good || !out.returns) return {};
  return out;
}

/// One to three fabrics that return, each at a width of its own; now and then a wide one.
std::vector<Panel> random_panels(Dice& dice) {
  std::vector<Panel> out;
  const long long wanted = dice.chance(60) ? 1 : dice.number(2, 3);
  std::optional<Form> form;
  for (int tries = 0; tries < 60 && static_cast<long long>(out.size()) < wanted; ++tries) {
    const Sketch sketch = dice.chance(70) ? random_typed(dice) : random_plain(dice);
    if (form && sketch.form != *form) continue;
    const auto fabric = proved(sketch);
    if (!fabric) continue;
    form = sketch.form;
    const long long n = fabric->smallest_n + (dice.chance(30) ? dice.number(60, 400) : dice.number(0, 12));
    out.push_back({sketch, fabric->width.at(n)});
  }
  return out;
}

std::string pattern_of(const std::vector<Panel>& panels, long long rows, const std::string& set_up) {
  std::string out, layout;
  long long width = 0;
  for (std::size_t i = 0; i < panels.size(); ++i) {
    const std::string name = fmt::format("f{}", static_cast<char>('a' + i));
    out += words_of(panels[i].sketch, name);
    layout += fmt::format("{}{} {}", i ? " | " : "", name, panels[i].width);
    width += panels[i].width;
  }
  return out + fmt::format("piece p {} {{\n  cast on {}\n{}  work {} for {} rows\n  bind off\n}}\n",
                           panels.front().sketch.form == Form::flat ? "flat" : "round", width, set_up, layout,
                           rows);
}

/// A pass that slips every stitch.
Row slipped(Side side) {
  Op slip, fill;
  slip.stitch = *vocabulary().find("sl");
  fill.form = Op::Form::fill;
  fill.ops.push_back(slip);
  Row out;
  out.side = side;
  out.ops.push_back(fill);
  return out;
}

/// The passes over row `number`, counted from 0, of a fabric that is worked on and on.
std::vector<Row> passes(const Panel& panel, long long number) {
  std::vector<std::vector<Row>> by_row(1);
  for (const Row& row : panel.sketch.rows) {
    by_row.back().push_back(row);
    if (!row.slides) by_row.emplace_back();
  }
  by_row.pop_back();
  return by_row[static_cast<std::size_t>(number) % by_row.size()];
}

/// Panels side by side: a strand that one of them names in a pass is what all of them are worked in, and one
/// that lacks the pass is slipped in it.
std::vector<std::vector<Row>> side_by_side(const std::vector<Panel>& panels, long long rows) {
  std::vector<std::vector<Row>> out(panels.size());
  for (long long number = 0; number < rows; ++number) {
    std::vector<std::vector<Row>> all;
    std::size_t most = 0;
    for (const Panel& panel : panels) {
      all.push_back(passes(panel, number));
      most = std::max(most, all.back().size());
    }
    for (std::size_t pass = 0; pass < most; ++pass) {
      short strand = -1;
      for (const auto& own : all)
        if (pass < own.size() && strand < 0) strand = own[pass].strand;
      for (std::size_t i = 0; i < all.size(); ++i) {
        Row row = pass < all[i].size() ? all[i][pass] : slipped(all[i][0].side);
        row.strand = strand;
        row.slides = pass + 1 < most;
        out[i].push_back(std::move(row));
      }
    }
  }
  return out;
}

/// What the work comes to, loop by loop.
Counts counted(const std::vector<Panel>& panels, long long rows) {
  Counts out;
  const auto worked = side_by_side(panels, rows);
  for (std::size_t i = 0; i < panels.size(); ++i) {
    const Panel& panel = panels[i];
    const std::vector<Row>& all = worked[i];
    const Outcome real = work(all, panel.sketch.form, panel.width, vocabulary());
    REQUIRE(real.good);
    for (const auto& [key, count] : real.tally)
      out[{vocabulary()[key.first].name,
           key.second < 0 ? "" : two_strands()[static_cast<std::size_t>(key.second)].name}] += count;
  }
  return out;
}

Counts counted(const Tally& tally, const Checked& checked) {
  Counts out;
  for (const auto& [key, count] : tally) {
    REQUIRE(count.constant());
    if (count.base == 0) continue;
    out[{(*checked.stitches)[key.first].name,
         key.second < 0 ? "" : checked.pattern.strands[static_cast<std::size_t>(key.second)].name}] +=
        count.base;
  }
  return out;
}

/// Rows that are worked so many times, most of them shaped at their edges, over stitches that mostly keep
/// what the rows before made of them.
struct RandomShaping {
  Sketch once;  ///< its width is the cast-on
  long long times = 1;
};

RandomShaping random_shaping(Dice& dice) {
  const std::vector<std::string> edges{"k", "p", "sl", "yo", "kfb", "m1p", "k2tog", "sl1yo", "brk", "2/1rc"};
  const std::vector<std::string> middles{"sl", "sl", "sl", "k", "p", "sl1yo", "brk"};
  RandomShaping out;
  out.once.form = dice.chance(60) ? Form::flat : Form::round;
  out.once.width = dice.number(6, 80);
  out.times = dice.chance(70) ? dice.number(30, 250) : dice.number(1, 6);
  const auto edge = [&] {
    std::vector<Op> ops;
    for (long long i = dice.number(0, 3); i > 0; --i)
      ops.push_back(
          stitch_op(edges[static_cast<std::size_t>(dice.chance(75) ? dice.number(0, 5) : dice.number(0, 9))],
                    dice.chance(80) ? 1 : 2));
    return ops;
  };
  for (long long rows = dice.number(1, 4); rows > 0; --rows) {
    Row row;
    row.ops = edge();
    if (dice.chance(35))
      row.ops.push_back(frame(Op::Form::as_seen, {}));
    else
      row.ops.push_back(frame(Op::Form::fill, {stitch_op(dice.chance(80) ? "sl" : dice.one_of(middles))}));
    for (Op& op : edge()) row.ops.push_back(std::move(op));
    out.once.rows.push_back(std::move(row));
  }
  number_rows(out.once, std::vector<bool>(out.once.rows.size(), false));
  return out;
}

std::string pattern_of(const RandomShaping& shaping) {
  const std::string rows = words_of(shaping.once);
  return fmt::format("piece p {} {{\n  cast on {}\n  repeat {} times {{ rows {}\n  }}\n  bind off\n}}\n",
                     shaping.once.form == Form::flat ? "flat" : "round", shaping.once.width.base,
                     shaping.times, rows.substr(rows.find('{')));
}

Outcome worked_out(const RandomShaping& shaping) {
  std::vector<Row> all;
  for (long long i = 0; i < shaping.times; ++i)
    for (const Row& row : shaping.once.rows) {
      all.push_back(row);
      all.back().side = shaping.once.form == Form::flat && all.size() % 2 == 0 ? Side::wrong : Side::right;
    }
  const auto width = static_cast<std::size_t>(shaping.once.width.base);
  return work(all, shaping.once.form, std::vector<Loop>(width), vocabulary());
}

const Diagnostic* first_of(const Checked& checked, Kind kind) {
  for (const Diagnostic& each : checked.diagnostics.all())
    if (each.kind == kind) return &each;
  return nullptr;
}

}  // namespace

TEST_CASE("a piece comes to what its rows come to, worked one by one") {
  int looked_at = 0, set_up = 0, together = 0;
  for (std::uint64_t seed = 40'000; seed < 40'400; ++seed) {
    Dice dice(seed);
    const std::vector<Panel> panels = random_panels(dice);
    if (panels.empty()) continue;
    const long long rows = dice.number(1, 40);
    std::string text = pattern_of(panels, rows, "");
    Checked checked = check(Source("p.wale", text, 1));
    if (const Diagnostic* missing = first_of(checked, Kind::set_up_missing); missing && panels.size() == 1) {
      // The set-up that is offered must be one that works.
      const std::string offer = "work first: ";
      REQUIRE(!missing->help.empty());
      REQUIRE(missing->help.front().starts_with(offer));
      text = pattern_of(panels, rows, "  " + missing->help.front().substr(offer.size()) + "\n");
      checked = check(Source("p.wale", text, 1));
      ++set_up;
    }
    if (first_of(checked, Kind::not_yet) || first_of(checked, Kind::yarn_at_other_edge)) continue;
    if (panels.size() > 1 && first_of(checked, Kind::set_up_missing)) continue;
    INFO("seed ", seed, "\n", text);
    // By chance a strand is carried far; that is a warning and changes no count.
    if (checked.diagnostics.has_errors()) {
      FAIL_CHECK(show(checked.diagnostics.all().front(), {vocabulary_source(), Source("p.wale", text, 1)}));
      continue;
    }
    ++looked_at;
    if (panels.size() > 1) ++together;
    const Piece& piece = checked.pattern.pieces.at(0);
    const Step& layout = piece.steps.at(piece.steps.size() - 2);
    CHECK(layout.row_count == rows);
    const bool same = counted(layout.tally, checked) == counted(panels, rows);
    CHECK(same);
  }
  MESSAGE(looked_at, " pieces, ", set_up, " with a set-up, ", together, " with fabrics side by side");
  CHECK(looked_at > 200);
  CHECK(together > 40);
  CHECK(set_up > 15);
}

TEST_CASE("rows that shape, worked many times, come to what they come to one by one") {
  int good = 0, wide = 0, bad = 0;
  for (std::uint64_t seed = 52'000; seed < 52'600; ++seed) {
    Dice dice(seed);
    const RandomShaping shaping = random_shaping(dice);
    const std::string text = pattern_of(shaping);
    const Checked checked = check(Source("p.wale", text, 1));
    const Outcome real = worked_out(shaping);
    INFO("seed ", seed, "\n", text, "\n",
         show(checked.diagnostics, {vocabulary_source(), Source("p.wale", text, 1)}),
         "\nby hand: ", real.good ? "good" : real.why);
    if (const Diagnostic* ended = first_of(checked, Kind::too_much_work)) {
      REQUIRE(!real.good);
      const auto times = static_cast<long long>(real.failing_row / shaping.once.rows.size());
      CHECK(ended->message == fmt::format("the repeat can be worked {}, not {}",
                                          count_of(times, "time", "times"), shaping.times));
    }
    const bool said_good = checked.diagnostics.all().empty();
    CHECK(said_good == real.good);
    ++(real.good ? good : bad);
    if (!real.good || !said_good) continue;
    wide += real.end.size() > 300;
    const Piece& piece = checked.pattern.pieces.at(0);
    CHECK(piece.steps.at(1).after == static_cast<long long>(real.end.size()));
    Counts by_hand;
    for (const auto& [key, count] : real.tally) by_hand[{vocabulary()[key.first].name, ""}] += count;
    CHECK(counted(piece.steps.at(1).tally, checked) == by_hand);
  }
  MESSAGE(good, " good, ", wide, " of them wide at the end, ", bad, " bad");
  CHECK(good > 150);
  CHECK(wide > 50);
  CHECK(bad > 100);
}

TEST_CASE("a piece on stitches picked up or taken up comes to what its rows come to, worked one by one") {
  int looked_at = 0, joined = 0;
  for (std::uint64_t seed = 61'000; seed < 61'300; ++seed) {
    Dice dice(seed);
    const std::vector<Panel> panels = random_panels(dice);
    if (panels.empty() || panels.front().sketch.form != Form::round) continue;
    const long long rows = dice.number(1, 40);
    long long width = 0;
    for (const Panel& panel : panels) width += panel.width;
    // The stitches of a cast-on edge, one of each; or of several holders, one beside the other.
    const bool picks = dice.chance(50);
    std::string before, onto;
    for (std::size_t i = 0; i < panels.size(); ++i) {
      before += fmt::format("piece e{0} round {{\n  cast on {1}\n  {2}\n}}\n", static_cast<char>('a' + i),
                            picks && i > 0 ? 1
                            : picks        ? width
                                           : panels[i].width,
                            picks ? "bind off" : "hold all as h");
      if (!picks) onto += fmt::format("  join h of e{}\n", static_cast<char>('a' + i));
    }
    if (picks) onto = fmt::format("  pick up {} along cast-on edge of ea\n", width);
    std::string text = pattern_of(panels, rows, "");
    const std::string cast_on = fmt::format("  cast on {}\n", width);
    text.replace(text.find(cast_on), cast_on.size(), onto);
    text.insert(text.find("piece p "), before);
    const Checked checked = check(Source("p.wale", text, 1));
    if (first_of(checked, Kind::not_yet) || first_of(checked, Kind::set_up_missing)) continue;
    INFO("seed ", seed, "\n", text, "\n",
         show(checked.diagnostics, {vocabulary_source(), Source("p.wale", text, 1)}));
    REQUIRE(!checked.diagnostics.has_errors());
    ++looked_at;
    joined += !picks;
    const Piece& piece = checked.pattern.pieces.back();
    const Step& layout = piece.steps.at(piece.steps.size() - 2);
    CHECK(layout.before == width);
    CHECK(layout.row_count == rows);
    const bool same = counted(layout.tally, checked) == counted(panels, rows);
    CHECK(same);
    // The row picked up is knitted, those taken up wait.
    const auto knit = piece.steps.front().tally.find({*checked.stitches->find("k"), -1});
    const long long knitted = knit == piece.steps.front().tally.end() ? 0 : knit->second.base;
    CHECK(knitted == (picks ? width : 0));
  }
  MESSAGE(looked_at, " pieces, ", joined, " of them on stitches that waited");
  CHECK(looked_at > 40);
  CHECK(joined > 15);
}
