/// The files that a season compiles to, as bytes in memory.
///
///     ice-watch.wale  ->  ice-watch.season.pdf    the calendar, and the table behind it
///                         ice-watch.season.calendar.svg
///                         ice-watch.season.txt, .md, .json
#pragma once

#include "compiler/outputs.hpp"
#include "compiler/season.hpp"

namespace wale {

/// `stem` begins every name. `date`: seconds since 1970 for the PDF; without it the PDF carries no date.
Outputs make_season_outputs(const Season& season, const std::string& stem, std::optional<std::int64_t> date,
                            const DocumentSettings& settings = {});

/// The names of these files, in their order.
std::vector<std::string> season_output_names(const std::string& stem);

}  // namespace wale
