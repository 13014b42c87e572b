#include "compiler/schematic.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/instruction_words.hpp"
#include "compiler/mirror.hpp"
#include "compiler/outline_measures.hpp"
#include "compiler/piece_measures.hpp"

namespace wale {

namespace {

/// Shapes of one schematic, and how large each of them may be: 200 m.
constexpr std::size_t most_shapes = 40;
constexpr double largest_cm = 20'000;

void mirror(std::vector<OutlineEdge>& edges) {
  for (OutlineEdge& edge : edges) {
    edge.name = mirrored_words(edge.name);
    for (Corner& corner : edge.corners) corner.x = -corner.x;
  }
}

/// As in a mirror, its edges against the clock again.
void mirror(Outline& outline) {
  for (Limb& limb : outline.limbs) {
    for (auto* edges : {&limb.bottom, &limb.right, &limb.top, &limb.left}) mirror(*edges);
    std::swap(limb.left, limb.right);
    for (auto* edges : {&limb.bottom, &limb.top}) {
      std::reverse(edges->begin(), edges->end());
      for (OutlineEdge& edge : *edges) std::reverse(edge.corners.begin(), edge.corners.end());
    }
  }
}

/// "left armband".
std::string spoken(std::string name) {
  std::replace(name.begin(), name.end(), '-', ' ');
  return name;
}

/// "A" to "Z", then "AA".
std::string letter(std::size_t number) {
  std::string out(1, static_cast<char>('A' + number % 26));
  for (number /= 26; number > 0; number = (number - 1) / 26)
    out.insert(out.begin(), static_cast<char>('A' + (number - 1) % 26));
  return out;
}

/// "a, b and c".
std::string listed(const std::vector<std::string>& names) {
  std::string out;
  for (std::size_t i = 0; i < names.size(); ++i)
    out += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
  return out;
}

/// A measure in all sizes, and the pieces that have it.
struct Entry {
  std::string words;
  std::vector<std::string> pieces;
  std::vector<std::optional<double>> cm;
};

bool same_values(const Entry& a, const Entry& b) {
  for (std::size_t i = 0; i < a.cm.size(); ++i)
    if (a.cm[i].has_value() != b.cm[i].has_value() || (a.cm[i] && std::abs(*a.cm[i] - *b.cm[i]) > 0.05))
      return false;
  return a.words == b.words;
}

class Drafter {
 public:
  Drafter(const std::vector<const Pattern*>& sizes, const DocumentSettings& settings)
      : sizes_(sizes), settings_(settings), middle_(sizes.size() / 2) {}

  std::optional<render::Schematic> draft() {
    const Pattern& drawn = *sizes_[middle_];
    for (std::size_t i = 0; i < drawn.pieces.size(); ++i) piece(i);
    if (out_.shapes.empty()) return {};
    out_.title = drawn.title.empty() ? "Schematic" : drawn.title + ", schematic";
    describe(drawn);
    table();
    notes(drawn);
    return std::move(out_);
  }

 private:
  std::vector<Outline> outlines(std::size_t size, std::size_t piece) const {
    std::vector<Outline> out = outline_of(sizes_[size]->pieces[piece], *sizes_[size]).outlines;
    if (settings_.mirror)
      for (Outline& each : out) mirror(each);
    return out;
  }

  void piece(std::size_t index) {
    const std::string& name = sizes_[middle_]->pieces[index].name;
    std::vector<std::vector<Outline>> all;
    for (std::size_t size = 0; size < sizes_.size(); ++size) all.push_back(outlines(size, index));
    const std::vector<Outline>& drawn = all[middle_];
    for (std::size_t part = 0; part < drawn.size(); ++part) {
      const std::vector<OutlineMeasure> measures = outline_measures(drawn[part]);
      if (measures.empty()) continue;
      const bool large = std::any_of(measures.begin(), measures.end(),
                                     [](const OutlineMeasure& each) { return each.cm > largest_cm; });
      if (large || out_.shapes.size() >= most_shapes) {
        left_out_.push_back(spoken(name));
        continue;
      }
      std::vector<std::vector<OutlineMeasure>> others;
      for (const std::vector<Outline>& each : all)
        others.push_back(part < each.size() ? outline_measures(each[part]) : std::vector<OutlineMeasure>());
      std::string title = spoken(name);
      if (drawn.size() > 1) title += fmt::format(" {}", part + 1);
      if (drawn[part].round) round_.push_back(title);
      shape(drawn[part], title, measures, others);
    }
  }

