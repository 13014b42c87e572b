/// Days of the calendar, and the hours that are knitted on them.
///
/// Dates are those of ISO 8601: `2027-02-06`, weeks that begin on Monday and are numbered so that week 1
/// holds the year's first Thursday. The days themselves are `std::chrono`'s; nothing here asks what day it is
/// today.
///
/// Hours a week are spread evenly over its seven days. They are counted in ticks, of which an hour has
/// 25,200: then 6 hours a week are exactly 21,600 ticks a day, sums have no rest, and the total is the sum of
/// its parts. Knitting time runs from tick to tick over the days that have any; days away have none, so that
/// a plan in ticks knows nothing of dates:
///
///     days     Mon   Tue   away  Thu          6 hours a week
///     ticks    0     21600       43200        each day's first
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "render/dates.hpp"

namespace wale {

using render::Day;

inline constexpr long long ticks_an_hour = 25'200;
/// Days that a season may last.
inline constexpr int longest_season = 3653;

/// `2027-02-06` as a day; nothing where the calendar has none, and then why: "February 2027 has 28 days".
std::optional<Day> read_day(std::string_view text, std::string& why);

/// The hours of a week's days between two days, both included.
struct WeekHours {
  Day first, last;
  double per_week = 0;
};

/// When there is knitting, from a first day on for `longest_season` days.
class KnittingTime {
 public:
  /// Of several hours for one day the last ones hold; days away, from one to the other, have none.
  KnittingTime(Day first, const std::vector<WeekHours>& hours, const std::vector<std::pair<Day, Day>>& away);

  Day first() const { return first_; }
  Day last() const { return first_ + std::chrono::days{longest_season - 1}; }
  /// Ticks before this day begins, and when it has ended. Days outside are taken as the nearest inside.
  long long before(Day day) const;
  long long after(Day day) const { return before(day + std::chrono::days{1}); }
  long long on(Day day) const { return after(day) - before(day); }
  /// Ticks of all days.
  long long all() const { return before_.back(); }
  /// The day that holds the tick, which there must be.
  Day day_of(long long tick) const;

 private:
  Day first_;
  std::vector<long long> before_;  ///< of each day, and at last of all
};

/// Whole ticks of so many hours, rounded up; sticks at `most_ticks`.
inline constexpr long long most_ticks = 1'000'000'000'000'000;
long long ticks_of(double hours);
double hours_of(long long ticks);

}  // namespace wale
