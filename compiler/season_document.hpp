/// A season for its readers: a calendar, tables, and a report for programs.
#pragma once

#include "compiler/season.hpp"
#include "render/calendar.hpp"
#include "render/document.hpp"

namespace wale {

/// A week of the season and what is knitted in it.
struct SeasonWeek {
  Day monday;
  long long there = 0;    ///< ticks of the season's days in it
  long long knitted = 0;  ///< of these
  std::vector<std::size_t> projects;
};
/// Every week from the season's first day to its last, also those without knitting.
std::vector<SeasonWeek> weeks_of(const Season& season);

render::Calendar make_calendar(const Season& season);

/// Projects, weeks and yarns as tables, with what they rest on in words.
render::Document make_season_document(const Season& season);

/// JSON, UTF-8, ends with a newline; its form is described by `season.schema.json` beside this file.
std::string season_report(const Season& season);

}  // namespace wale
