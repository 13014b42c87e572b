// Rows of pictures become ops without being written first: there are many of them, and all are alike.

#include <array>
#include <utility>

#include "compiler/resolve.hpp"

namespace wale {

bool Resolver::row_ops(const Given& given, std::vector<Op>& out) {
  if (given.drawn) return drawn_ops(*given.drawn, out);
  int fills = 0;
  return ops(given->items, 0, true, fills, out);
}

/// `<L(k2) A(k1)>`, without writing it first.
bool Resolver::drawn_ops(const DrawnRow& row, std::vector<Op>& out) {
  std::vector<tree::RowItem> word(1);
  word.front().word = row.stitch;
  word.front().span = word.front().word_span = row.span;
  Op one;
  one.span = row.span;
  if (!stitch(word, 0, one)) return false;
  std::vector<Op> runs;
  runs.reserve(row.runs.size());
  bool good = true;
  // Two strands take turns, mostly.
  struct Named {
    const std::string* name = nullptr;
    short strand = -1;
  };
  std::array<Named, 2> named;
  for (const DrawnRow::Run& run : row.runs) {
    ++ops_made_;
    Op* stitches = nullptr;
    if (!run.strand) {
      stitches = &runs.emplace_back();
    } else {
      if (run.strand != named[0].name) std::swap(named[0], named[1]);
      if (run.strand != named[0].name) {
        const auto id = strand({*run.strand, run.named});
        good &= id.has_value();
        if (!id) continue;
        named[0] = {run.strand, *id};
      }
      ++ops_made_;
      Op& in_strand = runs.emplace_back();
      in_strand.form = Op::Form::strand;
      in_strand.strand = named[0].strand;
      in_strand.span = row.span;
      stitches = &in_strand.ops.emplace_back();
    }
    stitches->stitch = one.stitch;
    stitches->count = run.count;
    stitches->span = one.span;
  }
  if (!row.repeats) {
    out = std::move(runs);
    return good;
  }
  ++ops_made_;
  Op& fill = out.emplace_back();
  fill.form = Op::Form::fill;
  fill.span = row.span;
  fill.ops = std::move(runs);
  return good;
}

}  // namespace wale
