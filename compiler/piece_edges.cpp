// The edges that a piece gets while it is worked: each step lengthens both sides of flat work, and a cast-on,
// a bind-off and stitches bound off at the beginning of a row are stretches of their own.
//
// Where stitches are set aside, the work parts: each part keeps its outer edge and gets a new inner one,
// which can be used where it was given a name.

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "compiler/piece_worker.hpp"

namespace wale {

namespace {

/// What rows do to the edges at which they begin and end.
struct Moves {
  long long right = 0, left = 0;              ///< stitches gained, those bound off left out
  long long right_bound = 0, left_bound = 0;  ///< stitches bound off
};

bool holds_fill(const Op& op) {
  return op.form == Op::Form::fill || op.form == Op::Form::as_seen ||
         (op.form != Op::Form::stitch && op.form != Op::Form::into && find_fill(op.ops));
}

void add_moves(const Row& row, const Stitches& stitches, Moves& to) {
  const auto fill = std::find_if(row.ops.begin(), row.ops.end(), holds_fill);
  const auto half = row.ops.begin() + static_cast<std::ptrdiff_t>(row.ops.size() / 2);
  const auto bind_off = stitches.find("bo");
  const auto binds = [&](const Op& op) { return op.form == Op::Form::stitch && op.stitch == bind_off; };
  const auto part = [&](auto from, auto to_end) {
    const std::vector<Op> ops(from, to_end);
    long long bound = 0;
    for (const Op& op : ops)
      if (binds(op)) bound = add_counts(bound, op.count);
    const Balance all = balance(ops, stitches);
    return all.gives - all.takes + bound;
  };
  // What is bound off in the middle of a row lies at neither edge.
  const auto bound_from = [&](auto from, auto to_end) {
    long long out = 0;
    for (; from != to_end && binds(*from); ++from) out = add_counts(out, from->count);
    return out;
  };
  const long long first_bound = bound_from(row.ops.begin(), row.ops.end());
  // A row that binds off all of its stitches does so from where it begins.
  const bool all_bound = std::all_of(row.ops.begin(), row.ops.end(), binds);
  const long long last_bound = all_bound ? 0 : bound_from(row.ops.rbegin(), row.ops.rend());
  const long long first = part(row.ops.begin(), fill == row.ops.end() ? half : fill);
  const long long last = part(fill == row.ops.end() ? half : fill + 1, row.ops.end());
  const bool wrong = row.side == Side::wrong;
  to.right = add_counts(to.right, wrong ? last : first);
  to.left = add_counts(to.left, wrong ? first : last);
  to.right_bound = add_counts(to.right_bound, wrong ? last_bound : first_bound);
  to.left_bound = add_counts(to.left_bound, wrong ? first_bound : last_bound);
}

/// Rows that begin or end at the edge: a short row that turns before it does not lengthen it.
long long rows_at(bool right, const std::vector<CheckedRow>& rows) {
  long long out = 0;
  for (const CheckedRow& row : rows) {
    if (row.row.slides) continue;
    const bool begins_here = (row.row.side == Side::right) == right;
    out += (begins_here ? row.waiting : row.unworked) == Linear(0);
  }
  return out;
}

Stretch rows_of_edge(long long rows, long long moved) {
  Stretch out;
  out.rows = rows;
  out.stitches = std::abs(moved);
  return out;
}
Stretch stitches_of_edge(Stretch::Of of, long long stitches) {
  Stretch out;
  out.of = of;
  out.stitches = stitches;
  return out;
}

}  // namespace

void PieceWorker::set_gauge(Stretch& stretch, const Step& made) const {
  const Gauge* gauge = shelf_.scope.gauge;
  const auto& parts = !made.parts.empty() || !standing_ ? made.parts : standing_->parts;
  if (!parts.empty()) {
    const auto widest =
        std::max_element(parts.begin(), parts.end(),
                         [](const Step::Part& a, const Step::Part& b) { return a.width < b.width; });
    gauge = shelf_.pattern.gauge_for(out_.fabrics[static_cast<std::size_t>(widest->fabric)].name);
  }
  if (!gauge) return;
  stretch.rows_per_cm = gauge->rows_per_cm;
  stretch.stitches_per_cm = gauge->stitches_per_cm;
}

/// A side of flat work grows. An inner edge without a name is nobody's.
void PieceWorker::record_side(bool right, Stretch stretch, const Step& made) {
  const EdgeNow& now = right ? edges_.right : edges_.left;
  if (!now.outer && now.name.empty()) return;
  stretch.where = right ? Stretch::Where::right : Stretch::Where::left;
  stretch.outer = now.outer;
  stretch.name = now.name;
  set_gauge(stretch, made);
  if (lengthen(out_.edges, own_edges_from_, std::move(stretch)))
    shelf_.effort.stitches += static_cast<long long>(out_.edges.size() / 64);
}

void PieceWorker::record_across(Stretch::Of of, Stretch::Where where, long long stitches,
                                const std::string& name, const Step& made) {
  Stretch stretch = stitches_of_edge(of, stitches);
  stretch.where = where;
  stretch.outer = true;
  stretch.name = name;
  set_gauge(stretch, made);
  lengthen(out_.edges, own_edges_from_, std::move(stretch));
}

void PieceWorker::record_edges(const tree::Step& source, const Step& made, std::optional<Columns> before) {
  if (made.kind == Step::Kind::repeat) return;  // its steps have done so
  if (made.kind == Step::Kind::cast_on)
    return record_across(Stretch::Of::cast_on, Stretch::Where::bottom, made.after, "", made);
  if (const auto* off = std::get_if<tree::BindOff>(&source.what)) {
    if (made.after == 0)
      return record_across(Stretch::Of::bound_off, Stretch::Where::top, made.before,
                           off->name ? off->name->text : "", made);
    if (off->name || form_ == Form::round)
      return record_across(Stretch::Of::bound_off, Stretch::Where::top, made.before - made.after,
                           off->name ? off->name->text : "", made);
    return record_side(side_ == Side::right,
                       stitches_of_edge(Stretch::Of::bound_off, made.before - made.after), made);
  }
  if (const auto* parts = std::get_if<Boxed<tree::Divide>>(&source.what); parts && made.bound_off > 0)
    record_across(Stretch::Of::bound_off, Stretch::Where::top, made.bound_off,
                  (*parts)->name ? (*parts)->name->text : "", made);
  if (made.form == Form::round || made.row_count == 0 || made.kind == Step::Kind::cord) return;
  if (made.shaping && before && standing_) return record_shape(made, *before);
  if (made.kind == Step::Kind::rows && !std::holds_alternative<tree::Spread>(source.what))
    return record_rows(made.rows, made);
  if (made.kind == Step::Kind::layout && made.before != made.after && !made.parts.empty())
    return record_rows(out_.fabrics[static_cast<std::size_t>(made.parts.front().fabric)].rows, made);
  for (const bool right : {true, false}) {
    long long rows = made.row_count;
    if (made.kind == Step::Kind::layout) {
      const Step::Part& part = right ? made.parts.front() : made.parts.back();
      const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
      const long long cycle = std::max(1LL, fabric.cycle_rows()), there = rows_at(right, fabric.rows);
      if (there < cycle) rows = multiply_counts(rows / cycle, there) + rows % cycle * there / cycle;
    }
    record_side(right, rows_of_edge(rows, 0), made);
  }
}

/// What the shaping did to either side is what became of its columns.
void PieceWorker::record_shape(const Step& made, const Columns& before) {
  const Shaping& plan = *made.shaping;
  long long shapings = 0;
  for (const Rate& rate : plan.rates) shapings = add_counts(shapings, rate.times);
  for (const bool right : {true, false}) {
    const long long lost = right ? standing_->low - before.low : before.high - standing_->high;
    if (plan.in_steps && shapings == 1 && lost != 0) {
      record_side(right,
                  stitches_of_edge(lost > 0 ? Stretch::Of::bound_off : Stretch::Of::cast_on, std::abs(lost)),
                  made);
      record_side(right, rows_of_edge(made.row_count, 0), made);
    } else {
      record_side(right, rows_of_edge(made.row_count, lost), made);
    }
  }
}

void PieceWorker::record_rows(const std::vector<CheckedRow>& rows, const Step& made) {
  Moves moves;
  for (const CheckedRow& row : rows)
    if (!(row.before == row.after)) add_moves(row.row, shelf_.stitches, moves);
  for (const bool right : {true, false}) {
    record_side(right, stitches_of_edge(Stretch::Of::bound_off, right ? moves.right_bound : moves.left_bound),
                made);
    record_side(right, rows_of_edge(rows_at(right, rows), right ? moves.right : moves.left), made);
  }
}

/// What one time through a repeat made stands for `times`; then it runs on from what was there before.
void PieceWorker::repeat_edges(std::size_t from, long long times) {
  if (from >= out_.edges.size()) return;
  std::vector<Stretch> made(out_.edges.begin() + static_cast<std::ptrdiff_t>(from), out_.edges.end());
  out_.edges.resize(from);
  for (Stretch& each : made) {
    each.rows = multiply_counts(each.rows, times);
    each.stitches = multiply_counts(each.stitches, times);
    lengthen(out_.edges, own_edges_from_, std::move(each));
  }
}

/// Stitches that are set aside keep the outer edge; a new inner one lies between them and the others.
void PieceWorker::part_edges(bool at_right, Held& held, bool all) {
  held.edges = edges_;
  if (all) return;
  (at_right ? held.edges.left : held.edges.right) = EdgeNow();
  (at_right ? edges_.right : edges_.left) = EdgeNow();
}

bool PieceWorker::do_call_edge(const tree::CallEdge& source, Step& out) {
  out.kind = Step::Kind::call_edge;
  if (form_ == Form::round) {
    diagnostics_.add(Kind::unknown_edge, source.name.span, "work in the round has no left and no right edge")
        .try_this("go on in rows first")
        .try_this("or name stitches that are bound off: bind off 10 st as neck");
    return false;
  }
  AtEdges at;
  at.words = {source.left ? "the left edge" : "the right edge", source.name.text};
  out.at_edges = std::move(at);
  (source.left ? edges_.left : edges_.right).name = source.name.text;
  return true;
}

}  // namespace wale
