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

#include <vector>

#include "render/calendar.hpp"
#include "render/page_flow.hpp"

namespace wale::render {

/// More weeks than this are not drawn.
inline constexpr int most_calendar_weeks = 530;

/// A fragment for each week, as wide as the page's content; the names of the weekdays run on over pages.
std::vector<Fragment> lay_out_calendar(const Calendar& calendar, const PageStyle& style);

/// The whole calendar in one picture, with its title and notes.
Drawing draw_calendar(const Calendar& calendar, const PageStyle& style = {});

}  // namespace wale::render
