// Rows of pictures become ops without being written first: there are many of them, and all are alike.

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
  for (const DrawnRow::Run& run : row.runs) {
    one.count = run.count;
    ++ops_made_;
    if (!run.strand) {
      runs.push_back(one);
      continue;
    }
    const auto id = strand({*run.strand, run.named});
    good &= id.has_value();
    if (!id) continue;
    ++ops_made_;
    Op& in_strand = runs.emplace_back();
    in_strand.form = Op::Form::strand;
    in_strand.strand = *id;
    in_strand.span = row.span;
    in_strand.ops.push_back(one);
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
