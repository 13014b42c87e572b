// Shaping: the sums against brute force and cases worked by hand, the fabric against a grid that is cut with
// scissors.
#include "compiler/shaping.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <functional>
#include <random>

#include "compiler/check.hpp"
#include "compiler/standing.hpp"

using namespace wale;

namespace {

Checked checked(const std::string& text) {
  Checked out = check(Source("p.wale", text, 1));
  CAPTURE(show(out.diagnostics, {vocabulary_source(), Source("p.wale", text, 1)}));
  REQUIRE(!out.diagnostics.has_errors());
  return out;
}

/// The stitches of ops one by one; fills do not occur.
void write_out(const std::vector<Op>& ops, std::vector<StitchId>& out) {
  for (const Op& op : ops)
    for (long long i = 0; i < op.count; ++i) {
      if (op.form == Op::Form::stitch)
        out.push_back(op.stitch);
      else
        write_out(op.ops, out);
    }
}

std::vector<StitchId> written_out(const std::vector<Op>& ops) {
  std::vector<StitchId> out;
  write_out(ops, out);
  return out;
}

/// How far the ends of sections lie from where they would be if stitches could be divided.
double unevenness(const std::vector<long long>& sections, long long stitches) {
  double out = 0;
  long long end = 0;
  for (std::size_t i = 0; i < sections.size(); ++i) {
    end += sections[i];
    const double ideal =
        static_cast<double>(stitches) * static_cast<double>(i + 1) / static_cast<double>(sections.size());
    out = std::max(out, std::abs(static_cast<double>(end) - ideal));
  }
  return out;
}

}  // namespace

TEST_CASE("sections differ by one stitch at most, and no division lies nearer to the ideal within a stitch") {
  for (long long stitches = 1; stitches <= 14; ++stitches)
    for (long long count = 1; count <= stitches; ++count) {
      const std::vector<long long> found = even_sections(stitches, count);
      long long total = 0;
      for (const long long each : found) {
        total += each;
        CHECK(each >= stitches / count);
        CHECK(each <= (stitches + count - 1) / count);
      }
      CHECK(total == stitches);
      CHECK(unevenness(found, stitches) < 1);
      // By brute force: among all divisions into floor and ceiling whose ends never pass the ideal, ours has
      // its ends furthest right, so each lies as near as whole stitches allow from below.
      std::vector<long long> trial;
      const std::function<void(long long)> all = [&](long long left) {
        if (static_cast<long long>(trial.size()) == count) {
          if (left != 0) return;
          long long end = 0, own = 0;
          bool below = true;
          for (std::size_t i = 0; i < trial.size(); ++i) {
            end += trial[i];
            below &= end * count <= stitches * static_cast<long long>(i + 1);
          }
          if (!below) return;
          end = 0;
          for (std::size_t i = 0; i < trial.size(); ++i) {
            end += trial[i], own += found[i];
            CHECK(own >= end);
          }
          return;
        }
        for (long long next = stitches / count; next <= std::min(left, (stitches + count - 1) / count);
             ++next) {
          trial.push_back(next);
          all(left - next);
          trial.pop_back();
        }
      };
      all(stitches);
    }
}

TEST_CASE("rates over a stretch are those that a knitter works out by hand") {
  using Rates = std::vector<Rate>;
  // Common practice for a sleeve: 12 increases in 84 rows, on the right side: every 8th row 6 times, then
  // every 6th row 6 times (48 + 36 = 84).
  CHECK(rates_over(84, 12, true) == Rates{{8, 6}, {6, 6}});
  CHECK(rates_over(60, 10, true) == Rates{{6, 10}});
  CHECK(rates_over(36, 7, true) == Rates{{6, 4}, {4, 3}});  // "every 6th row 4 times, then every 4th 3 times"
  CHECK(rates_over(36, 7, false) == Rates{{6, 1}, {5, 6}});
  CHECK(rates_over(10, 8, true) == Rates{{2, 2}, {1, 6}});  // too few right-side rows: on both sides
  CHECK(!rates_over(7, 8, true));
  for (long long rows = 1; rows <= 60; ++rows)
    for (long long times = 1; times <= rows; ++times)
      for (const bool right : {false, true}) {
        const auto found = rates_over(rows, times, right);
        REQUIRE(found);
        long long all = 0, used = 0;
        for (const Rate& rate : *found) all += rate.times, used += rate.every * rate.times;
        CHECK(all == times);
        CHECK(used <= rows);
        CHECK(rows - used <= 1);
        CHECK(found->front().every - found->back().every <= (right ? 2 : 1));
      }
}

