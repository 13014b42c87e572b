#include "compiler/row_worker.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace wale {

namespace {

/// Stitches worked one by one in one row before the row counts as beyond reason.
constexpr long long work_budget = 1'000'000;

}  // namespace

Face face_made(const Stitches& stitches, StitchId id, LoopType type, Side side) {
  const Stitch& stitch = stitches[id];
  const bool far = type == LoopType::back, layer = far || type == LoopType::front;
  const bool purl = far || stitch.shows_purl;  // the far layer is knitted from the far side
  const bool as_on_right = side == Side::right || (stitch.twin == id && !layer);
  return purl == as_on_right ? Face::purl : Face::knit;
}

RowOutcome RowWorker::work(Needle left, std::span<const RowPart> parts, const RowSetting& setting) {
  left_ = std::move(left);
  right_ = Needle();
  setting_ = &setting;
  tally_.clear();
  strands_.clear();
  budget_ = work_budget;
  complained_.clear();
  must_not_be_negative.clear();
  resolves_ = {};
  good_ = true;
  RowOutcome out;
  bool worked = true;
  for (const RowPart& part : parts) {
    const Linear before = right_.width();
    std::optional<bool> done;
    if (parts.size() == 1) done = run_alike(*part.ops, setting.strand, part.fills);
    out.alike = done.has_value();
    worked = done ? *done : run(*part.ops, setting.strand, part.fills);
    if (!worked) break;
    if (parts.size() > 1) out.widths.push_back(right_.width() - before);
  }
  out.good = worked && good_;
  out.resolves = resolves_;
  out.needle = std::move(right_);
  out.unworked = std::move(left_);
  out.unworked.normalise();
  out.tally = std::move(tally_);
  out.strands = std::move(strands_);
  return out;
}

/// Makes a wrap or a double stitch of the needle's first loop, if that is plain.
void RowWorker::mark_first(Needle& needle, LoopType type) {
  std::vector<Loop> first = needle.take(1, must_not_be_negative);
  // What an earlier turn wrapped or pulled up stays so.
  const LoopType there = entry_.type_of(first[0]);
  const bool turned_at = there == LoopType::wrapped || there == LoopType::doubled;
  if (!turned_at && entry_.require(first[0], LoopType::plain))
    first[0] = {type, first[0].face, first[0].strand, -1};
  Needle marked;
  marked.push(first, 1);
  marked.append(std::move(needle));
  needle = std::move(marked);
}

YarnPlace RowWorker::end_row(Needles& needles, RowOutcome& outcome, const Row& row, bool round, Side& side) {
  const Op* turn = find_turn(row.ops);
  Needle worked = std::move(outcome.needle), rest = std::move(outcome.unworked);
  if (!turn && row.slides) {
    needles.left = std::move(worked);
    return edge_where_begins(other(side), round);
  }
  if (!turn && round && side == Side::right) {
    // On to the next round, which begins with what earlier turns left behind.
    needles.behind.reverse();
    needles.behind.append(std::move(worked));
    needles.left = std::move(needles.behind);
    needles.behind = Needle();
    return edge_where_begins(side, round);
  }
  worked.reverse();
  if (turn && turn->turn == Turn::wrap && rest.width() != Linear(0)) mark_first(rest, LoopType::wrapped);
  if (turn && turn->turn == Turn::doubled && worked.width() != Linear(0)) {
    mark_first(worked, LoopType::doubled);
    Needle lifted;
    lifted.push(worked.take(1, must_not_be_negative), 1);
    lifted.append(std::move(rest));
    rest = std::move(lifted);
  }
  worked.append(std::move(needles.behind));
  worked.swap_layers();
  rest.swap_layers();
  needles.left = std::move(worked);
  needles.behind = std::move(rest);
  side = other(side);
  return begins_at(needles, side, round);
}

long long RowWorker::worked() const {
  return work_budget - budget_;
}

bool RowWorker::give_up(Span span) {
  diagnostics_
      .add(Kind::too_much_work, span,
           fmt::format("{} holds more different stitches than can be worked out", setting_->name()))
      .try_this("write the repeat as a fill: <k2 p2>");
  good_ = false;
  return false;
}

bool RowWorker::run(std::span<const Op> ops, short strand, Linear fills) {
  for (const Op& op : ops) {
    bool going = true;
    switch (op.form) {
      case Op::Form::stitch:
        going = run_stitch(op, strand);
        break;
      case Op::Form::group:
        going = find_fill(op.ops) ? run(op.ops, strand, fills)
                                  : repeat(op.ops, strand, balance(op.ops, stitches_).takes, op.count);
        break;
      case Op::Form::strand:
        going = run(op.ops, op.strand, fills);
        break;
      case Op::Form::fill:
        going = repeat(op.ops, strand, balance(op.ops, stitches_).takes, fills);
        break;
      case Op::Form::as_seen:
        going = repeat({&op, 1}, strand, 1, fills);
        break;
      case Op::Form::into:
        going = repeat({&op, 1}, strand, op.count, 1);
        break;
      case Op::Form::marker:
      case Op::Form::turn:
        break;
    }
    if (!going) return false;
  }
  return true;
}

