/// A calendar, as it is before anyone decides where its ink goes: days, bands over them, and words.
///
///     bands    1 Cowl   1 to 7 December, flagged "due" on the 20th
///              2 Hat    the rest of the 7th, and on to the 16th
///     rests    24 December to 2 January, "away"
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "render/colour.hpp"
#include "render/dates.hpp"

namespace wale::render {

/// What is done on certain days.
struct CalendarBand {
  /// A part of a day, 0 to 1.
  struct Part {
    Day day;
    double from = 0, to = 1;
  };
  std::string tag;  ///< One or two characters.
  std::string name;
  std::string words;  ///< For tool tips and screen readers.
  Colour colour;
  std::vector<Part> parts;  ///< In order.
  std::optional<Day> flag;  ///< A day that is marked, at the end of a line from the last part.
  std::string flag_words;   ///< "due"
};

/// Days without anything, and why.
struct CalendarRest {
  Day first, last;
  std::string words;
};

struct Calendar {
  std::string name = "calendar";  ///< For ids: a-z, 0-9 and hyphens.
  std::string title, description;
  Day first, last;  ///< Of the days that it is about; the rest of their weeks is shown pale.
  std::vector<CalendarBand> bands;
  std::vector<CalendarRest> rests;
  std::string weeks_title;         ///< Above the words beside the weeks.
  std::vector<std::string> weeks;  ///< Words beside each week, from that of `first`; may be fewer.
  std::vector<std::string> notes;  ///< Lines below it: how it is read.
};

/// "24 Dec to 2 Jan: away".
std::string calendar_words(const CalendarRest& rest);

}  // namespace wale::render
