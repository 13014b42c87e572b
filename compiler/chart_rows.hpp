/// A chart's rows before they have columns: each stitch as a box of squares over the loops that it took.
#pragma once

#include <vector>

#include "compiler/chart_placement.hpp"
#include "compiler/pattern.hpp"

namespace wale {

struct Box {
  StitchId shown = -1;       ///< the stitch that makes this on the right side
  StitchId worked = -1;      ///< the stitch as the row says it
  const Op* into = nullptr;  ///< a group worked into one stitch; points into the fabric's row
  short strand = -1;
  int width = 1;                   ///< squares
  int takes_first = 0, takes = 0;  ///< loops of the row below, counted from the right edge
  int gives_first = 0, gives = 0;  ///< loops of this row
  long long filling = -1;          ///< which working of the row's fill it belongs to; -1: none
  Lean lean = Lean::none;          ///< of what shows on the right side
  bool unworked = false;           ///< a stitch that a short row does not reach
  Turn turn = Turn::none;          ///< of such a stitch: wrapped or made double where the row turned
  bool marker_after = false;       ///< on its left
  int column = 0;                  ///< rightmost square, once placed
};

/// A loop as it lies on the right side; one that nobody has made yet counts as knit.
struct Lying {
  Face face = Face::knit;
  short strand = -1;
};

/// One row worked out stitch by stitch at a small n, boxes from the right edge of the right side. `below` are
/// the loops that it finds, from the right edge; they become those of this row. `turned` is how the row
/// before it ended.
std::vector<Box> lay_row(const CheckedRow& row, long long n, const Stitches& stitches, Turn turned,
                         std::vector<Lying>& below);

/// Gives every box its column. `fills_per_copy[i]` is how often row i works its fill in one repeat
/// of the chart; 0: it has none.
/// Returns how many columns the chart has.
int place_rows(std::vector<std::vector<Box>>& rows, const std::vector<long long>& fills_per_copy,
               const PlacementRules& rules);

}  // namespace wale
