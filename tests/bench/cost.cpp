// What checking a pattern costs, by ratio in one run.
//
//     wale_cost                          every case, small and large, and how shaping grows; exit 1 where a
//     bound is broken wale_cost names                    the cases, one a line wale_cost NAME STITCHES ROWS
//     checks one case once, for a profiler or a counter of instructions
//
// Times are processor time of this process, the least of many tries, so that other work on the machine hardly
// shows. The fixed part, reading the vocabulary, is measured with an empty file and told apart.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <ctime>

#include "compiler/check.hpp"
#include "tests/bench/cases.hpp"

using namespace wale;
using namespace wale::bench;

namespace {

constexpr int tries = 41;
constexpr double most_ratio = 2;

double milliseconds() {
  timespec now{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
  return 1e3 * static_cast<double>(now.tv_sec) + 1e-6 * static_cast<double>(now.tv_nsec);
}

struct Measured {
  double least = 1e9;  ///< milliseconds
  Effort effort;
  bool good = true;
};

Measured measure(const std::string& text, int times) {
  Measured out;
  const Source source("p.wale", text, 1);
  for (int i = 0; i < times; ++i) {
    const double begin = milliseconds();
    const Checked checked = check(source);
    out.least = std::min(out.least, milliseconds() - begin);
    out.effort = checked.effort;
    if (checked.diagnostics.all().empty() || !out.good) continue;
    out.good = false;
    fmt::print(stderr, "{}\n{}", text, show(checked.diagnostics, {vocabulary_source(), source}));
  }
  return out;
}

bool measure_steady() {
  const double fixed = measure("", tries).least;
  fmt::print("an empty file: {:.3f} ms\n\n", fixed);
  fmt::print("{:48} {:>9} {:>9} {:>6} {:>11}   {}\n", "", "42 x 10", "10^6x10^5", "ratio", "beyond empty",
             "rows and stitches worked");
  bool held = true;
  for (const Case& each : steady()) {
    const Measured a = measure(pattern(each, small), tries), b = measure(pattern(each, large), tries);
    held = held && a.good && b.good && b.least <= most_ratio * a.least;
    fmt::print("{:48} {:6.3f} ms {:6.3f} ms {:6.2f} {:11.2f}   {}, {} and {}, {}\n", each.name, a.least,
               b.least, b.least / a.least, (b.least - fixed) / (a.least - fixed), a.effort.rows,
               a.effort.stitches, b.effort.rows, b.effort.stitches);
  }
  return held;
}

/// Ten times the rows may cost at most twice ten times.
bool measure_shaped() {
  fmt::print("\n{:48} {:>12} {:>12} {:>12}\n", "microseconds a row, of", "1,000 rows", "10,000", "100,000");
  bool held = true;
  for (const Case& each : shaped()) {
    fmt::print("{:48}", each.name);
    double before = 0;
    for (const long long rows : {1'000LL, 10'000LL, 100'000LL}) {
      const Measured one = measure(pattern(each, {42, rows}), rows < 100'000 ? 7 : 3);
      const double a_row = 1e3 * one.least / static_cast<double>(rows);
      fmt::print(" {:12.2f}", a_row);
      held = held && one.good && (before == 0 || a_row <= most_ratio * before);
      before = a_row;
    }
    fmt::print("\n");
  }
  return held;
}

}  // namespace

int main(int count, char** words) {
  if (count == 2 && std::string_view(words[1]) == "names") {
    for (const Case& each : steady()) fmt::print("{}\n", each.name);
    return 0;
  }
  if (count == 4) {
    for (const auto* list : {&steady(), &shaped()})
      for (const Case& each : *list)
        if (each.name == words[1])
          return measure(pattern(each, {std::atoll(words[2]), std::atoll(words[3])}), 1).good ? 0 : 1;
    fmt::print(stderr, "no case is called {}\n", words[1]);
    return 2;
  }
  const bool steady_held = measure_steady(), shaped_held = measure_shaped();
  fmt::print("\nten thousand times the stitches and the rows cost at most twice as much: {}\n",
             steady_held ? "yes" : "NO");
  fmt::print("ten times the shaped rows cost at most twice ten times as much: {}\n",
             shaped_held ? "yes" : "NO");
  return steady_held && shaped_held ? 0 : 1;
}
