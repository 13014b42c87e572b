/// A piece tried with other numbers, and what the yarn then comes to. Used by fit*.cpp only.
#pragma once

#include <algorithm>

#include "compiler/fit.hpp"
#include "compiler/stash.hpp"

namespace wale {

/// One way to work a piece and those below it. Grams of each of the pattern's yarns.
struct Trial {
  bool reached = false;                   ///< the step in question was worked
  bool good = false;                      ///< the piece works out to its end
  std::vector<Range> here, piece, later;  ///< up to that step's end; of the piece; of those below it
  std::optional<Piece> made;
  std::string why_not;
};

class Trials {
 public:
  /// Of the piece at `index`; `pattern` holds those above it.
  Trials(const Workshop& shop, const Pattern& pattern, std::size_t index);
  Trials(const Trials&) = delete;  // the lengths refer to its pattern
  Trials& operator=(const Trials&) = delete;

  Trial work(const Instead& instead, std::uint32_t step);
  /// Of the pieces above.
  const std::vector<Range>& before() const { return before_; }
  const Pattern& pattern() const { return pattern_; }

 private:
  const Workshop& shop_;
  Pattern pattern_;
  std::size_t index_;
  LoopLengths lengths_;
  std::vector<Range> before_;
  std::vector<std::vector<Fabric>> converted_;
};

/// What a strand is looked up from.
Shelf shelf_of(const Workshop& shop, Pattern& pattern, const Instead& instead);

/// The upper of the two bounds: the middle estimate with its reserve, and the upper estimate.
inline double with_reserve(Range grams) {
  return std::max(grams.middle * (1 + reserve), grams.high);
}

}  // namespace wale
