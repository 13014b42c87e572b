/// What to do about a season that cannot be knitted in its hours.
///
/// It is asked of every single change whether it would be enough: each project left out, each due date moved
/// (to the first day that will do), a faster pace, more hours a week. All are found by scheduling anew; for
/// the last three a binary search does, because a later date, a faster pace and more hours never make a
/// season worse.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "compiler/season_dates.hpp"
#include "compiler/season_schedule.hpp"

namespace wale {

/// What the season is made of, with one thing changed at a time.
struct SeasonChange {
  std::optional<std::size_t> without;                ///< a project
  std::optional<std::pair<std::size_t, Day>> moved;  ///< a project's due date
  double pace_factor = 1;                            ///< on all paces
  std::optional<double> hours_per_week;              ///< in place of the season's
};
/// Whether the season can be knitted with that change.
using Feasible = std::function<bool(const SeasonChange&)>;

struct SeasonAdvice {
  std::vector<std::size_t> leave_out;             ///< any one of these
  std::vector<std::pair<std::size_t, Day>> move;  ///< or one of these due dates to that day
  std::optional<double> pace;                     ///< whole stitches an hour
  std::optional<double> hours_per_week;           ///< in quarters of an hour
};

/// Nobody knits more than this, in stitches an hour and in hours a week; advice goes no further.
inline constexpr double fastest_pace = 10'000, most_hours_advised = 60;

/// `due`: of each project, nothing where it has none.
SeasonAdvice advise(const std::vector<std::optional<Day>>& due, double pace, double hours_per_week, Day last,
                    const Feasible& feasible);

}  // namespace wale
