/// Outlines with their measures beside them: what a piece looks like laid flat, and how long each side of it
/// is.
///
/// A shape has grounds (what is filled), lines (its edges) and measures. A measure runs between two places of
/// the shape and is drawn in a lane beside it, with a fine line from either place, so that no figure stands
/// on a line or on another figure; one that spans an opening stands in it where there is room.
///
///          |<-- B -->|             lanes above: nearest the shortest measure
///          +--+   +--+
///          |  +---+  |  ^          and on the right
///          |         |  | C
///          +---------+  v
///          |<-- A -->|
///
/// Lengths of a shape are in units (cm), x to the right and y downwards; `draw_shape` brings them to points.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "render/geometry.hpp"
#include "render/table.hpp"

namespace wale::render {

struct ShapeLine {
  enum class Look : unsigned char {
    edge,
    dashed,
    fine
  };  ///< fine: of what lies behind, or where a fabric ends
  std::vector<Point> points;
  Look look = Look::edge;
  bool operator==(const ShapeLine&) const = default;
};

/// Words at an edge; left out where they would touch something.
struct EdgeLabel {
  Point at;            ///< the middle of the edge
  double inwards = 0;  ///< -1: the shape lies to the left of it, 1: to the right, 0: below
  std::string text;
  bool operator==(const EdgeLabel&) const = default;
};

struct Measure {
  enum class Side : unsigned char { below, above, left, right };
  Point from, to;
  Side side = Side::below;  ///< of the shape, on which it stands; it is level below and above, else upright
  std::vector<std::string> label;      ///< short lines
  std::optional<double> opening = {};  ///< upright: the x at which it stands if there is room
  bool operator==(const Measure&) const = default;
};

struct Shape {
  std::string name;         ///< what stands over it
  std::string description;  ///< in words, for screen readers
  std::vector<std::vector<Point>> grounds;
  std::vector<ShapeLine> lines;
  std::vector<EdgeLabel> labels;
  std::vector<Measure> measures;
  std::optional<Point> arrow = {};  ///< the foot of an arrow upwards, in which way it is made
  bool operator==(const Shape&) const = default;
};

/// The shapes of one document, all at one scale.
struct Schematic {
  std::string name = "schematic";  ///< for file names: a-z, 0-9 and hyphens
  std::string title, description;
  std::vector<std::string> notes;  ///< lines below the shapes
  std::vector<Shape> shapes;
  Table table;                    ///< what the labels mean; always there in text
  bool table_in_picture = false;  ///< and below the shapes
};

struct SchematicStyle {
  double text_size = 8.5, title_size = 13;
  double margin = 12;   ///< white around a picture
  double width = 480;   ///< room for shapes side by side
  double height = 380;  ///< and for all their rows, unless one alone needs more
};

/// A shape in points, `scale` of them to a unit. `foot` is the y of its lowest place.
struct DrawnShape {
  Drawing drawing;
  double foot = 0;
};
DrawnShape draw_shape(const Shape& shape, double scale, const SchematicStyle& style);

}  // namespace wale::render
