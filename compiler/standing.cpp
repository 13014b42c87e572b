#include "compiler/standing.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace wale {

namespace {

/// More stitches than this are not written out for one row.
constexpr std::size_t longest_row = 100'000;

/// A stitch, or several that are worked as one.
struct Item {
  Op op;
  long long takes = 0, gives = 0;
};

/// A row of a fabric taken apart.
struct FlatRow {
  std::vector<Item> before, fill, after;
  bool has_fill = false, too_long = false, turns = false;

  std::vector<Item>& current() { return has_fill ? after : before; }
};

long long takes(const std::vector<Item>& items) {
  long long out = 0;
  for (const Item& each : items) out += each.takes;
  return out;
}
bool balanced(const std::vector<Item>& items) {
  long long gain = 0;
  for (const Item& each : items) gain += each.gives - each.takes;
  return gain == 0;
}
bool one_by_one(const std::vector<Item>& items) {
  return std::all_of(items.begin(), items.end(), [](const Item& i) { return i.takes == 1 && i.gives == 1; });
}

class Flattener {
 public:
  Flattener(const Stitches& stitches, FlatRow& out) : stitches_(stitches), out_(out) {}

  void read(const std::vector<Op>& ops, short strand) {
    for (const Op& op : ops) read(op, strand);
  }

 private:
  void put(Op op, short strand, long long takes, long long gives) {
    std::vector<Item>& to = in_fill_ ? out_.fill : out_.current();
    out_.too_long |= to.size() >= longest_row;
    if (out_.too_long) return;
    if (strand >= 0) {
      Op group;
      group.form = Op::Form::strand;
      group.strand = strand;
      group.span = op.span;
      group.ops.push_back(std::move(op));
      op = std::move(group);
    }
    to.push_back({std::move(op), takes, gives});
  }

  void read(const Op& op, short strand) {
    switch (op.form) {
      case Op::Form::stitch: {
        Op one = op;
        one.count = 1;
        const Stitch& stitch = stitches_[op.stitch];
        for (long long i = 0; i < op.count && !out_.too_long; ++i)
          put(one, strand, static_cast<long long>(stitch.takes.size()),
              static_cast<long long>(stitch.gives.size()));
        break;
      }
      case Op::Form::group:
        for (long long i = 0; i < op.count && !out_.too_long; ++i) read(op.ops, strand);
        break;
      case Op::Form::strand:
        read(op.ops, op.strand);
        break;
      case Op::Form::into:
        put(op, strand, op.count, balance(op.ops, stitches_).gives);
        break;
      case Op::Form::fill:
        in_fill_ = true;
        read(op.ops, strand);
        in_fill_ = false;
        out_.has_fill = true;
        break;
      case Op::Form::as_seen:
        in_fill_ = true;
        put(op, strand, 1, 1);
        in_fill_ = false;
        out_.has_fill = true;
        break;
      case Op::Form::marker:
        break;
      case Op::Form::turn:
        out_.turns = true;
        break;
    }
  }

  const Stitches& stitches_;
  FlatRow& out_;
  bool in_fill_ = false;
};

/// Writes columns of one fabric's row as stitches to work.
class Cutter {
 public:
  Cutter(const FlatRow& row, long long width, StitchId plain, Span span, std::vector<Op>& out)
      : row_(row), width_(width), plain_(plain), span_(span), out_(out) {}

  /// Columns in the order in which they are worked; 0 is the fabric's first.
  void cut(long long from, long long to, bool stitchwise) {
    if (from >= to) return;
    if (!row_.fill.empty() && row_.fill.front().op.form == Op::Form::as_seen) return as_seen(from, to);
    stitchwise ? by_stitches(from, to) : by_repeats(from, to);
  }

 private:
  void as_seen(long long from, long long to) {
    const auto before = static_cast<long long>(row_.before.size()),
               after = width_ - static_cast<long long>(row_.after.size());
    // What is beyond the edges is worked like the edge: as seen, unless stitches stand beside that.
    if (before == 0) from = std::max(from, 0LL);
    for (; from < std::min(before, to); ++from)
      out_.push_back(row_.before[static_cast<std::size_t>(std::max(from, 0LL))].op);
    const long long end = row_.after.empty() ? to : std::min(after, to);
    if (from < end) out_.push_back(row_.fill.front().op), from = end;
    for (; from < to; ++from)
      out_.push_back(row_.after[static_cast<std::size_t>(std::min(from, width_ - 1) - after)].op);
  }

