// Rows of a shaping that are counted and not worked.
//
// A sleeve in stockinette is widened over a hundred rows, and they differ in one number. Where each row of
// the fabric is one stitch all along, what a row counts is known from its width, and what the needle holds
// after it from that row alone. So only those rows are worked that somebody will look at: the last of the
// shaping, those in which stitches run short and, where charts are drawn, the first one, the first shaping
// row of each side and those that are kept. Rows worked even after such a shaping are counted as well where
// no charts are drawn.
//
//     widen 1 each side every 6 rows, on 60 st     row 7: 2 k, 1 m1l, 58 k, 1 m1r     62 st, unseen
//     work even ...                                worked on 62 plain stitches

#include <algorithm>

#include "compiler/piece_worker.hpp"

namespace wale {

namespace {

/// Rows from one shaping row to the next that are looked at one by one.
constexpr long long most_rows_counted = 10'000;

}  // namespace

/// What a shaping does to the stitches beside it, in the row of the side that faces.
struct PieceWorker::Beside {
  long long each_uses = 0;  ///< stitches taken from the fabric at each place
  long long least = 0;      ///< as many must be there for each place, with room to spare
};

/// As `shape_stretch` works them.
PieceWorker::Beside PieceWorker::beside(const Shaping& plan) {
  const long long uses = plan.in_steps ? (plan.widen ? 0 : plan.amount) : plan.widen ? 1 : 3;
  return {uses, std::max(uses, plan.widen ? 0 : plan.amount + 1)};
}

/// Counts a row, so many times, over so many stitches in all: `width` before it, shaped at so many places.
void PieceWorker::count_unseen(const Shaping& plan, StitchId stitch, short strand, long long at_right,
                               long long at_left, long long times, long long width_of_all, Step& out) {
  const bool wrong = form_ == Form::flat && side_ == Side::wrong;
  const auto count = [&](StitchId id, long long each) {
    if (each == 0) return;
    Linear& sum = out.tally[{id, strand}];
    sum = sum + Linear(each);
  };
  const auto named = [&](std::string_view on_right, std::string_view on_wrong, long long each) {
    if (each > 0)
      count(shelf_.stitches.find(wrong ? on_wrong : on_right).value_or(-1), multiply_counts(each, times));
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
  count(stitch, add_counts(width_of_all, -multiply_counts(times, beside(plan).each_uses * places)));
  shelf_.effort.stitches += 4 * times;
}

/// The strand of rows that may be left unseen; nothing where rows have to be worked.
std::optional<short> PieceWorker::strand_unseen(const Step& out) {
  if (shelf_.effort.for_charts && out.worked.size() < most_rows_kept) return {};
  if (standing_->parts.size() != 1 || standing_->width() > largest_work / 2) return {};
  const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(standing_->parts.front().fabric)];
  if (!fabric.anew || !fabric.anew->strand) return {};
  const short strand = or_in_hand(*fabric.anew->strand);
  const bool goes_on = unseen_ > 0 || (all_plain_here(standing_->width()) &&
                                       ends_.reaches(strand, edge_where_begins(side_, form_ == Form::round)));
  if (!goes_on) return {};
  return strand;
}

/// Counts the row between these bounds, if it can be left unseen. Says nothing and does nothing else.
bool PieceWorker::shape_row_unseen(const Shaping& plan, std::span<const Point> bounds, Step& out) {
  const auto strand = strand_unseen(out);
  if (!strand) return false;
  const auto stitch = apart_.one_stitch(standing_->parts.front(), standing_->row);
  if (!stitch) return false;
  const long long least = beside(plan).least;
  long long at_right = 0, at_left = 0, width = 0;
  for (std::size_t i = 1; i < bounds.size(); ++i) {
    const bool right = bounds[i - 1].after, left = bounds[i].before;
    width += bounds[i].at - bounds[i - 1].at;
    if ((right || left) && bounds[i].at - bounds[i - 1].at < 2 * least) return false;
    at_right += right;
    at_left += left;
  }
  count_unseen(plan, *stitch, *strand, at_right, at_left, 1, width, out);
  const long long after = width + (plan.widen ? 1 : -1) * plan.amount * (at_right + at_left);
  out_.widest = std::max(out_.widest, after);
  if (unseen_++ == 0)
    follow_strand(*strand, 1, "the shaping row", out.span);
  else
    ++row_;
  if (form_ == Form::flat) side_ = other(side_);
  return true;
}

/// A rate at the edges, all of its rows at once: each row of it is worked over stitches that become more or
/// fewer by as many every time. Returns how many times were counted, from the next row on; the others have to
/// be looked at.
long long PieceWorker::shape_times_unseen(const Shaping& plan, const Rate& rate, long long times, Step& out) {
  using Where = Shaping::Where;
  const bool sides = plan.where == Where::each_side, flat = form_ == Form::flat;
  const bool at_edges = sides || plan.where == Where::start || plan.where == Where::end;
  if (shelf_.effort.for_charts || !at_edges || plan.in_steps || !markers_.empty() ||
      !standing_->seams.empty() || rate.every > most_rows_counted || (flat && rate.every % 2 == 1))
    return 0;
  const auto strand = strand_unseen(out);
  if (!strand) return 0;
  const Step::Part& part = standing_->parts.front();
  const long long cycle = out_.fabrics[static_cast<std::size_t>(part.fabric)].cycle_rows();
  if (rate.every % cycle != 0) return 0;
  const long long right = sides || plan.where == Where::start, left = sides || plan.where == Where::end;
  const long long change = (plan.widen ? 1 : -1) * plan.amount * (right + left), width = standing_->width();
  // The stitches before each time, which must leave room for the next one as well.
  const long long least = 2 * beside(plan).least;
  if (change < 0) times = std::min(times, floor_divide(width - least, -change) + 1);
  if (times <= 0 || width < least || multiply_counts(times, std::abs(change)) > largest_work / 4) return 0;
  for (long long i = 0; i < rate.every; ++i)
    if (!apart_.one_stitch(part, standing_->row + i)) return 0;
  const long long rows = rate.every * times, first = unseen_ == 0 ? 1 : 0;
  if (first > 0) follow_strand(*strand, 1, "the shaping row", out.span);
  for (long long i = 0; i < rate.every; ++i) {
    const bool shaped = i == plan.lead, behind = i > plan.lead;
    // w, w + c, w + 2c ... before each time; rows behind the shaping one have its change as well.
    const long long stitches = add_counts(multiply_counts(times, width + (behind ? change : 0)),
                                          multiply_counts(change, multiply_counts(times, times - 1) / 2));
    count_unseen(plan, *apart_.one_stitch(part, standing_->row + i), *strand, shaped ? right : 0,
                 shaped ? left : 0, times, stitches, out);
    if (flat) side_ = other(side_);
  }
  standing_->low += (plan.widen ? -1 : 1) * right * plan.amount * times;
  standing_->high += (plan.widen ? 1 : -1) * left * plan.amount * times;
  standing_->row += rows;
  out_.widest = std::max({out_.widest, width, width + change * times});
  row_ = add_counts(row_, rows - first);
  unseen_ += rows;
  return times;
}

/// Plain stitches are all that is on the needle, so many.
bool PieceWorker::all_plain_here(long long count) const {
  if (needles_.mid_row()) return false;
  Linear there = 0;
  bool plain = true;
  needles_.left.each_run([&](std::span<const Loop> word, Linear times) {
    there = there + times * static_cast<long long>(word.size());
    for (const Loop& loop : word) plain &= loop.type == LoopType::plain;
  });
  return plain && there == Linear(count);
}

/// Rows in which nothing is lost or gained, of one fabric whose rows are each one stitch all along: false
/// where they have to be worked, and nothing is done.
bool PieceWorker::even_unseen(long long rows, Span span, Step& out) {
  if (shelf_.effort.for_charts || standing_->parts.size() != 1) return false;
  const Step::Part& part = standing_->parts.front();
  const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
  const long long width = standing_->width(), cycle = fabric.cycle_rows(), first = standing_->row;
  const bool flat = form_ == Form::flat;
  if (!fabric.anew || !fabric.anew->strand || width <= 0 || width > largest_work / 2 ||
      !all_plain_here(width) || (flat && cycle % 2 == 1))
    return false;
  const auto row_at = [&](long long row) { return static_cast<std::size_t>((first + row) % cycle); };
  if (fabric.rows[row_at(0)].row.side != (flat ? side_ : Side::right)) return false;
  for (long long i = 0; i < std::min(rows, cycle); ++i)
    if (!apart_.one_stitch(part, first + i)) return false;
  const short strand = or_in_hand(*fabric.anew->strand);
  if (!ends_.reaches(strand, edge_where_begins(side_, !flat))) return false;
  follow_strand(strand, rows, "the next row", span);
  for (long long i = 0; i < std::min(rows, cycle); ++i) {
    Linear& sum = out.tally[{*apart_.one_stitch(part, first + i), strand}];
    sum = sum + Linear(width) * ((rows - i + cycle - 1) / cycle);
    shelf_.effort.stitches += 4;
  }
  fabric.anew->after[row_at(rows - 1)].each_run(
      [&](std::span<const Loop> word, Linear) { needles_.left = Needle::of(word.front(), width); });
  if (flat && rows % 2 == 1) side_ = other(side_);
  standing_->row = (first + rows) % cycle;
  return true;
}

/// Stitches that a row is to be worked on: plain ones, as many as were counted.
void PieceWorker::see_needle() {
  if (unseen_ == 0) return;
  const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(standing_->parts.front().fabric)];
  const short strand = or_in_hand(*fabric.anew->strand);
  needles_.left = Needle::of({LoopType::plain, Face::knit, strand, -1}, standing_->width());
  ends_.worked_to(strand, edge_where_begins(side_, form_ == Form::round), row_);
  unseen_ = 0;
}

}  // namespace wale
