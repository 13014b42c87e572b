#include "render/schematic_lanes.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "render/measure.hpp"

namespace wale::render {

namespace {

constexpr Stroke measure_pen{.width = 0.45};
constexpr Stroke extension_pen{.width = 0.35, .colour = grid_ink};
constexpr double tick = 2.2;      ///< half of a tick
constexpr double beyond = 2.5;    ///< that an extension goes past its measure
constexpr double clear = 1.6;     ///< around a label
constexpr double first_lane = 7;  ///< between the shape and the first measure
constexpr int most_lanes = 24;

Box grown(const Box& box, double by) {
  return {box.x - by, box.y - by, box.width + 2 * by, box.height + 2 * by};
}
bool overlap(const Box& a, const Box& b) {
  return a.x < b.right() && b.x < a.right() && a.y < b.bottom() && b.y < a.bottom();
}
void include(Box& all, const Box& more) {
  const double right = std::max(all.right(), more.right()), bottom = std::max(all.bottom(), more.bottom());
  all.x = std::min(all.x, more.x);
  all.y = std::min(all.y, more.y);
  all.width = right - all.x;
  all.height = bottom - all.y;
}

struct LabelSize {
  double width = 0, height = 0;
};

LabelSize size_of(const std::vector<std::string>& lines, double size) {
  LabelSize out;
  for (const std::string& line : lines) out.width = std::max(out.width, text_width(clean_text(line), size));
  out.height = 1.15 * size * static_cast<double>(lines.size());
  return out;
}

/// A measure in a lane: its line, its extensions and the place of its label.
struct Placed {
  Point from, to;
  std::array<std::pair<Point, Point>, 2> extensions;
  Box label;
  bool on_line = true;  ///< the label stands in the line, which leaves a gap for it
};

class Lanes {
 public:
  Lanes(Drawing& drawing, const Box& around, double text_size, Occupied& occupied)
      : drawing_(drawing), around_(around), size_(text_size), occupied_(occupied), box_(around) {}

  /// Those of one side, shortest first.
  void place(std::vector<const Measure*> measures) {
    const auto length = [](const Measure* m) {
      return upright(*m) ? std::abs(m->to.y - m->from.y) : std::abs(m->to.x - m->from.x);
    };
    std::stable_sort(measures.begin(), measures.end(),
                     [&](const Measure* a, const Measure* b) { return length(a) < length(b) - 0.01; });
    double widest = 0, highest = 0;
    for (const Measure* each : measures) {
      widest = std::max(widest, size_of(each->label, size_).width);
      highest = std::max(highest, size_of(each->label, size_).height);
    }
    std::vector<const Measure*> rest;
    for (const Measure* each : measures)
      if (!in_opening(*each)) rest.push_back(each);
    for (const Measure* each : rest) {
      const double lane = upright(*each) ? std::min(widest, 2.6 * size_) + 7 : highest + 4;
      std::vector<double> stops;
      for (const Measure* other : rest)
        for (const Point& p : {other->from, other->to}) stops.push_back(upright(*each) ? p.y : p.x);
      const Placed placed = find(*each, lane, stops);
      draw(*each, placed);
    }
  }

  void draw_lines() {
    for (const auto& [from, to] : extensions_) draw_around_labels(from, to, extension_pen);
    for (const auto& [from, to] : lines_) draw_around_labels(from, to, measure_pen);
  }

  Box box() const { return box_; }

 private:
  static bool upright(const Measure& measure) {
    return measure.side == Measure::Side::left || measure.side == Measure::Side::right;
  }

  /// The place that meets the least: nothing, unless there are very many measures.
  Placed find(const Measure& measure, double lane, const std::vector<double>& stops) const {
    std::optional<Placed> best;
    int least = 0;
    for (int i = 0; i < most_lanes; ++i)
      for (const bool on_line : {true, false})
        for (const double share : {0.5, 0.38, 0.62, 0.26, 0.74, 0.14, 0.86}) {
          const Placed placed = at(measure, i, lane, share, on_line);
          if (on_line && !has_room(measure, placed)) continue;
          if (!on_line && share != 0.5 && share != 0.14 && share != 0.86) continue;
          const int cost = meetings(measure, placed, stops);
          if (cost == 0) return placed;
          if (!best || cost < least) best = placed, least = cost;
        }
    return *best;
  }

