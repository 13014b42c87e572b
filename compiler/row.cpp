#include "compiler/row.hpp"

#include <algorithm>

namespace wale {

namespace {

bool is_fill(const Op& op) {
  return op.form == Op::Form::fill || op.form == Op::Form::as_seen;
}
bool is_frame(const Op& op) {
  return op.form == Op::Form::strand || (op.form == Op::Form::group && op.count == 1);
}

Balance balance(const Op& op, const Stitches& stitches) {
  Balance out;
  switch (op.form) {
    case Op::Form::stitch: {
      const Stitch& stitch = stitches[op.stitch];
      out.takes = multiply_counts(static_cast<long long>(stitch.takes.size()), op.count);
      out.gives = multiply_counts(static_cast<long long>(stitch.gives.size()), op.count);
      break;
    }
    case Op::Form::group:
    case Op::Form::strand: {
      const Balance inner = wale::balance(op.ops, stitches);
      out = {multiply_counts(inner.takes, op.count), multiply_counts(inner.gives, op.count)};
      break;
    }
    case Op::Form::into:
      out = {op.count, wale::balance(op.ops, stitches).gives};
      break;
    case Op::Form::fill:
    case Op::Form::as_seen:
    case Op::Form::marker:
    case Op::Form::turn:
      break;
  }
  return out;
}

/// Splits at the fill, through strand groups and groups of one.
void collect(const std::vector<Op>& ops, const Stitches& stitches, Parts& out, bool& seen) {
  long long run = 0;
  const auto flush = [&] {
    if (run > 0) (seen ? out.after : out.before).push_back(run);
    run = 0;
  };
  for (const Op& op : ops) {
    if (is_fill(op)) {
      flush();
      out.fill = op.form == Op::Form::as_seen ? 1 : balance(op.ops, stitches).takes;
      seen = true;
    } else if (is_frame(op) && find_fill(op.ops)) {
      flush();
      collect(op.ops, stitches, out, seen);
    } else if (op.form == Op::Form::group && op.count > 1) {
      flush();
      run = balance(op, stitches).takes;
      flush();
    } else {
      run = add_counts(run, balance(op, stitches).takes);
    }
  }
  flush();
}

}  // namespace

Balance balance(const std::vector<Op>& ops, const Stitches& stitches) {
  Balance out;
  for (const Op& op : ops) {
    const Balance one = balance(op, stitches);
    out = {add_counts(out.takes, one.takes), add_counts(out.gives, one.gives)};
  }
  return out;
}

const Op* find_fill(const std::vector<Op>& ops) {
  for (const Op& op : ops) {
    if (is_fill(op)) return &op;
    if (!is_frame(op)) continue;
    if (const Op* inner = find_fill(op.ops)) return inner;
  }
  return nullptr;
}

const Op* find_turn(const std::vector<Op>& ops) {
  return !ops.empty() && ops.back().form == Op::Form::turn ? &ops.back() : nullptr;
}

Parts parts_of(const std::vector<Op>& ops, const Stitches& stitches) {
  Parts out;
  bool seen = false;
  collect(ops, stitches, out, seen);
  if (const Op* turn = find_turn(ops); turn && turn->leaves > 0) out.after.push_back(turn->leaves);
  for (const long long part : out.before) out.before_total = add_counts(out.before_total, part);
  for (const long long part : out.after) out.after_total = add_counts(out.after_total, part);
  return out;
}

namespace {

void add_up(const std::vector<Op>& ops, const Stitches& stitches, RowSum& out) {
  for (const Op& op : ops) {
    if (is_fill(op)) {
      if (!out.fill_op) out.fill_op = &op;
      out.fill = op.form == Op::Form::as_seen ? 1 : balance(op.ops, stitches).takes;
    } else if (is_frame(op) && (op.count == 1 || find_fill(op.ops))) {
      add_up(op.ops, stitches, out);
    } else {
      out.ends = add_counts(out.ends, balance(op, stitches).takes);
    }
  }
}

}  // namespace

RowSum sum_of(const std::vector<Op>& ops, const Stitches& stitches) {
  RowSum out;
  add_up(ops, stitches, out);
  if (const Op* turn = find_turn(ops); turn && turn->leaves > 0)
    out.ends = add_counts(out.ends, turn->leaves);
  return out;
}

namespace {

bool works_layers(const std::vector<Op>& ops, const Stitches& stitches) {
  return std::any_of(ops.begin(), ops.end(), [&](const Op& op) {
    return op.form == Op::Form::stitch ? stitches[op.stitch].layered() : works_layers(op.ops, stitches);
  });
}

/// `near` and `far` are the row's strands in double knitting, the same otherwise; `strand` is what the ops
/// are worked in.
struct Mirror {
  const Stitches& stitches;
  short near, far;

  std::vector<Op> operator()(const std::vector<Op>& ops, short strand) const {
    std::vector<Op> out;
    for (auto op = ops.rbegin(); op != ops.rend(); ++op) out.push_back(mirrored(*op, strand));
    return out;
  }

  Op mirrored(const Op& op, short strand) const {
    Op twin = op;
    if (op.form == Op::Form::strand) strand = op.strand;
    const bool into = op.form == Op::Form::into;
    twin.ops = into ? Mirror{stitches, near, near}(op.ops, strand) : (*this)(op.ops, strand);
    if (op.form == Op::Form::stitch) twin.stitch = stitches[op.stitch].twin;
    if (near == far) return twin;
    // The strand named is the near layer's, and from the other side that is the other layer.
    if (op.form == Op::Form::strand && works_layers(op.ops, stitches))
      twin.strand = op.strand == near ? far : near;
    if (!into && (op.form != Op::Form::stitch || stitches[op.stitch].layered())) return twin;
    Op same = twin;  // one stitch of both layers keeps its strand
    same.form = Op::Form::strand;
    same.count = 1;
    same.strand = strand;
    same.ops = {std::move(twin)};
    return same;
  }
};

}  // namespace

Row mirrored(const Row& row, const Stitches& stitches) {
  Row out = row;
  out.side = other(row.side);
  const bool layers = row.back_strand >= 0;
  if (layers) std::swap(out.strand, out.back_strand);
  out.ops = Mirror{stitches, row.strand, layers ? row.back_strand : row.strand}(row.ops, row.strand);
  return out;
}

}  // namespace wale
