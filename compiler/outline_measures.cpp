#include "compiler/outline_measures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace wale {

namespace {

using Side = render::Measure::Side;

/// Lengths that differ by less than this are not told apart, and what is shorter is not measured, in cm.
constexpr double alike = 0.6, shortest = 0.9;
/// A border is at most this part of the whole.
constexpr double border_at_bottom = 0.4, border_at_top = 0.25;
/// Places at which sides without names turn that are measured at most.
constexpr std::size_t most_turns = 3;
/// Corners of a side at which it is seen how wide the outline is.
constexpr std::size_t most_looked_at = 400;

/// An edge at which a limb ends, from left to right.
struct Top {
  OutlineEdge::Kind kind = OutlineEdge::Kind::bound_off;
  std::string name;
  double left = 0, right = 0, y = 0;
};

/// A stretch of a side that goes one way: inwards (-1), outwards (1) or straight up.
struct Phase {
  int way = 0;
  double from = 0, to = 0, moved = 0;
};

std::vector<Corner> line_of(const std::vector<OutlineEdge>& edges) {
  std::vector<Corner> out;
  for (const OutlineEdge& edge : edges)
    for (const Corner& corner : drawn_corners(edge.corners)) out.push_back(corner);
  return out;
}

class Measurer {
 public:
  explicit Measurer(const Outline& outline) : outline_(outline), height_(height_of(outline)) {}

  std::vector<OutlineMeasure> measure() {
    if (outline_.limbs.empty() || height_ < shortest) return {};
    widths();
    tops();
    across();
    along();
    return std::move(out_);
  }

 private:
  void add(std::string key, std::string words, Corner from, Corner to, Side side,
           std::optional<double> opening = {}) {
    const bool upright = side == Side::left || side == Side::right;
    const double cm = upright ? std::abs(to.y - from.y) : std::abs(to.x - from.x);
    if (cm < shortest) return;
    out_.push_back({std::move(key), std::move(words), cm, from, to, side, opening});
  }

  /// From the outline at one height to that at another, on a side.
  void add_upright(std::string key, std::string words, double from, double to, Side side) {
    const auto x = [&](double y) {
      const auto reach = reach_at(outline_, y);
      return !reach ? 0 : side == Side::left ? reach->left : reach->right;
    };
    add(std::move(key), std::move(words), {x(from), from}, {x(to), to}, side);
  }

  std::string flat() const { return outline_.round ? ", laid flat" : ""; }

  void widths() {
    const std::vector<Corner>& bottom = outline_.limbs.front().bottom.front().corners;
    begin_ = std::abs(bottom.back().x - bottom.front().x);
    add("begin", fmt::format("width at the {} edge{}", outline_.picked_up ? "picked-up" : "cast-on", flat()),
        {bottom.front().x, 0}, {bottom.back().x, 0}, Side::below);
    widest_ = begin_;
    double at = 0;
    Reach reach;
    for (const Limb& limb : outline_.limbs)
      for (const auto* side : {&limb.right, &limb.left}) {
        const std::vector<Corner> line = line_of(*side);
        // Of very many corners some stand for those beside them.
        const std::size_t step = line.size() / most_looked_at + 1;
        for (std::size_t i = 0; i < line.size(); i += step) {
          const auto there = reach_at(outline_, line[i].y);
          if (!there || there->right - there->left <= widest_ + 1e-6) continue;
          widest_ = there->right - there->left;
          reach = *there;
          at = line[i].y;
        }
      }
    if (widest_ < begin_ + alike) return;
    add("widest", "width at the widest" + flat(), {reach.left, at}, {reach.right, at},
        at > height_ / 2 ? Side::above : Side::below);
  }

  void tops() {
    for (const Limb& limb : outline_.limbs)
      for (const OutlineEdge& edge : limb.top) {
        if (edge.kind == OutlineEdge::Kind::inner || edge.corners.empty()) continue;
        const double right = edge.corners.front().x, left = edge.corners.back().x;
        if (right - left < 0.2) continue;
        double y = 0;
        for (const Corner& corner : edge.corners) y = std::max(y, corner.y);
        tops_.push_back({edge.kind, edge.name.empty() ? limb.name : edge.name, left, right, y});
      }
    std::sort(tops_.begin(), tops_.end(), [](const Top& a, const Top& b) { return a.left < b.left; });
    std::erase_if(tops_, [&](const Top& top) { return top.y < height_ / 2; });
    // What lies behind has the same edges.
    tops_.erase(std::unique(tops_.begin(), tops_.end(),
                            [](const Top& a, const Top& b) {
                              return std::abs(a.left - b.left) < alike && std::abs(a.right - b.right) < alike;
                            }),
                tops_.end());
  }