  Placed at(const Measure& measure, int number, double lane, double share, bool on_line) const {
    Placed out;
    const LabelSize label = size_of(measure.label, size_);
    const bool up = upright(measure);
    const bool outwards = measure.side == Measure::Side::right || measure.side == Measure::Side::below;
    const double start = measure.side == Measure::Side::right   ? around_.right()
                         : measure.side == Measure::Side::left  ? around_.x
                         : measure.side == Measure::Side::below ? around_.bottom()
                                                                : around_.y;
    const double direction = outwards ? 1 : -1;
    const double place =
        start + direction * (first_lane + number * lane + (up ? label.width : label.height) / 2);
    out.on_line = on_line;
    out.from = up ? Point{place, measure.from.y} : Point{measure.from.x, place};
    out.to = up ? Point{place, measure.to.y} : Point{measure.to.x, place};
    const double past = direction * beyond;
    const auto extension = [&](Point point, Point end) {
      const Point near =
          up ? Point{point.x + direction * 2, point.y} : Point{point.x, point.y + direction * 2};
      const Point far = up ? Point{end.x + past, end.y} : Point{end.x, end.y + past};
      return std::pair{near, far};
    };
    out.extensions = {extension(measure.from, out.from), extension(measure.to, out.to)};
    Point middle{out.from.x + share * (out.to.x - out.from.x), out.from.y + share * (out.to.y - out.from.y)};
    // A label that has no room in the line may also stand past an end of it.
    if (!on_line && share != 0.5) {
      const double room = (up ? label.height : label.width) / 2 + beyond + 2;
      const double low = up ? std::min(out.from.y, out.to.y) : std::min(out.from.x, out.to.x);
      const double high = up ? std::max(out.from.y, out.to.y) : std::max(out.from.x, out.to.x);
      (up ? middle.y : middle.x) = share < 0.5 ? low - room : high + room;
    }
    out.label = {middle.x - label.width / 2, middle.y - label.height / 2, label.width, label.height};
    // Beside the line, on the far side of it.
    if (!on_line && share == 0.5 && up) out.label.x = place + (outwards ? tick + 3 : -tick - 3 - label.width);
    if (!on_line && share == 0.5 && !up)
      out.label.y = place + (outwards ? tick + 2 : -tick - 2 - label.height);
    return out;
  }

  /// Whether the line goes on at both ends of its label.
  bool has_room(const Measure& measure, const Placed& placed) const {
    const Box label = grown(placed.label, clear + 2.5);
    if (upright(measure))
      return label.y >= std::min(placed.from.y, placed.to.y) &&
             label.bottom() <= std::max(placed.from.y, placed.to.y);
    return label.x >= std::min(placed.from.x, placed.to.x) &&
           label.right() <= std::max(placed.from.x, placed.to.x);
  }

  int meetings(const Measure& measure, const Placed& placed, const std::vector<double>& stops) const {
    const Box label = grown(placed.label, clear);
    int out = 0;
    for (const Box& other : occupied_.labels) out += overlap(label, other) ? 12 : 0;
    for (const Box& other : ticks_) out += overlap(label, other) ? 8 : 0;
    for (const Point& end : {placed.from, placed.to}) {
      const Box own = grown({end.x, end.y, 0, 0}, tick);
      out += overlap(label, own) ? 8 : 0;
      for (const Box& other : occupied_.labels) out += overlap(grown(other, clear), own) ? 8 : 0;
    }
    for (const auto& [from, to] : occupied_.lines) out += meets(label, from, to) ? 2 : 0;
    for (const auto& [from, to] : placed.extensions) {
      for (const Box& other : occupied_.labels) out += meets(grown(other, clear), from, to) ? 1 : 0;
      out += meets(label, from, to) && !placed.on_line ? 2 : 0;
    }
    const Box line = grown(bounds_of(placed.from, placed.to), 1.5);
    for (const Box& other : occupied_.labels) out += overlap(line, other) ? 2 : 0;
    // Lines in one lane may touch at their ends, and not lie on each other.
    const bool up = upright(measure);
    for (const auto& [from, to] : lines_) {
      const double apart = up ? std::abs(from.x - placed.from.x) : std::abs(from.y - placed.from.y);
      const double low =
          std::max(up ? std::min(from.y, to.y) : std::min(from.x, to.x),
                   up ? std::min(placed.from.y, placed.to.y) : std::min(placed.from.x, placed.to.x));
      const double high =
          std::min(up ? std::max(from.y, to.y) : std::max(from.x, to.x),
                   up ? std::max(placed.from.y, placed.to.y) : std::max(placed.from.x, placed.to.x));
      out += apart < 5 && high - low > 0.5 ? 3 : 0;
    }
    // Fine lines of longer measures will pass here.
    for (const double stop : stops) {
      const double low = up ? label.y : label.x, high = up ? label.bottom() : label.right();
      const bool own = std::abs(stop - (up ? placed.from.y : placed.from.x)) < 0.1 ||
                       std::abs(stop - (up ? placed.to.y : placed.to.x)) < 0.1;
      out += !own && stop > low && stop < high ? 1 : 0;
    }
    return out;
  }

  static Box bounds_of(Point a, Point b) {
    return {std::min(a.x, b.x), std::min(a.y, b.y), std::abs(a.x - b.x), std::abs(a.y - b.y)};
  }

