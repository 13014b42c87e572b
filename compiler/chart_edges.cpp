#include "compiler/chart_edges.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace wale {

namespace {

/// Squares at this end of the row that are no stitch, or bound off or cast on.
template <typename Cells>
int shaped_at(Cells begin, Cells end, const render::Chart& chart) {
  int out = 0;
  for (; begin != end; ++begin) {
    const bool step = begin->mark && (chart.marks[static_cast<std::size_t>(*begin->mark)].id == "bo" ||
                                      chart.marks[static_cast<std::size_t>(*begin->mark)].id == "co");
    if (!begin->absent && !step) break;
    out += begin->span;
  }
  return out;
}

/// Does a square of some row lie on both sides of this column's right edge?
bool straddled(const render::Chart& chart, int column) {
  for (const render::ChartRow& row : chart.rows)
    for (const render::Cell& cell : row.cells)
      if (cell.column < column && cell.column + cell.span > column) return true;
  return false;
}

void drop_unused_marks(render::Chart& chart) {
  std::vector<int> place(chart.marks.size(), -1);
  std::vector<render::Mark> kept;
  for (render::ChartRow& row : chart.rows)
    for (render::Cell& cell : row.cells)
      if (cell.mark) place[static_cast<std::size_t>(*cell.mark)] = 0;
  for (std::size_t i = 0; i < place.size(); ++i)
    if (place[i] == 0) {
      place[i] = static_cast<int>(kept.size());
      kept.push_back(chart.marks[i]);
    }
  for (render::ChartRow& row : chart.rows)
    for (render::Cell& cell : row.cells)
      if (cell.mark) cell.mark = place[static_cast<std::size_t>(*cell.mark)];
  chart.marks = std::move(kept);
}

}  // namespace

std::optional<render::Chart> edges_of(render::Chart chart) {
  if (chart.columns <= widest_shaping) return chart;
  int right = 0, left = 0;
  for (const render::ChartRow& row : chart.rows) {
    right = std::max(right, shaped_at(row.cells.begin(), row.cells.end(), chart));
    left = std::max(left, shaped_at(row.cells.rbegin(), row.cells.rend(), chart));
  }
  int from = right + kept_inside, to = chart.columns - left - kept_inside;
  while (from < to && straddled(chart, from)) ++from;
  while (to > from && straddled(chart, to)) --to;
  const int out = to - from;
  if (out < 1 || chart.columns - out > 2 * widest_shaping) return {};
  for (render::ChartRow& row : chart.rows) {
    std::erase_if(row.cells,
                  [&](const render::Cell& cell) { return cell.column >= from && cell.column < to; });
    for (render::Cell& cell : row.cells) {
      if (cell.column >= to) cell.column -= out;
      if (cell.column + cell.span == from) cell.marker_after = true;
    }
    row.repeat.reset();
  }
  chart.columns -= out;
  chart.repeat_meaning.reset();
  const std::string left_out = fmt::format("{} between the edges are left out: go on in pattern",
                                           out == 1 ? "1 st" : fmt::format("{} sts", out));
  chart.marker_meaning = chart.marker_meaning ? *chart.marker_meaning + ", or " + left_out : left_out;
  drop_unused_marks(chart);
  return chart;
}

}  // namespace wale
