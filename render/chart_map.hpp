/// The map of a chart in parts: where each part lies in the whole, small enough to be seen at once.
///
///     row 97 +-----+-----+
///            |  4  |  3  |      parts are numbered as they are read: from row 1 and stitch 1 on
///     row 49 +-----+-----+
///            |  2  |  1  |
///     row 1  +-----+-----+
///           st 61   st 1
#pragma once

#include <vector>

#include "render/chart_grid.hpp"

namespace wale::render {

/// One direction of a chart cut into parts: [first, last) of each.
struct Cut {
  int first = 0, last = 0;
  bool operator==(const Cut&) const = default;
};

/// How a chart is cut: columns from its right edge, rows from the bottom. Neighbours overlap.
struct Tiling {
  CellSize cell;
  std::vector<Cut> columns, rows;

  std::size_t parts() const { return columns.size() * rows.size(); }
};

/// Part `across` of a row of parts, in the order in which the chart numbers its stitches.
const Cut& columns_of(const Chart& chart, const Tiling& tiling, std::size_t across);

/// The map, no wider than `width`. What parts share is drawn as the first one's.
Drawing draw_map(const Chart& chart, const Tiling& tiling, double width, const ChartStyle& style);

}  // namespace wale::render
