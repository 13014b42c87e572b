/// The key of a chart: what each mark, colour and line means.
///
///     [ / ]  k2tog  knit 2 together on the right side, purl 2 together on the
///                   wrong side
///     [ M ]  M      Skerry Worsted, Kelp
#pragma once

#include <vector>

#include "render/chart_grid.hpp"

namespace wale::render {

/// One drawing per line of the key, in order, each `width` wide; those of one entry follow each other, and
/// `begins_entry` is true for the first of them. A mark is shown in the chart's own proportions.
struct KeyLine {
  Drawing drawing;
  bool begins_entry = true;
};
std::vector<KeyLine> draw_key(const Chart& chart, double width, const ChartStyle& style);

}  // namespace wale::render
