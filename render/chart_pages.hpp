/// Charts on pages: whole where they can be read whole, in parts where not.
///
/// A chart is made smaller to fit the page as long as its squares stay at least `ChartStyle::shortest_side`
/// wide and high (3 mm; in large print 5 mm). Beyond that it is cut (`chart_tiles.hpp`). What is needed to
/// read it comes first then: its notes, a map of the parts and the key.
///
/// Where there is room, the key of a whole chart stands beside its squares.
///
///     whole:     title, squares, notes | key         | where the page may end
///     in parts:  title, notes, map | key | part 1 | part 2 | ...
#pragma once

#include <string>
#include <vector>

#include "render/chart_grid.hpp"
#include "render/page_flow.hpp"

namespace wale::render {

/// The names of the places of a chart ("rope") or of one of its rows ("rope/3"): where it is drawn, and where
/// it is put into words.
std::string chart_place(const std::string& what);
std::string words_place(const std::string& what);

/// Title, squares, notes and key as fragments.
std::vector<Fragment> lay_out_chart(const Chart& chart, const PageStyle& page, ChartStyle style = {});

}  // namespace wale::render
