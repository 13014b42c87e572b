#include "compiler/floats.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "compiler/flat_map.hpp"

namespace wale {

namespace {

/// Ops looked at in one row; nested groups could otherwise take three times as long for each level.
constexpr long long most_ops = 20'000;

class Walk {
 public:
  Walk(const Stitches& stitches, const CheckedRow& row, long long n)
      : stitches_(stitches), row_(row.row), fills_(row.fills.at(n)) {
    ops(row_.ops, row_.strand);
  }

  struct Seen {
    long long first = 0, last = 0;
  };

  long long width = 0;
  FlatMap<short, Seen> seen;  ///< by strand: the first and the last stitch worked in it
  FlatMap<short, long long> longest;

 private:
  void work(short strand, long long from, long long to) {
    const std::size_t before = seen.size();
    Seen& places = seen[strand];
    if (seen.size() > before) {
      places = {from, to};
      return;
    }
    long long& most = longest[strand];
    most = std::max(most, from - places.last - 1);
    places.last = to;
  }

  void stitch(const Op& op, short strand) {
    const Stitch& facts = stitches_[op.stitch];
    const auto each =
        static_cast<long long>(std::max<std::size_t>(facts.gives.size(), facts.passes_on ? 1 : 0));
    const long long all = multiply_counts(each, op.count);
    if (!facts.passes_on && all > 0) {
      work(strand, width, width + all - 1);
      // The far layer's strand passes between the layers and floats nowhere.
      if (facts.layered())
        work(strand == row_.strand ? row_.back_strand : row_.strand, width, width + all - 1);
    }
    width = add_counts(width, all);
  }

  void repeated(const std::vector<Op>& list, short strand, long long times) {
    for (long long i = 0; i < std::min(times, 2LL); ++i) ops(list, strand);
    if (times < 3) return;
    const long long before = width;
    ops(list, strand);
    const long long skipped = multiply_counts(width - before, times - 3);
    // The last copy stands for itself and for those not walked: what it worked lies so much further on, and
    // what it did not work is left so much further behind.
    for (auto& [each, places] : seen)
      if (places.last >= before) places.last = add_counts(places.last, skipped);
    width = add_counts(width, skipped);
  }

  void ops(const std::vector<Op>& list, short strand) {
    for (const Op& op : list) {
      if (++walked_ > most_ops) return;
      switch (op.form) {
        case Op::Form::stitch:
          stitch(op, strand);
          break;
        case Op::Form::group:
          repeated(op.ops, strand, op.count);
          break;
        case Op::Form::fill:
          repeated(op.ops, strand, fills_);
          break;
        case Op::Form::strand:
          ops(op.ops, op.strand);
          break;
        case Op::Form::into:
          ops(op.ops, strand);
          break;
        case Op::Form::as_seen:
          if (fills_ > 0) work(strand, width, width + fills_ - 1);
          width = add_counts(width, fills_);
          break;
        case Op::Form::marker:
        case Op::Form::turn:
          break;
      }
    }
  }

