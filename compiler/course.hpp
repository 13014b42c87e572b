/// What a piece does to its outline, in the order in which it is knitted: so many rows over which an edge
/// moves so often, stitches bound off, set aside, taken up again. It is all that a drawing of the piece
/// needs, and as short as its source: a thousand rows of sleeve are one move, a repeat is a group that is
/// done so many times.
///
///     narrow 1 each side every 6 rows 5 times      rows, 5 times 6, in the first of which each edge loses 1
///     repeat until 60 st { work rising for 2 rows }     group, 56 times: rows, 1 time 1, right edge gains 1;
///     1 row
///
/// Right and left are those of the right side. In the round the right edge is where the round begins.
#pragma once

#include <string>
#include <vector>

namespace wale {

struct Move {
  enum class Kind : unsigned char {
    rows,      ///< `times` times `every` rows over all stitches
    part_row,  ///< a row over `count` stitches, the first of them `from` stitches away from the right edge
    begin,     ///< `count` stitches on an empty needle
    add,       ///< `count` stitches beside those there
    bind_off,  ///< `count` stitches, from an edge on; `all`: and none is left
    unite,     ///< all stitches are joined to others
    hold,      ///< `count` stitches, from an edge on, are set aside as `name`
    resume,    ///< those set aside as `name`
    into_rows,
    call_edge,  ///< the edge is `name` from here on
    group,      ///< `moves`, `times` times
  };
  /// Stitches bound off amid a row, seen after it.
  struct Gap {
    long long from = 0;  ///< stitches to the right of it
    long long count = 0;
    bool operator==(const Gap&) const = default;
  };
  Kind kind = Kind::rows;
  long long every = 1, times = 1;
  long long right_at = 0, left_at = 0;  ///< rows worked before the one in which the edge moves
  /// Stitches gained each time at the edges, and between them where the right edge moves.
  long long right = 0, left = 0, inner = 0;
  bool at_once = false;  ///< what is gained or lost is cast on or bound off
  long long from = 0, count = 0;
  bool at_right = false, all = false;
  bool round = false;      ///< as it is worked
  bool picked_up = false;  ///< begin: along an edge, or from a holder
  bool cord = false;       ///< closes to a tube
  bool straight = false;   ///< the edges run straight from the first row to the last
  int fabric = -1;         ///< of `Piece::fabrics`, the widest laid out; -1: as before
  double wales = 1;        ///< to a loop, afterwards: of the pairs of double knitting two loops are one
  std::string name;
  std::vector<Gap> gaps;
  std::vector<Move> moves;
  bool operator==(const Move&) const = default;
};
using Course = std::vector<Move>;

/// Groups of one repeat that are told apart; those beyond it count as more of the last one.
inline constexpr std::size_t most_groups = 1000;

}  // namespace wale
