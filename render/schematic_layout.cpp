#include "render/schematic_layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "render/measure.hpp"
#include "render/table_layout.hpp"

namespace wale::render {

namespace {

constexpr double gap = 16, row_gap = 10;
constexpr double points_per_unit = 72 / 2.54;  ///< at true size, of a centimetre
/// Points to a cm: nothing is drawn larger, or so small that only dots were left of it.
constexpr double largest_scale = 9, smallest_scale = 0.02;

struct Row {
  std::vector<DrawnShape> shapes;
  double width = 0, above = 0, below = 0;
  double height() const { return above + below; }
};

/// Shapes side by side as long as they fit, feet on one line.
std::vector<Row> rows_at(const Schematic& schematic, double scale, const SchematicStyle& style) {
  std::vector<Row> rows;
  for (const Shape& shape : schematic.shapes) {
    DrawnShape drawn = draw_shape(shape, scale, style);
    const double width = drawn.drawing.width;
    if (rows.empty() || rows.back().width + gap + width > style.width) rows.emplace_back();
    Row& row = rows.back();
    row.width += (row.shapes.empty() ? 0 : gap) + width;
    row.above = std::max(row.above, drawn.foot);
    row.below = std::max(row.below, drawn.drawing.height - drawn.foot);
    row.shapes.push_back(std::move(drawn));
  }
  return rows;
}

bool fits(const std::vector<Row>& rows, const SchematicStyle& style) {
  double height = 0;
  for (const Row& row : rows) {
    if (row.width > style.width) return false;
    height += row.height() + (height > 0 ? row_gap : 0);
  }
  return height <= style.height;
}

Drawing draw_row(Row row, double width) {
  Drawing out;
  out.width = width;
  out.height = row.height();
  // What is left over stands between the shapes and beside them.
  const double spare = std::max(0.0, width - row.width) / static_cast<double>(row.shapes.size() + 1);
  double x = spare;
  for (DrawnShape& shape : row.shapes) {
    const double own = shape.drawing.width, top = row.above - shape.foot;
    append(out, std::move(shape.drawing), {x, top});
    x += own + gap + spare;
  }
  return out;
}

std::vector<std::string> notes_of(const Schematic& schematic, double scale) {
  std::vector<std::string> out = schematic.notes;
  const double ratio = points_per_unit / scale;
  const std::string words =
      fmt::format("{} 1 : {:.{}f}.", schematic.shapes.size() > 1 ? "All at one scale," : "Scale", ratio,
                  ratio < 5 ? 1 : 0);
  // Beside the last note: on a line of its own it may come to stand alone on the next page.
  if (out.empty())
    out.push_back(words);
  else
    out.back() += " " + words;
  return out;
}

}  // namespace

SchematicStyle enlarged_schematic(SchematicStyle style, double factor) {
  style.text_size *= factor;
  style.title_size *= factor;
  return style;
}

double schematic_scale(const Schematic& schematic, const SchematicStyle& style) {
  const auto fits_at = [&](double scale) { return fits(rows_at(schematic, scale, style), style); };
  if (fits_at(largest_scale)) return largest_scale;
  // Halved as a ratio; what just fits is within two in a hundred of what would not.
  double low = smallest_scale, high = largest_scale;
  while (high > low * 1.02) {
    const double middle = std::sqrt(low * high);
    (fits_at(middle) ? low : high) = middle;
  }
  return low;
}

std::vector<Fragment> lay_out_schematic(const Schematic& schematic, const PageStyle& page) {
  SchematicStyle style = enlarged_schematic({}, page.scale());
  style.width = page.content_width();
  style.height = page.content_height() * 0.46;
  std::vector<Fragment> out;
  const double scale = schematic_scale(schematic, style);
  for (Row& row : rows_at(schematic, scale, style)) {
    if (row.shapes.empty()) continue;
    Fragment fragment;
    fragment.drawing = draw_row(std::move(row), style.width);
    fragment.space_before = row_gap;
    out.push_back(std::move(fragment));
  }
  const double size = page.text_size - 0.5;
  bool first = true;
  for (const std::string& note : notes_of(schematic, scale))
    for (const std::string& line : wrap_text(note, size, style.width)) {
      Fragment fragment;
      fragment.drawing.width = style.width;
      fragment.drawing.height = 1.38 * size;
      fragment.space_before = first ? 8 : 0;
      if (first && !out.empty()) out.back().keep_with_next = true;
      first = false;
      add_text(fragment.drawing, {0, 0.19 * size + ascent * size}, line, {.size = size});
      out.push_back(std::move(fragment));
    }
  if (schematic.table_in_picture)
    for (Fragment& fragment : lay_out_table(schematic.table, page)) out.push_back(std::move(fragment));
  return out;
}

Drawing draw_schematic(const Schematic& schematic, const SchematicStyle& style) {
  PageStyle page;
  page.text_size = style.text_size + 0.5;
  page.margin = style.margin;
  page.width = style.width + 2 * style.margin;
  Drawing out;
  out.name = id_from(schematic.name);
  out.title = schematic.title;
  out.description = schematic.description;
  out.width = page.width;
  double bottom = style.margin;
  for (const std::string& line : wrap_text(schematic.title, style.title_size, style.width, true)) {
    add_text(out, {style.margin, bottom + ascent * style.title_size}, line,
             {.size = style.title_size, .bold = true});
    bottom += 1.35 * style.title_size;
  }
  for (Fragment& fragment : lay_out_schematic(schematic, page)) {
    bottom += fragment.space_before;
    const double high = fragment.drawing.height;
    append(out, std::move(fragment.drawing), {style.margin, bottom});
    bottom += high;
  }
  out.height = bottom + style.margin;
  return out;
}

}  // namespace wale::render
