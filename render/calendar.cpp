#include "render/calendar.hpp"

#include <fmt/format.h>

namespace wale::render {

std::string calendar_words(const CalendarRest& rest) {
  const std::string first = short_day_words(rest.first);
  return rest.first == rest.last ? fmt::format("{}: {}", first, rest.words)
                                 : fmt::format("{} to {}: {}", first, short_day_words(rest.last), rest.words);
}

}  // namespace wale::render
