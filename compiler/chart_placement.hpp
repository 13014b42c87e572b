/// Where the squares of a chart stand.
///
/// A chart square is a stitch as it lies on the right side; it stands in a column. Every row keeps its order,
/// and where it has fewer squares than the chart has columns, some columns say "no stitch". The placement
/// chooses which.
///
/// A stitch takes loops from the row below. A wale is the line of loops that are worked one into the other: a
/// decrease takes several and ends all wales but one, an increase begins some. The wale is vertical where the
/// square that takes a loop stands over that loop; where it does not, the loop drifts.
///
/// Cost. The drift of a loop is how far, in squares, it lies from the square that takes it:
///
///     drift = sum over every loop of a row that the next row takes of |x(taking square) - x(loop)|
///
/// A stitch of several squares spreads the loops that it takes, and those that it makes, evenly over them. A
/// loop that nothing takes and a square that takes nothing (a yarn over) cost nothing. Of placements that
/// drift alike the one is taken whose squares are nearer to the middle of their repeat:
///
///     pull = sum over decreases within a repeat of |x(decrease) - middle|
///
/// So a decrease, which may stand over any of the loops that it takes, stands over the innermost, and the two
/// sides of a crown are mirrored:
///
///     row 2   .   \ /   .      the outer wales go on straight; each decrease goes on with its
///     row 1   . . . . . .      inner wale, and two columns say "no stitch"
///
/// Search. With its neighbours fixed, the least cost of one row is found by dynamic programming: square i
/// stands at (widths before it) + s(i), where s never falls and never exceeds the columns to spare. The
/// widest row has none to spare. From it rows are placed upwards against the row below and downwards against
/// the row above; then every row again against both, until none can do better or eight rounds are over. The
/// placement is then the best for every row alone; for two rows it is the best of all.
#pragma once

#include <compare>
#include <vector>

namespace wale {

/// A stitch as the placement sees it.
struct PlacementStitch {
  int width = 1;  ///< squares, at least 1
  int takes = 1;  ///< loops of the row below, in order from the right edge
  int gives = 1;  ///< loops of this row
  int copy = 0;   ///< which copy of the repeat it belongs to, from 0 at the right; -1: none
};

/// From the right edge to the left.
using PlacementRow = std::vector<PlacementStitch>;

enum class Gaps : unsigned char {
  anywhere,  ///< columns without a stitch stand where they cost least
  outside,   ///< only right and left of the row: an edge that is shaped steps
};

struct PlacementRules {
  Gaps gaps = Gaps::anywhere;
  bool cyclic = false;  ///< row 1 is worked into the last row
};

/// The rightmost column of each stitch, row by row.
using Columns = std::vector<std::vector<int>>;

struct PlacementCost {
  long long drift = 0;  ///< half squares
  long long bends = 0;  ///< loops
  long long pull = 0;   ///< half squares
  auto operator<=>(const PlacementCost&) const = default;
};

/// The columns of every stitch. `rows` from the bottom up; the chart is as wide as the widest.
Columns place(const std::vector<PlacementRow>& rows, const PlacementRules& rules = {});

/// What a placement costs in all.
PlacementCost placement_cost(const std::vector<PlacementRow>& rows, const Columns& columns,
                             const PlacementRules& rules = {});

/// Squares of a row.
int squares(const PlacementRow& row);

}  // namespace wale
