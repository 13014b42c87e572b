// Where squares stand, held against every placement there is.
//
// Charts small enough to try all placements are made at random. The brute force knows only the cost as
// chart_placement.hpp states it in words, and nothing of the dynamic programme.
#include "compiler/chart_placement.hpp"

#include <doctest/doctest.h>

#include <functional>
#include <random>
#include <string>

namespace {

using namespace wale;

constexpr PlacementStitch knit{1, 1, 1, 0}, together{1, 2, 1, 0}, double_decrease{1, 3, 1, 0},
    yarn_over{1, 0, 1, 0}, pair{2, 1, 2, 0}, crossing{2, 2, 2, 0}, bound_off{1, 1, 0, 0};

std::string shown(const std::vector<PlacementRow>& rows, const Columns& columns) {
  std::string out;
  for (std::size_t i = rows.size(); i-- > 0;) {
    for (std::size_t s = 0; s < rows[i].size(); ++s)
      out += std::to_string(columns[i][s]) + ":" + std::to_string(rows[i][s].takes) + ">" +
             std::to_string(rows[i][s].gives) + "w" + std::to_string(rows[i][s].width) + " ";
    out += "\n";
  }
  return out;
}

int widest(const std::vector<PlacementRow>& rows) {
  int out = 0;
  for (const PlacementRow& row : rows) out = std::max(out, squares(row));
  return out;
}

/// The cost in the words of chart_placement.hpp, counted loop by loop.
PlacementCost counted(const std::vector<PlacementRow>& rows, const Columns& at, bool cyclic = false) {
  const auto place_of = [](const PlacementStitch& stitch, int column, int k, int count) {
    return count < 2 ? 2 * column + stitch.width - 1 : 2 * column + 2 * k * (stitch.width - 1) / (count - 1);
  };
  PlacementCost out;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    for (std::size_t s = 0; s < rows[i].size(); ++s)
      if (rows[i][s].takes > rows[i][s].gives)
        out.pull += std::abs(2 * at[i][s] + rows[i][s].width - 1 - (widest(rows) - 1));
    if (i == 0 && (!cyclic || rows.size() == 1)) continue;
    const std::size_t below = i == 0 ? rows.size() - 1 : i - 1;
    std::vector<int> lies;
    for (std::size_t s = 0; s < rows[below].size(); ++s)
      for (int k = 0; k < rows[below][s].gives; ++k)
        lies.push_back(place_of(rows[below][s], at[below][s], k, rows[below][s].gives));
    std::size_t loop = 0;
    for (std::size_t s = 0; s < rows[i].size(); ++s)
      for (int k = 0; k < rows[i][s].takes && loop < lies.size(); ++k, ++loop) {
        const int way = std::abs(place_of(rows[i][s], at[i][s], k, rows[i][s].takes) - lies[loop]);
        out.drift += way;
        if (way != 0 && rows[i][s].takes <= rows[i][s].gives) ++out.bends;
      }
  }
  return out;
}

/// Calls `use` with every way to stand this row in `width` columns.
void every_way(const PlacementRow& row, int width, const std::function<void(const std::vector<int>&)>& use) {
  std::vector<int> at(row.size());
  const std::function<void(std::size_t, int)> next = [&](std::size_t s, int from) {
    if (s == row.size()) return use(at);
    for (int column = from; column + row[s].width <= width; ++column) {
      at[s] = column;
      next(s + 1, column + row[s].width);
    }
  };
  next(0, 0);
}

/// Rows that fit upon each other, from stitches of every kind.
std::vector<PlacementRow> random_rows(std::mt19937& dice, std::size_t count) {
  static const PlacementStitch kinds[]{knit,      knit, knit,     together,  double_decrease,
                                       yarn_over, pair, crossing, bound_off, knit};
  std::vector<PlacementRow> out;
  int loops = 2 + static_cast<int>(dice() % 4);
  while (out.size() < count) {
    PlacementRow row;
    int left = loops, made = 0;
    while (left > 0 || row.empty()) {
      const PlacementStitch& one = kinds[dice() % 10];
      if (one.takes > left || squares(row) + one.width > 6) {
        if (squares(row) >= 6) break;
        continue;
      }
      row.push_back(one);
      left -= one.takes;
      made += one.gives;
    }
    if (made == 0) continue;
    // Loops that found no room are left: nothing takes them.
    loops = made;
    out.push_back(row);
  }
  return out;
}

TEST_CASE("two rows stand where no other placement costs less") {
  for (unsigned seed = 0; seed < 1500; ++seed) {
    std::mt19937 dice(seed);
    const std::vector<PlacementRow> rows = random_rows(dice, 2);
    const Columns found = place(rows);
    const PlacementCost cost = placement_cost(rows, found);
    PlacementCost least{1 << 30, 0, 0};
    every_way(rows[0], widest(rows), [&](const std::vector<int>& lower) {
      every_way(rows[1], widest(rows), [&](const std::vector<int>& upper) {
        least = std::min(least, counted(rows, {lower, upper}));
      });
    });
    INFO("seed ", seed, "\n", shown(rows, found));
    CHECK(cost == counted(rows, found));
    CHECK(cost.drift == least.drift);
    CHECK(cost.bends == least.bends);
    CHECK(cost.pull == least.pull);
  }
}

