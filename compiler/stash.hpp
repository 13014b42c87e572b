/// The yarn on hand, and what a pattern makes of it.
///
/// A stash is a list of lots: weights of the pattern's yarns, each of one dye lot. Set against what the
/// pieces take it tells, yarn by yarn, which share is used, what is left, and how many balls must be bought
/// besides.
///
///     stash { kelp 340 g   lamp 95 g lot "21B" }
///
///     kelp   340 g on hand, about 295 g used (280 to 300), 45 g left
///
/// A yarn that the stash does not name is not on the shelf: it is to be bought, and nothing runs short.
#pragma once

#include "compiler/lots.hpp"
#include "compiler/values.hpp"
#include "compiler/yarn_estimate.hpp"

namespace wale {

/// Adds the lots to `pattern.stash`. Reports yarns that the pattern does not have (`yarns` are the names of
/// those that it declares), amounts that cannot be, and lots that stand twice.
void read_stash(const tree::Stash& source, const Scope& scope, const std::vector<std::string>& yarns,
                Pattern& pattern, Diagnostics& diagnostics);

/// Grams of the yarn on hand, of all lots; nothing where the stash does not name it.
std::optional<double> on_hand(const Pattern& pattern, int yarn);

/// The yarn of each end of a strand; a pattern of one yarn and no strands is knitted from that yarn.
std::vector<int> yarns_of(const Pattern& pattern, short strand);

/// Grams of each of the pattern's yarns in so much of its strands.
std::vector<Range> grams_of(const StrandMetres& metres, const Pattern& pattern);
/// What pieces take, in grams of each of the pattern's yarns. Nothing where there is no gauge.
std::vector<Range> need_of(const std::vector<Piece>& pieces, const LoopLengths& lengths,
                           const Pattern& pattern);

/// One yarn of the stash, and what becomes of it. All in grams.
struct StashUse {
  int yarn = -1;
  double there = 0;
  Range used;
  double left = 0;      ///< by the middle estimate; 0 where it runs short
  double lacking = 0;   ///< by the middle estimate
  long long balls = 0;  ///< to buy beyond the stash: nothing where it covers the upper estimate, else until
                        ///< it covers that and the middle one with the reserve
  LotPlan plan;         ///< for each piece of the pattern; empty where the yarn runs short

  double share() const { return used.middle / there; }
  bool short_of_yarn() const { return used.middle > there; }
  bool in_doubt() const { return !short_of_yarn() && used.high > there; }
};

/// Of each yarn in the stash, in the pattern's order; empty where there is no estimate.
std::vector<StashUse> stash_use(const Pattern& pattern, const Estimate& estimate);

/// "Front and back from lot 21B, collar from lot 22.", a sentence for each yarn of more than one lot.
std::vector<std::string> lot_sentences(const Pattern& pattern, const std::vector<StashUse>& uses);

/// "lot 21B", "the lot without a name".
std::string lot_words(const Lot& lot);

}  // namespace wale
