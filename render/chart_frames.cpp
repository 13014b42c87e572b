#include "render/chart_frames.hpp"

#include <algorithm>
#include <optional>

namespace wale::render {

namespace {

/// Window columns [first, last).
struct Span {
  int first = 0, last = 0;
};

std::optional<Span> span_in(const ChartRow& row, const ChartWindow& window) {
  if (!row.repeat || row.repeat->count < 1) return std::nullopt;
  const long long first = static_cast<long long>(row.repeat->first) - window.first_column;
  const long long last = first + row.repeat->count;
  const Span span{static_cast<int>(std::clamp<long long>(first, 0, window.columns)),
                  static_cast<int>(std::clamp<long long>(last, 0, window.columns))};
  return span.first < span.last ? std::optional(span) : std::nullopt;
}

/// Up the right side from the first row, and down the left side.
Path outline(const std::vector<Span>& spans, int first_row, const ChartWindow& window, CellSize cell,
             Point corner) {
  const auto place = [&](int column, std::size_t row_edge) {
    return Point{corner.x + (window.columns - column) * cell.width,
                 corner.y + (window.rows - first_row - static_cast<double>(row_edge)) * cell.height};
  };
  std::vector<Point> points;
  for (std::size_t row = 0; row < spans.size(); ++row) {
    points.push_back(place(spans[row].first, row));
    points.push_back(place(spans[row].first, row + 1));
  }
  for (std::size_t row = spans.size(); row-- > 0;) {
    points.push_back(place(spans[row].last, row + 1));
    points.push_back(place(spans[row].last, row));
  }
  Path path;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Point &before = points[(i + points.size() - 1) % points.size()],
                &after = points[(i + 1) % points.size()];
    const bool straight = (before.x == points[i].x && after.x == points[i].x) ||
                          (before.y == points[i].y && after.y == points[i].y);
    if (straight) continue;
    path.segments.empty() ? path.move_to(points[i]) : path.line_to(points[i]);
  }
  path.close();
  return path;
}

}  // namespace

std::vector<Path> repeat_frames(const Chart& chart, const ChartWindow& window, CellSize cell, Point corner) {
  std::vector<Path> frames;
  std::vector<Span> open;
  int first_row = 0;
  const auto finish = [&] {
    if (!open.empty()) frames.push_back(outline(open, first_row, window, cell, corner));
    open.clear();
  };
  for (int row = 0; row < window.rows; ++row) {
    const std::optional<Span> span =
        span_in(chart.rows[static_cast<std::size_t>(window.first_row + row)], window);
    const bool joins =
        span && !open.empty() && span->first < open.back().last && open.back().first < span->last;
    if (!joins) finish();
    if (!span) continue;
    if (open.empty()) first_row = row;
    open.push_back(*span);
  }
  finish();
  return frames;
}

}  // namespace wale::render