  void shape(const Outline& outline, const std::string& name, const std::vector<OutlineMeasure>& measures,
             const std::vector<std::vector<OutlineMeasure>>& all) {
    render::Shape out;
    out.name = capitalised(name);
    top_ = height_of(outline);
    lines(outline, out);
    const auto& bottom = outline.limbs.front().bottom.front().corners;
    const double own = polygon_height(outline.limbs.front());
    out.arrow = at((bottom.front().x + bottom.back().x) / 2, own * 0.4);
    std::vector<std::string> said;
    for (const OutlineMeasure& measure : measures) {
      Entry entry{measure.words, {name}, {}};
      for (const std::vector<OutlineMeasure>& size : all) {
        const auto found = std::find_if(size.begin(), size.end(),
                                        [&](const OutlineMeasure& m) { return m.key == measure.key; });
        entry.cm.push_back(found == size.end() ? std::nullopt : std::optional(found->cm));
      }
      render::Measure drawn;
      drawn.from = at(measure.from.x, measure.from.y);
      drawn.to = at(measure.to.x, measure.to.y);
      drawn.side = measure.side;
      drawn.opening = measure.opening;
      const std::size_t number = enter(std::move(entry));
      drawn.label = label(number, measure.cm);
      out.measures.push_back(std::move(drawn));
      said.push_back(sizes_.size() > 1
                         ? fmt::format("{} {}", letter(number), measure.words)
                         : fmt::format("{} {}", measure.words, tape_words(measure.cm, settings_.units)));
    }
    out.description = fmt::format("{}: {}.", capitalised(name), fmt::join(said, ", "));
    out_.shapes.push_back(std::move(out));
  }

  /// The number of the entry, which pieces share where it is alike in every size.
  std::size_t enter(Entry entry) {
    const auto found =
        std::find_if(entries_.begin(), entries_.end(), [&](const Entry& e) { return same_values(e, entry); });
    if (found == entries_.end()) {
      entries_.push_back(std::move(entry));
      return entries_.size() - 1;
    }
    if (std::find(found->pieces.begin(), found->pieces.end(), entry.pieces.front()) == found->pieces.end())
      found->pieces.push_back(entry.pieces.front());
    return static_cast<std::size_t>(found - entries_.begin());
  }

  std::vector<std::string> label(std::size_t entry, double cm) const {
    if (sizes_.size() > 1) return {letter(entry)};
    const std::string words = tape_words(cm, settings_.units);
    const std::size_t bracket = words.find(" (");
    return {words.substr(0, bracket), words.substr(bracket + 1)};
  }

  static double polygon_height(const Limb& limb) {
    double out = 0;
    for (const Corner& corner : polygon(limb)) out = std::max(out, corner.y);
    return out;
  }

  render::Point at(double x, double y) const { return {x, top_ - y}; }
  std::vector<render::Point> points(const std::vector<Corner>& corners) const {
    std::vector<render::Point> out;
    for (const Corner& corner : drawn_corners(corners)) out.push_back(at(corner.x, corner.y));
    return out;
  }

  void lines(const Outline& outline, render::Shape& out) {
    using Look = render::ShapeLine::Look;
    for (const Limb& limb : outline.limbs) {
      if (area_of(limb) > 0) out.grounds.push_back(points(polygon(limb)));
      for (const OutlineEdge& edge : limb.edges()) {
        if (edge.kind == OutlineEdge::Kind::inner) continue;
        std::vector<render::Point> line = points(edge.corners);
        if (line.size() < 2) continue;
        const bool held = edge.kind == OutlineEdge::Kind::held;
        held_ |= held;
        behind_ |= limb.behind;
        out.lines.push_back({std::move(line), limb.behind ? Look::fine : held ? Look::dashed : Look::edge});
      }
      if (!limb.behind) names(limb, out);
    }
    for (std::size_t i = 1; i < outline.bands.size(); ++i) {
      const double y = outline.bands[i].from;
      const auto reach = reach_at(outline, y);
      if (!reach) continue;
      bands_ = true;
      out.lines.push_back({{at(reach->left, y), at(reach->right, y)}, Look::fine});
    }
  }

