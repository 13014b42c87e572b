#include "compiler/instructions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace wale {

namespace {

/// Stitches whose number is written behind them without a space, as in k2; others are worked "twice", "3
/// times".
bool takes_number(const std::string& name) {
  static const std::vector<std::string> names{"k", "p", "sl", "bo", "co", "brk", "brp"};
  return std::find(names.begin(), names.end(), name) != names.end();
}

std::string times_words(long long count) {
  return count == 1 ? "once" : count == 2 ? "twice" : fmt::format("{} times", count);
}

std::string sts(long long count) {
  return count_of(count, "st", "sts");
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

void capitalise(std::string& text) {
  const std::size_t first = text.find_first_not_of("*(");
  if (first != std::string::npos && text[first] >= 'a' && text[first] <= 'z')
    text[first] = static_cast<char>(text[first] - 32);
}

std::string row_word(Form form, bool many) {
  return form == Form::round ? (many ? "Rnds" : "Rnd") : (many ? "Rows" : "Row");
}

/// "1", "1 and 2", "3-6".
std::string number_range(long long first, long long last) {
  if (first == last) return fmt::format("{}", first);
  return last == first + 1 ? fmt::format("{} and {}", first, last) : fmt::format("{}-{}", first, last);
}

struct Said {
  long long first = 0, last = 0;  ///< row numbers
  std::string key, text;
  Side side = Side::right;
  short strand = -1;
  long long before = 0, after = 0;
  bool counts = false;
};

std::string lead_of(Form form, long long first, long long last, std::string_view side,
                    const std::string& strand) {
  return fmt::format("{} {}{}{}:", row_word(form, first != last), number_range(first, last), side, strand);
}

std::string side_words(Form form, Side side) {
  return form == Form::round ? "" : side == Side::right ? " (RS)" : " (WS)";
}

/// Rows with passes are not merged: their order matters more than brevity.
std::vector<Instruction> merged(const std::vector<Said>& rows, Form form,
                                const std::vector<Strand>& strands) {
  std::vector<Instruction> out;
  const auto same = [&](std::size_t a, std::size_t b) {
    return rows[a].key == rows[b].key && rows[a].side == rows[b].side && rows[a].strand == rows[b].strand;
  };
  const bool all_alike = rows.size() > 1 && std::all_of(rows.begin(), rows.end(), [&](const Said& r) {
                           return r.key == rows[0].key && r.strand < 0;
                         });
  if (all_alike) return {{form == Form::round ? "Every rnd:" : "Every row:", rows[0].text}};
  for (std::size_t i = 0; i < rows.size();) {
    const bool passes = (i + 1 < rows.size() && rows[i + 1].first == rows[i].first) || rows[i].strand >= 0;
    // A stretch that says again the rows right before it.
    std::size_t best_block = 0, best_length = 0;
    for (std::size_t block = 2; block <= i && !passes; ++block) {
      std::size_t length = 0;
      while (i + length < rows.size() && same(i + length, i - block + length % block) &&
             rows[i + length].strand < 0)
        ++length;
      length -= length % block;
      if (length > best_length) best_length = length, best_block = block;
    }
    if (best_length >= 2) {
      const Said &from = rows[i - best_block], &to = rows[i - 1];
      out.push_back({lead_of(form, rows[i].first, rows[i + best_length - 1].last, "", ""),
                     fmt::format("Rep {} {}.", form == Form::round ? "rnds" : "rows",
                                 number_range(from.first, to.last))});
      i += best_length;
      continue;
    }
    std::size_t end = i + 1;
    while (!passes && end < rows.size() && rows[end].key == rows[i].key && rows[end].strand < 0) ++end;
    if (end - i >= 2) {
      out.push_back({lead_of(form, rows[i].first, rows[end - 1].last, "", ""), rows[i].text});
      i = end;
      continue;
    }
    std::size_t earlier = i;
    for (std::size_t k = 0; k < i && !passes; ++k)
      if (same(k, i) && rows[k].text.size() > 24) {
        earlier = k;
        break;
      }
    const std::string strand =
        rows[i].strand < 0 ? "" : ", with " + strands[static_cast<std::size_t>(rows[i].strand)].name;
    out.push_back({lead_of(form, rows[i].first, rows[i].last, side_words(form, rows[i].side), strand),
                   earlier < i
                       ? fmt::format("As {} {}.", form == Form::round ? "rnd" : "row", rows[earlier].first)
                       : rows[i].text});
    ++i;
  }
  return out;
}

/// Sentences of rows; `counts` writes the number of stitches where it changes.
std::vector<Said> said(const std::vector<CheckedRow>& rows, Form form, const Stitches& stitches,
                       const std::vector<Strand>& strands, bool counts) {
  std::vector<Said> out;
  for (const CheckedRow& checked : rows) {
    Said one;
    one.first = one.last = checked.row.number;
    one.side = checked.row.side;
    one.strand = checked.row.strand;
    one.text = row_sentence(checked.row, stitches, strands);
    if (form == Form::flat && checked.row.slides)
      one.text += " Do not turn; slide the sts back to the other end of the needle.";
    if (!(checked.before == checked.after)) {
      const Linear change = checked.after - checked.before;
      one.text.pop_back();
      if (checked.after.constant() && counts)
        one.text += fmt::format(": {}.", sts(checked.after.base));
      else if (change.constant())
        one.text += fmt::format(" ({} {}).", change.base > 0 ? "inc" : "dec", sts(std::abs(change.base)));
      else if (checked.after.base == 0)
        one.text += fmt::format(" ({} in each repeat).", sts(checked.after.per_n));
      else
        one.text += fmt::format(" (multiple of {} sts {} {}).", checked.after.per_n,
                                checked.after.base < 0 ? "-" : "+", std::abs(checked.after.base));
    }
    one.key = one.text;
    out.push_back(std::move(one));
  }
  return out;
}

class PieceWriter {
 public:
  PieceWriter(const Piece& piece, const Pattern& pattern, const Stitches& stitches)
      : piece_(piece), pattern_(pattern), stitches_(stitches) {}

  InstructionPart write() {
    InstructionPart out;
    out.heading = fmt::format("{}, {}", piece_.name, piece_.form == Form::round ? "in the round" : "flat");
    capitalise(out.heading);
    steps(piece_.steps, out.lines, false);
    return out;
  }

 private:
  bool round() const { return piece_.form == Form::round; }
  std::string rows_words(long long count) const {
    return round() ? count_of(count, "rnd", "rnds") : count_of(count, "row", "rows");
  }

  std::string in_hand(short strand) {
    if (strand < 0 || strand == last_strand_) return "";
    last_strand_ = strand;
    if (pattern_.strands.size() < 2) return "";
    return fmt::format("With {}, ", pattern_.strands[static_cast<std::size_t>(strand)].name);
  }

  void steps(const std::vector<Step>& list, std::vector<Instruction>& out, bool repeated) {
    for (const Step& step : list) {
      switch (step.kind) {
        case Step::Kind::cast_on:
          cast_on(step, out);
          break;
        case Step::Kind::layout:
          layout(step, out);
          break;
        case Step::Kind::rows:
          rows(step, out, repeated);
          break;
        case Step::Kind::repeat:
          repeat(step, out);
          break;
        case Step::Kind::bind_off:
          out.push_back({"", fmt::format("Bind off all {}.", sts(step.before))});
          break;
      }
    }
  }

  void cast_on(const Step& step, std::vector<Instruction>& out) {
    const std::string with = in_hand(step.strand);
    std::string text = fmt::format("{}{}ast on {}.", with, with.empty() ? "C" : "c", sts(step.after));
    if (round())
      text += " Join in the round, taking care not to twist; place a marker for the beginning of the rnd.";
    out.push_back({"", std::move(text)});
  }

  std::string end_words(const Step& step) const {
    const Side last = step.row_count % 2 == 1 ? step.side : other(step.side);
    return round() ? "" : fmt::format(", ending with a {} row", last == Side::right ? "RS" : "WS");
  }

  void layout(const Step& step, std::vector<Instruction>& out) {
    const std::string with = in_hand(step.strand);
    std::string extent = step.length_cm
                             ? fmt::format("until it measures {} ({}){}", length_words(*step.length_cm),
                                           rows_words(step.row_count), end_words(step))
                             : fmt::format("for {}", rows_words(step.row_count));
    const auto name = [&](const Step::Part& part) {
      return piece_.fabrics[static_cast<std::size_t>(part.fabric)].name;
    };
    std::string text;
    if (step.parts.size() == 1) {
      text = fmt::format("{}{}ork in {} {}.", with, with.empty() ? "W" : "w", name(step.parts[0]), extent);
    } else {
      std::string line;
      for (const Step::Part& part : step.parts)
        line += fmt::format("{}{} in {}", line.empty() ? "" : ", ", sts(part.width), name(part));
      text = fmt::format("{}{}et the fabrics on {}: {}. Work on so {}, each fabric in its own rows", with,
                         with.empty() ? "S" : "s",
                         round()                    ? "the next rnd"
                         : step.side == Side::right ? "a RS row"
                                                    : "a WS row",
                         line, extent);
      text += round() ? "." : "; on WS rows they come in the opposite order.";
    }
    if (step.before != step.after) {
      text.pop_back();
      text += fmt::format(": {}.", sts(step.after));
    }
    out.push_back({"", std::move(text)});
  }

  void rows(const Step& step, std::vector<Instruction>& out, bool repeated) {
    in_hand(step.strand);
    const std::vector<Said> all = said(step.rows, piece_.form, stitches_, pattern_.strands, !repeated);
    std::vector<Instruction> lines = merged(all, piece_.form, pattern_.strands);
    if (all.size() == 1 && !repeated)
      lines[0].lead = fmt::format(
          "Next {}{}{}:", round() ? "rnd" : "row", side_words(piece_.form, all[0].side),
          all[0].strand < 0 ? ""
                            : ", with " + pattern_.strands[static_cast<std::size_t>(all[0].strand)].name);
    out.insert(out.end(), lines.begin(), lines.end());
  }

  void repeat(const Step& step, std::vector<Instruction>& out) {
    const bool simple = step.steps.size() == 1 && step.steps[0].kind == Step::Kind::rows;
    long long rows = 0;
    for (const Step& inner : step.steps) rows += inner.row_count;
    if (step.steps.size() == 1 && step.steps[0].kind == Step::Kind::layout &&
        step.steps[0].parts.size() == 1) {
      const Step& inner = step.steps[0];
      const Fabric& fabric = piece_.fabrics[static_cast<std::size_t>(inner.parts[0].fabric)];
      const bool whole = inner.row_count == fabric.cycle_rows() && !inner.length_cm;
      if (whole) {
        const std::string with = in_hand(inner.strand);
        std::string text =
            fmt::format("{}{}ork {} {} of {} {}", with, with.empty() ? "W" : "w", round() ? "rnds" : "rows",
                        number_range(1, inner.row_count), fabric.name, times_words(step.times));
        if (step.before != step.after) text += fmt::format(": {}", sts(step.after));
        out.push_back({"", text + "."});
        return;
      }
    }
    if (!simple) out.push_back({"", fmt::format("Work the following {}:", times_words(step.times))});
    steps(step.steps, out, true);
    if (step.times == 1) return;
    std::string text = simple ? fmt::format("Rep {} {} more {}",
                                            rows == 1 ? fmt::format("this {}", round() ? "rnd" : "row")
                                                      : fmt::format("these {}", rows_words(rows)),
                                            step.times - 1, step.times == 2 ? "time" : "times")
                              : fmt::format("End of what is worked {}", times_words(step.times));
    if (step.before != step.after) text += fmt::format(": {}", sts(step.after));
    out.push_back({"", text + "."});
  }

  const Piece& piece_;
  const Pattern& pattern_;
  const Stitches& stitches_;
  short last_strand_ = -1;
};

}  // namespace

std::string written_name(const Stitch& stitch) {
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

std::string width_words(const Fabric& fabric) {
  const Linear& w = fabric.width;
  if (w.constant()) return sts(w.base);
  std::string out = w.per_n == 1 ? "any number of sts" : fmt::format("multiple of {} sts", w.per_n);
  if (w.per_n > 1 && w.base != 0) out += fmt::format(" {} {}", w.base > 0 ? "+" : "-", std::abs(w.base));
  const long long least = w.at(fabric.smallest_n);
  if (least > w.per_n + std::max(0LL, w.base)) out += fmt::format(", at least {}", least);
  return out;
}

std::string length_words(double cm) {
  const double inches = cm / 2.54;
  return fmt::format("{:g} cm ({:g} in)", std::round(cm * 10) / 10,
                     inches < 20 ? std::round(inches * 4) / 4 : std::round(inches * 2) / 2);
}

InstructionPart fabric_instructions(const Fabric& fabric, const Stitches& stitches,
                                    const std::vector<Strand>& strands) {
  InstructionPart out;
  out.heading = fmt::format("{} ({})", fabric.name, width_words(fabric));
  capitalise(out.heading);
  out.lines = merged(said(fabric.rows, fabric.form, stitches, strands, true), fabric.form, strands);
  const long long rows = fabric.cycle_rows();
  const bool one = out.lines.size() == 1 && out.lines[0].lead.starts_with("Every");
  if (fabric.returns && !one)
    out.lines.push_back(
        {"", rows == 1
                 ? fmt::format("Rep this {} for {}.", fabric.form == Form::round ? "rnd" : "row", fabric.name)
                 : fmt::format("Rep {} {} for {}.", fabric.form == Form::round ? "rnds" : "rows",
                               number_range(1, rows), fabric.name)});
  return out;
}

InstructionPart piece_instructions(const Piece& piece, const Pattern& pattern, const Stitches& stitches) {
  return PieceWriter(piece, pattern, stitches).write();
}

}  // namespace wale
