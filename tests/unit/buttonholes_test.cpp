// Buttonholes: their places against brute force, the counts against the sum worked out by hand, the words
// against the trade's. Common practice: bound off in one row and cast on again in the next, the first and the
// last 1 to 2 cm from the ends of the band, the others evenly between, all of them begun on the right side.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "compiler/check.hpp"
#include "compiler/instructions.hpp"
#include "compiler/notions.hpp"

using namespace wale;

namespace {

Checked band(const std::string& steps, long long stitches, const std::string& form = "flat") {
  const std::string text = fmt::format(
      "gauge 20 st x 28 rows = 10 cm\nfabric garter {0} n st {{ every: <k> }}\n"
      "fabric rib flat 4n + 2 st {{\n 1: <k2 p2> k2\n 2: <p2 k2> p2\n}}\n"
      "piece band {0} {{\n  cast on {1}\n  work garter for 2 rows\n{2}\n  bind off\n}}\n",
      form, stitches, steps);
  const Source source("band.wale", text, 1);
  Checked out = check(source);
  INFO(show(out.diagnostics, {vocabulary_source(), source}));
  REQUIRE(!out.diagnostics.has_errors());
  return out;
}

const Step& holes(const Checked& checked) {
  return checked.pattern.pieces.at(0).steps.at(2);
}

long long worked(const Checked& checked, const std::string& stitch) {
  long long out = 0;
  for (const auto& [key, count] : holes(checked).tally)
    if ((*checked.stitches)[key.first].name == stitch) out += count.base;
  return out;
}

std::vector<std::string> sentences(const Checked& checked) {
  std::vector<std::string> out;
  for (const Instruction& line :
       piece_instructions(checked.pattern.pieces.at(0), checked.pattern, *checked.stitches).lines)
    out.push_back(line.lead + "|" + line.text);
  return out;
}

bool says(const Checked& checked, const std::string& wanted) {
  const auto lines = sentences(checked);
  INFO(fmt::format("{}", fmt::join(lines, "\n")));
  const bool found = std::find(lines.begin(), lines.end(), wanted) != lines.end();
  CHECK(found);
  return found;
}

/// The difference of the longest and the shortest space, of all ways to share `units` out over `spaces`.
long long least_difference(long long units, long long spaces) {
  long long best = units;
  std::vector<long long> trial;
  const std::function<void(long long)> all = [&](long long left) {
    if (static_cast<long long>(trial.size()) + 1 == spaces) {
      trial.push_back(left);
      const auto [low, high] = std::minmax_element(trial.begin(), trial.end());
      best = std::min(best, *high - *low);
      trial.pop_back();
      return;
    }
    for (long long next = 0; next <= left; ++next) {
      trial.push_back(next);
      all(left - next);
      trial.pop_back();
    }
  };
  all(units);
  return best;
}

}  // namespace

TEST_CASE("seven buttonholes over 40 cm come to the rows worked out by hand") {
  // 112 rows; 4 at either end (1.5 cm is 4.2 rows); the last is begun 6 rows before the end. 102 rows in 6
  // spaces, in pairs: 51 = 6 x 8 + 3: every 18th row 3 times, every 16th row 3 times.
  const Checked all = band("  make 7 buttonholes of 2 st over 40 cm", 9);
  const Step& step = holes(all);
  CHECK(step.row_count == 112);
  CHECK(step.before == 9);
  CHECK(step.after == 9);
  const Buttonholes& plan = *step.buttonholes;
  CHECK(plan.lead == 4);
  CHECK(plan.rates == std::vector<Rate>{{18, 3}, {16, 3}});
  CHECK(plan.even == 4);
  CHECK(worked(all, "bo") == 14);
  CHECK(worked(all, "co") == 14);
  // 112 rows of 9, without the 2 stitches in the two rows of each of 7.
  CHECK(worked(all, "k") == 112 * 9 - 7 * 4);
  says(all,
       "Buttonhole row (RS):|Work 3 sts in pattern, bind off 2 sts, work in pattern to end; on the next "
       "row cast on "
       "2 sts over the gap.");
  says(all,
       "|Work 4 rows even, then work the buttonhole row and the row after it, then rep them on every "
       "following 18th row "
       "3 times and on every following 16th row 3 times; work 4 rows even: 7 buttonholes.");
}

TEST_CASE("where a buttonhole lies is said from either edge, as the right side shows it") {
  CHECK(holes(band("  make 3 buttonholes of 2 st over 10 cm, 3 st from the right edge", 12))
            .buttonholes->before == 3);
  CHECK(holes(band("  make 3 buttonholes of 2 st over 10 cm, 3 st from the left edge", 12))
            .buttonholes->before == 7);
  CHECK(holes(band("  make 3 buttonholes of 2 st over 10 cm, 1 cm from the left edge", 12))
            .buttonholes->before == 8);
  CHECK(holes(band("  make 3 eyelet buttonholes over 10 cm", 12)).buttonholes->before == 5);
  CHECK(holes(band("  make 3 buttonholes of 15 mm over 10 cm", 12)).buttonholes->width == 3);
}