  /// An upright measure in an opening of the shape, with its label beside the line.
  bool in_opening(const Measure& measure) {
    if (!measure.opening) return false;
    const double x = *measure.opening;
    const LabelSize label = size_of(measure.label, size_);
    Placed placed;
    placed.from = {x, measure.from.y};
    placed.to = {x, measure.to.y};
    placed.on_line = false;
    const double middle = (measure.from.y + measure.to.y) / 2;
    placed.label = {x + tick + 2, middle - label.height / 2, label.width, label.height};
    placed.extensions = {std::pair{placed.from, placed.from}, std::pair{placed.to, placed.to}};
    const Box needed = grown(placed.label, clear);
    const double high = std::max(measure.from.y, measure.to.y), low = std::min(measure.from.y, measure.to.y);
    if (needed.y < low || needed.bottom() > high || occupied_.meets_line(needed)) return false;
    if (occupied_.meets_line(grown(bounds_of({x, low + 3}, {x, high - 3}), 1.5))) return false;
    draw(measure, placed);
    return true;
  }

  /// The label and the ticks; the lines come when all labels have their places.
  void draw(const Measure& measure, const Placed& placed) {
    for (const Point& end : {placed.from, placed.to}) {
      // A slanting tick, as on plans.
      add_line(drawing_, {end.x - tick, end.y + tick}, {end.x + tick, end.y - tick}, measure_pen);
      ticks_.push_back(grown({end.x, end.y, 0, 0}, tick));
      include(box_, ticks_.back());
    }
    for (const auto& [from, to] : placed.extensions) {
      if (from == to) continue;
      extensions_.push_back({from, to});
      occupied_.lines.push_back({from, to});
      include(box_, bounds_of(from, to));
    }
    lines_.push_back({placed.from, placed.to});
    occupied_.lines.push_back({placed.from, placed.to});
    occupied_.labels.push_back(placed.label);
    include(box_, placed.label);
    double top = placed.label.y;
    for (const std::string& line : measure.label) {
      add_text(drawing_, {placed.label.x + placed.label.width / 2, top + (0.075 + ascent) * size_}, line,
               {.size = size_, .anchor = Anchor::middle});
      top += 1.15 * size_;
    }
  }

  /// A line that runs level or upright, left out where it would go through a label.
  void draw_around_labels(Point from, Point to, const Stroke& pen) {
    const bool up = from.x == to.x;
    double begin = up ? std::min(from.y, to.y) : std::min(from.x, to.x);
    const double end = up ? std::max(from.y, to.y) : std::max(from.x, to.x);
    const auto point = [&](double at) { return up ? Point{from.x, at} : Point{at, from.y}; };
    std::vector<std::pair<double, double>> gaps;
    for (const Box& label : occupied_.labels) {
      const Box box = grown(label, clear);
      if (meets(box, from, to))
        gaps.push_back(up ? std::pair{box.y, box.bottom()} : std::pair{box.x, box.right()});
    }
    std::sort(gaps.begin(), gaps.end());
    for (const auto& [first, last] : gaps) {
      if (first > begin) add_line(drawing_, point(begin), point(first), pen);
      begin = std::max(begin, last);
    }
    if (begin < end) add_line(drawing_, point(begin), point(end), pen);
  }

  Drawing& drawing_;
  Box around_;
  double size_;
  Occupied& occupied_;
  Box box_;
  std::vector<std::pair<Point, Point>> lines_, extensions_;  ///< of measures
  std::vector<Box> ticks_;
};

}  // namespace

bool meets(const Box& box, Point from, Point to) {
  // Liang and Barsky: the part of the line that lies within each pair of sides.
  double begin = 0, end = 1;
  const double dx = to.x - from.x, dy = to.y - from.y;
  const auto clip = [&](double step, double away) {
    if (step == 0) return away >= 0;
    const double at = away / step;
    if (step < 0)
      begin = std::max(begin, at);
    else
      end = std::min(end, at);
    return begin <= end;
  };
  return clip(-dx, from.x - box.x) && clip(dx, box.right() - from.x) && clip(-dy, from.y - box.y) &&
         clip(dy, box.bottom() - from.y);
}

bool Occupied::meets_label(const Box& box) const {
  return std::any_of(labels.begin(), labels.end(), [&](const Box& other) { return overlap(box, other); });
}
bool Occupied::meets_line(const Box& box) const {
  return std::any_of(lines.begin(), lines.end(),
                     [&](const auto& line) { return meets(box, line.first, line.second); });
}

Box draw_measures(Drawing& drawing, const std::vector<Measure>& measures, const Box& around, double text_size,
                  Occupied& occupied) {
  Lanes lanes(drawing, around, text_size, occupied);
  using Side = Measure::Side;
  for (const Side side : {Side::above, Side::below, Side::left, Side::right}) {
    std::vector<const Measure*> own;
    for (const Measure& each : measures)
      if (each.side == side) own.push_back(&each);
    lanes.place(std::move(own));
  }
  lanes.draw_lines();
  return lanes.box();
}

}  // namespace wale::render
