/// A fabric as it stands on the needle: which of its columns are there, and which of its rows comes next.
///
/// When a piece is narrowed or widened, the stitches between the edges go on in their pattern, although the
/// needle no longer holds a whole number of repeats. Columns are counted from the right edge of the fabrics
/// as they were laid out; narrowing takes columns away at either end, widening adds some, to the right of
/// column 0 and to the left of the last one, where the pattern goes on as if it had always been there.
///
///     <k2 p2> laid out on 8 stitches        columns 0 to 8         k k p p k k p p   (worked from the right)
///     narrowed by 1 each side               columns 1 to 7           k p p k k p
///
/// Where all stitches of a fabric are worked one by one, columns are cut anywhere. Where some are worked
/// together (cables, lace), only whole repeats are kept and what is left of them is worked plain, as the
/// trade does.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "compiler/pattern.hpp"

namespace wale {

struct Standing {
  /// Where stitches were lost or gained between the edges: the columns that meet there no longer follow one
  /// another. `ends` is behind the last column to its right, `begins` the first one to its left.
  struct Seam {
    long long ends = 0, begins = 0;
    bool operator==(const Seam&) const = default;
  };
  /// Columns from `low` to `high`, which follow one another.
  struct Section {
    long long low = 0, high = 0;
    long long width() const { return high - low; }
  };

  std::vector<Step::Part> parts;  ///< as laid out, from the first worked on a right-side row
  long long low = 0, high = 0;    ///< the first column on the needle, and behind the last one
  long long row = 0;              ///< the next row, counted from the fabrics' first
  std::vector<Seam> seams = {};   ///< from the right
  bool operator==(const Standing&) const = default;

  long long laid_out() const;
  /// Every column that was laid out is there, and none else.
  bool whole() const;
  /// From the right; one more than there are seams.
  std::vector<Section> sections() const;
  void set_sections(const std::vector<Section>& sections);
  /// Stitches on the needle.
  long long width() const;
  /// The stitches from `from` to `to`, counted from the right edge, leave the needle.
  void erase(long long from, long long to);
  /// Stitches come onto the needle at `at`: so many that go on with the columns to its right, and so many
  /// with those to its left.
  void insert(long long at, long long before, long long after);
};

/// For each part whether its columns can be cut anywhere (else between repeats only); or why it cannot be
/// cut: a sentence, "tide is worked in several passes a row".
using Cuts = std::variant<std::vector<bool>, std::string>;
Cuts find_cuts(const Standing& standing, const std::vector<Fabric>& fabrics, const Stitches& stitches);

/// A row, or why there is none: a sentence.
using StandingRow = std::variant<std::vector<Op>, std::string>;

/// The columns from `low` to `high` in the next row, in the order in which they are worked. `strand` becomes
/// the strand that the row names, if it does.
StandingRow standing_row(const Standing& standing, const std::vector<Fabric>& fabrics, Form form, Side side,
                         const std::vector<bool>& stitchwise, long long low, long long high,
                         const Stitches& stitches, short& strand);

}  // namespace wale
