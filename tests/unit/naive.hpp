/// A knitter who counts on her fingers: the reference that the engine is held against.
///
/// She has no repeats, no n and no algebra: a needle is a plain vector, and every loop is worked one by one.
/// What she finds at one width is true at that width, and so whatever the engine proves for all n must agree
/// with her at every n that is tried. She shares the engine's `Row` and `Op`, and nothing that works on them.
///
///     <k2 p2> k2 on 10 loops     k k p p k k p p k k, 10 loops given
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "compiler/pattern.hpp"

namespace wale::naive {

/// A stitch on the side from which it was worked.
struct Made {
  StitchId stitch = -1;  ///< -1: as seen
  Side side = Side::right;
  long long into = 0;  ///< loops that it and its neighbours were worked into together; 0: its own
  bool operator==(const Made&) const = default;
};

struct Outcome {
  bool good = true;
  std::size_t failing_row = 0;  ///< index into the rows, where not good
  std::string why;
  std::vector<long long> fills, widths;  ///< of each row: times its fill is worked, loops after it
  /// Where the rows end: loops between the yarn and the right edge after each, and the side then facing her.
  std::vector<long long> begins_at, ends_at;
  Side next_side = Side::right;
  bool at_an_end = true;         ///< the next row has all loops ahead of it
  std::vector<Loop> entry, end;  ///< in the order in which the first row works them, types found out
  std::vector<Loop> given;       ///< by the last row, first worked first
  std::map<std::pair<StitchId, short>, long long> tally;
  std::vector<std::set<short>> strands;  ///< of each row
  /// Where the look is asked for, of each row: what was worked, in the order in which the right side shows it
  /// from right to left, and all loops after it in the same order.
  std::vector<std::vector<Made>> made;
  std::vector<std::vector<Loop>> lines;
};

/// Works the rows once over `width` loops of unknown types, which are found out from what the stitches ask.
/// Rows stop at the first that does not work.
Outcome work(const std::vector<Row>& rows, Form form, long long width, const Stitches& stitches);
/// The same on loops that are given.
Outcome work(const std::vector<Row>& rows, Form form, std::vector<Loop> loops, const Stitches& stitches,
             bool with_look = false);

/// The first row of two cycles at whose edge a strand that it works does not hang; -1 where there is none. A
/// strand's first row joins it. `worked` tells where the rows begin and end at some width.
long long row_without_yarn(const std::vector<Row>& rows, Form form, const Outcome& worked);

/// A fabric's rows, without what the engine knows about them.
std::vector<Row> rows_of(const Fabric& fabric);

}  // namespace wale::naive