  /// The edges at the top, and what opens between them.
  void across() {
    if (tops_.empty()) return;
    if (tops_.size() == 1) {
      const Top& top = tops_.front();
      const double width = top.right - top.left;
      if (std::abs(width - begin_) >= alike && std::abs(width - widest_) >= alike)
        add("top", "width at the top" + flat(), {top.left, top.y}, {top.right, top.y}, Side::above);
      return;
    }
    std::map<std::string, std::vector<double>> said;
    for (const Top& top : tops_) {
      const std::string name = edge_words(top.name);
      if (!is_new(said[name], top.right - top.left)) continue;
      add(fmt::format("top {} {}", name, said[name].size()),
          name.empty() ? "width at the top" : "width of the " + name, {top.left, top.y}, {top.right, top.y},
          Side::above);
    }
    // The farthest to the right ends the row of edges, wherever it begins.
    double reached = tops_.front().right, reached_y = tops_.front().y;
    for (std::size_t i = 1; i < tops_.size(); ++i) {
      const Top& next = tops_[i];
      if (next.left - reached >= shortest) opening({reached, reached_y}, {next.left, next.y});
      if (next.right > reached) reached = next.right, reached_y = next.y;
    }
    const double width = reached - tops_.front().left;
    if (std::abs(width - begin_) >= alike && std::abs(width - widest_) >= alike)
      add("across", "width across the top" + flat(), {tops_.front().left, tops_.front().y},
          {reached, reached_y}, Side::above);
  }

  static bool is_new(std::vector<double>& said, double cm) {
    for (const double each : said)
      if (std::abs(each - cm) < alike / 2) return false;
    said.push_back(cm);
    return true;
  }

  void opening(Corner left, Corner right) {
    std::string name;
    double floor = std::min(left.y, right.y);
    for (const Limb& limb : outline_.limbs)
      for (const auto* side : {&limb.right, &limb.left, &limb.top})
        for (const OutlineEdge& edge : *side)
          for (const Corner& corner : edge.corners) {
            // What ends there is beside the opening, and not its name.
            const bool side_of_it =
                edge.kind == OutlineEdge::Kind::side || edge.kind == OutlineEdge::Kind::bound_off;
            if (!side_of_it || corner.x < left.x - 0.01 || corner.x > right.x + 0.01) continue;
            floor = std::min(floor, corner.y);
            if (!edge.name.empty()) name = edge_words(edge.name);
          }
    const std::string what = name.empty() ? "opening" : name;
    opened_.push_back(what);
    add(fmt::format("opening {} {}", what, opened_.size()), "width of the " + what, left, right, Side::above);
    const double top = std::max(left.y, right.y);
    add(fmt::format("depth {} {}", what, opened_.size()), "depth of the " + what, {left.x, floor},
        {left.x, top}, Side::right, left.x + (right.x - left.x) * 0.42);
  }

  /// Heights, from the bottom.
  void along() {
    add_upright("length", "length", 0, height_, Side::right);
    borders();
    limbs();
    named();
    turns();
  }

  void borders() {
    const auto& bands = outline_.bands;
    if (bands.size() < 2) return;
    const Band &first = bands.front(), &last = bands.back();
    if (first.to < border_at_bottom * height_) {
      add_upright("first border", "height of the " + first.fabric, 0, first.to, Side::left);
      levels_.push_back(first.to);
    }
    if (last.to > height_ - alike && last.to - last.from < border_at_top * height_) {
      add_upright("last border", fmt::format("height of the {} at the top", last.fabric), last.from, height_,
                  Side::left);
      levels_.push_back(last.from);
    }
  }

  /// Those that end below the top are as long as they are.
  void limbs() {
    for (const Limb& limb : outline_.limbs) {
      if (limb.name.empty() || limb.behind || area_of(limb) < shortest) continue;
      double top = 0;
      for (const Corner& corner : polygon(limb)) top = std::max(top, corner.y);
      const double begins = limb.right.front().corners.front().y, x = limb.right.front().corners.front().x;
      if (top > height_ - alike) continue;
      const std::string name = edge_words(limb.name);
      add(fmt::format("limb {}", name), "length of the " + name, {x, begins}, {x, top}, Side::right);
    }
  }

  void named() {
    struct Extent {
      double from = 0, to = 0;
    };
    std::map<std::string, Extent> edges;
    std::vector<std::string> order;
    for (const Limb& limb : outline_.limbs)
      for (const auto* side : {&limb.right, &limb.left})
        for (const OutlineEdge& edge : *side) {
          if (edge.name.empty() || edge.kind != OutlineEdge::Kind::side) continue;
          const auto [found, fresh] =
              edges.emplace(edge.name, Extent{edge.corners.front().y, edge.corners.back().y});
          if (fresh) order.push_back(edge.name);
          found->second.from = std::min(found->second.from, edge.corners.front().y);
          found->second.to = std::max(found->second.to, edge.corners.back().y);
        }
    std::map<std::string, std::vector<double>> begun, deep;
    for (const std::string& each : order) {
      const std::string name = edge_words(each);
      const Extent extent = edges[each];
      if (std::find(opened_.begin(), opened_.end(), name) != opened_.end()) continue;
      if (extent.from < alike && extent.to > height_ - alike) continue;
      if (extent.from >= shortest && is_new(begun[name], extent.from)) {
        add_upright(fmt::format("to {} {}", name, begun[name].size()), "length to the " + name, 0,
                    extent.from, Side::left);
        levels_.push_back(extent.from);
      }
      if (is_new(deep[name], extent.to - extent.from))
        add_upright(fmt::format("depth {} {}", name, deep[name].size()), "depth of the " + name, extent.from,
                    extent.to, Side::right);
    }
  }

