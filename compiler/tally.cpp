// Counting stitches: rows added up, the strand in hand named, and what each strand is carried behind.

#include "compiler/row_worker.hpp"

namespace wale {

void add(Tally& tally, const Tally& more, Linear times) {
  // One of the two is always a plain number.
  const auto multiplied = [&](Linear count) {
    return count.constant() ? times * count.base : count * times.base;
  };
  for (const auto& [key, count] : more) {
    Linear& sum = tally[key];
    sum = sum + multiplied(count);
  }
  for (const auto& [strand, count] : more.behind) {
    Linear& sum = tally.behind[strand];
    sum = sum + multiplied(count);
  }
}

void carry(Tally& row, const Stitches& stitches) {
  FlatMap<short, Linear> made;
  Linear all = 0;
  for (const auto& [key, count] : row) {
    const Stitch& stitch = stitches[key.first];
    Linear& own = made[key.second];
    if (stitch.passes_on || stitch.layered()) continue;
    const Linear loops = count * static_cast<long long>(stitch.gives.size());
    own = own + loops;
    all = all + loops;
  }
  for (const auto& [strand, own] : made)
    if (const Linear passed = all - own; !(passed == Linear(0))) row.behind[strand] = passed;
}

void resolve(Tally& tally, short in_hand) {
  if (in_hand < 0) return;
  for (std::size_t place = 0; place < tally.size();) {
    const auto [key, count] = tally.entry(place);
    if (key.second >= 0) {
      ++place;
      continue;
    }
    tally.erase(place);
    Linear& sum = tally[{key.first, in_hand}];
    sum = sum + count;
  }
}

void RowWorker::count(StitchId stitch, short strand, Linear times) {
  Linear& sum = tally_[{stitch, strand}];
  sum = sum + times;
  strands_.insert(strand);
}

void RowWorker::count(std::span<const Op> ops, short strand, Linear times) {
  for (const Op& op : ops) switch (op.form) {
      case Op::Form::stitch:
        count(op.stitch, strand, times * op.count);
        if (stitches_[op.stitch].layered()) count(op.stitch, far_strand(strand), times * op.count);
        break;
      case Op::Form::as_seen:
        if (const auto knit = stitches_.find("k")) count(*knit, strand, times);
        strands_.insert(strand);
        break;
      case Op::Form::group:
      case Op::Form::fill:
        count(op.ops, strand, times * op.count);
        break;
      case Op::Form::strand:
        count(op.ops, op.strand, times);
        break;
      case Op::Form::into:
        count(op.ops, strand, times);
        break;
      case Op::Form::marker:
      case Op::Form::turn:
        break;
    }
}

}  // namespace wale