TEST_CASE("columns that are left after narrowing go on in their pattern") {
  std::mt19937 random(20261126);
  const auto between = [&](long long low, long long high) {
    return std::uniform_int_distribution<long long>(low, high)(random);
  };
  for (int trial = 0; trial < 300; ++trial) {
    CAPTURE(trial);
    // A fabric of stitches worked one by one, with and without edges, in flat or round.
    const long long period = between(1, 6), right_edge = between(0, 3), left_edge = between(0, 3);
    const bool round = between(0, 1) == 1;
    const long long height = 2 * between(1, 3);
    std::string text = fmt::format("fabric f {} {}n + {} st {{\n", round ? "round" : "flat", period,
                                   right_edge + left_edge + period);
    for (long long row = 1; row <= height; ++row) {
      const auto stitches = [&](long long count) {
        std::string out;
        for (long long i = 0; i < count; ++i) out += between(0, 1) ? " k" : between(0, 2) ? " p" : " ktbl";
        return out;
      };
      text += fmt::format("{}:{} <{}>{}\n", row, stitches(right_edge), stitches(period), stitches(left_edge));
    }
    const long long width = period * between(3, 9) + right_edge + left_edge;
    text += fmt::format("}}\npiece q {} {{\n cast on {}\n work f for {} rows\n bind off\n}}\n",
                        round ? "round" : "flat", width, height);
    const Checked all = checked(text);
    const Piece& piece = all.pattern.pieces.at(0);
    Standing standing{piece.steps.at(1).parts, 0, width, 0};
    TakenApart apart(piece.fabrics, *all.stitches);
    REQUIRE(apart.why_not(standing.parts.at(0)) == "");
    CHECK(apart.stitchwise(standing.parts.at(0)));
    for (standing.row = 0; standing.row < 2 * height; ++standing.row) {
      const bool wrong = !round && standing.row % 2 == 1;
      const auto cut = [&](long long low, long long high) {
        short strand = -1;
        std::vector<Op> ops;
        const Side side = wrong ? Side::wrong : Side::right;
        REQUIRE(apart.row(standing, piece.form, side, low, high, strand, ops) == "");
        return written_out(ops);
      };
      std::vector<StitchId> whole = cut(0, width);
      REQUIRE(static_cast<long long>(whole.size()) == width);
      const long long low = between(0, width - 1), high = between(low + 1, width);
      std::vector<StitchId> part = cut(low, high);
      if (wrong) std::reverse(whole.begin(), whole.end()), std::reverse(part.begin(), part.end());
      CHECK(part == std::vector<StitchId>(whole.begin() + low, whole.begin() + high));
      // Beyond its edges the pattern has its own period.
      std::vector<StitchId> wide = cut(-2 * period, width + period);
      if (wrong) std::reverse(wide.begin(), wide.end());
      REQUIRE(static_cast<long long>(wide.size()) == width + 3 * period);
      for (long long i = 0; i < period; ++i)
        CHECK(wide[static_cast<std::size_t>(i)] == wide[static_cast<std::size_t>(i + period)]);
    }
  }
}

