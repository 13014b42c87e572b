// Shaping at markers, against counts worked out by hand and a needle that is a plain list.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <random>

#include "compiler/check.hpp"
#include "compiler/instructions.hpp"
#include "compiler/standing.hpp"
#include "grammar/formatter.hpp"

using namespace wale;

namespace {

Checked checked(const std::string& text) {
  const Source source("p.wale", text, 1);
  Checked out = check(source);
  CAPTURE(show(out.diagnostics, {vocabulary_source(), source}));
  REQUIRE(!out.diagnostics.has_errors());
  return out;
}

std::vector<std::string> sentences(const Checked& checked, std::size_t piece = 0) {
  std::vector<std::string> out;
  for (const Instruction& line :
       piece_instructions(checked.pattern.pieces.at(piece), checked.pattern, *checked.stitches).lines)
    out.push_back(line.lead + "|" + line.text);
  return out;
}

bool says(const std::vector<std::string>& lines, const std::string& wanted) {
  return std::find(lines.begin(), lines.end(), wanted) != lines.end();
}

}  // namespace

TEST_CASE("a raglan yoke loses eight stitches every other round at four markers") {
  // Common practice: 4 markers, a decrease on either side of each, one of them at the beginning of the round.
  // 200 - 10 x 8 = 120; 20 rounds. Front and back 60 - 20 = 40, the sleeves 40 - 20 = 20.
  const Checked all = checked(R"(fabric plain round n st { every: <k> }
piece yoke round {
  cast on 200
  work plain for 4 rounds
  place markers raglan after 60, 40, 60 and 40 st
  narrow 1 each side of the markers raglan every 2 rounds 10 times
  work even for 2 rounds
  narrow 2 at the markers raglan every 4 rounds to 72 st
  bind off
}
)");
  const auto& steps = all.pattern.pieces.at(0).steps;
  CHECK(steps.at(3).after == 120);
  CHECK(steps.at(3).row_count == 20);
  CHECK(steps.at(5).after == 72);
  CHECK(steps.at(5).row_count == 24);
  const auto lines = sentences(all);
  CHECK(
      says(lines,
           "|In the next rnd, place 4 markers (raglan): after 60 sts, after another 40 sts, after another 60 "
           "sts and after another 40 sts, which is the beginning of the rnd; slip them in every rnd."));
  CHECK(says(lines,
             "Dec rnd:|K1, ssk, *work in pattern to 3 sts before the next raglan marker, k2tog, k1, slip the "
             "marker, k1, ssk; rep from * at every raglan marker inside the rnd, work in pattern to last 3 "
             "sts, k2tog, k1 (dec 8 sts)."));
  CHECK(says(lines, "|Work the dec rnd, then rep it on every other rnd 9 times; work 1 rnd even: 120 sts."));
}

TEST_CASE("markers inside the round are spoken of one after the other") {
  const Checked all = checked(R"(fabric plain round n st { every: <k> }
piece p round {
  cast on 60
  work plain for 4 rounds
  place markers side after 15 and 30 st
  narrow 1 each side of side every 6 rounds 2 times
  place a marker dart after 20 st
  widen 1 before dart every 4 rounds 2 times
  bind off
}
)");
  const auto lines = sentences(all);
  CHECK(
      says(lines,
           "Dec rnd:|*Work in pattern to 3 sts before the next side marker, k2tog, k1, slip the marker, k1, "
           "ssk; rep from * at every side marker, work in pattern to end (dec 4 sts)."));
  CHECK(says(lines, "|In the next rnd, place a marker (dart) after 20 sts; slip it in every rnd."));
  CHECK(says(
      lines,
      "Inc rnd:|Work in pattern to 1 st before the dart marker, m1r, k1, slip the marker, work in pattern "
      "to end (inc 1 st)."));
}

