// Rows whose stitches all ask for the same loops: plain knitting, lace, pictures in pairs of double knitting.
//
// Where every stitch asks for plain loops, or every one for pairs, and the needle holds nothing else, it does
// not matter which stitch meets which loops. The needle is looked through once, and what the row gives is
// written down from the row alone, whatever n is:
//
//     A(k3) <B(k1) A(k1)>     on 2n + 3 plain loops     A A A, and B A n times

#include <algorithm>
#include <utility>

#include "compiler/row_worker.hpp"

namespace wale {

namespace {

/// Far more than any row has; sums of it stay in bounds.
constexpr long long most_of_one = 1LL << 40;
/// Rows of more kinds are worked without being written down: these are looked through for each word.
constexpr std::size_t most_kinds = 32;

/// Whether what the stitch gives has nothing of what it takes.
bool makes_anew(const Stitch& stitch) {
  return !stitch.passes_on && !stitch.crossing &&
         std::none_of(stitch.gives.begin(), stitch.gives.end(),
                      [](LoopType type) { return type == LoopType::veiled; });
}

}  // namespace

void RowWorker::Alike::begin(Linear fills_of_row) {
  kinds.clear();
  runs.clear();
  fills = fills_of_row;
  takes = 0;
  unit = nullptr;
  gives = 0;
  repeats = false;
}

/// It has no repeats, and most stitches differ from those beside them.
bool RowWorker::Alike::spelled() const {
  constexpr long long fewest = 4, most_for_each = 8;
  const auto stitches = static_cast<long long>(runs.size());
  const long long most = std::min(longest_flat, most_for_each * stitches);
  return !repeats && stitches >= fewest && takes.base <= most && gives <= most;
}

/// Whether these are the loops that all before asked for.
bool RowWorker::Alike::asks(const std::vector<LoopType>& loops) {
  if (loops.empty()) return true;
  if (!unit) {
    const bool pairs = loops.size() == 2 && loops[0] == LoopType::front && loops[1] == LoopType::back;
    static const std::vector<LoopType> plain{LoopType::plain};
    unit = pairs ? &loops : &plain;
  }
  if (loops.size() % unit->size() != 0) return false;
  for (std::size_t i = 0; i < loops.size(); ++i)
    if (loops[i] != (*unit)[i % unit->size()]) return false;
  return true;
}

/// Goes over a row's words once. False where the stitches ask for different loops, hand on some of them, or
/// are too many to write down. `times` is what they are worked in all; `takes` is added to for one.
bool RowWorker::add_alike(std::span<const Op> ops, short strand, Linear times, Linear& takes) {
  for (const Op& op : ops) switch (op.form) {
      case Op::Form::stitch:
        if (!add_alike(op, strand, times, takes)) return false;
        break;
      case Op::Form::strand:
        if (!add_alike(op.ops, op.strand, times, takes)) return false;
        break;
      case Op::Form::group:
        if (op.count == 1 ? !add_alike(op.ops, strand, times, takes)
                          : !add_repeat(op.ops, strand, op.count, times * op.count, takes))
          return false;
        break;
      case Op::Form::fill:
        // It stands at the top, or in what is worked once.
        if (times != Linear(1) || !add_repeat(op.ops, strand, alike_.fills, alike_.fills, takes))
          return false;
        break;
      case Op::Form::marker:
        break;
      case Op::Form::turn:
      case Op::Form::into:
      case Op::Form::as_seen:
        return false;
    }
  return true;
}

/// `times` in what stands around it, and `in_all`.
bool RowWorker::add_repeat(std::span<const Op> ops, short strand, Linear times, Linear in_all,
                           Linear& takes) {
  alike_.repeats = true;
  Linear once = 0;
  const long long gives = std::exchange(alike_.gives, 0);
  if (!add_alike(ops, strand, in_all, once) || once.base > longest_flat || alike_.gives > longest_flat)
    return false;
  takes = takes + times * once.base;
  if (times.constant()) alike_.gives = multiply_counts(alike_.gives, times.base);
  alike_.gives = add_counts(gives, alike_.gives);
  return true;
}

bool RowWorker::add_alike(const Op& op, short strand, Linear times, Linear& takes) {
  std::size_t kind = 0;
  while (kind < alike_.kinds.size() &&
         (alike_.kinds[kind].stitch != op.stitch || alike_.kinds[kind].strand != strand))
    ++kind;
  if (kind == alike_.kinds.size()) {
    const Stitch& stitch = stitches_[op.stitch];
    if (!makes_anew(stitch) || !alike_.asks(stitch.takes) || stitch.gives.size() > 2) return false;
    if (kind == most_kinds) return false;
    Alike::Kind& made_anew = alike_.kinds.emplace_back();
    made_anew.stitch = op.stitch;
    made_anew.strand = strand;
    made_anew.takes = static_cast<long long>(stitch.takes.size());
    made_anew.gives = stitch.gives.size();
    for (std::size_t i = 0; i < stitch.gives.size(); ++i)
      made_anew.loops[i] = made(op.stitch, stitch.gives[i], strand);
  }
  if (op.count > most_of_one) return false;
  Alike::Kind& same = alike_.kinds[kind];
  if (times == Linear(1))
    same.times.base = add_counts(same.times.base, op.count);
  else
    same.times = same.times + times * op.count;
  takes.base = add_counts(takes.base, op.count * same.takes);
  alike_.gives = add_counts(alike_.gives, op.count * static_cast<long long>(same.gives));
  alike_.runs.push_back({kind, op.count});
  return true;
}

/// Whether the whole needle is of this unit, which is then known of it. Where it is not, what has become
/// known is what the row's stitches ask for anyway.
bool RowWorker::all_alike(const std::vector<LoopType>& unit) {
  std::size_t at = 0;
  bool good = true;
  left_.each_run([&](std::span<const Loop> word, Linear times) {
    // Copies of it that begin in the middle of a pair ask for other loops than those that do not.
    good = good && (word.size() % unit.size() == 0 || times == Linear(1));
    for (const Loop& loop : word) {
      if (!good) return;
      if (loop.type != unit[at]) good = meets(loop, unit[at]);
      if (++at == unit.size()) at = 0;
    }
  });
  return good;
}

/// Writes down what the ops give, once each, in the order in which `add_alike` came to them; runs are put on
/// the needle as they are unless `to` takes them. False when the budget is used up.
bool RowWorker::give(std::span<const Op> ops, std::size_t& run, std::vector<Loop>* to) {
  for (const Op& op : ops) {
    if (--budget_ < 0) return false;
    switch (op.form) {
      case Op::Form::stitch: {
        const auto& [kind, count] = alike_.runs[run++];
        const std::span<const Loop> loops = alike_.kinds[kind].given();
        if (to) {
          budget_ -= count;
          for (long long i = 0; i < count; ++i) to->insert(to->end(), loops.begin(), loops.end());
        } else if (loops.size() == 2 && loops[0] == loops[1]) {
          right_.push(loops[0], 2 * count);
        } else {
          right_.push(loops, count);
        }
        break;
      }
      case Op::Form::strand:
        if (!give(op.ops, run, to)) return false;
        break;
      case Op::Form::group:
      case Op::Form::fill: {
        if (to || (op.form == Op::Form::group && op.count == 1)) {
          const std::size_t first = run;
          for (long long i = 0; i < op.count; ++i)
            if (run = first; !give(op.ops, run, to)) return false;
          break;
        }
        word_.clear();
        if (!give(op.ops, run, &word_)) return false;
        right_.push(word_, op.form == Op::Form::fill ? alike_.fills : Linear(op.count));
        break;
      }
      case Op::Form::marker:
      case Op::Form::turn:
      case Op::Form::into:
      case Op::Form::as_seen:
        break;
    }
  }
  return true;
}

/// Works the row if its stitches are such and use up the needle. Nothing is done, and nothing returned, where
/// they are not.
std::optional<bool> RowWorker::run_alike(std::span<const Op> ops, short strand, Linear fills) {
  alike_.begin(fills);
  if (!add_alike(ops, strand, 1, alike_.takes) || alike_.takes != left_.width()) return {};
  if (alike_.unit && !all_alike(*alike_.unit)) return {};
  for (const Alike::Kind& kind : alike_.kinds) {
    if (kind.times == Linear(0)) continue;
    count(kind.stitch, kind.strand, kind.times);
    if (stitches_[kind.stitch].layered()) count(kind.stitch, far_strand(kind.strand), kind.times);
  }
  if (alike_.spelled()) {
    word_.resize(static_cast<std::size_t>(alike_.gives));
    auto to = word_.begin();
    for (const auto& [kind, count] : alike_.runs) {
      const std::span<const Loop> loops = alike_.kinds[kind].given();
      if (loops.size() == 1)
        to = std::fill_n(to, count, loops[0]);
      else
        for (long long i = 0; i < count; ++i) to = std::copy(loops.begin(), loops.end(), to);
    }
    budget_ -= static_cast<long long>(word_.size());
    right_.push(word_, 1);
  } else {
    std::size_t run = 0;
    if (!give(ops, run, nullptr)) return give_up(ops.front().span);
  }
  left_ = Needle();
  return true;
}

}  // namespace wale