TEST_CASE("a piece that is shaped comes to the counts and rows worked out by hand") {
  const Checked all = checked(R"(gauge 20 st x 28 rows = 10 cm
fabric moss flat 2n + 1 st { 1: <k p> k }
fabric rope flat 8 st x 4 rows { rs: p2 k4 p2  ws: k2 p4 k2  3: p2 2/2rc p2 }
piece back flat {
  cast on 90
  work moss 31 | rope 8 | moss for 40 rows
  narrow 5 each side
  narrow 1 each side every 2 rows 4 times
  work even for 31 rows
  narrow 6 each side every 2 rows 3 times
  bind off
}
piece sleeve flat {
  cast on 41
  work moss for 10 rows
  widen 1 each side to 30 cm over 30 cm
  bind off
}
piece crown round {
  cast on 50
  work moss 25 | moss for 2 rounds
  spread 6 more over the round
  narrow 1 at 8 points every 2 rounds to 8 st
  bind off
}
)");
  const auto& pieces = all.pattern.pieces;
  // 90 - 2 x 5 = 80; - 2 x 4 = 72; 31 rows later - 2 x 3 x 6 = 36. 40 + 2 + 8 + 31 + 6 rows.
  std::vector<long long> counts;
  for (const Step& step : pieces.at(0).steps) counts.push_back(step.after);
  CHECK(counts == std::vector<long long>{90, 90, 80, 72, 72, 36, 0});
  CHECK(pieces.at(0).rows == 87);
  // 30 cm are 60 st, and from 41 by twos 61 comes nearest; 84 rows for 10 increases: 10 10 8 8 8 8 8 8 8 8.
  const Step& widened = pieces.at(1).steps.at(2);
  CHECK(widened.after == 61);
  CHECK(widened.row_count == 84);
  CHECK(widened.shaping->rates == std::vector<Rate>{{10, 2}, {8, 8}});
  // 56 st in 8 sections of 7: 6 times 8 fewer, every 2 rounds.
  const Step& crown = pieces.at(2).steps.at(3);
  CHECK(pieces.at(2).steps.at(2).after == 56);
  CHECK(crown.after == 8);
  CHECK(crown.row_count == 12);
}

TEST_CASE("a goal that is a length is met at every gauge, and as near as the steps come to it") {
  for (double gauge = 14; gauge < 33; gauge *= 1.01) {
    const Checked all = check(Source("p.wale", R"(gauge 20 st x 28 rows = 10 cm
fabric plain flat n st { rs: <k>  ws: <p> }
piece sleeve flat {
  cast on near(20 cm, 2n)
  work plain for 4 rows
  widen 1 each side to 32 cm over 40 cm
  narrow 1 each side to 10 cm over 40 cm
  bind off
}
)",
                                     1),
                              {{}, fmt::format("{:.3f} st x {:.3f} rows = 10 cm", gauge, gauge * 1.4), {}});
    REQUIRE(!all.diagnostics.has_errors());
    const auto& steps = all.pattern.pieces.at(0).steps;
    CHECK(std::abs(static_cast<double>(steps.at(2).after) - 3.2 * gauge) <= 1.001);
    CHECK(std::abs(static_cast<double>(steps.at(3).after) - 1.0 * gauge) <= 1.001);
  }
}

TEST_CASE("an edge with cables or lace is worked plain where a repeat is cut, and keeps its count") {
  const Checked all = checked(R"(fabric lace flat 6n + 1 st {
  1: <k yo ssk k k2tog yo> k
  2: <p> p
}
piece p flat {
  cast on 61
  work lace for 2 rows
  narrow 1 each side every 2 rows 20 times
  widen 1 each side every 2 rows 25 times
  work even for 10 rows
  bind off
}
)");
  CHECK(all.pattern.pieces.at(0).steps.at(2).after == 21);
  CHECK(all.pattern.pieces.at(0).steps.at(3).after == 71);
}

TEST_CASE("what is held or bound off takes its columns with it") {
  const Checked all = checked(R"(fabric rib flat 4n + 2 st {
  1: <k2 p2> k2
  2: <p2 k2> p2
}
piece front flat {
  cast on 42
  work rib for 10 rows
  hold last 21 st as right
  bind off 4
  work even for 1 rows
  narrow 1 at the end every 2 rows 3 times
  bind off
  resume right
  work even for 10 rows
  bind off
}
)");
  std::vector<long long> counts;
  for (const Step& step : all.pattern.pieces.at(0).steps) counts.push_back(step.after);
  CHECK(counts == std::vector<long long>{42, 42, 21, 17, 17, 14, 0, 21, 21, 0});
}
