/// The map of a chart that comes in parts: which lies where.
///
///            +----+----+
///     51-100 |  4 |  3 |     in grey, what of the chart has stitches
///            +----+----+
///       1-50 |  2 |  1 |
///            +----+----+
///            41-80 1-40
#pragma once

#include <optional>

#include "render/chart_tiles.hpp"

namespace wale::render {

/// The map, `width` wide and at most `height` high, true to scale unless a part would be too small for its
/// number; where there is no room for them, without the stitches. Nothing if even the numbers have no room.
std::optional<Drawing> draw_tile_map(const Chart& chart, const Tiling& tiling, double width, double height,
                                     const ChartStyle& style);

}  // namespace wale::render
