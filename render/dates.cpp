#include "render/dates.hpp"

#include <fmt/format.h>

#include <array>

namespace wale::render {

namespace {

namespace dates = std::chrono;

constexpr std::array<std::string_view, 12> month_names{"January",   "February", "March",    "April",
                                                       "May",       "June",     "July",     "August",
                                                       "September", "October",  "November", "December"};
constexpr std::array<std::string_view, 7> day_names{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};

}  // namespace

std::string iso_date(Day day) {
  const dates::year_month_day date{day};
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                     static_cast<unsigned>(date.day()));
}

std::string short_day_words(Day day) {
  const dates::year_month_day date{day};
  return fmt::format("{} {}", static_cast<unsigned>(date.day()),
                     month_names[static_cast<unsigned>(date.month()) - 1].substr(0, 3));
}

std::string day_words(Day day) {
  const dates::year_month_day date{day};
  return fmt::format("{} {} {}", day_names[dates::weekday{day}.c_encoding()],
                     static_cast<unsigned>(date.day()), month_words({date.year(), date.month()}));
}

std::string month_words(dates::year_month month) {
  return fmt::format("{} {}", month_names[static_cast<unsigned>(month.month()) - 1],
                     static_cast<int>(month.year()));
}

Day monday_of(Day day) {
  return day - (dates::weekday{day} - dates::Monday);
}

std::string iso_week(Day day) {
  // A week belongs to the year of its Thursday, and that Thursday is the so many-eth of it.
  const Day thursday = monday_of(day) + dates::days{3};
  const dates::year year = dates::year_month_day{thursday}.year();
  const auto number = (thursday - Day{year / dates::January / 1}) / dates::days{7} + 1;
  return fmt::format("{:04}-W{:02}", static_cast<int>(year), number);
}

}  // namespace wale::render
