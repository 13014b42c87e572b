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

#include <map>
#include <memory>
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

 private:
  bool widens_a_seam(long long from, long long to);
};

/// The rows of fabrics taken apart into their columns: once, however many rows are cut out of them. They may
/// become more, but those that are there stay what they are.
class TakenApart {
 public:
  TakenApart(const std::vector<Fabric>& fabrics, const Stitches& stitches);
  ~TakenApart();
  TakenApart(const TakenApart&) = delete;
  TakenApart& operator=(const TakenApart&) = delete;

  /// Why columns of the part's fabric cannot be cut, a sentence: "tide is worked in several passes a row".
  /// Empty where they can.
  const std::string& why_not(const Step::Part& part);
  /// Whether they can be cut anywhere; else between repeats only.
  bool stitchwise(const Step::Part& part);

  /// The one stitch that all columns of the fabric's row are worked in, on one plain loop each and in
  /// whatever order they come; nothing where there is no such one. The row is counted from 0 and may be
  /// beyond a cycle.
  std::optional<StitchId> one_stitch(const Step::Part& part, long long row);

  /// The columns from `low` to `high` in the next row, put behind `out` in the order in which they are
  /// worked. `strand` becomes the strand that the row names, if it does. All parts can be cut. Returns why
  /// there is no such row, a sentence; empty where there is.
  std::string row(const Standing& standing, Form form, Side side, long long low, long long high,
                  short& strand, std::vector<Op>& out);

 private:
  struct Rows;
  Rows& of(int fabric);

  const std::vector<Fabric>& fabrics_;
  const Stitches& stitches_;
  std::vector<std::unique_ptr<Rows>> rows_;  ///< by fabric; null as long as nobody asked
};

}  // namespace wale
