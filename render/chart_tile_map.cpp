#include "render/chart_tile_map.hpp"

#include <algorithm>

#include "render/measure.hpp"

namespace wale::render {

namespace {

bool lies_in(const Chart& chart, const Cell& cell) {
  return cell.span >= 1 && cell.column >= 0 && cell.column < chart.columns;
}

/// Where parts lie on the map, from the first square on, in points; none is smaller than `least`.
std::vector<double> edges(const std::vector<Cut>& cuts, double side, double least) {
  std::vector<double> places{0};
  for (std::size_t i = 0; i < cuts.size(); ++i) {
    const Cut mine = own(cuts, i);
    places.push_back(places.back() + std::max(least, (mine.last - mine.first) * side));
  }
  return places;
}

/// Where square `at` begins, in a part that is drawn longer or shorter than its squares ask.
double place_of(const std::vector<Cut>& cuts, const std::vector<double>& places, int at) {
  std::size_t part = 0;
  while (part + 1 < cuts.size() && at >= own(cuts, part).last) ++part;
  const Cut mine = own(cuts, part);
  return places[part] +
         (places[part + 1] - places[part]) * (at - mine.first) / std::max(1, mine.last - mine.first);
}

class MapDrawer {
 public:
  MapDrawer(const Chart& chart, const Tiling& tiling, double width, double height, const ChartStyle& style)
      : chart_(chart), tiling_(tiling), width_(width), height_(height), size_(style.label_size) {}

  std::optional<Drawing> draw() {
    const double line = (ascent + descent) * size_;
    double number =
        text_width(std::to_string(tiling_.stitches.size() * tiling_.rows.size()), size_, true) + 4;
    for (std::size_t i = 0; i < tiling_.rows.size(); ++i)
      left_ = std::max(left_, text_width(row_label(i), size_) + 5);
    double widest = number;
    for (std::size_t i = 0; i < tiling_.stitches.size(); ++i)
      widest = std::max(widest, text_width(stitch_range(own(tiling_.stitches, i)), size_) + 5);
    const double wide = width_ - left_ - 2, high = height_ - line - 6;
    const double side = std::min(0.6 * wide / (chart_.columns * tiling_.cell.width),
                                 high / (static_cast<double>(chart_.rows.size()) * tiling_.cell.height));
    for (const double least : {widest, number}) {
      labelled_ = least == widest;
      // Smaller, until it fits although some parts are drawn larger than they are.
      for (double scale = side; scale > 0.01 * side; scale *= 0.85) {
        across_ = edges(tiling_.stitches, scale * tiling_.cell.width, least);
        up_ = edges(tiling_.rows, scale * tiling_.cell.height, line + 3);
        if (across_.back() <= wide + 0.01 && up_.back() <= high + 0.01) return drawn(line);
      }
    }
    return std::nullopt;
  }

 private:
  std::string row_label(std::size_t up) const {
    return fit_text(row_range(chart_, own(tiling_.rows, up)), size_, width_ / 4);
  }

  /// Stitch 1 stands on the right, unless the chart is numbered from the left.
  double x(double along) const {
    return left_ + 1 + (chart_.numbered_from_left ? along : across_.back() - along);
  }
  double y(double up) const { return 1 + up_.back() - up; }

  Box box(double from, double to, double low, double high) const {
    return {std::min(x(from), x(to)), y(high), to - from, high - low};
  }

  /// One band for all rows that are alike in where their stitches begin and end.
  void shade() {
    Path path;
    std::size_t first = 0;
    const auto ends_of = [&](std::size_t row) {
      Cut ends{chart_.columns, 0};
      for (const Cell& cell : chart_.rows[row].cells) {
        if (cell.absent || !lies_in(chart_, cell)) continue;
        const int end = std::min(cell.column + std::min(cell.span, chart_.columns), chart_.columns) - 1;
        const int a = column_of(chart_, cell.column), b = column_of(chart_, end);
        ends = {std::min({ends.first, a, b}), std::max({ends.last, a + 1, b + 1})};
      }
      return ends;
    };
    for (std::size_t row = 1; row <= chart_.rows.size(); ++row) {
      const Cut ends = ends_of(first);
      if (row < chart_.rows.size() && ends_of(row) == ends) continue;
      if (ends.first < ends.last)
        path.add_box(box(place_of(tiling_.stitches, across_, ends.first),
                         place_of(tiling_.stitches, across_, ends.last),
                         place_of(tiling_.rows, up_, static_cast<int>(first)),
                         place_of(tiling_.rows, up_, static_cast<int>(row))));
      first = row;
    }
    if (!path.segments.empty()) add_path(drawing_, std::move(path), std::nullopt, map_ground);
  }

  Drawing drawn(double line) {
    drawing_.width = width_;
    drawing_.height = 2 + up_.back() + (labelled_ ? line + 4 : 0);
    shade();
    // From the top, as it is read.
    for (std::size_t up = tiling_.rows.size(); up-- > 0;) {
      const double middle = y((up_[up] + up_[up + 1]) / 2) + cap_height * size_ / 2;
      add_text(drawing_, {left_ - 3, middle}, row_label(up),
               {.size = size_, .anchor = Anchor::end, .colour = quiet_ink});
      for (std::size_t i = 0; i < tiling_.stitches.size(); ++i) {
        const std::size_t across = chart_.numbered_from_left ? i : tiling_.stitches.size() - 1 - i;
        const Box part = box(across_[across], across_[across + 1], up_[up], up_[up + 1]);
        add_box(drawing_, part, Stroke{0.8, ink, 0, true});
        add_text(drawing_, {part.x + part.width / 2, middle},
                 std::to_string(number_of(tiling_, {across, up})),
                 {.size = size_, .bold = true, .anchor = Anchor::middle});
      }
    }
    for (std::size_t i = 0; labelled_ && i < tiling_.stitches.size(); ++i) {
      const std::size_t across = chart_.numbered_from_left ? i : tiling_.stitches.size() - 1 - i;
      add_text(drawing_, {x((across_[across] + across_[across + 1]) / 2), 4 + up_.back() + ascent * size_},
               stitch_range(own(tiling_.stitches, across)),
               {.size = size_, .anchor = Anchor::middle, .colour = quiet_ink});
    }
    return std::move(drawing_);
  }

  static constexpr Colour map_ground{232, 232, 232};

  const Chart& chart_;
  const Tiling& tiling_;
  double width_, height_, size_, left_ = 0;
  bool labelled_ = true;
  std::vector<double> across_, up_;
  Drawing drawing_;
};

}  // namespace

std::optional<Drawing> draw_tile_map(const Chart& chart, const Tiling& tiling, double width, double height,
                                     const ChartStyle& style) {
  return MapDrawer(chart, tiling, width, height, style).draw();
}

}  // namespace wale::render