  void names(const Limb& limb, render::Shape& out) const {
    const auto middle = [&](const std::vector<Corner>& corners) {
      const Corner &a = corners.front(), &b = corners.back();
      return at((a.x + b.x) / 2, (a.y + b.y) / 2);
    };
    for (const OutlineEdge& edge : limb.top)
      if (edge.kind != OutlineEdge::Kind::inner && !edge.name.empty())
        out.labels.push_back({middle(edge.corners), 0, spoken(edge.name)});
    for (const bool right : {true, false})
      for (const OutlineEdge& edge : right ? limb.right : limb.left)
        if (!edge.name.empty() && edge.corners.size() > 1) {
          // Where the long, straight part of it is.
          const std::vector<Corner> line = drawn_corners(edge.corners);
          std::size_t longest = 0;
          for (std::size_t i = 0; i + 1 < line.size(); ++i)
            if (line[i + 1].y - line[i].y > line[longest + 1].y - line[longest].y) longest = i;
          out.labels.push_back(
              {middle({line[longest], line[longest + 1]}), right ? -1.0 : 1.0, spoken(edge.name)});
        }
  }

  void describe(const Pattern& drawn) {
    std::vector<std::string> names;
    for (const render::Shape& shape : out_.shapes) names.push_back(shape.name);
    out_.description = fmt::format(
        "{} as {} flat, {}with {} measures.", listed(names), out_.shapes.size() == 1 ? "it lies" : "they lie",
        drawn.size.empty() ? "" : fmt::format("in size {}, ", drawn.size), entries_.size());
  }

  void table() {
    const bool several = sizes_.size() > 1;
    out_.table_in_picture = several;
    render::Table& table = out_.table;
    table.header = {several ? (settings_.units == Units::metric ? "cm (in)" : "in (cm)") : "Measure"};
    table.numeric = {false};
    for (const Pattern* each : sizes_) {
      table.header.push_back(several ? size_name(*each) : "Length");
      table.numeric.push_back(true);
    }
    for (std::size_t i = 0; i < entries_.size(); ++i) {
      const Entry& entry = entries_[i];
      std::string words = capitalised(listed(entry.pieces) + ": " + entry.words);
      std::vector<std::string> cells{several ? fmt::format("{}. {}", letter(i), words) : words};
      for (const auto& cm : entry.cm)
        cells.push_back(!cm       ? "-"
                        : several ? both_units(*cm, settings_.units)
                                  : tape_words(*cm, settings_.units));
      table.rows.push_back(std::move(cells));
    }
  }

  void notes(const Pattern& drawn) {
    if (sizes_.size() > 1)
      out_.notes.push_back(
          fmt::format("Drawn in size {}; the letters stand in the table for every size.", size_name(drawn)));
    if (!round_.empty()) {
      std::string text = fmt::format(
          "{} {} in the round and drawn as {} flat, half as wide as around.", capitalised(listed(round_)),
          round_.size() == 1 ? "is worked" : "are worked", round_.size() == 1 ? "it lies" : "they lie");
      if (behind_) text += " What goes on in rows lies in two layers, one behind the other.";
      out_.notes.push_back(std::move(text));
    }
    if (!left_out_.empty())
      out_.notes.push_back(fmt::format("Not drawn, being too large or too many: {}.", listed(left_out_)));
    std::string signs = "The arrow points the way the piece grows";
    if (bands_) signs += "; dotted lines are where a fabric ends";
    if (held_) signs += "; at dashed edges the stitches are held";
    out_.notes.push_back(signs + ".");
  }

  const std::vector<const Pattern*>& sizes_;
  const DocumentSettings& settings_;
  std::size_t middle_;
  double top_ = 0;
  bool held_ = false, behind_ = false, bands_ = false;
  std::vector<std::string> round_, left_out_;
  std::vector<Entry> entries_;
  render::Schematic out_;
};

}  // namespace

std::optional<render::Schematic> make_schematic(const std::vector<const Pattern*>& sizes,
                                                const DocumentSettings& settings) {
  for (const Pattern* each : sizes)
    if (each->gauges.empty()) return {};
  return Drafter(sizes, settings).draft();
}

}  // namespace wale
