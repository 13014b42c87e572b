/// Charts on pages: whole where they can be read whole, in parts where not.
///
/// A chart is made smaller to fit the page as long as its squares stay at least `ChartStyle::shortest_side`
/// wide and high. Beyond that it is cut into as few parts as possible, each with the last row and stitch of
/// the part before, so that a knitter finds her place again.
///
/// A map of the parts stands before them (chart_map.hpp).
///
///     part 2 | part 1        parts 1 and 2 share a column; parts 1 and 3 share a row
///     -------+-------        (drawn here turned over: part 1 holds row 1 and stitch 1)
///     part 4 | part 3
#pragma once

#include <vector>

#include "render/chart_map.hpp"
#include "render/page_flow.hpp"

namespace wale::render {

/// The names of the places of a chart ("rope") or of one of its rows ("rope/3"): where it is drawn, and where
/// it is put into words.
std::string chart_place(const std::string& what);
std::string words_place(const std::string& what);

/// Title, squares, notes and key as fragments.
std::vector<Fragment> lay_out_chart(const Chart& chart, const PageStyle& page, ChartStyle style = {});

/// Cuts `count` columns or rows into parts of at most `most`, which overlap by `overlap`, as evenly as may
/// be. `most` must be greater than `overlap`.
std::vector<Cut> cut_evenly(int count, int most, int overlap);

}  // namespace wale::render
