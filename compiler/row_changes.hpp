/// Where a row gains and loses its stitches: at its first edge, at its last, or between them.
///
///     k1 ssk <k> k2tog k1     first -1, last -1
///     bo5 <k>                 first -5
///     k15 bo10 k15            a gap of 10 behind 15 stitches
///     <k4 m1> k2              all of it between
///
/// What is worked within eight stitches of an edge, and in the half of the row that is nearer to it, moves
/// that edge (assumed: an edge of up to eight stitches that goes on beside the shaping is common practice).
#pragma once

#include "compiler/course.hpp"
#include "compiler/row.hpp"

namespace wale {

/// In the order in which the row is worked.
struct RowChanges {
  long long first = 0, last = 0, between = 0;
  std::vector<Move::Gap> gaps;  ///< `from` counts the stitches before it
};

/// Of a row that works `count` stitches and its fill `fills` times.
RowChanges changes_of(const Row& row, long long count, long long fills, const Stitches& stitches);

}  // namespace wale