  static std::vector<Phase> phases_of(const std::vector<Corner>& line, double outwards) {
    std::vector<Phase> out;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
      const double moved = (line[i + 1].x - line[i].x) * outwards;
      const int way = std::abs(moved) < 1e-6 ? 0 : moved > 0 ? 1 : -1;
      if (!out.empty() && out.back().way == way)
        out.back().to = line[i + 1].y, out.back().moved += moved;
      else
        out.push_back({way, line[i].y, line[i + 1].y, moved});
    }
    // Small ones are no shape.
    std::vector<Phase> large;
    for (Phase& phase : out) {
      if (std::abs(phase.moved) < shortest) phase.way = 0;
      // Even rows between two slopes of one way belong to them.
      if (!large.empty() && large.back().way == phase.way) {
        large.back().to = phase.to;
        large.back().moved += phase.moved;
      } else {
        large.push_back(phase);
      }
    }
    return large;
  }

  /// Where sides without a name turn.
  void turns() {
    std::size_t count = 0;
    for (const Limb& limb : outline_.limbs)
      for (const bool right : {true, false}) {
        std::vector<OutlineEdge> plain;
        for (const OutlineEdge& edge : right ? limb.right : limb.left)
          if (edge.name.empty()) plain.push_back(edge);
        const std::vector<Phase> phases = phases_of(line_of(plain), right ? 1 : -1);
        for (std::size_t i = 1; i < phases.size() && count < most_turns; ++i) {
          const double y = phases[i].from;
          if (!is_outer(limb, right, y) || y < shortest || y > height_ - shortest || known(y)) continue;
          const char* what = phases[i].way > 0       ? "length to where it widens"
                             : phases[i].way < 0     ? "length to where it narrows"
                             : phases[i - 1].way > 0 ? "length to the end of the widening"
                                                     : "length to the end of the narrowing";
          add_upright(fmt::format("turn {} {}", what, ++count), what, 0, y, Side::left);
          levels_.push_back(y);
        }
      }
  }

  bool is_outer(const Limb& limb, bool right, double y) const {
    const auto reach = reach_at(outline_, y);
    for (const Corner& corner : line_of(right ? limb.right : limb.left))
      if (reach && std::abs(corner.y - y) < 0.01 &&
          std::abs(corner.x - (right ? reach->right : reach->left)) < 0.01)
        return true;
    return false;
  }

  bool known(double y) const {
    return std::any_of(levels_.begin(), levels_.end(), [&](double each) { return std::abs(each - y) < 1.2; });
  }

  const Outline& outline_;
  double height_;
  double begin_ = 0, widest_ = 0;
  std::vector<Top> tops_;
  std::vector<std::string> opened_;
  std::vector<double> levels_;
  std::vector<OutlineMeasure> out_;
};

}  // namespace

std::vector<OutlineMeasure> outline_measures(const Outline& outline) {
  return Measurer(outline).measure();
}

double height_of(const Outline& outline) {
  double out = 0;
  for (const Limb& limb : outline.limbs)
    for (const Corner& corner : polygon(limb)) out = std::max(out, corner.y);
  return out;
}

std::optional<Reach> reach_at(const Outline& outline, double y) {
  constexpr double close = 1e-6;
  std::optional<Reach> out;
  const auto include = [&](double x) {
    if (!out) out = Reach{x, x};
    out->left = std::min(out->left, x);
    out->right = std::max(out->right, x);
  };
  for (const Limb& limb : outline.limbs)
    for (const OutlineEdge& edge : limb.edges()) {
      const std::vector<Corner> line = drawn_corners(edge.corners);
      for (std::size_t i = 0; i < line.size(); ++i) {
        if (std::abs(line[i].y - y) < close) include(line[i].x);
        if (i + 1 == line.size()) break;
        const Corner &a = line[i], &b = line[i + 1];
        if ((a.y - y) * (b.y - y) < 0) include(a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x));
      }
    }
  return out;
}

std::string edge_words(const std::string& name) {
  std::string out = name;
  for (const std::string_view side : {"left-", "right-"})
    if (out.starts_with(side) && out.size() > side.size()) out.erase(0, side.size());
  std::replace(out.begin(), out.end(), '-', ' ');
  return out;
}

}  // namespace wale
