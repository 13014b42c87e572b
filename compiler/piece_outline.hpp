/// The outline of a piece as it lies on the table, in cm, computed from its rows at the gauge.
///
/// Every row is a rectangle: as wide as its stitches, as high as a row. It stands where its stitches stood in
/// the row before, moved at an edge where that edge gained or lost some, and by half at both edges where the
/// row did between them or where the gauge is another. What is set aside goes on where it was left, so a neck
/// parts the piece into limbs, each a polygon of its own.
///
///        +--+     +--+        3 limbs: the body, and two shoulders on it
///        |  +--+--+  |
///        |     body  |
///        +-----------+
///
/// A short row is a rectangle on the stitches it is worked over; what comes after lies on its steps. In the
/// round the outline is that of the work laid flat: half as wide as it is around, the beginning of the round
/// at the right edge. What goes on in rows from there is as wide as its stitches and lies on that side of the
/// work where they were. (Derived: geometry, with the two numbers of a gauge.)
///
/// The steps of a slope are corners that lie `within` it: a drawing goes straight past them, and whoever asks
/// for rows finds each of them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/pattern.hpp"

namespace wale {

struct Corner {
  double x = 0, y = 0;  ///< cm; to the right as the right side shows it, and up from the cast-on
  bool within = false;  ///< a step of a slope
  bool operator==(const Corner&) const = default;
};

struct OutlineEdge {
  enum class Kind : unsigned char {
    cast_on,
    side,
    bound_off,
    held,
    joined,
    inner
  };  ///< inner: goes on there
  Kind kind = Kind::side;
  std::string name;  ///< as the pattern calls it; may be empty
  std::vector<Corner> corners;
};

/// A part of the outline that is one polygon: its edges go round it against the clock. The bottom comes
/// first, then the right side, the top and the left side; each may be several.
struct Limb {
  std::vector<OutlineEdge> bottom, right, top, left;
  bool behind = false;  ///< on the far side of work that was in the round
  std::string name;     ///< what its stitches were called while they waited; may be empty

  std::vector<OutlineEdge> edges() const;
};

/// Rows of one fabric (the widest of those side by side), over all of the first limb.
struct Band {
  std::string fabric;
  double from = 0, to = 0;  ///< cm from the cast-on
};

struct Outline {
  std::vector<Limb> limbs;  ///< in the order in which they were begun
  std::vector<Band> bands;
  bool picked_up = false;  ///< begins on stitches that were picked up or taken up, and not cast on
  bool round = false;      ///< parts of it lie flat in two layers
  bool too_large = false;  ///< has more corners than are kept: slopes are straight there
};

/// What the rows measure, in cm. The width is that of the stitches: around, where it is in the round.
struct OutlineSize {
  double width = 0;   ///< at the widest
  double length = 0;  ///< from the cast-on up to the highest
  double area = 0;    ///< in cm², of one layer
};

struct PieceOutline {
  std::vector<Outline> outlines;  ///< one for each time that an empty needle was begun on
  OutlineSize size;
};

/// At the gauges of `pattern`, of which there is at least one.
PieceOutline outline_of(const Piece& piece, const Pattern& pattern);

/// The polygon of a limb, with the steps of its slopes.
std::vector<Corner> polygon(const Limb& limb);
/// In cm², by its corners.
double area_of(const Limb& limb);
/// The corners at which a drawing turns: no steps of slopes, and none on a straight line.
std::vector<Corner> drawn_corners(const std::vector<Corner>& corners);

}  // namespace wale
