/// Which lengths of an outline a knitter needs, found from its corners and the names of its edges.
///
/// Across: where it begins, where it is the widest, and its edges at the top with what opens between them.
/// Along: all of it, the first and the last fabric where they are borders, where an edge begins that has a
/// name and how long it is, where a side without a name begins or ends to narrow or widen, and how deep an
/// opening is.
///
///     narrow ... after `call the left edge armhole`     "to the armhole", "depth of the armhole"
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/piece_outline.hpp"
#include "render/schematic.hpp"

namespace wale {

struct OutlineMeasure {
  std::string key;    ///< the same in every size
  std::string words;  ///< "width at the cast-on edge"
  double cm = 0;
  Corner from, to;  ///< on the outline
  render::Measure::Side side = render::Measure::Side::below;
  std::optional<double> opening = {};  ///< the x at which an upright one can stand, amid the outline
};

/// Those of an outline with an area; the most important first.
std::vector<OutlineMeasure> outline_measures(const Outline& outline);

/// How far the outline reaches at this height, to either side; nothing where it has nothing there.
struct Reach {
  double left = 0, right = 0;
};
std::optional<Reach> reach_at(const Outline& outline, double y);
/// Its highest place, in cm from the cast-on.
double height_of(const Outline& outline);

/// "armhole" for "left-armhole" and "right-armhole"; other names with their hyphens as spaces.
std::string edge_words(const std::string& name);

}  // namespace wale
