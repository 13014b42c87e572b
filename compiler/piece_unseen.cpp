// Rows of a shaping that are counted and not worked.
//
// A sleeve in stockinette is widened over a hundred rows, and they differ in one number. Where each row of
// the fabric is one stitch all along, what a row counts is known from its width, and what the needle holds
// after it from that row alone. So only those rows are worked that somebody will look at: the first and the
// last of the shaping, the first shaping row of each side, those that are kept for charts, and those in which
// stitches run short.
//
//     widen 1 each side every 6 rows, on 60 st     row 7: 2 k, 1 m1l, 58 k, 1 m1r     62 st, unseen
//     work even ...                                worked on 62 plain stitches

#include <algorithm>

#include "compiler/piece_worker.hpp"

namespace wale {

/// Counts the row between these bounds, if it can be left unseen. Says nothing and does nothing else.
bool PieceWorker::shape_row_unseen(const Shaping& plan, const std::vector<Point>& bounds, Step& out) {
  if (shelf_.effort.for_charts && out.worked.size() < most_rows_kept) return false;
  const bool flat = form_ == Form::flat, wrong = flat && side_ == Side::wrong;
  if (standing_->parts.size() != 1 || standing_->width() > largest_work / 2) return false;
  const Step::Part& part = standing_->parts.front();
  const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
  if (!fabric.after) return false;
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
  if (flat) side_ = other(side_);
  ++row_;
  ++unseen_;
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