/// A stitch, so often. Where it is plain and meets plain loops, they need not be looked at one by one.
bool RowWorker::run_stitch(const Op& op, short strand) {
  const Stitch& stitch = stitches_[op.stitch];
  const auto takes = static_cast<long long>(stitch.takes.size());
  if (op.count == 0) return true;
  count({&op, 1}, strand, 1);
  long long left = op.count;
  if (stitch.plain) {
    const long long whole =
        takes == 0 ? left : left_.ahead_of(LoopType::plain, multiply_counts(takes, left)) / takes;
    if (whole > 0) {
      --budget_;
      const auto gives = static_cast<long long>(stitch.gives.size());
      if (gives > 0) right_.push(made(op.stitch, LoopType::plain, strand), multiply_counts(whole, gives));
      left_.drop(whole * takes);
      left -= whole;
    }
  }
  if (left == 0) return true;
  Op one = op;
  one.count = 1;
  return repeat_counted({&one, 1}, strand, takes, left);
}

/// How many batches of whole copies lie ahead: for all n, at most what the segment holds and what is to be
/// done.
Linear RowWorker::batches(Linear copies, long long per_batch, Linear times, long long times_per_batch,
                          bool& provable) {
  provable = true;
  // Where only one of the two grows with n, the other one ends first.
  if (copies.constant() && !times.constant()) return floor_divide(copies.base, per_batch);
  if (times.constant() && !copies.constant()) return floor_divide(times.base, times_per_batch);
  provable = copies.per_n % per_batch == 0 && times.per_n % times_per_batch == 0;
  const long long held = copies.per_n / per_batch, wanted = times.per_n / times_per_batch;
  const long long held_base = floor_divide(copies.base, per_batch),
                  wanted_base = floor_divide(times.base, times_per_batch);
  if (held == wanted) return {held, std::min(held_base, wanted_base)};
  return held < wanted ? Linear(held, held_base) : Linear(wanted, wanted_base);
}

bool RowWorker::repeat(std::span<const Op> ops, short strand, long long takes, Linear times) {
  if (times == Linear(0)) return true;
  count(ops, strand, times);
  return repeat_counted(ops, strand, takes, times);
}

/// Works what is counted already.
bool RowWorker::repeat_counted(std::span<const Op> ops, short strand, long long takes, Linear times) {
  const Span where = ops.empty() ? Span{} : ops.front().span;
  if (takes == 0) {
    Hand hand;
    static const std::vector<Loop> nothing;
    hand.from = &nothing;
    if (!work_flat(ops, strand, hand)) return give_up(where);
    right_.push(hand.to, times);
    return true;
  }
  if (takes > longest_flat) {
    if (!times.constant() || times.base > work_budget) return give_up(where);
    const Tally before = tally_;  // counted above already
    for (long long i = 0; i < times.base; ++i)
      if (--budget_ < 0 || !run(ops, strand, 0)) return budget_ < 0 ? give_up(where) : false;
    tally_ = before;
    return true;
  }
  while (!(times == Linear(0))) {
    if (left_.spent() || (times.constant() && times.base < 0)) return give_up(where);
    const auto length = static_cast<long long>(left_.period());
    const long long common = std::gcd(takes, length);
    const long long per_batch = takes / common, times_per_batch = length / common;
    bool provable = true;
    const Linear copies = left_.whole_copies();
    const Linear found = batches(copies, per_batch, times, times_per_batch, provable);
    const bool growing = !found.constant();
    const bool short_enough = takes * times_per_batch <= static_cast<long long>(longest_word);
    if ((growing || !times.constant()) && !provable) return give_up(where);
    Hand hand;
    std::vector<Loop> from;
    if (short_enough && (growing || found.base >= 2)) {
      from = left_.take_copies(found * per_batch);
      const std::size_t length_of_one = from.size();
      from.resize(length_of_one * static_cast<std::size_t>(per_batch));
      for (auto to = from.begin() + static_cast<std::ptrdiff_t>(length_of_one); to != from.end();)
        to = std::copy_n(from.begin(), length_of_one, to);
      hand.from = &from;
      hand.to.reserve(from.size());
      for (long long i = 0; i < times_per_batch; ++i)
        if (!work_flat(ops, strand, hand)) return give_up(where);
      times = times - found * times_per_batch;
      must_not_be_negative.push_back(found);
      must_not_be_negative.push_back(copies - found * per_batch);
      must_not_be_negative.push_back(times);
      right_.push({std::move(hand.to), found});
      continue;
    }
    if (growing) return give_up(where);
    // As many as the segment is sure to hold are taken at once.
    long long ready = 1;
    if (const Linear ahead = left_.loops_ahead(); ahead.constant() && times.constant())
      ready = std::clamp(std::min(ahead.base, longest_flat) / takes, 1LL, times.base);
    from = left_.take(static_cast<std::size_t>(takes * ready), must_not_be_negative);
    if (from.size() < static_cast<std::size_t>(takes * ready) || budget_ < 0) return give_up(where);
    hand.from = &from;
    for (long long i = 0; i < ready; ++i) {
      if (!work_flat(ops, strand, hand)) return give_up(where);
      right_.push(hand.to, 1);
      hand.to.clear();
    }
    times = times - Linear(ready);
    if (!times.constant()) must_not_be_negative.push_back(times);
  }
  return true;
}

}  // namespace wale
