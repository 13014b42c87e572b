#include "compiler/stretch_fabric.hpp"

#include <algorithm>
#include <numeric>

namespace wale {

namespace {

/// A repeat wider than this is none that a frame would help to read.
constexpr long long widest_repeat = 100;

struct Fraction {
  long long over = 1, under = 1;
};

/// Of each row: stitches of the repeat before it, and how many fills these are, for the least repeat that is
/// whole in every row.
struct Repeats {
  std::vector<long long> stitches, fills;
};

std::optional<Repeats> repeats_of(const std::vector<CheckedRow>& rows, const Stitches& stitches) {
  std::vector<Fraction> before, fills;
  Fraction now;
  long long whole = 1;
  for (const CheckedRow& row : rows) {
    const Op* fill = find_fill(row.row.ops);
    if (!fill) return {};
    Balance each{1, 1};
    if (fill->form == Op::Form::fill) each = balance(fill->ops, stitches);
    if (each.takes < 1 || each.takes > widest_repeat || each.gives > widest_repeat) return {};
    before.push_back(now);
    Fraction count{now.over, now.under * each.takes};
    const long long shared = std::gcd(count.over, count.under);
    count = {count.over / shared, count.under / shared};
    fills.push_back(count);
    now = {count.over * each.gives, count.under};
    const long long common = std::max(1LL, std::gcd(now.over, now.under));
    now = {now.over / common, now.under / common};
    whole = std::lcm(whole, std::lcm(count.under, now.under));
    if (whole > widest_repeat || now.over > widest_repeat) return {};
  }
  Repeats out;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    out.stitches.push_back(before[i].over * whole / before[i].under);
    out.fills.push_back(fills[i].over * whole / fills[i].under);
  }
  out.stitches.push_back(now.over * whole / now.under);
  return out;
}

/// `count` at n = `times`, growing by `each` with n.
Linear growing(Linear count, long long each, long long times) {
  return {each, count.base - each * times};
}

}  // namespace

StretchFabric stretch_of(std::vector<CheckedRow> rows, Form form, const std::string& name,
                         const Stitches& stitches) {
  StretchFabric out;
  Fabric& fabric = out.fabric;
  fabric.name = name;
  fabric.form = form;
  fabric.good = true;
  fabric.width = rows.front().before;
  const auto repeats = repeats_of(rows, stitches);
  long long times = repeats ? largest_work : 0;
  for (std::size_t i = 0; repeats && i < rows.size(); ++i)
    if (repeats->fills[i] > 0) times = std::min(times, rows[i].fills.base / repeats->fills[i]);
  if (repeats && times > 1 && times < largest_work) {
    bool alike = true;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      CheckedRow& row = rows[i];
      alike &= row.fills.base == times * repeats->fills[i];
      row.fills = growing(row.fills, repeats->fills[i], times);
      row.before = growing(row.before, repeats->stitches[i], times);
      row.after = growing(row.after, repeats->stitches[i + 1], times);
    }
    fabric.width = rows.front().before;
    fabric.smallest_n = 1;
    if (alike) out.times = times;
  }
  fabric.height = rows.back().row.number;
  fabric.rows = std::move(rows);
  return out;
}

void sections_as_fills(std::vector<CheckedRow>& rows) {
  long long sections = 0;
  for (CheckedRow& row : rows) {
    std::vector<Op>& ops = row.row.ops;
    const auto is_group = [](const Op& op) { return op.form == Op::Form::group && op.count > 1; };
    if (find_fill(ops) || std::count_if(ops.begin(), ops.end(), is_group) != 1) continue;
    Op& group = *std::find_if(ops.begin(), ops.end(), is_group);
    sections = std::gcd(sections, group.count);
    row.fills = group.count;
    group.form = Op::Form::fill;
    group.count = 1;
  }
  if (sections < 2) return;
  for (CheckedRow& row : rows) {
    std::vector<Op>& ops = row.row.ops;
    if (ops.size() != 1 || ops[0].form != Op::Form::stitch || ops[0].count % sections != 0) continue;
    Op fill = ops[0];
    fill.form = Op::Form::fill;
    fill.count = 1;
    fill.ops = {ops[0]};
    fill.ops[0].count = ops[0].count / sections;
    ops[0] = std::move(fill);
    row.fills = sections;
  }
}

}  // namespace wale
