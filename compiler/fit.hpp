/// Fit to stash: as much as the yarn on hand makes.
///
/// What a repeat takes is not known before it is worked: a triangle's rows grow, and what comes after it (a
/// border, the second half, the bind-off) depends on how large it has become. So a piece is worked with one
/// number of repeats, and all that comes after it, and the yarn of the whole is reckoned; then with another
/// number, until the largest is found that the yarn allows. A repeat that leaves the needle as it found it is
/// worked once and counted, so that costs the same for a thousand repeats as for one; and numbers are not
/// tried one by one but where the last two say that the yarn must end.
///
///     stash { rockpool 100 g }   repeat until half of A { work rising for 2 rows }
///     1, 2, 4, ... 64 suffice, 128 do not; 103 suffice, 105 do not, 104 suffice: 104 times
///
/// **Enough** means twice enough: the middle estimate with the reserve on top (10 %, common practice), and
/// the upper estimate as it stands, are no more than there is. For `half of A` both halves are held against
/// it: what the piece has taken by then is at most half of what there is for it, and what is worked
/// afterwards, in this piece and in those below it, must still come out of the rest.
#pragma once

#include "compiler/piece.hpp"

namespace wale {

/// What pieces are worked from, again and again.
struct Workshop {
  std::vector<const tree::Piece*> pieces;
  const Scope& scope;
  Stitches& stitches;
  bool declares_strands;
  Effort& effort;
  Effort& help;
  bool doubtful;  ///< something could not be read
  const std::set<std::string>& wanted;
};

/// Works all pieces, in order, into `pattern.pieces`. Repeats that go by yarn are solved, and say in their
/// steps what they come to. `instead` receives how often they are worked.
void work_pieces(const Workshop& shop, Pattern& pattern, Instead& instead, Diagnostics& diagnostics);

/// What the pieces take against what there is. A yarn that runs short by the middle estimate is an error that
/// says what would fit (found by working the pieces with fewer repeats or rows); by the upper estimate alone,
/// a warning. A piece that must mix dye lots is a warning.
void compare_with_stash(const Workshop& shop, const Pattern& pattern, const Instead& instead,
                        Diagnostics& diagnostics);

/// Adds to each shortage the largest size that the stash makes. `suffices`: of each size, whether it does.
void name_the_largest_size(const std::vector<std::string>& sizes, const std::vector<bool>& suffices,
                           Diagnostics& diagnostics);

/// Whether a yarn was found to run short.
bool runs_short(const Diagnostics& diagnostics);

}  // namespace wale
