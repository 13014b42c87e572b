/// A calendar on paper: a week a line, with bands for what is done on which days.
///
/// Weeks run on from month to month, so that a season of three months is seen at once; a heavier line steps
/// along where a month begins, and its name stands at the left. A band fills its part of each day, so that
/// one that ends and one that begins on the same day meet inside it. Below the bands a dashed line runs on
/// from a band's end to the day that is flagged for it. Every stretch of a band has its tag and name, every
/// line its tag: nothing is said by colour alone.
///
///              Mon     Tue     Wed     Thu     Fri     Sat     Sun
///     Dec 2026 |       |1      |2      |3      |4      |5      |6      |
///     W49      |       |[1 Cowl        ][2 Hat                         |   5.1 h
///              |       |       |       |1 - - - - - - - - - [1 due]    |
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "render/dates.hpp"
#include "render/geometry.hpp"
#include "render/page_flow.hpp"

namespace wale::render {

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
  std::string title, subtitle, description;
  Day first, last;  ///< Of the days that it is about; the rest of their weeks is shown pale.
  std::vector<CalendarBand> bands;
  std::vector<CalendarRest> rests;
  std::vector<std::string> weeks;  ///< Words beside each week, from that of `first`; may be fewer.
};

/// More weeks than this are not drawn.
inline constexpr int most_calendar_weeks = 530;

/// As many pages as it takes, each of the style's size; title and subtitle stand on the first.
std::vector<Drawing> lay_out_calendar(const Calendar& calendar, const PageStyle& style);

}  // namespace wale::render
