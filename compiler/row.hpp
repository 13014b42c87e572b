/// A row ready to be worked: its words looked up, its side and its strand known.
///
///     2 M: p <sl1yo brp> sl1yo p     Row{2, pass M, wrong side, [p] [fill [sl1yo][brp]] [sl1yo] [p]}
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/linear.hpp"
#include "compiler/stitches.hpp"

namespace wale {

enum class Side : unsigned char { right, wrong };
inline Side other(Side side) {
  return side == Side::right ? Side::wrong : Side::right;
}

/// How a row ends before its last stitch.
enum class Turn : unsigned char {
  none,
  plain,    ///< `turn`
  wrap,     ///< `wt`: the next stitch is wrapped
  doubled,  ///< `ds`: after the turn the first stitch is pulled up into a double one
};

struct Op {
  enum class Form : unsigned char { stitch, group, fill, strand, into, marker, as_seen, turn };
  Form form = Form::stitch;
  StitchId stitch = -1;
  long long count = 1;  ///< of the stitch or the group; for `into` the loops taken together
  short strand = -1;    ///< of a strand group
  Turn turn = Turn::none;
  long long leaves = -1;  ///< of a turn: stitches left unworked; -1: those that remain
  std::vector<Op> ops;
  Span span;
};

struct Row {
  long long number = 1;
  short strand = -1;       ///< what the row is worked in; -1 the strand in hand
  short back_strand = -1;  ///< double knitting: the strand of the far layer
  bool slides = false;     ///< another pass over this row follows: slide, do not turn
  Side side = Side::right;
  std::vector<Op> ops;
  Span span;  ///< the stitches
  Span label;
};

/// Loops that the ops take from the left needle and give to the right one, fills and `as seen` left out.
/// Sticks at `largest_work`.
struct Balance {
  long long takes = 0, gives = 0;
};
Balance balance(const std::vector<Op>& ops, const Stitches& stitches);

/// The fill or `as seen` of these ops, or null; it stands at the top level, in a strand group or in a group
/// of one.
const Op* find_fill(const std::vector<Op>& ops);

/// The turn that ends the row, or null.
const Op* find_turn(const std::vector<Op>& ops);

/// The row as worked from the other side: order reversed, each stitch replaced by its twin.
Row mirrored(const Row& row, const Stitches& stitches);

/// "2 + 6": what stands before, the group's size, what stands behind the fill; for sums in messages.
struct Parts {
  std::vector<long long> before, after;
  long long fill = 0;  ///< 0: no fill
  long long before_total = 0, after_total = 0;
};
Parts parts_of(const std::vector<Op>& ops, const Stitches& stitches);

/// The same, added up: what stands beside the fill, what the fill takes (0: nothing, or there is none), and
/// where it is.
struct RowSum {
  long long ends = 0, fill = 0;
  const Op* fill_op = nullptr;
};
RowSum sum_of(const std::vector<Op>& ops, const Stitches& stitches);

}  // namespace wale
