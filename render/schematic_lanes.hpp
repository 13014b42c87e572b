/// Where measures stand: in lanes beside a shape, the shortest nearest to it, so that no label touches a
/// line.
///
/// A measure is a line between two ticks, and a fine line from each end to the place that is measured. Lanes
/// are tried from the shape outwards, and in each a few places for the label along the line, until nothing
/// meets.
#pragma once

#include <vector>

#include "render/schematic.hpp"

namespace wale::render {

/// What ink is where, as far as labels must keep off it.
struct Occupied {
  std::vector<Box> labels;
  std::vector<std::pair<Point, Point>> lines;

  bool meets_label(const Box& box) const;
  bool meets_line(const Box& box) const;
};

/// Whether the line touches the box.
bool meets(const Box& box, Point from, Point to);

/// Measures whose places are in points; `around` is what the lanes stand outside of. Draws them and notes
/// them in `occupied`, and returns the box of everything that was drawn.
Box draw_measures(Drawing& drawing, const std::vector<Measure>& measures, const Box& around, double text_size,
                  Occupied& occupied);

}  // namespace wale::render
