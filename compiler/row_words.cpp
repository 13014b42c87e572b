// A row as a sentence: "*K2, p2; rep from * to last 2 sts, k2."

#include <fmt/format.h>

#include <algorithm>

#include "compiler/instruction_words.hpp"
#include "compiler/instructions.hpp"

namespace wale {

namespace {

/// Stitches whose number is written behind them without a space, as in k2; others are worked "twice", "3
/// times".
bool takes_number(const std::string& name) {
  static const std::vector<std::string> names{"k", "p", "sl", "bo", "co", "brk", "brp", "dk"};
  return std::find(names.begin(), names.end(), name) != names.end();
}

/// What there is to say: markers and empty brackets left out, brackets that are worked once opened.
std::vector<Op> tidied(const std::vector<Op>& ops) {
  std::vector<Op> out;
  for (const Op& op : ops) {
    if (op.form == Op::Form::marker || op.count == 0) continue;
    if (op.form == Op::Form::stitch || op.form == Op::Form::turn || op.form == Op::Form::as_seen) {
      out.push_back(op);
      continue;
    }
    Op own = op;
    own.ops = tidied(op.ops);
    if (own.ops.empty()) continue;
    const bool opened =
        (own.form == Op::Form::group && own.count == 1) ||
        (own.form == Op::Form::strand && own.ops.size() == 1 && own.ops[0].form == Op::Form::strand);
    if (opened)
      out.insert(out.end(), own.ops.begin(), own.ops.end());
    else
      out.push_back(std::move(own));
  }
  return out;
}

/// "(k3, k2tog, k4) 4 times" for what comes again and again, where that is shorter by at least four things.
std::vector<std::string> bracketed(const std::vector<std::string>& things) {
  constexpr std::size_t least_saved = 4, longest = 64;
  std::vector<std::string> out;
  for (std::size_t at = 0; at < things.size();) {
    std::size_t best = 0, times = 1;
    for (std::size_t length = 2; length <= longest && at + 2 * length <= things.size(); ++length) {
      std::size_t end = at + length;
      while (end < things.size() && things[end] == things[end - length]) ++end;
      const std::size_t there = (end - at) / length;
      if (there > 1 && length * (there - 1) >= std::max(least_saved, best * (times - 1) + 1))
        best = length, times = there;
    }
    if (best == 0) {
      out.push_back(things[at++]);
      continue;
    }
    const std::vector<std::string> once(things.begin() + static_cast<std::ptrdiff_t>(at),
                                        things.begin() + static_cast<std::ptrdiff_t>(at + best));
    out.push_back(fmt::format("({}) {}", fmt::join(once, ", "), times_words(static_cast<long long>(times))));
    at += best * times;
  }
  return out;
}

/// "<k> k2" is nothing but knitting, up to the end of the row.
bool all_of_one(const std::vector<Op>& ops, const Stitches& stitches, std::string_view name) {
  const auto is_it = [&](const Op& op) {
    return op.form == Op::Form::stitch && stitches[op.stitch].name == name;
  };
  return find_fill(ops) && std::all_of(ops.begin(), ops.end(), [&](const Op& op) {
           return is_it(op) ||
                  (op.form == Op::Form::fill && std::all_of(op.ops.begin(), op.ops.end(), is_it));
         });
}

class RowWriter {
 public:
  RowWriter(const Stitches& stitches, const std::vector<Strand>& strands)
      : stitches_(stitches), strands_(strands) {}

  std::string list(const std::vector<Op>& ops, long long after) const {
    std::vector<std::string> out;
    const std::vector<long long> behind = needs_behind(ops, after);
    for (std::size_t i = 0; i < ops.size(); ++i) {
      // "k1 k2" is knitted, and so written, as k3.
      Op joined = ops[i];
      while (joined.form == Op::Form::stitch && i + 1 < ops.size() && ops[i + 1].form == Op::Form::stitch &&
             ops[i + 1].stitch == joined.stitch)
        joined.count = add_counts(joined.count, ops[++i].count);
      out.push_back(one(joined, behind[i]));
    }
    return fmt::format("{}", fmt::join(bracketed(out), ", "));
  }

