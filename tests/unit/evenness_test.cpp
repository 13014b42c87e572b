// What "as even as integers allow" means, tried on every arrangement of small numbers; and rates of shaping
// against cases that knitters work out by hand.
//
// k changes in a row of n stitches would lie n / k apart if stitches could be divided. An arrangement is the
// more even the less its sections differ from each other, and, among those, the less far the changes drift
// from where they would lie: the drift is the range of (place of change i) - i n / k, so it asks nothing of
// where the first one lies.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <numeric>

#include "compiler/check.hpp"
#include "compiler/shaping.hpp"

using namespace wale;

namespace {

/// In k-ths of a stitch: whole numbers are compared without rounding.
struct Evenness {
  long long difference = 0;  ///< of the longest and the shortest section
  long long drift = 0;
  auto operator<=>(const Evenness&) const = default;
};

Evenness evenness(const std::vector<long long>& sections, long long stitches) {
  const auto count = static_cast<long long>(sections.size());
  const auto [least, most] = std::minmax_element(sections.begin(), sections.end());
  Evenness out{(*most - *least) * count, 0};
  long long end = 0, low = 0, high = 0;
  for (std::size_t i = 0; i < sections.size(); ++i) {
    end += sections[i];
    const long long off = end * count - static_cast<long long>(i + 1) * stitches;
    low = i == 0 ? off : std::min(low, off);
    high = i == 0 ? off : std::max(high, off);
  }
  out.drift = high - low;
  return out;
}

/// The most even of all ways to cut the stitches into so many sections, empty ones among them.
Evenness best_of_all(long long stitches, long long count, long long& compared) {
  std::vector<long long> trial;
  Evenness best{1'000'000, 0};
  const std::function<void(long long)> all = [&](long long left) {
    if (static_cast<long long>(trial.size()) + 1 == count) {
      trial.push_back(left);
      best = std::min(best, evenness(trial, stitches));
      ++compared;
      trial.pop_back();
      return;
    }
    for (long long next = 0; next <= left; ++next) {
      trial.push_back(next);
      all(left - next);
      trial.pop_back();
    }
  };
  all(stitches);
  return best;
}

/// The stitches before each change of the row and behind the last one, out of `k5 m1 3(k6 m1) k2`.
std::vector<long long> gaps_of(const Row& row, const Stitches& stitches, std::string_view change) {
  std::vector<long long> out{0};
  const std::function<void(const std::vector<Op>&)> read = [&](const std::vector<Op>& ops) {
    for (const Op& op : ops)
      for (long long i = 0; i < op.count; ++i) {
        if (op.form == Op::Form::group)
          read(op.ops);
        else if (stitches[op.stitch].name == change)
          out.push_back(0);
        else
          ++out.back();
      }
  };
  read(row.ops);
  return out;
}

}  // namespace

TEST_CASE("no arrangement of sections is more even than ours: every one is compared") {
  long long compared = 0;
  for (long long stitches = 1; stitches <= 14; ++stitches)
    for (long long count = 1; count <= std::min(stitches, 7LL); ++count) {
      CAPTURE(stitches);
      CAPTURE(count);
      const Evenness ours = evenness(even_sections(stitches, count), stitches);
      const Evenness best = best_of_all(stitches, count, compared);
      CHECK(ours.difference == best.difference);
      CHECK(ours.drift == best.drift);
    }
  MESSAGE(compared, " arrangements are compared");
  CHECK(compared > 50'000);
}

TEST_CASE("a row over which stitches are spread is as even as any, in flat work and in the round") {
  long long compared = 0;
  for (const bool round : {false, true})
    for (long long stitches = 2; stitches <= 12; ++stitches)
      for (long long more = 1; more <= std::min(stitches, 6LL); ++more) {
        const std::string text = fmt::format(
            "fabric f {0} n st {{ every: <k> }}\npiece p {0} {{\n cast on {1}\n work f for 2 rows\n"
            " spread {2} more over the row\n bind off\n}}\n",
            round ? "round" : "flat", stitches, more);
        const Checked checked = check(Source("p.wale", text, 1));
        REQUIRE(!checked.diagnostics.has_errors());
        const Step& step = checked.pattern.pieces.at(0).steps.at(2);
        CHECK(step.after == stitches + more);
        std::vector<long long> gaps = gaps_of(step.rows.at(0).row, *checked.stitches, "m1");
        REQUIRE(static_cast<long long>(gaps.size()) == more + 1);
        // What lies at the two ends is one section, cut in two: in the round it runs on, in flat work as near
        // the middle as can be.
        const long long before = gaps.front(), after = gaps.back();
        if (!round) CHECK(std::abs(before - after) <= 1);
        std::vector<long long> sections(gaps.begin() + 1, gaps.end() - 1);
        sections.push_back(before + after);
        CAPTURE(stitches);
        CAPTURE(more);
        const Evenness ours = evenness(sections, stitches), best = best_of_all(stitches, more, compared);
        CHECK(ours.difference == best.difference);
        CHECK(ours.drift == best.drift);
      }
}

TEST_CASE("rates are those of worked cases") {
  using Rates = std::vector<Rate>;
  struct Case {
    const char* what;
    long long rows, times;
    bool flat;
    Rates rates;
  };
  // Common practice, each worked by hand: the rows in pairs, divided by the shapings; as many as the rest
  // says get one pair more.
  const Case cases[] = {
      // 96 rows: 48 pairs in 13 are 3, 9 over. 9 x 8 + 4 x 6 = 96.
      {"a sleeve, 13 increases in 96 rows", 96, 13, true, {{8, 9}, {6, 4}}},
      // 20 pairs in 7 are 2, 6 over. 6 x 6 + 1 x 4 = 40.
      {"a waist, 7 decreases in 40 rows", 40, 7, true, {{6, 6}, {4, 1}}},
      // 30 pairs in 10 are 3.
      {"an A-line, 10 decreases in 60 rows", 60, 10, true, {{6, 10}}},
      // In the round by single rounds: 100 in 16 are 6, 4 over. 4 x 7 + 12 x 6 = 100.
      {"a sleeve in the round, 16 increases in 100 rounds", 100, 16, false, {{7, 4}, {6, 12}}},
      // 25 pairs in 25: every other row.
      {"an armhole, 25 decreases in 50 rows", 50, 25, true, {{2, 25}}},
      // 25 rows hold 20 shapings on both sides only: 5 every other row, 15 every row.
      {"a steep neck, 20 decreases in 25 rows", 25, 20, true, {{2, 5}, {1, 15}}},
  };
  for (const Case& each : cases) {
    CAPTURE(each.what);
    CHECK(rates_over(each.rows, each.times, each.flat) == each.rates);
  }
}

TEST_CASE("no division of rows into spaces is more even than the rates") {
  long long compared = 0;
  for (long long rows = 2; rows <= 12; ++rows)
    for (long long times = 1; times <= std::min(rows, 6LL); ++times) {
      const auto rates = rates_over(rows, times, false);
      REQUIRE(rates);
      std::vector<long long> spaces;
      for (const Rate& rate : *rates)
        spaces.insert(spaces.end(), static_cast<std::size_t>(rate.times), rate.every);
      CHECK(std::accumulate(spaces.begin(), spaces.end(), 0LL) == rows);
      CHECK(evenness(spaces, rows).difference == best_of_all(rows, times, compared).difference);
    }
}
