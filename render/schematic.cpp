#include "render/schematic.hpp"

#include <algorithm>

#include "render/measure.hpp"
#include "render/schematic_lanes.hpp"

namespace wale::render {

namespace {

constexpr Stroke edge_pen{.width = 1.1};
constexpr Stroke dashed_pen{.width = 1, .dash = 3};
constexpr Stroke fine_pen{.width = 0.4, .dash = 1.5};
constexpr double label_share = 0.88;  ///< of the text size, for words at edges

Path path_of(const std::vector<Point>& points, bool closed) {
  Path out;
  for (std::size_t i = 0; i < points.size(); ++i) i == 0 ? out.move_to(points[i]) : out.line_to(points[i]);
  if (closed) out.close();
  return out;
}

class ShapeDrawer {
 public:
  ShapeDrawer(const Shape& shape, double scale, const SchematicStyle& style)
      : shape_(shape), scale_(scale), style_(style) {}

  DrawnShape draw() {
    find_extent();
    begin_group(drawing_, shape_.description, around_);
    for (const auto& each : shape_.grounds)
      add_path(drawing_, path_of(moved(each), true), std::nullopt, pale_ground);
    for (const ShapeLine::Look look : {ShapeLine::Look::fine, ShapeLine::Look::edge, ShapeLine::Look::dashed})
      lines(look);
    arrow();
    Box box = draw_measures(drawing_, measures(), around_, style_.text_size, occupied_);
    labels();
    title(box);
    end_group(drawing_);
    return finish(box);
  }

 private:
  Point moved(Point p) const { return {p.x * scale_, p.y * scale_}; }
  std::vector<Point> moved(std::vector<Point> points) const {
    for (Point& p : points) p = moved(p);
    return points;
  }

  void find_extent() {
    bool first = true;
    double right = 0, bottom = 0;
    for (const ShapeLine& line : shape_.lines)
      for (const Point& each : line.points) {
        const Point p = moved(each);
        if (first) around_.x = right = p.x, around_.y = bottom = p.y;
        first = false;
        around_.x = std::min(around_.x, p.x);
        around_.y = std::min(around_.y, p.y);
        right = std::max(right, p.x);
        bottom = std::max(bottom, p.y);
      }
    around_.width = right - around_.x;
    around_.height = bottom - around_.y;
  }

  void lines(ShapeLine::Look look) {
    for (const ShapeLine& line : shape_.lines) {
      if (line.look != look || line.points.size() < 2) continue;
      const std::vector<Point> points = moved(line.points);
      add_path(drawing_, path_of(points, false),
               look == ShapeLine::Look::edge     ? edge_pen
               : look == ShapeLine::Look::dashed ? dashed_pen
                                                 : fine_pen);
      for (std::size_t i = 0; i + 1 < points.size(); ++i)
        occupied_.lines.push_back({points[i], points[i + 1]});
    }
  }

  void arrow() {
    if (!shape_.arrow) return;
    const Point foot = moved(*shape_.arrow);
    const double length = std::min(22.0, around_.height * 0.3);
    if (length < 7) return;
    const Point head{foot.x, foot.y - length};
    if (occupied_.meets_line({foot.x - 4, head.y - 2, 8, length + 4})) return;
    const Stroke pen{.width = 0.6};
    add_line(drawing_, foot, head, pen);
    add_path(drawing_, path_of({{head.x - 2.2, head.y + 4}, head, {head.x + 2.2, head.y + 4}}, false), pen);
    occupied_.lines.push_back({foot, head});
    occupied_.labels.push_back({foot.x - 3, head.y, 6, length});
  }

  std::vector<Measure> measures() const {
    std::vector<Measure> out = shape_.measures;
    for (Measure& each : out) {
      each.from = moved(each.from);
      each.to = moved(each.to);
      if (each.opening) each.opening = *each.opening * scale_;
    }
    return out;
  }

  /// Words at edges, inside the shape and clear of everything.
  void labels() {
    const double size = style_.text_size * label_share;
    for (const EdgeLabel& label : shape_.labels) {
      const double width = text_width(clean_text(label.text), size), height = 1.1 * size;
      const Point at = moved(label.at);
      const auto box_at = [&](double away) {
        const double left = label.inwards > 0   ? at.x + away
                            : label.inwards < 0 ? at.x - away - width
                                                : at.x - width / 2;
        const double top = label.inwards == 0 ? at.y + away : at.y - height / 2;
        return Box{left, top, width, height};
      };
      for (const double away : {4.0, 7.0, 11.0}) {
        const Box box = box_at(away), clear{box.x - 1.5, box.y - 1, box.width + 3, box.height + 2};
        if (occupied_.meets_line(clear) || occupied_.meets_label(clear) || !inside(clear)) continue;
        add_text(drawing_, {box.x, box.y + (0.05 + ascent) * size}, label.text,
                 {.size = size, .colour = quiet_ink});
        occupied_.labels.push_back(box);
        break;
      }
    }
  }

  bool inside(const Box& box) const {
    return box.x >= around_.x && box.right() <= around_.right() && box.y >= around_.y &&
           box.bottom() <= around_.bottom();
  }

  void title(Box& box) {
    const double size = style_.text_size + 0.5;
    const std::string text = clean_text(shape_.name);
    if (text.empty()) return;
    const double width = text_width(text, size, true), middle = around_.x + around_.width / 2;
    const double high = 1.35 * size + 3;
    box.y -= high;
    box.height += high;
    add_text(drawing_, {middle, box.y + 0.2 * size + ascent * size}, text,
             {.size = size, .bold = true, .anchor = Anchor::middle});
    const double left = std::min(box.x, middle - width / 2),
                 right = std::max(box.right(), middle + width / 2);
    box.x = left;
    box.width = right - left;
  }

  DrawnShape finish(const Box& box) {
    constexpr double pad = 1;
    DrawnShape out;
    append(out.drawing, std::move(drawing_), {pad - box.x, pad - box.y});
    out.drawing.width = box.width + 2 * pad;
    out.drawing.height = box.height + 2 * pad;
    out.foot = around_.bottom() - box.y + pad;
    return out;
  }

  const Shape& shape_;
  double scale_;
  const SchematicStyle& style_;
  Drawing drawing_;
  Box around_;
  Occupied occupied_;
};

}  // namespace

DrawnShape draw_shape(const Shape& shape, double scale, const SchematicStyle& style) {
  return ShapeDrawer(shape, scale, style).draw();
}

}  // namespace wale::render
