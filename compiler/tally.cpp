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

namespace {

/// What each strand passes so many times, of a row whose stitches are `count` for each entry of the tally.
template <typename Count>
void carry_behind(const Tally& row, const Stitches& stitches, const Count& count, short in_hand,
                  long long times, FlatMap<short, Linear>& behind) {
  const auto each = [&](const auto& use) {
    for (const auto& [key, worked] : row) {
      const Linear there = count(worked);
      if (there == Linear(0)) continue;
      const Stitch& stitch = stitches[key.first];
      const bool beside = !stitch.passes_on && !stitch.layered();
      use(key.second < 0 ? in_hand : key.second,
          beside ? there * static_cast<long long>(stitch.gives.size()) : Linear(0));
    }
  };
  StrandSet strands;
  Linear all = 0;
  each([&](short strand, Linear loops) {
    strands.insert(strand);
    all = all + loops;
  });
  for (const short strand : strands) {
    Linear passed = all;
    each([&](short of, Linear loops) {
      if (of == strand) passed = passed - loops;
    });
    if (passed == Linear(0)) continue;
    Linear& sum = behind[strand];
    sum = sum + passed * times;
  }
}

}  // namespace

void carry(Tally& row, const Stitches& stitches) {
  row.behind.clear();
  carry_behind(
      row, stitches, [](Linear worked) { return worked; }, -1, 1, row.behind);
}

void add_at(Tally& to, const Tally& rows, long long n, short in_hand, long long times) {
  for (const auto& [key, count] : rows)
    if (const long long worked = count.at(n); worked != 0) {
      Linear& sum = to[{key.first, key.second < 0 ? in_hand : key.second}];
      sum = sum + Linear(worked) * times;
    }
}

void carry_at(Tally& to, const Tally& row, long long n, short in_hand, long long times,
              const Stitches& stitches) {
  carry_behind(
      row, stitches, [&](Linear worked) { return Linear(worked.at(n)); }, in_hand, times, to.behind);
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
