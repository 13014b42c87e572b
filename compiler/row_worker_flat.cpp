// Stitches worked one by one, on loops that lie ready: one copy of a fill, or what is no repeat.

#include <fmt/format.h>

#include "compiler/row_worker.hpp"

namespace wale {

/// Whether the loop is what is wanted, which is then known of it.
bool RowWorker::meets(const Loop& loop, LoopType wanted) {
  if (!entry_.require(loop, wanted)) return false;
  if (wanted == LoopType::plain) {
    resolves_.wraps |= loop.type == LoopType::wrapped;
    resolves_.doubles |= loop.type == LoopType::doubled;
  }
  return true;
}

/// Works the ops once on loops that lie ready one by one. False when the budget is used up.
bool RowWorker::work_flat(std::span<const Op> ops, short strand, Hand& hand) {
  for (const Op& op : ops) {
    const short worked_in = op.form == Op::Form::strand ? op.strand : strand;
    for (long long i = 0; i < op.count; ++i) {
      if (--budget_ < 0 || hand.to.size() > longest_word) return false;
      switch (op.form) {
        case Op::Form::stitch:
        case Op::Form::as_seen:
        case Op::Form::into:
          if (!work_stitch(op, worked_in, hand)) return false;
          break;
        case Op::Form::group:
        case Op::Form::strand:
        case Op::Form::fill:
          if (!work_flat(op.ops, worked_in, hand)) return false;
          break;
        case Op::Form::marker:
        case Op::Form::turn:
          break;
      }
      if (op.form == Op::Form::into || op.form == Op::Form::as_seen) break;  // its count is not a repeat
    }
  }
  return true;
}

Loop RowWorker::made(StitchId stitch, LoopType type, short strand) const {
  return {type, face_made(stitches_, stitch, type, setting_->side),
          type == LoopType::back ? far_strand(strand) : strand, -1};
}

short RowWorker::far_strand(short near) const {
  if (setting_->back_strand < 0) return near;
  return near == setting_->back_strand ? setting_->strand : setting_->back_strand;
}

bool RowWorker::work_stitch(const Op& op, short strand, Hand& hand) {
  const auto next = [&](LoopType wanted) -> Loop {
    if (hand.at >= hand.from->size()) return {};
    const Loop loop = (*hand.from)[hand.at++];
    if (!meets(loop, wanted)) wrong_loop(op, wanted, entry_.type_of(loop));
    return loop;
  };
  if (op.form == Op::Form::as_seen) {
    const Loop loop = next(LoopType::plain);
    hand.to.push_back({LoopType::plain, loop.face, strand, -1});
    return true;
  }
  if (op.form == Op::Form::into) {
    if (op.count > longest_flat) return false;
    for (long long i = 0; i < op.count; ++i) next(LoopType::plain);
    // Each stitch inside is worked into the same loops, which are plain.
    for (const Op& inner : op.ops) {
      if (inner.form != Op::Form::stitch) continue;
      for (long long i = 0; i < inner.count; ++i) {
        if (--budget_ < 0) return false;
        const Stitch& stitch = stitches_[inner.stitch];
        for (const LoopType type : stitch.gives) hand.to.push_back(made(inner.stitch, type, strand));
      }
    }
    return true;
  }
  const Stitch& stitch = stitches_[op.stitch];
  if (stitch.passes_on) {
    for (const LoopType wanted : stitch.takes) hand.to.push_back(next(wanted));
    return true;
  }
  Loop first;
  for (std::size_t i = 0; i < stitch.takes.size(); ++i) {
    const Loop taken = next(stitch.takes[i]);
    if (i == 0) first = taken;
  }
  if (!stitch.crossing) {
    // A slipped stitch with its veil keeps its own loop, its face and its strand.
    const bool slipped = stitch.gives.size() == 1 && stitch.gives[0] == LoopType::veiled;
    for (const LoopType type : stitch.gives) {
      Loop loop = made(op.stitch, type, strand);
      if (slipped) loop.face = first.face;
      hand.to.push_back(loop);
    }
    return true;
  }
  // A crossing is named by the right side: from there, right to left, a right one shows its front strip
  // first.
  const Stitch::Crossing& c = *stitch.crossing;
  std::vector<Loop> given;
  const auto strip = [&](int count, bool purl) {
    for (int i = 0; i < count; ++i)
      given.push_back({LoopType::plain, purl ? Face::purl : Face::knit, strand, -1});
  };
  strip(c.right ? c.over : c.under, c.right ? false : c.under_purl);
  strip(c.between, c.between_purl);
  strip(c.right ? c.under : c.over, c.right ? c.under_purl : false);
  if (setting_->side == Side::wrong)
    hand.to.insert(hand.to.end(), given.rbegin(), given.rend());
  else
    hand.to.insert(hand.to.end(), given.begin(), given.end());
  return true;
}

void RowWorker::wrong_loop(const Op& op, LoopType wanted, LoopType met) {
  good_ = false;
  if (!complained_.insert(op.span.begin).second) return;
  const std::string name = op.form == Op::Form::stitch ? stitches_[op.stitch].name : "this";
  Diagnostic& added =
      diagnostics_.add(Kind::wrong_loop, op.span,
                       fmt::format("`{}` works {}, but meets {}", name,
                                   wanted == LoopType::any ? "a stitch" : name_of(wanted), name_of(met)));
  added.under(fmt::format("in {}", setting_->name()));
  if (met == LoopType::veiled)
    added.try_this("brk or brp works the stitch together with its yarn over; sl passes it on");
  else if (wanted == LoopType::veiled)
    added.try_this(
        "k or p works a plain stitch; sl1yo in the row before makes one that carries its yarn over");
}

}  // namespace wale
