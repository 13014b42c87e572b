#include "render/chart_map.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "render/measure.hpp"

namespace wale::render {

namespace {

/// Sides of the map, in lines of text.
constexpr double longest_side = 14, shortest_part = 1.7;

/// Each part's first column or row that no part before it has, and the end: for n cuts, n + 1 edges.
std::vector<int> edges_of(const std::vector<Cut>& cuts) {
  std::vector<int> out{cuts.front().first};
  for (const Cut& cut : cuts) out.push_back(cut.last);
  return out;
}

/// The places of the edges, from 0: in proportion, but no part so small that its number has no room.
std::vector<double> places_of(const std::vector<int>& edges, double scale, double least) {
  std::vector<double> out{0};
  for (std::size_t i = 1; i < edges.size(); ++i)
    out.push_back(out.back() + std::max(least, scale * (edges[i] - edges[i - 1])));
  return out;
}

}  // namespace

const Cut& columns_of(const Chart& chart, const Tiling& tiling, std::size_t across) {
  return tiling.columns[chart.numbered_from_left ? tiling.columns.size() - 1 - across : across];
}

Drawing draw_map(const Chart& chart, const Tiling& tiling, double width, const ChartStyle& style) {
  const double size = style.label_size, line = 1.38 * size;
  // From the side on which stitch 1 stands.
  std::vector<Cut> columns;
  for (std::size_t across = 0; across < tiling.columns.size(); ++across) {
    const Cut& cut = columns_of(chart, tiling, across);
    columns.push_back(chart.numbered_from_left ? Cut{chart.columns - cut.last, chart.columns - cut.first}
                                               : cut);
  }
  const std::vector<int> column_edges = edges_of(columns), row_edges = edges_of(tiling.rows);
  const auto row_label = [&](std::size_t i) {
    return fmt::format("row {}", clean_text(chart.rows[static_cast<std::size_t>(row_edges[i])].label));
  };
  double labels = 0;
  for (std::size_t i = 0; i + 1 < row_edges.size(); ++i)
    labels = std::max(labels, text_width(fit_text(row_label(i), size, width / 4), size) + 5);
  // A number of stitches needs room beside its neighbours.
  const double number = text_width(fmt::format("{}", chart.columns), size) + 6;
  labels += number / 2;  // which may hang over the edge of a narrow part
  const double room = std::max(number, width - labels - number);
  const double whole_width = chart.columns * tiling.cell.width,
               whole_height = static_cast<double>(chart.rows.size()) * tiling.cell.height;
  const double scale =
      std::min({longest_side * line / whole_width, longest_side * line / whole_height, room / whole_width});
  const auto across = static_cast<double>(columns.size());
  const std::vector<double> x =
      places_of(column_edges, scale * tiling.cell.width, std::min(number, room / across));
  const std::vector<double> y = places_of(row_edges, scale * tiling.cell.height, shortest_part * line);
  // Where parts are many and narrow, every so many-th is numbered.
  double narrowest = x.back();
  for (std::size_t i = 1; i < x.size(); ++i) narrowest = std::min(narrowest, x[i] - x[i - 1]);
  const double widest = std::max(number, text_width(fmt::format("{}", tiling.parts()), size, true) + 4);
  const auto step = static_cast<std::size_t>(std::ceil(widest / narrowest - 1e-9));
  Drawing out;
  const double right = labels + x.back() + number / 2, bottom = 1 + y.back();
  const auto place_x = [&](double from_first) {
    return chart.numbered_from_left ? labels + from_first : labels + x.back() - from_first;
  };
  out.width = std::min(width, right + number / 2);
  out.height = bottom + 2 + line;
  for (std::size_t row = 0; row + 1 < y.size(); ++row) {
    for (std::size_t column = 0; column + 1 < x.size(); ++column) {
      const double left = std::min(place_x(x[column]), place_x(x[column + 1])), top = bottom - y[row + 1];
      const Box box{left, top, x[column + 1] - x[column], y[row + 1] - y[row]};
      add_box(out, box, Stroke{0.6, quiet_ink, 0, true});
      if (column % step != 0) continue;
      const std::string part = fmt::format("{}", row * columns.size() + column + 1);
      add_text(out, {box.x + box.width / 2, box.y + box.height / 2 + cap_height * size / 2}, part,
               {.size = size, .bold = true, .anchor = Anchor::middle});
    }
    add_text(out, {labels - 4 - number / 2, bottom - y[row] - 1}, fit_text(row_label(row), size, labels - 4),
             {.size = size, .anchor = Anchor::end, .colour = quiet_ink});
  }
  for (std::size_t column = 0; column + 1 < x.size(); column += step)
    add_text(
        out,
        {place_x(x[column] + std::min(number, x[column + 1] - x[column]) / 2), bottom + 2 + ascent * size},
        fmt::format("{}", column_edges[column] + 1),
        {.size = size, .anchor = Anchor::middle, .colour = quiet_ink});
  return out;
}

}  // namespace wale::render
