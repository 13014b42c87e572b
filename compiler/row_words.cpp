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

class RowWriter {
 public:
  RowWriter(const Stitches& stitches, const std::vector<Strand>& strands)
      : stitches_(stitches), strands_(strands) {}

  std::string list(const std::vector<Op>& ops, long long after) const {
    std::string out;
    const std::vector<long long> behind = needs_behind(ops, after);
    for (std::size_t i = 0; i < ops.size(); ++i) {
      if (ops[i].form == Op::Form::marker) continue;
      // "k1 k2" is knitted, and so written, as k3.
      Op joined = ops[i];
      while (joined.form == Op::Form::stitch && i + 1 < ops.size() && ops[i + 1].form == Op::Form::stitch &&
             ops[i + 1].stitch == joined.stitch)
        joined.count = add_counts(joined.count, ops[++i].count);
      if (!out.empty()) out += ", ";
      out += one(joined, behind[i]);
    }
    return out;
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
        if (op.count == 1) return list(op.ops, behind);
        return fmt::format("({}) {}", list(op.ops, 0), times_words(op.count));
      case Op::Form::strand: {
        const std::string& name = strands_[static_cast<std::size_t>(op.strand)].name;
        const bool single = op.ops.size() == 1;
        const std::string inner = list(op.ops, find_fill(op.ops) ? behind : 0);
        return single ? fmt::format("{} in {}", inner, name) : fmt::format("({}) in {}", inner, name);
      }
      case Op::Form::fill: {
        const bool single = op.ops.size() == 1 && op.ops[0].form == Op::Form::stitch &&
                            op.ops[0].count == 1 && takes_number(stitches_[op.ops[0].stitch].name);
        if (single) return fmt::format("{} {}", written_name(stitches_[op.ops[0].stitch]), to_end(behind));
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
  const Op* turn = find_turn(row.ops);
  std::string out = RowWriter(stitches, strands).list(row.ops, turn && turn->leaves > 0 ? turn->leaves : 0);
  if (out.empty()) return "Work no stitch.";
  if (out == "k to end") return "Knit.";
  if (out == "p to end") return "Purl.";
  if (out == "work each st as it faces you to end") return "Work each st as it faces you.";
  capitalise(out);
  return out + ".";
}

}  // namespace wale
