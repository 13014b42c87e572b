/// Days in words, and the weeks that they lie in.
///
/// Days are `std::chrono`'s; weeks are those of ISO 8601, from Monday on, numbered so that week 1 holds the
/// year's first Thursday. Names are English.
///
///     2027-01-03 is a Sunday of 2026-W53; the next day begins 2027-W01
#pragma once

#include <chrono>
#include <string>

namespace wale::render {

using Day = std::chrono::sys_days;

/// "2027-02-06".
std::string iso_date(Day day);
/// "Sat 6 February 2027".
std::string day_words(Day day);
/// "6 Feb".
std::string short_day_words(Day day);
/// "February 2027".
std::string month_words(std::chrono::year_month month);
/// "2027-W05".
std::string iso_week(Day day);
/// The Monday with which the day's week begins.
Day monday_of(Day day);

}  // namespace wale::render