TEST_CASE("markers go along with what is lost at the edges and at other markers") {
  const Checked all = checked(R"(fabric garter flat n st { every: <k> }
piece p flat {
  cast on 60
  work garter for 2 rows
  place markers a after 20 and 20 st
  place a marker b after 30 st
  narrow 1 each side every 2 rows 4 times
  narrow 1 each side of a every 2 rows 3 times
  widen 1 before b every 2 rows 2 times
  narrow 1 after a every 2 rows 1 times
  bind off
}
)");
  // a at 20 and 40, b at 30. The edges lose 4 each: 16, 26, 36 of 52. Both a's lose 3 on either side: 13, 20,
  // 27 of
  // 40. b gains 2 before it: 13, 22, 29 of 42. One after each a: 40.
  std::vector<long long> counts;
  for (const Step& step : all.pattern.pieces.at(0).steps) counts.push_back(step.after);
  CHECK(counts == std::vector<long long>{60, 60, 60, 60, 52, 40, 42, 40, 0});
}

TEST_CASE("rates at markers are solved over a length, as at the edges") {
  // 28 rows to 10 cm: 20 cm are 56 rounds; 88 - 32 = 56 st and 4 at once: 8 shapings, every 7th round.
  const Checked all = checked(R"(gauge 20 st x 28 rows = 10 cm
fabric plain round n st { every: <k> }
piece p round {
  cast on 88
  work plain for 4 rounds
  place markers side after 22 and 44 st
  narrow 1 each side of side to 56 st over 20 cm
  bind off
}
)");
  const Step& step = all.pattern.pieces.at(0).steps.at(3);
  CHECK(step.after == 56);
  CHECK(step.row_count == 56);
  CHECK(step.shaping->rates == std::vector<Rate>{{7, 8}});
}

TEST_CASE("columns that are taken out and put in are those of a plain list") {
  std::mt19937 random(7);
  const auto between = [&](long long low, long long high) {
    return std::uniform_int_distribution<long long>(low, high)(random);
  };
  for (int trial = 0; trial < 500; ++trial) {
    Standing standing;
    standing.parts = {{0, between(5, 30)}};
    standing.high = standing.parts[0].width;
    std::vector<long long> list;
    for (long long i = 0; i < standing.high; ++i) list.push_back(i);
    for (int change = 0; change < 12 && list.size() > 3; ++change) {
      const auto size = static_cast<long long>(list.size());
      const long long at = between(0, size), other = between(at, std::min(size, at + 4));
      if (between(0, 1) == 0 && other - at < size) {
        standing.erase(at, other);
        list.erase(list.begin() + at, list.begin() + other);
      } else {
        const long long before = at > 0 ? between(0, 2) : 0, after = at < size ? between(0, 2) : 0;
        standing.insert(at, before, after);
        std::vector<long long> more;
        for (long long i = 1; i <= before; ++i) more.push_back(list[static_cast<std::size_t>(at - 1)] + i);
        for (long long i = after; i >= 1; --i) more.push_back(list[static_cast<std::size_t>(at)] - i);
        list.insert(list.begin() + at, more.begin(), more.end());
      }
      std::vector<long long> have;
      for (const Standing::Section& section : standing.sections())
        for (long long c = section.low; c < section.high; ++c) have.push_back(c);
      CHECK(have == list);
      CHECK(standing.width() == static_cast<long long>(list.size()));
    }
  }
}

TEST_CASE(
    "every other row, every 2nd row and every 2 rows are one, and every 21st row stays so when it is laid "
    "out") {
  const auto piece = [](const std::string& every) {
    return fmt::format(
        "fabric garter flat n st {{ every: <k> }}\n\npiece p flat {{\n  cast on 60\n  work garter for 2 "
        "rows\n"
        "  narrow 1 each side {} 3 times\n  bind off\n}}\n",
        every);
  };
  for (const std::string every : {"every other row", "every 2nd row", "every 2 rows"}) {
    const Checked all = checked(piece(every));
    CHECK(all.pattern.pieces.at(0).steps.at(2).shaping->rates == std::vector<Rate>{{2, 3}});
  }
  const std::string text = piece("every 21st row");
  Diagnostics diagnostics;
  CHECK(format(Source("p.wale", text, 1), diagnostics) == text);
  CHECK(checked(text).pattern.pieces.at(0).steps.at(2).shaping->rates == std::vector<Rate>{{21, 3}});
}