TEST_CASE(
    "the spaces along a band differ as little as any division into pairs of rows, and all begin on the right "
    "side") {
  for (long long rows = 12; rows <= 40; rows += 2)
    for (long long count = 2; count <= 5; ++count) {
      const long long units = rows / 2 - 1 - 2;  // a pair at either end, and the last one's own
      if (units < 2 * (count - 1)) continue;
      CAPTURE(rows);
      CAPTURE(count);
      const Checked all = band(
          fmt::format("  make {} buttonholes of 2 st over {} rows, 2 rows from the ends", count, rows), 8);
      const Buttonholes& plan = *holes(all).buttonholes;
      std::vector<long long> spaces;
      for (const Rate& rate : plan.rates) {
        CHECK(rate.every % 2 == 0);
        spaces.insert(spaces.end(), static_cast<std::size_t>(rate.times), rate.every / 2);
      }
      long long sum = 0;
      for (const long long each : spaces) sum += each;
      CHECK(sum == units);
      CHECK(plan.lead == 2);
      CHECK(plan.even == 2);
      const auto [low, high] = std::minmax_element(spaces.begin(), spaces.end());
      CHECK(*high - *low == least_difference(units, count - 1));
      CHECK(holes(all).row_count == rows);
    }
}

TEST_CASE("the spaces over a row differ as little as any division of its stitches") {
  for (long long stitches = 14; stitches <= 34; ++stitches)
    for (long long count = 2; count <= 4; ++count) {
      const long long room = stitches - 6 - 3 * count;
      if (room < 2 * (count - 1)) continue;
      CAPTURE(stitches);
      CAPTURE(count);
      const Checked all = band(
          fmt::format("  make {} buttonholes of 3 st over the row, 3 st from the ends", count), stitches);
      std::vector<long long> between = holes(all).buttonholes->between;
      REQUIRE(static_cast<long long>(between.size()) == count + 1);
      CHECK(between.front() == 3);
      CHECK(between.back() == 3);
      const auto [low, high] = std::minmax_element(between.begin() + 1, between.end() - 1);
      CHECK(*high - *low == least_difference(room, count - 1));
      CHECK(holes(all).after == stitches);
      CHECK(holes(all).row_count == 2);
    }
}

TEST_CASE("buttonholes in a band that was picked up go on in its rib, and in the round they lie all round") {
  const Checked row = band("  make 5 buttonholes of 3 st over the row", 60);
  // 3 at either end (1.5 cm), 60 - 6 - 15 = 39 in 4 spaces: 9 10 10 10.
  CHECK(holes(row).buttonholes->between == std::vector<long long>{3, 9, 10, 10, 10, 3});
  says(row,
       "Buttonhole row (RS):|Work 3 sts in pattern, bind off 3 sts, work 9 sts in pattern, bind off 3 sts, "
       "(work 10 sts in "
       "pattern, bind off 3 sts) 3 times, work in pattern to end; on the next row cast on 3 sts over "
       "each gap.");
  CHECK(holes(band("  make 1 buttonhole of 2 st over the row, 3 st from the left edge", 20))
            .buttonholes->between == std::vector<long long>{15, 3});
  CHECK(holes(band("  make 1 eyelet buttonhole over the row", 20)).buttonholes->between ==
        std::vector<long long>{9, 9});
  const Checked round = band("  make 4 eyelet buttonholes over the round", 40, "round");
  CHECK(holes(round).buttonholes->between == std::vector<long long>{4, 8, 8, 8, 4});
  CHECK(worked(round, "yo") == 4);
  CHECK(worked(round, "k2tog") == 4);
}

TEST_CASE("every 5 cm is the space from one buttonhole to the next") {
  // 5 cm are 14 rows; 4 at either end, 3 x 14 between, and the 2 of the last one.
  const Checked all = band("  make 4 buttonholes of 2 st every 5 cm", 9);
  CHECK(holes(all).buttonholes->rates == std::vector<Rate>{{14, 3}});
  CHECK(holes(all).row_count == 4 + 3 * 14 + 2 + 4);
}

TEST_CASE("a pattern with buttonholes asks for buttons and carries the caution that goes with them") {
  const Checked all = band("  make 7 buttonholes of 2 st over 40 cm", 9);
  CHECK(notions(all.pattern, Units::metric) ==
        std::vector<std::string>{"7 buttons, for buttonholes of 2 sts, about 1 cm (0.5 in)"});
  const auto caution = cautions(all.pattern);
  REQUIRE(caution.size() == 1);
  CHECK(caution[0].about == "Buttons:");
  CHECK(caution[0].text.find("swallowed") != std::string::npos);
  CHECK(caution[0].text.find("safety rules that hold where the wearer lives") != std::string::npos);
}
