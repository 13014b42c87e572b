/// In which order to knit, so that the latest piece is as little late as can be.
///
/// One pair of hands is one machine, and knitting can be put down and taken up again. At every moment the
/// project of the earliest due date is knitted among those that may be begun. Where all may be begun at once
/// this is knitting in the order of due dates, which no other order betters (J. R. Jackson, "Scheduling a
/// production line to minimize maximum tardiness", 1955: exchange two neighbours that stand the other way
/// round, and the later one only gains). With days before which some may not be begun it is still the best,
/// because work may be put down (W. A. Horn, "Some simple scheduling algorithms", 1974). Both from memory,
/// and both tried in the tests against every order and every way to share out the days.
///
///     cowl  due 20, 12 long             0         12      18  20      26
///     scarf due 30, 8 long, not before 18   cowl ------- idle  scarf ---        one unit is one tick of
///     knitting time
#pragma once

#include <cstddef>
#include <limits>
#include <vector>

namespace wale {

/// Times are ticks of knitting time (season_dates.hpp).
struct Job {
  static constexpr long long never = std::numeric_limits<long long>::max();
  long long length = 0;
  long long release = 0;  ///< not begun before
  long long due = never;  ///< done by then; `never`: at some time
};

/// A stretch of one job without a break.
struct Stint {
  std::size_t job = 0;
  long long begin = 0, end = 0;
  bool operator==(const Stint&) const = default;
};

struct Schedule {
  std::vector<Stint> stints;    ///< in order of time
  std::vector<long long> ends;  ///< of each job; 0 for one without length

  /// By how much the worst job is late; negative: the least time that any has left over. Of jobs with a due
  /// date.
  long long lateness(const std::vector<Job>& jobs) const;
};

/// Of jobs due alike the one that stands first goes first.
Schedule schedule(const std::vector<Job>& jobs);

/// Whether every job can be done when it is due.
bool can_be_done(const std::vector<Job>& jobs);

}  // namespace wale