 private:
  /// Stitches on the left needle that are still to be worked after each op.
  std::vector<long long> needs_behind(const std::vector<Op>& ops, long long after) const {
    std::vector<long long> out(ops.size());
    for (std::size_t i = ops.size(); i-- > 0;) {
      out[i] = after;
      after = add_counts(after, balance({ops[i]}, stitches_).takes);
    }
    return out;
  }

  /// "k to end" in place of "*k1; rep from * to end".
  bool is_short(const Op& fill) const {
    return fill.form == Op::Form::as_seen ||
           (fill.ops.size() == 1 && fill.ops[0].form == Op::Form::stitch && fill.ops[0].count == 1 &&
            takes_number(stitches_[fill.ops[0].stitch].name));
  }

  std::string to_end(long long behind) const {
    return behind == 0 ? "to end" : fmt::format("to last {}", behind == 1 ? "st" : sts(behind));
  }

  std::string stitch(const Op& op) const {
    const std::string name = written_name(stitches_[op.stitch]);
    if (name.starts_with("sl wy")) return fmt::format("sl{}{}", op.count, name.substr(2));
    if (takes_number(name)) return fmt::format("{}{}", name, op.count);
    return op.count == 1 ? name : fmt::format("{} {}", name, times_words(op.count));
  }

  std::string one(const Op& op, long long behind) const {
    switch (op.form) {
      case Op::Form::stitch:
        return stitch(op);
      case Op::Form::group:
        return fmt::format("({}) {}", list(op.ops, 0), times_words(op.count));
      case Op::Form::strand: {
        const std::string& name = strands_[static_cast<std::size_t>(op.strand)].name;
        // In "k to last 2 sts in A" the last 2 might be those in A.
        const Op* fill = find_fill(op.ops);
        const bool single = op.ops.size() == 1 && (!fill || (behind == 0 && is_short(*fill)));
        const std::string inner = list(op.ops, fill ? behind : 0);
        return single ? fmt::format("{} in {}", inner, name) : fmt::format("({}) in {}", inner, name);
      }
      case Op::Form::fill: {
        if (is_short(op))
          return fmt::format("{} {}", written_name(stitches_[op.ops[0].stitch]), to_end(behind));
        return fmt::format("*{}; rep from * {}", list(op.ops, 0), to_end(behind));
      }
      case Op::Form::into:
        return fmt::format("({}) all into next {}", list(op.ops, 0),
                           op.count == 1 ? "st" : sts(op.count) + " together");
      case Op::Form::as_seen:
        return fmt::format("work each st as it faces you {}", to_end(behind));
      case Op::Form::turn:
        return op.turn == Turn::plain  ? "turn"
               : op.turn == Turn::wrap ? "wrap next st and turn"
                                       : "turn and make a double st";
      case Op::Form::marker:
        return "";
    }
    return "";
  }

  const Stitches& stitches_;
  const std::vector<Strand>& strands_;
};

}  // namespace

std::string written_name(const Stitch& stitch) {
  if (stitch.name == "slwyif" || stitch.name == "slwyib") return "sl " + stitch.name.substr(2);
  if (!stitch.crossing) return stitch.name;
  std::string out = stitch.name;
  const std::size_t letters = out.find_first_not_of("0123456789/");
  for (std::size_t i = letters; i < out.size(); ++i)
    out[i] = static_cast<char>(out[i] >= 'a' && out[i] <= 'z' ? out[i] - 32 : out[i]);
  return fmt::format("{} {}", out.substr(0, letters), out.substr(letters));
}

std::string row_sentence(const Row& row, const Stitches& stitches, const std::vector<Strand>& strands) {
  const std::vector<Op> ops = tidied(row.ops);
  if (all_of_one(ops, stitches, "k")) return "Knit.";
  if (all_of_one(ops, stitches, "p")) return "Purl.";
  const Op* turn = find_turn(ops);
  std::string out = RowWriter(stitches, strands).list(ops, turn && turn->leaves > 0 ? turn->leaves : 0);
  if (out.empty()) return "Work no stitch.";
  if (out == "work each st as it faces you to end") return "Work each st as it faces you.";
  capitalise(out);
  return out + ".";
}

}  // namespace wale
