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

struct CellSize {
  double width = 15, height = 15;
  bool operator==(const CellSize&) const = default;
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

/// The symbol of a mark in a box of the given size; an undrawable mark gives an empty symbol. The pen follows
/// the square, and not the mark's own stretching; as in type, it is a little heavier in a small square and
/// lighter in a large one, so that both look equally dark; and a little lighter for a mark of many lines.
Symbol make_symbol(const Mark& mark, double width, double height, CellSize cell);

/// Dashed, so that it is no frame in grey either.
inline constexpr Stroke marker_stroke{1.8, marker_ink, 3.6};

/// Two colours of one chart that are hard to tell apart in grey: then empty squares carry the tints' letters.
bool needs_letters(const Chart& chart);

/// Colour never stands alone: the squares of every tint but the first have flags, small triangles in their
/// corners, which of the four telling the tint. Tints 1 to 15 differ; `tint` counts from 0.
///
///      +----+  +----+  +----+
///      |    |  |   \|  |   \|      tints 1, 2 and 3
///      |\   |  |    |  |\   |
///      +----+  +----+  +----+
void add_flags(Path& path, std::size_t tint, const Box& square);

/// Letters of a mark, in the middle of its box.
void add_letters(Drawing& drawing, const std::string& letters, const Box& box, Colour colour);

}  // namespace wale::render