TEST_CASE("in a tall chart no row can be moved to less cost") {
  for (unsigned seed = 0; seed < 400; ++seed) {
    std::mt19937 dice(10'000 + seed);
    const std::vector<PlacementRow> rows = random_rows(dice, 3 + dice() % 4);
    const PlacementRules rules{Gaps::anywhere, dice() % 2 == 0};
    const Columns found = place(rows, rules);
    const PlacementCost cost = placement_cost(rows, found, rules);
    CHECK(cost == counted(rows, found, rules.cyclic));
    PlacementCost least = cost;
    for (std::size_t i = 0; i < rows.size(); ++i)
      every_way(rows[i], widest(rows), [&](const std::vector<int>& other) {
        Columns moved = found;
        moved[i] = other;
        least = std::min(least, counted(rows, moved, rules.cyclic));
      });
    INFO("seed ", 10'000 + seed, "\n", shown(rows, found));
    CHECK(cost.drift == least.drift);
    CHECK(cost.bends == least.bends);
    CHECK(cost.pull == least.pull);
  }
}

TEST_CASE("three rows drift hardly more than the best of all placements") {
  long long found_drift = 0, least_drift = 0;
  int best = 0;
  for (unsigned seed = 0; seed < 300; ++seed) {
    std::mt19937 dice(20'000 + seed);
    const std::vector<PlacementRow> rows = random_rows(dice, 3);
    const long long found = placement_cost(rows, place(rows)).drift;
    long long least = found;
    every_way(rows[0], widest(rows), [&](const std::vector<int>& a) {
      every_way(rows[1], widest(rows), [&](const std::vector<int>& b) {
        every_way(rows[2], widest(rows), [&](const std::vector<int>& c) {
          least = std::min(least, counted(rows, {a, b, c}).drift);
        });
      });
    });
    found_drift += found;
    least_drift += least;
    best += found == least;
  }
  MESSAGE("seeds 20000-20299: ", best, " of 300 best; drift ", found_drift, " where ", least_drift,
          " is least");
  CHECK(best >= 290);
}

TEST_CASE("the cost is the sum over loops of the way to the square that takes them") {
  // A loop at column 0 taken at column 2 drifts 2 squares, 4 halves; the other decrease stands between.
  const std::vector<PlacementRow> rows{{knit, knit, knit}, {together, knit}};
  CHECK(placement_cost(rows, {{0, 1, 2}, {0, 2}}).drift == 2);
  CHECK(placement_cost(rows, {{0, 1, 2}, {1, 2}}).drift == 2);
  CHECK(placement_cost(rows, {{0, 1, 2}, {0, 1}}).drift == 4);
}

TEST_CASE("a crown is mirrored: wales end next to the edge and go on straight") {
  const std::vector<PlacementRow> rows{{knit, knit, knit, knit, knit, knit, knit, knit},
                                       {knit, together, knit, knit, together, knit},
                                       {knit, together, together, knit},
                                       {together, together},
                                       {together}};
  const Columns at = place(rows);
  CHECK(at[1] == std::vector<int>{0, 2, 3, 4, 5, 7});
  CHECK(at[2] == std::vector<int>{0, 3, 4, 7});
  CHECK(at[3] == std::vector<int>{3, 4});
  CHECK((at[4] == std::vector<int>{3} || at[4] == std::vector<int>{4}));
}

TEST_CASE("a double decrease stands over the middle one of its three loops") {
  const std::vector<PlacementRow> rows{{knit, knit, knit, knit, knit}, {knit, double_decrease, knit}};
  CHECK(place(rows)[1] == std::vector<int>{0, 2, 4});
}

TEST_CASE("every copy of the repeat is drawn to its own middle") {
  std::vector<PlacementRow> rows(2);
  for (int copy = 0; copy < 2; ++copy) {
    for (int i = 0; i < 4; ++i) rows[0].push_back({1, 1, 1, copy});
    rows[1].push_back({1, 2, 1, copy});
    rows[1].push_back({1, 2, 1, copy});
  }
  CHECK(place(rows)[1] == std::vector<int>{1, 2, 5, 6});
}

TEST_CASE("below the row where it grows, a wale stands under its own loop") {
  const std::vector<PlacementRow> rows{{knit, knit, knit}, {knit, yarn_over, knit, yarn_over, knit}};
  CHECK(place(rows)[0] == std::vector<int>{0, 2, 4});
}

TEST_CASE("where gaps stand outside, a row stays in one block and the edge steps") {
  const std::vector<PlacementRow> rows{{knit, knit, knit, knit, knit, knit},
                                       {knit, together, together, knit},
                                       {bound_off, knit, knit, knit},
                                       {knit, knit, knit}};
  const Columns at = place(rows, {Gaps::outside, false});
  CHECK(at[1] == std::vector<int>{1, 2, 3, 4});
  CHECK(at[2] == at[1]);
  CHECK(at[3] == std::vector<int>{2, 3, 4});
}

TEST_CASE("no rows, empty rows and lone rows are placed") {
  CHECK(place({}).empty());
  CHECK(place({{}})[0].empty());
  CHECK(place({{knit}, {}}, {Gaps::outside, true})[1].empty());
  CHECK(place({{pair, knit}}, {Gaps::anywhere, true})[0] == std::vector<int>{0, 2});
}

}  // namespace
