#include "render/true_size.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "render/chart_layout.hpp"
#include "render/chart_tiles.hpp"
#include "render/measure.hpp"

namespace wale::render {

namespace {

constexpr double millimetre = 72 / 25.4, inch = 72;
constexpr double page_margin = 36;  ///< Half an inch: as near the edge as most printers reach.
constexpr double title_size = 12, text_size = 8.5, line_height = 1.38 * text_size;
constexpr double ruler_height = 34;

/// Ticks downwards from the line y = 0; every `major`-th is long and numbered.
void add_scale(Drawing& drawing, double length, double step, int middle, int major, double direction,
               double base, const char* unit) {
  Path ticks;
  const int count = static_cast<int>(std::floor(length / step + 1e-6));
  for (int i = 0; i <= count; ++i) {
    const double reach = i % major == 0 ? 8 : i % middle == 0 ? 5.5 : 3.5;
    ticks.move_to({i * step, base});
    ticks.line_to({i * step, base + direction * reach});
    if (i % major != 0) continue;
    const double baseline = direction > 0 ? base + 8 + 7 : base - 9.5;
    const std::string words = i == 0 ? fmt::format("0 {}", unit) : std::to_string(i / major);
    add_text(drawing, {i * step, baseline}, words,
             {.size = 7, .anchor = i == 0 ? Anchor::start : Anchor::middle});
  }
  add_path(drawing, std::move(ticks), Stroke{0.4, ink});
}

struct Part {
  Cut columns, rows;
  int again_across = 0, again_up = 0;
};

std::vector<Part> parts_of(const Chart& chart, int most_columns, int most_rows) {
  const std::vector<Cut> across = cut_evenly(chart.columns, most_columns, most_columns > 1 ? 1 : 0);
  const std::vector<Cut> up =
      cut_evenly(static_cast<int>(chart.rows.size()), most_rows, most_rows > 1 ? 1 : 0);
  std::vector<Part> parts;
  for (std::size_t row = 0; row < up.size(); ++row)
    for (std::size_t column = 0; column < across.size(); ++column)
      parts.push_back({across[column], up[row],
                       column > 0 ? across[column - 1].last - across[column].first : 0,
                       row > 0 ? up[row - 1].last - up[row].first : 0});
  return parts;
}

/// The lines above the squares; those after the first tell what to do with the page.
std::vector<std::string> words_of(const std::string& source, const Part& part, std::size_t at,
                                  std::size_t count) {
  std::vector<std::string> out{source};
  out.emplace_back(
      "Print at 100 %, not fitted to the paper, and measure the ruler: if it is short, so are the stitches.");
  if (count == 1) return out;
  std::string glue = fmt::format("Page {} of {}.", at + 1, count);
  if (part.again_across > 0 || part.again_up > 0)
    glue += " Numbers in brackets stand on another page, too: lay these squares over each other.";
  out.push_back(std::move(glue));
  return out;
}

}  // namespace

Drawing ruler(double width) {
  Drawing drawing;
  drawing.width = width;
  drawing.height = ruler_height;
  const double centimetres = std::floor(width / (10 * millimetre) + 1e-9) * 10 * millimetre;
  const double inches = std::floor(width / inch + 1e-9) * inch;
  const double middle = ruler_height / 2;
  add_line(drawing, {0, middle}, {std::max(centimetres, inches), middle}, Stroke{0.4, ink});
  add_scale(drawing, centimetres, millimetre, 5, 10, -1, middle, "cm");
  add_scale(drawing, inches, inch / 8, 4, 8, 1, middle, "in");
  return drawing;
}

std::variant<std::vector<Drawing>, RenderError> lay_out_true_size(const Chart& chart, CellSize cell,
                                                                  const std::string& source,
                                                                  const PageStyle& page) {
  if (!can_draw(chart)) return RenderError{why_not_drawn(chart)};
  if (!(cell.width > 0 && cell.height > 0)) return RenderError{"the squares would have no size"};
  const ChartStyle style;
  const double width = page.width - 2 * page_margin, height = page.height - 2 * page_margin;
  const double head = title_size * 1.38 + 3 * line_height + 6;
  GridMargins margins = grid_margins(chart, whole_chart(chart), cell, style);
  const double wide = width - margins.left - margins.right,
               high = height - head - margins.bottom - 2 - ruler_height - 8;
  if (cell.width > wide || cell.height > high)
    return RenderError{"one stitch would be larger than the paper"};
  // A square is not cut for what the sums of lengths are off in the last place.
  const auto fitting = [](double room, double side) {
    return static_cast<int>(std::min(std::floor(room / side + 1e-9), 1e6));
  };
  const int most_columns = fitting(wide, cell.width), most_rows = fitting(high, cell.height);
  const auto pages_needed = [](int squares, int most) {
    return (squares + std::max(most - 1, 1) - 1) / std::max(most - 1, 1);
  };
  const double estimate = static_cast<double>(pages_needed(chart.columns, most_columns)) *
                          pages_needed(static_cast<int>(chart.rows.size()), most_rows);
  if (estimate > static_cast<double>(most_true_pages))
    return RenderError{
        fmt::format("it would take about {:.0f} pages; {} is the most", estimate, most_true_pages)};
  const std::vector<Part> parts = parts_of(chart, most_columns, most_rows);
  std::vector<Drawing> pages;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const Part& part = parts[i];
    Drawing drawing;
    drawing.name = id_from(chart.name + "-true-size");
    drawing.title = chart.title;
    drawing.width = page.width;
    drawing.height = page.height;
    double y = page_margin;
    add_text(drawing, {page_margin, y + ascent * title_size},
             fit_text(clean_text(chart.title) + " at its true size", title_size, width, true),
             {.size = title_size, .bold = true});
    y += title_size * 1.38;
    for (const std::string& line : words_of(source, part, i, parts.size())) {
      add_text(drawing, {page_margin, y + ascent * text_size}, fit_text(line, text_size, width),
               {.size = text_size});
      y += line_height;
    }
    const ChartWindow window{part.columns.first, part.columns.last - part.columns.first,
                             part.rows.first,    part.rows.last - part.rows.first,
                             part.again_across,  part.again_up};
    append(drawing, draw_grid(chart, window, cell, style), {page_margin, page_margin + head});
    append(drawing, ruler(width), {page_margin, page.height - page_margin - ruler_height});
    pages.push_back(std::move(drawing));
  }
  return pages;
}

}  // namespace wale::render