  const Op& at(long long column) const {
    const auto before = static_cast<long long>(row_.before.size()),
               after = static_cast<long long>(row_.after.size());
    if (column >= 0 && column < before) return row_.before[static_cast<std::size_t>(column)].op;
    if (column >= width_ - after && column < width_)
      return row_.after[static_cast<std::size_t>(column - (width_ - after))].op;
    // Without a fill the whole row is the repeat.
    const std::vector<Item>& repeat = row_.fill.empty() ? row_.before : row_.fill;
    const long long begins = row_.fill.empty() ? 0 : before;
    return repeat[static_cast<std::size_t>(
                      floor_rest(column - begins, static_cast<long long>(repeat.size())))]
        .op;
  }

  void by_stitches(long long from, long long to) {
    const auto before = static_cast<long long>(row_.before.size()),
               after = width_ - static_cast<long long>(row_.after.size()),
               period = static_cast<long long>(row_.fill.size());
    while (from < to) {
      // Whole repeats are one group, however many they are.
      const bool in_fill = period > 0 && from >= before && from < after;
      const long long repeats = in_fill ? (std::min(to, after) - from) / period : 0;
      if (repeats > 1 && floor_rest(from - before, period) == 0) {
        group(repeats);
        from += repeats * period;
      } else {
        out_.push_back(at(from++));
      }
    }
  }

  void by_repeats(long long from, long long to) {
    const long long before = takes(row_.before), after = width_ - takes(row_.after), fill = takes(row_.fill);
    if (from < 0) plain(-from), from = 0;
    const long long beyond = std::max(0LL, to - width_);
    to -= beyond;
    if (from < before) {
      if (from == 0 && to >= before)
        all(row_.before);
      else
        plain(std::min(before, to) - from);
      from = std::min(before, to);
    }
    if (from < std::min(after, to) && fill > 0) {
      const long long end = std::min(after, to);
      const long long first = before + (from - before + fill - 1) / fill * fill;
      const long long repeats = first < end ? (end - first) / fill : 0;
      if (repeats > 0) {
        plain(first - from);
        group(repeats);
        from = first + repeats * fill;
      }
      plain(end - from);
      from = end;
    }
    if (from < to) {
      if (from == after && to == width_)
        all(row_.after);
      else
        plain(to - from);
    }
    plain(beyond);
  }

  void all(const std::vector<Item>& items) {
    for (const Item& each : items) out_.push_back(each.op);
  }
  void group(long long times) {
    Op op;
    op.form = Op::Form::group;
    op.count = times;
    op.span = span_;
    for (const Item& each : row_.fill) op.ops.push_back(each.op);
    out_.push_back(std::move(op));
  }
  void plain(long long count) {
    if (count <= 0) return;
    Op op;
    op.stitch = plain_;
    op.count = count;
    op.span = span_;
    out_.push_back(std::move(op));
  }

  const FlatRow& row_;
  long long width_;
  StitchId plain_;
  Span span_;
  std::vector<Op>& out_;
};

}  // namespace

struct TakenApart::Rows {
  struct One {
    FlatRow flat;
    bool kept = true;
  };
  std::vector<One> rows;  ///< by number, from 1
  One again;              ///< the last one of those that are not kept
  std::string why_not;
  bool stitchwise = true;

  Rows(const Fabric& fabric, const Stitches& stitches) { why_not = take_apart(fabric, stitches); }

  const FlatRow& row(const Fabric& fabric, std::size_t at, const Stitches& stitches) {
    if (rows[at].kept) return rows[at].flat;
    again = {};
    Flattener(stitches, again.flat).read(fabric.rows[at].row.ops, -1);
    return again.flat;
  }

