#include "compiler/season_advice.hpp"

#include <cmath>

namespace wale {

namespace {

/// The first whole number in (low, high] that will do, if the last one does and it is so from there on.
std::optional<long long> first_that_will_do(long long low, long long high,
                                            const std::function<bool(long long)>& will_do) {
  if (low >= high || !will_do(high)) return {};
  while (high - low > 1) {
    const long long middle = low + (high - low) / 2;
    (will_do(middle) ? high : low) = middle;
  }
  return high;
}

}  // namespace

SeasonAdvice advise(const std::vector<std::optional<Day>>& due, double pace, double hours_per_week, Day last,
                    const Feasible& feasible) {
  SeasonAdvice out;
  for (std::size_t i = 0; i < due.size(); ++i) {
    SeasonChange change;
    change.without = i;
    if (due.size() > 1 && feasible(change)) out.leave_out.push_back(i);
    if (!due[i]) continue;
    const auto later = first_that_will_do(0, (last - *due[i]).count(), [&](long long days) {
      SeasonChange moved;
      moved.moved = {i, *due[i] + std::chrono::days{days}};
      return feasible(moved);
    });
    if (later) out.move.push_back({i, *due[i] + std::chrono::days{*later}});
  }
  const auto faster = first_that_will_do(static_cast<long long>(std::floor(pace)),
                                         static_cast<long long>(fastest_pace), [&](long long stitches) {
                                           SeasonChange change;
                                           change.pace_factor = static_cast<double>(stitches) / pace;
                                           return feasible(change);
                                         });
  if (faster) out.pace = static_cast<double>(*faster);
  constexpr double quarters = 4;
  const auto more =
      first_that_will_do(static_cast<long long>(std::floor(hours_per_week * quarters)),
                         static_cast<long long>(most_hours_advised * quarters), [&](long long hours) {
                           SeasonChange change;
                           change.hours_per_week = static_cast<double>(hours) / quarters;
                           return feasible(change);
                         });
  if (more) out.hours_per_week = static_cast<double>(*more) / quarters;
  return out;
}

}  // namespace wale
