/// Which piece to knit from which dye lot.
///
/// Two lots of one colour seldom match, so a piece should come from one lot. Whether that can be is a packing
/// problem: pieces into lots, none cut, none overfull. Patterns have few pieces and shelves few lots, so it
/// is searched exactly, the largest pieces first; where some pieces must mix lots, as few do as can be. Of
/// ways that are equal in that, the one that opens the fewest lots is taken: a front and a back should match,
/// too.
///
///     pieces 210, 200, 60 g    lots 270, 205 g      210 + 60 in the first, 200 in the second
///     pieces 70, 70 g          lots 120, 250 g      both in the second
///     pieces 210, 200 g        lots 240, 180 g      one of them in the first; the other mixes both
#pragma once

#include <cstddef>
#include <vector>

namespace wale {

/// Ways that are looked at before the best one so far is taken.
inline constexpr long long most_ways = 200'000;

struct LotPlan {
  /// So much of a lot in a piece, both counted as they were given.
  struct Share {
    std::size_t piece = 0, lot = 0;
    double amount = 0;
  };
  std::vector<Share> shares;       ///< by piece, then by lot; pieces that need nothing have none
  std::vector<std::size_t> mixed;  ///< pieces that need more than one lot
  bool fits = false;               ///< the lots together suffice
  bool all_tried = true;           ///< no way is left that could mix fewer pieces
};

/// `needs` of each piece and `lots` in one unit, none negative.
LotPlan plan_lots(const std::vector<double>& needs, const std::vector<double>& lots);

}  // namespace wale