 private:
  std::string take_apart(const Fabric& fabric, const Stitches& stitches) {
    if (fabric.needs_set_up)
      return fmt::format("{} is worked on stitches that are not plain ones", fabric.name);
    std::size_t items_kept = 0;
    for (const CheckedRow& row : fabric.rows) {
      if (row.row.slides) return fmt::format("{} is worked in several passes a row", fabric.name);
      One& one = rows.emplace_back();
      Flattener(stitches, one.flat).read(row.row.ops, -1);
      if (one.flat.turns) return fmt::format("{} has rows that turn before their end", fabric.name);
      if (one.flat.too_long)
        return fmt::format("{} has rows that are too long to be taken apart", fabric.name);
      for (const std::vector<Item>* items : {&one.flat.before, &one.flat.fill, &one.flat.after}) {
        if (!balanced(*items))
          return fmt::format("{} has rows in which a repeat gains or loses stitches", fabric.name);
        stitchwise &= one_by_one(*items);
        items_kept += items->size();
      }
      if (items_kept <= longest_row) continue;
      one = {{}, false};
    }
    return "";
  }
};

TakenApart::TakenApart(const std::vector<Fabric>& fabrics, const Stitches& stitches)
    : fabrics_(fabrics), stitches_(stitches) {}
TakenApart::~TakenApart() = default;

TakenApart::Rows& TakenApart::of(int fabric) {
  const auto at = static_cast<std::size_t>(fabric);
  if (rows_.size() <= at) rows_.resize(at + 1);
  if (!rows_[at]) rows_[at] = std::make_unique<Rows>(fabrics_[at], stitches_);
  return *rows_[at];
}

const std::string& TakenApart::why_not(const Step::Part& part) {
  return of(part.fabric).why_not;
}
bool TakenApart::stitchwise(const Step::Part& part) {
  return of(part.fabric).stitchwise;
}

long long Standing::laid_out() const {
  long long out = 0;
  for (const Step::Part& part : parts) out += part.width;
  return out;
}

bool Standing::whole() const {
  return low == 0 && high == laid_out() &&
         std::all_of(seams.begin(), seams.end(), [](const Seam& s) { return s.ends == s.begins; });
}

std::vector<Standing::Section> Standing::sections() const {
  std::vector<Section> out;
  out.reserve(seams.size() + 1);
  long long begins = low;
  for (const Seam& seam : seams) {
    out.push_back({begins, seam.ends});
    begins = seam.begins;
  }
  out.push_back({begins, high});
  return out;
}

void Standing::set_sections(const std::vector<Section>& sections) {
  std::vector<Section> kept;
  kept.reserve(sections.size());
  for (const Section& each : sections) {
    if (each.width() <= 0) continue;
    // What follows on is no seam.
    if (!kept.empty() && kept.back().high == each.low)
      kept.back().high = each.high;
    else
      kept.push_back(each);
  }
  if (kept.empty()) kept.push_back({low, low});
  low = kept.front().low;
  high = kept.back().high;
  seams.clear();
  for (std::size_t i = 1; i < kept.size(); ++i) seams.push_back({kept[i - 1].high, kept[i].low});
}

long long Standing::width() const {
  long long out = high - low;
  for (const Seam& seam : seams) out -= seam.begins - seam.ends;
  return out;
}

/// Raglan lines take their stitches at either side of a seam, which is then wider. False, and nothing done,
/// where it is not as simple as that.
bool Standing::widens_a_seam(long long from, long long to) {
  long long begins = 0, section_low = low;
  for (std::size_t i = 0; i < seams.size(); ++i) {
    Seam& seam = seams[i];
    const long long ends = begins + seam.ends - section_low;
    if (ends > from) {
      const long long next_high = i + 1 < seams.size() ? seams[i + 1].ends : high;
      const long long right_of_it = ends - from, left_of_it = to - ends;
      if (from <= begins || left_of_it < 0 || left_of_it >= next_high - seam.begins ||
          seam.ends - right_of_it >= seam.begins + left_of_it)
        return false;
      seam.ends -= right_of_it;
      seam.begins += left_of_it;
      return true;
    }
    begins = ends;
    section_low = seam.begins;
  }
  return false;
}

