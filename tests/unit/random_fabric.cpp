#include "tests/unit/random_fabric.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/check.hpp"
#include "compiler/fabric.hpp"
#include "grammar/parser.hpp"

namespace wale::naive {

namespace {

const std::vector<std::string> even_words{"k",  "p",      "k",  "p",     "ktbl",
                                          "sl", "slwyif", "kb", "2/1rc", "1/1lpc"};
const std::vector<std::string> all_words{"k",     "p",     "k",     "sl",  "yo",   "k2tog",
                                         "ssk",   "p2tog", "k3tog", "kfb", "kfbf", "m1l",
                                         "2/2rc", "drop",  "bo",    "co",  "p",    "pfb"};

Balance sum(const std::vector<Op>& ops) {
  return balance(ops, vocabulary());
}

}  // namespace

Op stitch_op(const std::string& word, long long count) {
  Op out;
  out.stitch = vocabulary().lookup(word)->stitch;
  out.count = count;
  return out;
}

Op frame(Op::Form form, std::vector<Op> ops, long long count) {
  Op out;
  out.form = form;
  out.count = count;
  out.ops = std::move(ops);
  return out;
}

void number_rows(Sketch& sketch, const std::vector<bool>& slides) {
  long long number = 1;
  Side side = Side::right;
  for (std::size_t i = 0; i < sketch.rows.size(); ++i) {
    Row& row = sketch.rows[i];
    row.number = number;
    row.side = side;
    row.slides = slides[i];
    if (row.slides) continue;
    ++number;
    const bool turned = !row.ops.empty() && row.ops.back().form == Op::Form::turn;
    if (sketch.form == Form::flat || turned || side == Side::wrong) side = other(side);
  }
}

Stitches& vocabulary() {
  static Stitches stitches = [] {
    Diagnostics diagnostics;
    Stitches made(parse(vocabulary_source(), diagnostics), diagnostics);
    made.complete(diagnostics);
    return made;
  }();
  return stitches;
}

const std::vector<Strand>& two_strands() {
  static const std::vector<Strand> strands{{"A", {}, {}}, {"B", {}, {}}};
  return strands;
}

std::vector<Op> random_ops(Dice& dice, const std::vector<std::string>& words, int depth) {
  std::vector<Op> out;
  const long long items = dice.number(1, depth == 0 ? 4 : 3);
  for (long long i = 0; i < items; ++i) {
    const long long what = dice.number(1, 100);
    if (what <= 12 && depth < 2) {
      out.push_back(frame(Op::Form::group, random_ops(dice, words, depth + 1), dice.number(1, 3)));
    } else if (what <= 14 && depth < 2) {
      Op strand = frame(Op::Form::strand, random_ops(dice, words, depth + 1));
      strand.strand = static_cast<short>(dice.number(0, 1));
      out.push_back(std::move(strand));
    } else if (what <= 21) {
      out.push_back(frame(Op::Form::marker, {}));
    } else if (what <= 24 && words == all_words) {
      out.push_back(frame(Op::Form::into,
                          {stitch_op("k"), stitch_op("yo"), stitch_op("p", dice.number(1, 2))},
                          dice.number(1, 3)));
    } else if (what <= 30) {
      out.push_back(stitch_op("yo"));
      out.push_back(stitch_op("k2tog"));
    } else {
      out.push_back(stitch_op(dice.one_of(words), dice.chance(70) ? 1 : dice.number(2, 4)));
    }
  }
  return out;
}

Sketch random_plain(Dice& dice) {
  Sketch out;
  out.form = dice.chance(50) ? Form::flat : Form::round;
  const auto& words = dice.chance(50) ? even_words : all_words;
  const bool constant = dice.chance(20);
  Linear width(constant ? 0 : dice.number(1, 12), constant ? dice.number(1, 60) : dice.number(-4, 12));
  out.width = width;
  std::vector<bool> slides;
  const long long rows = out.form == Form::flat ? 2 * dice.number(1, 2) : dice.number(1, 4);
  for (long long i = 0; i < rows; ++i) {
    const bool pass = dice.chance(8);
    for (int k = pass ? 2 : 1; k > 0; --k) {
      std::vector<Op> before = random_ops(dice, words), after = random_ops(dice, words), fill;
      if (dice.chance(30)) before.clear();
      if (dice.chance(30)) after.clear();
      for (int tries = 0; tries < 20; ++tries) {
        fill = random_ops(dice, width.per_n > 40 ? even_words : words);
        const long long takes = sum(fill).takes;
        if (takes > 0 && (width.per_n % takes == 0)) break;
        fill = dice.chance(90) ? std::vector<Op>{stitch_op("k")} : fill;
      }
      const long long takes = std::max(1LL, sum(fill).takes);
      const long long spare = width.base - sum(before).takes - sum(after).takes;
      if (dice.chance(92))
        for (long long pad = floor_rest(spare, takes); pad > 0; --pad) before.push_back(stitch_op("p"));
      const Balance beside{sum(before).takes + sum(after).takes, sum(before).gives + sum(after).gives};
      const Linear left = width - Linear(beside.takes);
      width =
          Linear(left.per_n / takes, floor_divide(left.base, takes)) * sum(fill).gives + Linear(beside.gives);
      Op repeat = dice.chance(4) ? frame(Op::Form::as_seen, {}) : frame(Op::Form::fill, std::move(fill));
      if (dice.chance(10)) {
        repeat = frame(Op::Form::strand, {std::move(repeat)});
        repeat.strand = 1;
      }
      Row row;
      row.strand = pass ? static_cast<short>(k - 1) : static_cast<short>(-1);
      row.ops = std::move(before);
      if (dice.chance(95)) row.ops.push_back(std::move(repeat));
      row.ops.insert(row.ops.end(), after.begin(), after.end());
      out.rows.push_back(std::move(row));
      slides.push_back(k == 2);
    }
  }
  number_rows(out, slides);
  return out;
}

namespace {

/// What the typed generator knows of the needle: head, a repeat `copies` times, tail.
struct Stretch {
  std::vector<LoopType> head, period, tail;
  Linear copies;

