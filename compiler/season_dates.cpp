#include "compiler/season_dates.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace wale {

namespace {

namespace dates = std::chrono;

/// The digits [from, from + length) as a number.
int number_in(std::string_view text, std::size_t from, std::size_t length) {
  int out = 0;
  const std::string_view part = text.substr(from, length);
  std::from_chars(part.data(), part.data() + part.size(), out);
  return out;
}

}  // namespace

std::optional<Day> read_day(std::string_view text, std::string& why) {
  const int year = number_in(text, 0, 4), month = number_in(text, 5, 2), day = number_in(text, 8, 2);
  if (year < 1583) {
    // ISO 8601: years before need an agreement.
    why = "years before 1583 had another calendar";
    return {};
  }
  if (month < 1 || month > 12) {
    why = fmt::format("a year has 12 months, and this is month {}", month);
    return {};
  }
  const dates::year_month_day date{dates::year{year}, dates::month{static_cast<unsigned>(month)},
                                   dates::day{static_cast<unsigned>(day)}};
  if (date.ok()) return Day{date};
  const dates::year_month_day_last last{date.year(), dates::month_day_last{date.month()}};
  why = day < 1 ? "the first day of a month is 01"
                : fmt::format("{} has {} days", render::month_words({date.year(), date.month()}),
                              static_cast<unsigned>(last.day()));
  return {};
}

KnittingTime::KnittingTime(Day first, const std::vector<WeekHours>& hours,
                           const std::vector<std::pair<Day, Day>>& away)
    : first_(first), before_(longest_season + 1, 0) {
  std::vector<long long> on(longest_season, 0);
  const auto put = [&](Day from, Day to, long long ticks) {
    const Day begin = std::max(from, first), end = std::min(to, last());
    for (Day day = begin; day <= end; day += dates::days{1})
      on[static_cast<std::size_t>((day - first).count())] = ticks;
  };
  for (const WeekHours& each : hours)
    put(each.first, each.last, std::llround(each.per_week * static_cast<double>(ticks_an_hour) / 7));
  for (const auto& [from, to] : away) put(from, to, 0);
  for (std::size_t i = 0; i < on.size(); ++i) before_[i + 1] = before_[i] + on[i];
}

long long KnittingTime::before(Day day) const {
  return before_[static_cast<std::size_t>(std::clamp<long long>((day - first_).count(), 0, longest_season))];
}

Day KnittingTime::day_of(long long tick) const {
  const auto next = std::upper_bound(before_.begin(), before_.end(), tick);
  return first_ + dates::days{next - before_.begin() - 1};
}

long long ticks_of(double hours) {
  const double ticks = std::ceil(hours * static_cast<double>(ticks_an_hour) - 1e-6);
  return ticks < static_cast<double>(most_ticks) ? static_cast<long long>(ticks) : most_ticks;
}

double hours_of(long long ticks) {
  return static_cast<double>(ticks) / static_cast<double>(ticks_an_hour);
}

}  // namespace wale