  const Stitches& stitches_;
  const Row& row_;
  long long fills_ = 0, walked_ = 0;
};

/// One strand that works every stitch lies behind none.
bool floats_nowhere(const Tally& row, const Stitches& stitches) {
  return std::all_of(row.begin(), row.end(), [&](const auto& each) {
    return each.first.second == row.begin()->first.second && !stitches[each.first.first].passes_on;
  });
}

/// The two of double knitting work every stitch together: neither ever lies behind the other.
bool works_pairs_only(const CheckedRow& row, const Stitches& stitches) {
  const bool two = row.row.back_strand >= 0 && row.row.back_strand != row.row.strand;
  return two && std::all_of(row.tally.begin(), row.tally.end(), [&](const auto& each) {
           const auto& [stitch, strand] = each.first;
           return stitches[stitch].layered() && (strand == row.row.strand || strand == row.row.back_strand);
         });
}

/// An n at which every repeat joins on to another copy of itself.
long long shown_n(const Fabric& fabric) {
  if (fabric.width.constant()) return 0;
  long long n = fabric.smallest_n;
  const auto joins = [&] {
    return std::all_of(fabric.rows.begin(), fabric.rows.end(),
                       [&](const CheckedRow& row) { return row.fills.constant() || row.fills.at(n) >= 2; });
  };
  for (int tries = 0; tries < 64 && !joins(); ++tries) ++n;
  return n;
}

void warn(const std::optional<Float>& longest, const std::vector<CheckedRow>& rows, Form form,
          const Gauge* gauge, const std::string& name, const Pattern& pattern, Diagnostics& diagnostics) {
  if (!longest) return;
  const double cm = gauge ? static_cast<double>(longest->stitches) / gauge->wales_per_cm() : 0;
  if (longest->stitches <= longest_float && cm <= longest_float_cm) return;
  const CheckedRow& row = rows[longest->row];
  const std::string length = fmt::format("{}{}", count_of(longest->stitches, "stitch", "stitches"),
                                         gauge ? fmt::format(", {:.1f} cm", cm) : "");
  diagnostics
      .add(Kind::long_float, row.row.span,
           fmt::format("{}{}: strand {} is carried behind {}", row_name(row.row, form, pattern.strands), name,
                       pattern.strands[static_cast<std::size_t>(longest->strand)].name, length))
      .note("a float of more than about 5 stitches, or of more than 2.5 cm, snags (common practice)")
      .try_this("catch the float every few stitches, or work a stitch in that strand on the way");
}

}  // namespace

std::optional<Float> find_longest_float(const std::vector<CheckedRow>& rows, Form form, long long n,
                                        const Stitches& stitches) {
  std::optional<Float> out;
  const auto found = [&](long long length, short strand, std::size_t row) {
    if (strand >= 0 && length > 0 && (!out || length > out->stitches)) out = Float{length, strand, row};
  };
  FlatMap<short, long long> hanging;  // by strand: stitches worked after its last one, in the round before
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (floats_nowhere(rows[i].tally, stitches)) {
      hanging.clear();
      continue;
    }
    const bool goes_on = form == Form::round && !rows[i].row.slides && !find_turn(rows[i].row.ops);
    if (works_pairs_only(rows[i], stitches)) {
      hanging.clear();
      if (goes_on)
        for (const short strand : {rows[i].row.strand, rows[i].row.back_strand}) hanging[strand] = 0;
      continue;
    }
    const Walk walk(stitches, rows[i], n);
    for (const auto& [strand, length] : walk.longest) found(length, strand, i);
    // A round of one strand alone may begin anywhere; where two meet, both are carried on.
    for (const auto& [strand, places] : walk.seen)
      if (const auto before = hanging.find(strand); before != hanging.end() && walk.seen.size() > 1)
        found(add_counts(before->second, places.first), strand, i);
    hanging.clear();
    for (const auto& [strand, places] : walk.seen)
      if (goes_on && walk.seen.size() > 1) hanging[strand] = walk.width - places.last - 1;
  }
  return out;
}

std::optional<Float> float_of_fabric(const Fabric& fabric, const Stitches& stitches) {
  if (!fabric.good) return {};
  return find_longest_float(fabric.rows, fabric.form, shown_n(fabric), stitches);
}

void warn_of_floats(const Pattern& pattern, const FabricFloats& of_fabrics, const Stitches& stitches,
                    Diagnostics& diagnostics) {
  for (std::size_t i = 0; i < pattern.fabrics.size(); ++i) {
    const Fabric& fabric = pattern.fabrics[i];
    if (of_fabrics[i])
      warn(of_fabrics[i], fabric.rows, fabric.form, pattern.gauge_for(fabric.name), " of " + fabric.name,
           pattern, diagnostics);
  }
  const Gauge* gauge = pattern.gauges.empty() ? nullptr : &pattern.gauges.front();
  const std::function<void(const Step&)> look = [&](const Step& step) {
    if (!step.rows.empty())
      warn(find_longest_float(step.rows, step.form, 0, stitches), step.rows, step.form, gauge, " here",
           pattern, diagnostics);
    for (const Step& inner : step.steps) look(inner);
  };
  for (const Piece& piece : pattern.pieces)
    for (const Step& step : piece.steps) look(step);
}

}  // namespace wale
