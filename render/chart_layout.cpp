#include "render/chart_layout.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "render/chart_key.hpp"
#include "render/measure.hpp"

namespace wale::render {

namespace {

/// Stacks parts downwards on one sheet.
class Sheet {
 public:
  Sheet(const Chart& chart, double content_width, double margin) : margin_(margin), bottom_(margin) {
    drawing_.name = id_from(chart.name);
    drawing_.title = chart.title;
    drawing_.description = chart.description;
    drawing_.width = content_width + 2 * margin;
  }

  void text(const std::string& words, double size, bool bold) {
    const double line_height = 1.35 * size;
    for (const std::string& line : wrap_text(words, size, drawing_.width - 2 * margin_, bold)) {
      add_text(drawing_, {margin_, bottom_ + ascent * size}, line, {.size = size, .bold = bold});
      bottom_ += line_height;
    }
  }

  void part(Drawing part) {
    const double height = part.height;
    append(drawing_, std::move(part), {margin_, bottom_});
    bottom_ += height;
  }

  void space(double height) { bottom_ += height; }

  Drawing finish() {
    drawing_.height = bottom_ + margin_;
    return std::move(drawing_);
  }

 private:
  double margin_, bottom_;
  Drawing drawing_;
};

}  // namespace

std::string why_not_drawn(const Chart& chart) {
  if (chart.columns < 1 || chart.rows.empty()) return "This chart has no squares.";
  return fmt::format("This chart is too large to draw: {} by {} squares.", chart.columns, chart.rows.size());
}

Drawing draw_chart(const Chart& chart, const ChartStyle& style) {
  const bool drawable = can_draw(chart);
  Drawing grid;
  if (drawable) grid = draw_grid(chart, whole_chart(chart), natural_cell(chart, style), style);
  const double width = std::max({grid.width, style.minimum_width, 60.0});
  Sheet sheet(chart, width, std::max(style.margin, 0.0));
  if (style.with_title && !clean_text(chart.title).empty()) {
    sheet.text(chart.title, style.title_size, true);
    sheet.space(6);
  }
  if (drawable) {
    sheet.part(std::move(grid));
  } else {
    sheet.text(why_not_drawn(chart), style.text_size, false);
  }
  if (style.with_notes && !chart.notes.empty()) {
    sheet.space(7);
    for (const std::string& note : chart.notes) sheet.text(note, style.text_size, false);
  }
  if (style.with_key) {
    sheet.space(6);
    for (KeyLine& line : draw_key(chart, std::min(width, 480.0), style)) {
      if (line.begins_entry) sheet.space(2.5);
      sheet.part(std::move(line.drawing));
    }
  }
  return sheet.finish();
}

}  // namespace wale::render
