#include "render/chart_frames.hpp"

#include <algorithm>
#include <optional>

namespace wale::render {

namespace {

/// Window columns [first, last), and where the frame goes on outside of the window.
struct Span {
  int first = 0, last = 0;
  bool on_right = false, on_left = false;
};

std::optional<Span> span_in(const ChartRow& row, const ChartWindow& window) {
  if (!row.repeat || row.repeat->count < 1) return std::nullopt;
  const long long first = static_cast<long long>(row.repeat->first) - window.first_column;
  const long long last = first + row.repeat->count;
  const Span span{static_cast<int>(std::clamp<long long>(first, 0, window.columns)),
                  static_cast<int>(std::clamp<long long>(last, 0, window.columns)),
                  first<0, last> window.columns};
  return span.first < span.last ? std::optional(span) : std::nullopt;
}

bool join(const std::optional<Span>& below, const std::optional<Span>& above) {
  return below && above && above->first < below->last && below->first < above->last;
}

/// One side of an outline; none is drawn where the frame goes on.
struct Side {
  Point from, to;
  bool drawn = true;
};

class Outline {
 public:
  void add(Point from, Point to, bool drawn) {
    if (from == to) return;
    if (!sides_.empty()) {
      Side& before = sides_.back();
      const bool straight =
          (before.from.x == from.x && from.x == to.x) || (before.from.y == from.y && from.y == to.y);
      if (straight && before.drawn == drawn) {
        before.to = to;
        return;
      }
    }
    sides_.push_back({from, to, drawn});
  }

  /// Closed if all of it is drawn; otherwise its pieces.
  Path path() {
    const auto open =
        std::find_if(sides_.begin(), sides_.end(), [](const Side& side) { return !side.drawn; });
    const bool whole = open == sides_.end();
    std::rotate(sides_.begin(), open == sides_.end() ? sides_.begin() : open, sides_.end());
    Path path;
    bool down = false;  // The pen.
    for (std::size_t i = 0; i < sides_.size(); ++i) {
      const Side& side = sides_[i];
      if (side.drawn && !down) path.move_to(side.from);
      if (side.drawn && !(whole && i + 1 == sides_.size())) path.line_to(side.to);
      down = side.drawn;
    }
    if (whole) path.close();
    return path;
  }

 private:
  std::vector<Side> sides_;
};

/// Up the right side from the first row, and down the left side.
Path outline(const std::vector<Span>& spans, int first_row, const ChartWindow& window, CellSize cell,
             Point corner, bool on_above, bool on_below) {
  const auto place = [&](int column, std::size_t row_edge) {
    return Point{corner.x + (window.columns - column) * cell.width,
                 corner.y + (window.rows - first_row - static_cast<double>(row_edge)) * cell.height};
  };
  Outline sides;
  const std::size_t rows = spans.size();
  for (std::size_t row = 0; row < rows; ++row) {
    sides.add(place(spans[row].first, row), place(spans[row].first, row + 1), !spans[row].on_right);
    if (row + 1 < rows)
      sides.add(place(spans[row].first, row + 1), place(spans[row + 1].first, row + 1), true);
  }
  sides.add(place(spans.back().first, rows), place(spans.back().last, rows), !on_above);
  for (std::size_t row = rows; row-- > 0;) {
    sides.add(place(spans[row].last, row + 1), place(spans[row].last, row), !spans[row].on_left);
    if (row > 0) sides.add(place(spans[row].last, row), place(spans[row - 1].last, row), true);
  }
  sides.add(place(spans.front().last, 0), place(spans.front().first, 0), !on_below);
  return sides.path();
}

}  // namespace

std::vector<Path> repeat_frames(const Chart& chart, const ChartWindow& window, CellSize cell, Point corner) {
  const auto span_of = [&](int row) -> std::optional<Span> {
    const int at = window.first_row + row;
    if (at < 0 || static_cast<std::size_t>(at) >= chart.rows.size()) return std::nullopt;
    return span_in(chart.rows[static_cast<std::size_t>(at)], window);
  };
  std::vector<Path> frames;
  std::vector<Span> open;
  int first_row = 0;
  const auto finish = [&](int end) {
    if (open.empty()) return;
    const bool on_below = first_row == 0 && join(span_of(-1), open.front());
    const bool on_above = end == window.rows && join(open.back(), span_of(end));
    Path path = outline(open, first_row, window, cell, corner, on_above, on_below);
    if (!path.segments.empty()) frames.push_back(std::move(path));
    open.clear();
  };
  for (int row = 0; row < window.rows; ++row) {
    const std::optional<Span> span = span_of(row);
    if (open.empty() || !join(open.back(), span)) finish(row);
    if (!span) continue;
    if (open.empty()) first_row = row;
    open.push_back(*span);
  }
  finish(window.rows);
  return frames;
}

}  // namespace wale::render
