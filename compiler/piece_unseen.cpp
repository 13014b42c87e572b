// Rows of a shaping that are counted and not worked.
//
// A sleeve in stockinette is widened over a hundred rows, and they differ in one number. Where each row of
// the fabric is one stitch all along, what a row counts is known from its width, and what the needle holds
// after it from that row alone. So only those rows are worked that somebody will look at: the last of the
// shaping, those in which stitches run short and, where charts are drawn, the first one, the first shaping row
// of each side and those that are kept. Rows worked even after such a shaping are counted as well where no
// charts are drawn.
//
//     widen 1 each side every 6 rows, on 60 st     row 7: 2 k, 1 m1l, 58 k, 1 m1r     62 st, unseen
//     work even ...                                worked on 62 plain stitches

#include <algorithm>

#include "compiler/piece_worker.hpp"

namespace wale {

/// Counts the row between these bounds, if it can be left unseen. Says nothing and does nothing else.
bool PieceWorker::shape_row_unseen(const Shaping& plan, std::span<const Point> bounds, Step& out) {
  if (shelf_.effort.for_charts && out.worked.size() < most_rows_kept) return false;
  const bool flat = form_ == Form::flat, wrong = flat && side_ == Side::wrong;
  if (standing_->parts.size() != 1 || standing_->width() > largest_work / 2) return false;
  const Step::Part& part = standing_->parts.front();
  const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
  if (!fabric.anew) return false;
  const auto stitch = apart_.one_stitch(part, standing_->row);
  if (!stitch) return false;
  // As `shape_stretch` works them, with room to spare.
  const long long each_uses = plan.in_steps ? (plan.widen ? 0 : plan.amount) : plan.widen ? 1 : 3;
  const long long least = std::max(each_uses, plan.widen ? 0 : plan.amount + 1);
  long long at_right = 0, at_left = 0, width = 0;
  for (std::size_t i = 1; i < bounds.size(); ++i) {
    const bool right = bounds[i - 1].after, left = bounds[i].before;
    width += bounds[i].at - bounds[i - 1].at;
    if ((right || left) && bounds[i].at - bounds[i - 1].at < 2 * least) return false;
    at_right += right;
    at_left += left;
  }
  const short strand = fabric.rows.front().row.strand < 0 ? in_hand_ : fabric.rows.front().row.strand;
  if (unseen_ == 0 && !all_plain_here(standing_->width())) return false;
  const auto count = [&](StitchId id, long long times) {
    if (times == 0) return;
    Linear& sum = out.tally[{id, strand}];
    sum = sum + Linear(times);
  };
  const auto named = [&](std::string_view on_right, std::string_view on_wrong, long long times) {
    if (times > 0) count(made(wrong ? on_wrong : on_right, 1, out.span).stitch, times);
  };
  const long long places = at_right + at_left;
  if (plan.in_steps) {
    named(plan.widen ? "co" : "bo", plan.widen ? "co" : "bo", places * plan.amount);
  } else {
    named("k", "p", places);
    plan.widen ? named("m1l", "m1rp", wrong ? at_left : at_right)
               : named("ssk", "p2tog", wrong ? at_left : at_right);
    plan.widen ? named("m1r", "m1lp", wrong ? at_right : at_left)
               : named("k2tog", "ssp", wrong ? at_right : at_left);
  }
  count(*stitch, width - each_uses * places);
  const long long after = width + (plan.widen ? 1 : -1) * plan.amount * places;
  out_.widest = std::max(out_.widest, after);
  shelf_.effort.stitches += 4;
  if (unseen_++ == 0) {
    if (!follow_strand(strand, 1, "the shaping row", out.span)) return false;
  } else {
    ++row_;
  }
  if (flat) side_ = other(side_);
  return true;
}

/// Plain stitches are all that is on the needle, so many.
bool PieceWorker::all_plain_here(long long count) const {
  return !needles_.mid_row() && needles_.left.width() == Linear(count) &&
         needles_.left.ahead_of(LoopType::plain, count) == count;
}

/// Rows in which nothing is lost or gained, of one fabric whose rows are each one stitch all along: false
/// where they have to be worked, and nothing is done.
bool PieceWorker::even_unseen(long long rows, Span span, Step& out) {
  if (shelf_.effort.for_charts || standing_->parts.size() != 1) return false;
  const Step::Part& part = standing_->parts.front();
  const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
  const long long width = standing_->width(), cycle = fabric.cycle_rows(), first = standing_->row;
  const bool flat = form_ == Form::flat;
  if (!fabric.anew || !fabric.anew->strand || width <= 0 || width > largest_work / 2 || !all_plain_here(width) ||
      (flat && cycle % 2 == 1))
    return false;
  const auto row_at = [&](long long row) { return static_cast<std::size_t>((first + row) % cycle); };
  if (fabric.rows[row_at(0)].row.side != (flat ? side_ : Side::right)) return false;
  for (long long i = 0; i < std::min(rows, cycle); ++i)
    if (!apart_.one_stitch(part, first + i)) return false;
  const short strand = *fabric.anew->strand < 0 ? in_hand_ : *fabric.anew->strand;
  if (!follow_strand(strand, rows, "the next row", span)) return true;
  for (long long i = 0; i < std::min(rows, cycle); ++i) {
    Linear& sum = out.tally[{*apart_.one_stitch(part, first + i), strand}];
    sum = sum + Linear(width) * ((rows - i + cycle - 1) / cycle);
    shelf_.effort.stitches += 4;
  }
  const Needle& after = fabric.anew->after[row_at(rows - 1)];
  needles_.left = Needle::of(after.ready().empty() ? after.segments().front().word.front() : after.ready().front(), width);
  if (flat && rows % 2 == 1) side_ = other(side_);
  standing_->row = (first + rows) % cycle;
  return true;
}

/// Stitches that a row is to be worked on: plain ones, as many as were counted.
void PieceWorker::see_needle() {
  if (unseen_ == 0) return;
  const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(standing_->parts.front().fabric)];
  const short strand = fabric.rows.front().row.strand < 0 ? in_hand_ : fabric.rows.front().row.strand;
  needles_.left = Needle::of({LoopType::plain, Face::knit, strand, -1}, standing_->width());
  ends_.draw_to(strand, edge_where_begins(side_, form_ == Form::round));
  ends_.skip(row_ - unseen_ - 1, unseen_);
  unseen_ = 0;
}

}  // namespace wale
