/// The outline of a repeat, row after row.
///
/// A repeat may begin at another stitch in the next row; the frame then jogs. Rows whose spans overlap share
/// one outline without inner walls; a row that has no span, or lies wholly beside the one below, begins a new
/// one.
///
///        +-----+
///     +--+  +--+      row 2 repeats columns 1-2, row 1 columns 2-3
///     |     |
///     +-----+
#pragma once

#include <vector>

#include "render/chart_grid.hpp"

namespace wale::render {

/// The outlines in a window whose upper left corner is `corner`. A frame that lies in the window is a closed
/// path; one that runs out of it is open there.
std::vector<Path> repeat_frames(const Chart& chart, const ChartWindow& window, CellSize cell, Point corner);

}  // namespace wale::render