void Standing::erase(long long from, long long to) {
  if (from < to) {
    // At an edge, of whose section something stays.
    const long long wide = width();
    if (from <= 0 && to < (seams.empty() ? high : seams.front().ends) - low) {
      low += std::max(to, 0LL);
      return;
    }
    if (to >= wide && from > wide - (high - (seams.empty() ? low : seams.back().begins))) {
      high -= std::max(wide - from, 0LL);
      return;
    }
  }
  if (widens_a_seam(from, to)) return;
  std::vector<Section> left;
  left.reserve(2 * seams.size() + 2);
  long long begins = 0;
  for (const Section& each : sections()) {
    const long long ends = begins + each.width();
    left.push_back({each.low, each.low + std::clamp(from, begins, ends) - begins});
    left.push_back({each.low + std::clamp(to, begins, ends) - begins, each.high});
    begins = ends;
  }
  set_sections(left);
}

void Standing::insert(long long at, long long before, long long after) {
  if (const long long wide = width(); wide > 0 && (at <= 0 || at >= wide)) {
    at <= 0 ? low -= after : high += before;
    return;
  }
  std::vector<Section> out;
  std::size_t to_the_right = 0;  // sections that end where the stitches come
  long long begins = 0;
  for (const Section& each : sections()) {
    const long long ends = begins + each.width();
    if (begins < at && at < ends) {
      out.push_back({each.low, each.low + at - begins});
      to_the_right = out.size();
      out.push_back({each.low + at - begins, each.high});
    } else {
      out.push_back(each);
      if (ends <= at) to_the_right = out.size();
    }
    begins = ends;
  }
  if (to_the_right > 0) out[to_the_right - 1].high += before;
  if (to_the_right < out.size()) out[to_the_right].low -= after;
  set_sections(out);
}

std::optional<StitchId> TakenApart::one_stitch(const Step::Part& part, long long row) {
  Rows& rows = of(part.fabric);
  const auto at = static_cast<std::size_t>(row % static_cast<long long>(rows.rows.size()));
  const FlatRow& flat = rows.row(fabrics_[static_cast<std::size_t>(part.fabric)], at, stitches_);
  if (!flat.before.empty() || !flat.after.empty() || flat.fill.size() != 1) return {};
  const Op& op = flat.fill.front().op;
  if (op.form != Op::Form::stitch || !rows.stitchwise || !stitches_[op.stitch].plain) return {};
  return op.stitch;
}

std::string TakenApart::row(const Standing& standing, Form form, Side side, long long low, long long high,
                            short& strand, std::vector<Op>& out) {
  const bool reversed = form == Form::flat && side == Side::wrong;
  const long long total = standing.laid_out();
  const long long from = reversed ? total - high : low, to = reversed ? total - low : high;
  const auto plain = stitches_.find(reversed ? "p" : "k");
  if (!plain) return "the vocabulary has no plain stitch";
  long long begins = 0;
  int seen = 0;
  for (std::size_t k = 0; k < standing.parts.size(); ++k) {
    const Step::Part& part = standing.parts[reversed ? standing.parts.size() - 1 - k : k];
    Rows& rows = of(part.fabric);
    const Fabric& fabric = fabrics_[static_cast<std::size_t>(part.fabric)];
    const auto at = static_cast<std::size_t>(standing.row % static_cast<long long>(rows.rows.size()));
    const Row& row = fabric.rows[at].row;
    const FlatRow& flat = rows.row(fabric, at, stitches_);
    if (row.strand >= 0 && strand >= 0 && strand != row.strand)
      return "fabrics side by side are worked in different strands";
    if (row.strand >= 0) strand = row.strand;
    const bool first = k == 0, last = k + 1 == standing.parts.size();
    const long long own_from = first ? from : std::max(from, begins),
                    own_to = last ? to : std::min(to, begins + part.width);
    Cutter(flat, part.width, *plain, row.span, out).cut(own_from - begins, own_to - begins, rows.stitchwise);
    begins += part.width;
    seen += !flat.fill.empty() && flat.fill.front().op.form == Op::Form::as_seen && own_from < own_to;
  }
  return seen > 1 ? "several fabrics side by side are worked as seen" : "";
}

}  // namespace wale
