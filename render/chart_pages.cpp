#include "render/chart_pages.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "render/chart_key.hpp"
#include "render/chart_layout.hpp"
#include "render/measure.hpp"

namespace wale::render {

namespace {

/// Room kept free on a chart's page for the headings before it, and for a part's own line.
constexpr double room_for_headings = 64;

/// A line in small print; in large print it may take two.
double room_for_part_line(const ChartStyle& style) {
  const double line = 1.38 * (style.text_size - 0.5);
  return style.text_size < 12 ? 8 + line : 8 + 2 * line;
}

std::vector<Fragment> text_lines(const std::string& words, double size, bool bold, double width,
                                 double space) {
  std::vector<Fragment> fragments;
  for (const std::string& line : wrap_text(words, size, width, bold)) {
    Fragment fragment;
    fragment.drawing.width = width;
    fragment.drawing.height = 1.38 * size;
    fragment.space_before = fragments.empty() ? space : 0;
    add_text(fragment.drawing, {0, 0.19 * size + ascent * size}, line, {.size = size, .bold = bold});
    fragments.push_back(std::move(fragment));
  }
  return fragments;
}

/// The widest mark that a cut could divide.
int widest_span(const Chart& chart) {
  int widest = 1;
  for (const ChartRow& row : chart.rows) {
    for (const Cell& cell : row.cells) {
      if (cell.mark) widest = std::max(widest, std::min(cell.span, 12));
    }
  }
  return widest;
}

/// How many squares of size `side` fit in `room`, at least `least`.
int fitting(double room, double side, int least) {
  return std::max(least, static_cast<int>(std::floor(std::max(room, 0.0) / side + 1e-9)));
}

/// The numbers beside the squares take the same room at every scale, to within a point.
GridMargins margins_of(const Chart& chart, CellSize cell, const ChartStyle& style) {
  GridMargins margins = grid_margins(chart, whole_chart(chart), cell, style);
  margins.left += 1;
  margins.right += 1;
  margins.bottom += 2;
  return margins;
}

/// As few parts as the smallest squares allow, then squares as large as that number of parts allows.
Tiling tile(const Chart& chart, CellSize natural, double width, double height, const ChartStyle& style) {
  const int rows = static_cast<int>(chart.rows.size());
  const double smallest = std::min(1.0, style.shortest_side / std::min(natural.width, natural.height));
  const CellSize least{natural.width * smallest, natural.height * smallest};
  const GridMargins margins = margins_of(chart, natural, style);
  const double wide = width - margins.left - margins.right, high = height - margins.bottom;
  Tiling tiling;
  const auto scale_for = [&](double w, double h) {
    return std::min({1.0, wide / (chart.columns * w), high / (rows * h)});
  };
  const double whole = scale_for(natural.width, natural.height);
  if (whole >= smallest - 1e-9) {
    tiling.cell = {natural.width * whole, natural.height * whole};
    tiling.columns = {{0, chart.columns}};
    tiling.rows = {{0, rows}};
    return tiling;
  }
  const bool across = chart.columns * least.width > wide;
  const int overlap = across ? widest_span(chart) : 1;
  tiling.columns = cut_evenly(chart.columns, fitting(wide, least.width, overlap + 1), overlap);
  tiling.rows = cut_evenly(rows, fitting(high - room_for_part_line(style), least.height, 2), 1);
  int most_columns = 1, most_rows = 1;
  for (const Cut& cut : tiling.columns) most_columns = std::max(most_columns, cut.last - cut.first);
  for (const Cut& cut : tiling.rows) most_rows = std::max(most_rows, cut.last - cut.first);
  const double scale = std::min({1.0, wide / (most_columns * natural.width),
                                 (high - room_for_part_line(style)) / (most_rows * natural.height)});
  tiling.cell = {natural.width * scale, natural.height * scale};
  return tiling;
}

std::string range(const std::string& first, const std::string& last) {
  return first == last ? first : first + "-" + last;
}

/// How many columns two neighbours share.
int shared(const Cut& a, const Cut& b) {
  return std::max(0, std::min(a.last, b.last) - std::max(a.first, b.first));
}

std::string stitch_range(const Chart& chart, const Cut& columns) {
  const int first = column_number(chart, columns.first), last = column_number(chart, columns.last - 1);
  return range(std::to_string(std::min(first, last)), std::to_string(std::max(first, last)));
}

std::string part_line(const Chart& chart, const Tiling& tiling, std::size_t row, std::size_t across) {
  const Cut rows = tiling.rows[row], columns = columns_of(chart, tiling, across);
  const auto label = [&](int index) { return clean_text(chart.rows[static_cast<std::size_t>(index)].label); };
  // Without this, the row that two parts share might be knitted twice.
  std::string again;
  if (row > 0) again = fmt::format("row {}", label(rows.first));
  if (across > 0) {
    const Cut before = columns_of(chart, tiling, across - 1);
    const Cut both{std::max(columns.first, before.first), std::min(columns.last, before.last)};
    if (!again.empty()) again += " and ";
    again +=
        fmt::format("{} {}", shared(columns, before) > 1 ? "stitches" : "stitch", stitch_range(chart, both));
  }
  if (!again.empty()) again = fmt::format(" ({} shown again)", again);
  return fmt::format("Part {} of {}: rows {}, stitches {}{}", row * tiling.columns.size() + across + 1,
                     tiling.parts(), range(label(rows.first), label(rows.last - 1)),
                     stitch_range(chart, columns), again);
}

/// Each row leads to its words; in the first part that shows it, the words lead to it.
void add_row_places(Drawing& grid, const Chart& chart, const Cut& rows, double height, bool first_part) {
  for (int row = rows.first; row < rows.last; ++row) {
    const std::string name = chart.name + "/" + chart.rows[static_cast<std::size_t>(row)].label;
    const double top = (rows.last - 1 - row) * height;
    if (first_part) grid.places.push_back({chart_place(name), {0, top}, 0, {}});
    grid.links.push_back({{0, top, grid.width, height}, words_place(name)});
  }
}

void add_map(std::vector<Fragment>& fragments, const Chart& chart, const Tiling& tiling, double width,
             const ChartStyle& style) {
  const std::string words = fmt::format(
      "The chart is too large for one page and stands in {} parts. What two parts share, so that you find "
      "your place again, is numbered in brackets the second time.",
      tiling.parts());
  for (Fragment& line : text_lines(words, style.text_size - 0.5, false, width, 4)) {
    line.keep_with_next = true;
    fragments.push_back(std::move(line));
  }
  Fragment map;
  map.drawing = draw_map(chart, tiling, width, style);
  map.space_before = 5;
  fragments.push_back(std::move(map));
}

void add_parts(std::vector<Fragment>& fragments, const Chart& chart, const Tiling& tiling, double width,
               const ChartStyle& style) {
  const bool whole = tiling.parts() == 1;
  if (!whole) add_map(fragments, chart, tiling, width, style);
  for (std::size_t row = 0; row < tiling.rows.size(); ++row) {
    for (std::size_t across = 0; across < tiling.columns.size(); ++across) {
      const Cut rows = tiling.rows[row], columns = columns_of(chart, tiling, across);
      Fragment part;
      if (!whole) {
        for (Fragment& line :
             text_lines(part_line(chart, tiling, row, across), style.text_size - 0.5, false, width, 8)) {
          line.keep_with_next = true;
          fragments.push_back(std::move(line));
        }
      }
      const int again_across = across > 0 ? shared(columns_of(chart, tiling, across - 1), columns) : 0;
      const int again_up = row > 0 ? tiling.rows[row - 1].last - rows.first : 0;
      part.drawing = draw_grid(chart,
                               {columns.first, columns.last - columns.first, rows.first,
                                rows.last - rows.first, again_across, again_up},
                               tiling.cell, style);
      add_row_places(part.drawing, chart, rows, tiling.cell.height, across == 0);
      part.space_before = 4;
      fragments.push_back(std::move(part));
    }
  }
}

double total_height(const std::vector<Fragment>& fragments) {
  double sum = 0;
  for (const Fragment& fragment : fragments) sum += fragment.space_before + fragment.drawing.height;
  return sum;
}

/// The key beside the squares, where both have room: what one looks up while reading lies next to it. The
/// last fragment is the chart; it takes the key in. False where the key must go below.
bool put_beside(std::vector<Fragment>& fragments, const Chart& chart, double width, const ChartStyle& style) {
  Drawing& squares = fragments.back().drawing;
  const double gap = 2.4 * style.text_size, narrowest = 19 * style.text_size;
  const double left = squares.width + gap, room = width - left;
  if (room < narrowest) return false;
  std::vector<KeyLine> key = draw_key(chart, room, style);
  double height = 0;
  for (const KeyLine& line : key) height += line.drawing.height + (line.begins_entry && height > 0 ? 2.5 : 0);
  // A key that is much longer than its chart reads better below, where it may go over the page.
  if (height > std::max(1.6 * squares.height, 14 * style.text_size)) return false;
  double top = 0;
  for (KeyLine& line : key) {
    if (line.begins_entry && top > 0) top += 2.5;
    const double high = line.drawing.height;
    append(squares, std::move(line.drawing), {left, top});
    top += high;
  }
  squares.width = width;
  squares.height = std::max(squares.height, top);
  return true;
}

/// Notes and key: what is read with the squares.
std::vector<Fragment> legend(const Chart& chart, double width, const ChartStyle& style, bool with_key) {
  std::vector<Fragment> fragments;
  double space = 6;
  for (const std::string& note : chart.notes) {
    for (Fragment& line : text_lines(note, style.text_size, false, width, space))
      fragments.push_back(std::move(line));
    space = 0;
  }
  if (!with_key) return fragments;
  space = 7;
  for (KeyLine& line : draw_key(chart, width, style)) {
    // The lines of one entry stay together, unless they are many.
    if (!line.begins_entry && !fragments.empty()) fragments.back().keep_with_next = line.drawing.height < 40;
    fragments.push_back({std::move(line.drawing), line.begins_entry ? space : 0, false, nullptr});
    if (line.begins_entry) space = 2.5;
  }
  return fragments;
}

}  // namespace

std::string chart_place(const std::string& what) {
  return "chart/" + what;
}
std::string words_place(const std::string& what) {
  return "words/" + what;
}

std::vector<Cut> cut_evenly(int count, int most, int overlap) {
  if (count <= most) return {{0, std::max(count, 0)}};
  const int parts = (count - overlap + most - overlap - 1) / (most - overlap);
  std::vector<Cut> cuts;
  for (int part = 0; part < parts; ++part) {
    // The parts without their overlap share the rest evenly.
    const auto edge = [&](int index) {
      return static_cast<int>(static_cast<long long>(count - overlap) * index / parts);
    };
    cuts.push_back({edge(part), edge(part + 1) + overlap});
  }
  return cuts;
}

std::vector<Fragment> lay_out_chart(const Chart& chart, const PageStyle& page, ChartStyle style) {
  const double width = page.content_width();
  style = enlarged(style, page.scale());
  style.text_size = page.text_size - 0.5;
  std::vector<Fragment> fragments = text_lines(chart.title, page.text_size + 1, true, width, 12);
  for (Fragment& line : fragments) line.keep_with_next = true;
  if (!fragments.empty()) {
    Drawing& title = fragments.front().drawing;
    title.places.push_back({chart_place(chart.name), {}, 2, clean_text(chart.title)});
    title.links.push_back({{0, 0, title.width, title.height}, words_place(chart.name)});
  }
  if (!can_draw(chart)) {
    for (Fragment& line : text_lines(why_not_drawn(chart), style.text_size, false, width, 2)) {
      fragments.push_back(std::move(line));
    }
    return fragments;
  }
  const double room = page.content_height() - room_for_headings * page.scale() -
                      std::min(total_height(fragments), 100.0 * page.scale());
  const Tiling tiling = tile(chart, natural_cell(chart, style), width, room, style);
  add_parts(fragments, chart, tiling, width, style);
  const bool beside = tiling.parts() == 1 && put_beside(fragments, chart, width, style);
  std::vector<Fragment> below = legend(chart, width, style, !beside);
  const bool together = total_height(fragments) + total_height(below) <=
                        page.content_height() - room_for_headings * page.scale();
  if (together) {
    fragments.back().keep_with_next = true;
    for (std::size_t i = 0; i + 1 < below.size(); ++i) below[i].keep_with_next = true;
  }
  std::move(below.begin(), below.end(), std::back_inserter(fragments));
  if (!fragments.empty()) fragments.back().keep_with_next = false;
  return fragments;
}

}  // namespace wale::render
