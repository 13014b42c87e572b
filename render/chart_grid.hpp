/// The squares of a chart: ground, lines, marks, frames and numbers of any window of it.
///
/// A whole chart is the window of all its columns and rows; a chart tiled over pages is several windows. The
/// ground is drawn first, one path per colour; then one path with every line of the grid; then the marks, row
/// by row; then markers and frames. So the number of items follows the marks, and not the empty squares.
///
///      +--+--+--+--+
///     2|  |x |  |  |        <- a row that begins on the left
///      +--+--+--+--+
///      |  |  |x |  |1       <- a row that begins on the right
///      +--+--+--+--+
///       4  3  2  1
#pragma once

#include <optional>

#include "render/chart_marks.hpp"
#include "render/document.hpp"
#include "render/geometry.hpp"

namespace wale::render {

/// How a chart is drawn. Lengths are points.
struct ChartStyle {
  double cell_area = 225;      ///< Area of a square in points^2; its sides follow from the chart's aspect.
  double shortest_side = 8.6;  ///< No side of a square is shorter than this: 3 mm.
  double minimum_width = 320;  ///< A narrow chart still gives its title, notes and key this much room.
  double margin = 12;          ///< White around the chart.
  double title_size = 13, text_size = 9, label_size = 7.5;
  bool with_title = true, with_notes = true, with_key = true;
};

/// The columns and rows to draw: `columns` from `first_column` on, counted from the right, `rows` from
/// `first_row` on, counted from the bottom.
/// The first `repeated_columns` and `repeated_rows` of them (as the chart numbers its columns) were drawn in
/// another part already: they are pale, outside the outline, and their numbers stand in brackets.
struct ChartWindow {
  int first_column = 0, columns = 0, first_row = 0, rows = 0;
  int repeated_columns = 0, repeated_rows = 0;
};

/// What the numbers around a window need.
struct GridMargins {
  double left = 0, right = 0, bottom = 0;
};

/// The same style with type and squares larger by `factor`.
ChartStyle enlarged(ChartStyle style, double factor);

/// The number of a column that is counted from the right, from 0.
int column_number(const Chart& chart, int column);

/// A square of the chart in the style's size and the chart's aspect (held between 0.3 and 4).
CellSize natural_cell(const Chart& chart, const ChartStyle& style);

/// All of a chart; empty when it has no columns.
ChartWindow whole_chart(const Chart& chart);

/// Whether a chart has squares, and few enough to be drawn: 250000 at most, and 20000 a side.
bool can_draw(const Chart& chart);

GridMargins grid_margins(const Chart& chart, const ChartWindow& window, CellSize cell,
                         const ChartStyle& style);

/// The window with its numbers; its width and height are all that it covers. A mark that the window's edge
/// cuts is replaced by an ellipsis.
Drawing draw_grid(const Chart& chart, const ChartWindow& window, CellSize cell, const ChartStyle& style);

/// Dashed, so that it is no frame in grey either.
inline constexpr Stroke marker_stroke{1.8, marker_ink, 3.6};

}  // namespace wale::render