  void rotate(std::size_t by) {
    head.insert(head.end(), period.begin(), period.begin() + static_cast<std::ptrdiff_t>(by));
    tail.insert(tail.begin(), period.begin() + static_cast<std::ptrdiff_t>(by), period.end());
    std::rotate(period.begin(), period.begin() + static_cast<std::ptrdiff_t>(by), period.end());
    copies = copies - Linear(1);
  }
  void turn() {
    for (auto* part : {&head, &period, &tail}) std::reverse(part->begin(), part->end());
    std::swap(head, tail);
  }
};

std::vector<LoopType> random_types(Dice& dice, long long least, long long most) {
  std::vector<LoopType> out;
  for (long long i = dice.number(least, most); i > 0; --i)
    out.push_back(dice.chance(50) ? LoopType::plain : LoopType::veiled);
  return out;
}

/// Stitches that suit these loops; `types` becomes what they give.
std::vector<Op> suited(Dice& dice, std::vector<LoopType>& types, bool grows) {
  std::vector<Op> ops;
  std::vector<LoopType> given;
  for (std::size_t i = 0; i < types.size(); ++i) {
    std::string word;
    if (types[i] == LoopType::plain)
      word = dice.one_of(std::vector<std::string>{"k", "p", "sl", "sl1yo", "sl1yo", "sl1yo"});
    else
      word = dice.one_of(std::vector<std::string>{"brk", "brp", "sl", "brk"});
    if (grows && types[i] == LoopType::veiled && dice.chance(8)) word = "brkyobrk";
    if (grows && i + 1 < types.size() && types[i] == types[i + 1] && types[i] == LoopType::plain &&
        dice.chance(8))
      word = "k2tog";
    if (dice.chance(2)) word = dice.one_of(std::vector<std::string>{"k", "brk", "sl1yo", "drop"});
    const Op op = stitch_op(word);
    const Stitch& stitch = vocabulary()[op.stitch];
    if (stitch.passes_on)
      given.push_back(types[i]);
    else
      given.insert(given.end(), stitch.gives.begin(), stitch.gives.end());
    if (stitch.takes.size() == 2) ++i;
    if (!ops.empty() && ops.back().stitch == op.stitch)
      ++ops.back().count;
    else
      ops.push_back(op);
  }
  types = std::move(given);
  return ops;
}

}  // namespace

Sketch random_typed(Dice& dice) {
  Sketch out;
  out.form = dice.chance(60) ? Form::flat : Form::round;
  Stretch needle{random_types(dice, 0, 3), random_types(dice, 1, 4), random_types(dice, 0, 3), {}};
  const long long multiple = dice.number(1, 3);
  needle.copies = Linear(multiple, multiple * dice.number(0, 3));
  const auto per_copy = static_cast<long long>(needle.period.size());
  out.width =
      needle.copies * per_copy + Linear(static_cast<long long>(needle.head.size() + needle.tail.size()));
  const bool grows = dice.chance(20);
  const long long rows = out.form == Form::flat ? 2 * dice.number(1, 3) : dice.number(1, 5);
  std::vector<bool> slides;
  for (long long i = 0; i < rows; ++i) {
    const bool pass = dice.chance(25);
    for (int k = pass ? 2 : 1; k > 0; --k) {
      if (dice.chance(30) && !needle.period.empty())
        needle.rotate(
            static_cast<std::size_t>(dice.number(0, static_cast<long long>(needle.period.size()) - 1)));
      std::vector<LoopType> in_fill = needle.period;
      for (const long long factor : {2LL, 3LL})
        if (needle.copies.per_n % factor == 0 && floor_rest(needle.copies.base, factor) == 0 &&
            dice.chance(40) && in_fill.size() == needle.period.size()) {
          for (long long more = 1; more < factor; ++more)
            in_fill.insert(in_fill.end(), needle.period.begin(), needle.period.end());
          needle.copies = Linear(needle.copies.per_n / factor, needle.copies.base / factor);
        }
      Row row;
      row.strand = pass ? static_cast<short>(k - 1) : static_cast<short>(-1);
      row.ops = suited(dice, needle.head, grows);
      needle.period = in_fill;
      std::vector<Op> fill = suited(dice, needle.period, grows);
      if (!fill.empty()) row.ops.push_back(frame(Op::Form::fill, std::move(fill)));
      const std::vector<Op> tail = suited(dice, needle.tail, grows);
      row.ops.insert(row.ops.end(), tail.begin(), tail.end());
      out.rows.push_back(std::move(row));
      slides.push_back(k == 2);
      if (k == 1 && out.form == Form::flat) needle.turn();
    }
  }
  if (dice.chance(20)) out.width = Linear(out.width.at(dice.number(1, 12)));
  number_rows(out, slides);
  return out;
}

Fabric fabric_of(const Sketch& sketch) {
  Fabric out;
  out.name = "f";
  out.form = sketch.form;
  out.width = sketch.width;
  for (const Row& row : sketch.rows) {
    out.rows.own().emplace_back();
    out.rows.own().back().row = row;
  }
  out.height = sketch.rows.empty() ? 0 : sketch.rows.back().number;
  return out;
}

namespace {

std::string words_of(const std::vector<Op>& ops) {
  std::string out;
  for (const Op& op : ops) {
    const std::string inner = words_of(op.ops);
    if (!out.empty()) out += ' ';
    switch (op.form) {
      case Op::Form::stitch: {
        const std::string& name = vocabulary()[op.stitch].name;
        if (op.count == 1)
          out += name;
        else
          out += name == "k" || name == "p" ? fmt::format("{}{}", name, op.count)
                                            : fmt::format("{}({})", op.count, name);
        break;
      }
      case Op::Form::group:
        out += fmt::format("{}({})", op.count, inner);
        break;
      case Op::Form::strand:
        out += fmt::format("{}({})", two_strands()[static_cast<std::size_t>(op.strand)].name, inner);
        break;
      case Op::Form::fill:
        out += fmt::format("<{}>", inner);
        break;
      case Op::Form::into:
        out += fmt::format("in{}({})", op.count, inner);
        break;
      case Op::Form::marker:
        out += '|';
        break;
      case Op::Form::as_seen:
        out += "as seen";
        break;
      case Op::Form::turn:
        out += op.turn == Turn::wrap ? "wt" : op.turn == Turn::doubled ? "ds" : "turn";
        if (op.leaves >= 0) out += fmt::format("{}", op.leaves);
        break;
    }
  }
  return out;
}

/// Each list that is a little less than this one.
std::vector<std::vector<Op>> smaller(const std::vector<Op>& ops) {
  std::vector<std::vector<Op>> out;
  for (std::size_t i = 0; i < ops.size(); ++i) {
    std::vector<Op> next = ops;
    next.erase(next.begin() + static_cast<std::ptrdiff_t>(i));
    out.push_back(next);
    if (ops[i].form == Op::Form::group || ops[i].form == Op::Form::strand) {
      next.insert(next.begin() + static_cast<std::ptrdiff_t>(i), ops[i].ops.begin(), ops[i].ops.end());
      out.push_back(next);
    }
    if (ops[i].count > 1) {
      next = ops;
      --next[i].count;
      out.push_back(next);
    }
    if (ops[i].form == Op::Form::stitch && vocabulary()[ops[i].stitch].name != "k") {
      next = ops;
      next[i].stitch = *vocabulary().find("k");
      out.push_back(next);
    }
    for (std::vector<Op>& inner : smaller(ops[i].ops)) {
      next = ops;
      next[i].ops = std::move(inner);
      out.push_back(next);
    }
  }
  return out;
}

std::vector<Sketch> smaller(const Sketch& sketch) {
  std::vector<Sketch> out;
  const std::size_t step = sketch.form == Form::flat ? 2 : 1;
  for (std::size_t i = 0; i + step <= sketch.rows.size() && sketch.rows.size() > step; ++i) {
    Sketch next = sketch;
    next.rows.erase(next.rows.begin() + static_cast<std::ptrdiff_t>(i),
                    next.rows.begin() + static_cast<std::ptrdiff_t>(i + step));
    std::vector<bool> slides;
    for (const Row& row : next.rows) slides.push_back(row.slides);
    if (slides.back()) continue;
    number_rows(next, slides);
    if (next.form == Form::flat && next.rows.back().number % 2 == 1) continue;
    out.push_back(next);
  }
  for (const Linear less : {Linear(1, 0), Linear(0, 1), Linear(0, -1)}) {
    Sketch next = sketch;
    next.width = next.width - less;
    if (next.width.per_n >= 0 && (less.base >= 0 || next.width.base <= 0)) out.push_back(next);
  }
  for (std::size_t i = 0; i < sketch.rows.size(); ++i)
    for (std::vector<Op>& ops : smaller(sketch.rows[i].ops)) {
      Sketch next = sketch;
      next.rows[i].ops = std::move(ops);
      out.push_back(next);
    }
  return out;
}

}  // namespace

std::string words_of(const Sketch& sketch, const std::string& name) {
  std::string out = fmt::format("fabric {} {} {} st {{\n", name, sketch.form == Form::flat ? "flat" : "round",
                                to_string(sketch.width));
  for (const Row& row : sketch.rows)
    out += fmt::format("  {}{}: {}\n", row.number,
                       row.strand < 0    ? ""
                       : row.strand == 0 ? " A"
                                         : " B",
                       words_of(row.ops));
  return fmt::format("{}}}\n", out);
}

Sketch shrink(Sketch sketch, const std::function<bool(const Sketch&)>& fails) {
  int looks = 2000;
  for (bool going = true; going;) {
    going = false;
    for (const Sketch& next : smaller(sketch))
      if (--looks < 0) {
        return sketch;
      } else if (fails(next)) {
        sketch = next;
        going = true;
        break;
      }
  }
  return sketch;
}

}  // namespace wale::naive
