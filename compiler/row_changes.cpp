#include "compiler/row_changes.hpp"

#include <algorithm>

namespace wale {

namespace {

constexpr long long edge_stitches = 8;
/// A group is looked at as a whole where it is worked more often than this, or where the row has been looked
/// at long enough.
constexpr long long most_one_by_one = 64, most_looks = 4096;
constexpr std::size_t most_gaps = 64;

class Walk {
 public:
  Walk(long long count, long long fills, const Stitches& stitches)
      : count_(count),
        fills_(fills),
        stitches_(stitches),
        bind_off_(stitches.find("bo")),
        cast_on_(stitches.find("co")) {}

  RowChanges walk(const std::vector<Op>& ops) {
    read(ops);
    // What was bound off or cast on last is at the edge.
    if (!out_.gaps.empty() && out_.gaps.back().from == given_) {
      out_.last -= out_.gaps.back().count;
      out_.gaps.pop_back();
    }
    if (cast_given_ > 0 && cast_given_ == given_) {
      out_.between -= cast_;
      out_.last += cast_;
    }
    return std::move(out_);
  }

 private:
  void read(const std::vector<Op>& ops) {
    for (const Op& op : ops) read(op);
  }

  void read(const Op& op) {
    switch (op.form) {
      case Op::Form::stitch:
        return stitch(op);
      case Op::Form::into:
        return change(op.count, balance(op.ops, stitches_).gives);
      case Op::Form::strand:
        return read(op.ops);
      case Op::Form::group: {
        if (op.count <= most_one_by_one && looks_ < most_looks && !even(op.ops)) {
          looks_ += op.count;
          for (long long i = 0; i < op.count; ++i) read(op.ops);
          return;
        }
        // A group of one may hold the fill.
        if (op.count == 1) return read(op.ops);
        const Balance once = balance(op.ops, stitches_);
        return change(multiply_counts(once.takes, op.count), multiply_counts(once.gives, op.count));
      }
      case Op::Form::fill: {
        const Balance once = balance(op.ops, stitches_);
        const long long takes = multiply_counts(once.takes, fills_),
                        gives = multiply_counts(once.gives, fills_);
        out_.between = add_counts(out_.between, gives - takes);
        return pass(takes, gives);
      }
      case Op::Form::as_seen:
        return pass(fills_, fills_);
      case Op::Form::marker:
      case Op::Form::turn:
        return;
    }
  }

  bool even(const std::vector<Op>& ops) const {
    return std::all_of(ops.begin(), ops.end(), [&](const Op& op) {
      if (op.form != Op::Form::stitch) return false;
      const Stitch& stitch = stitches_[op.stitch];
      return stitch.takes.size() == stitch.gives.size();
    });
  }

  void stitch(const Op& op) {
    const Stitch& stitch = stitches_[op.stitch];
    if (bind_off_ && op.stitch == *bind_off_) return bind_off(op.count);
    if (cast_on_ && op.stitch == *cast_on_) return cast_on(op.count);
    change(multiply_counts(static_cast<long long>(stitch.takes.size()), op.count),
           multiply_counts(static_cast<long long>(stitch.gives.size()), op.count));
  }

  void pass(long long takes, long long gives) {
    taken_ = add_counts(taken_, takes);
    given_ = add_counts(given_, gives);
  }

  void change(long long takes, long long gives) {
    const long long before = taken_, after = count_ - taken_ - takes, gain = gives - takes;
    if (before <= edge_stitches && before <= after)
      out_.first = add_counts(out_.first, gain);
    else if (after <= edge_stitches && after < before)
      out_.last = add_counts(out_.last, gain);
    else
      out_.between = add_counts(out_.between, gain);
    pass(takes, gives);
  }

  void bind_off(long long count) {
    if (given_ == 0) {
      out_.first = add_counts(out_.first, -count);
    } else if (!out_.gaps.empty() && out_.gaps.back().from == given_) {
      out_.gaps.back().count = add_counts(out_.gaps.back().count, count);
    } else if (out_.gaps.size() < most_gaps) {
      out_.gaps.push_back({given_, count});
    } else {
      out_.between = add_counts(out_.between, -count);
    }
    pass(count, 0);
  }

  void cast_on(long long count) {
    const bool goes_on = cast_given_ > 0 && cast_given_ == given_;
    if (given_ == 0) {
      out_.first = add_counts(out_.first, count);
    } else {
      out_.between = add_counts(out_.between, count);
      cast_ = goes_on ? add_counts(cast_, count) : count;
    }
    pass(0, count);
    if (given_ > count) cast_given_ = given_;
  }

  long long count_, fills_;
  const Stitches& stitches_;
  std::optional<StitchId> bind_off_, cast_on_;
  long long taken_ = 0, given_ = 0, looks_ = 0;
  long long cast_ = 0, cast_given_ = 0;  ///< cast on amid the row, and stitches given after it
  RowChanges out_;
};

}  // namespace

RowChanges changes_of(const Row& row, long long count, long long fills, const Stitches& stitches) {
  return Walk(count, fills, stitches).walk(row.ops);
}

}  // namespace wale
