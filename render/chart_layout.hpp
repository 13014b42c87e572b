/// One chart as one picture: title, squares, notes and key, from top to bottom.
///
///     write_svg(draw_chart(chart))   a chart for a web page
///     write_png(draw_chart(chart))   the same, in pixels
#pragma once

#include <string>

#include "render/chart_grid.hpp"

namespace wale::render {

/// The whole chart at its natural size, however large. The geometry costs what the squares cost. A chart that
/// has no squares, or more than can be drawn (`can_draw`), says so in words where the squares would stand.
Drawing draw_chart(const Chart& chart, const ChartStyle& style = {});

/// What to say in place of a chart that cannot be drawn.
std::string why_not_drawn(const Chart& chart);

}  // namespace wale::render
