// Fabrics whose rows turn before their end, and fabrics of two layers.
#include <algorithm>

#include "tests/unit/random_fabric.hpp"

namespace wale::naive {

namespace {

const std::vector<std::string> turning_words{"k", "p", "k", "sl", "2/1rc", "ktbl"};
const std::vector<std::string> shaping_words{"k", "p", "yo", "k2tog", "kfb", "sl", "m1l"};

Op turn_op(Turn turn, long long leaves) {
  Op out;
  out.form = Op::Form::turn;
  out.turn = turn;
  out.leaves = leaves;
  return out;
}

Balance sum(const std::vector<Op>& ops) {
  return balance(ops, vocabulary());
}

/// A row over `reach` loops; `gives` becomes what it gives. Without a fill it takes what its stitches take.
std::vector<Op> random_row(Dice& dice, Linear reach, bool with_fill, Linear& takes, Linear& gives) {
  const auto& words = dice.chance(85) ? turning_words : shaping_words;
  std::vector<Op> before = dice.chance(70) ? random_ops(dice, words, 1) : std::vector<Op>();
  std::vector<Op> after = dice.chance(70) ? random_ops(dice, words, 1) : std::vector<Op>();
  if (!with_fill) {
    if (before.empty()) before.push_back(stitch_op("k", 2));
    takes = sum(before).takes;
    gives = sum(before).gives;
    return before;
  }
  std::vector<Op> fill = random_ops(dice, words, 1);
  if (sum(fill).takes == 0 || reach.per_n % sum(fill).takes != 0) fill = {stitch_op("p")};
  const long long per = sum(fill).takes;
  const auto beside = [&] { return sum(before).takes + sum(after).takes; };
  if (dice.chance(94))
    for (long long pad = floor_rest(reach.base - beside(), per); pad > 0; --pad)
      after.push_back(stitch_op("k"));
  const Linear left = reach - Linear(beside());
  takes = reach;
  gives = Linear(left.per_n / per, floor_divide(left.base, per)) * sum(fill).gives +
          Linear(sum(before).gives + sum(after).gives);
  before.push_back(frame(Op::Form::fill, std::move(fill)));
  before.insert(before.end(), after.begin(), after.end());
  return before;
}

}  // namespace

Sketch random_turning(Dice& dice) {
  Sketch out;
  out.form = dice.chance(60) ? Form::flat : Form::round;
  const bool constant = dice.chance(25);
  out.width = {constant ? 0 : dice.number(1, 6), constant ? dice.number(8, 50) : dice.number(4, 20)};
  Linear ahead = out.width, behind = 0;
  Side side = Side::right;
  const long long rows = 2 * dice.number(1, 4);
  for (long long i = 0; i < rows; ++i) {
    const bool last = i + 1 >= rows;
    const bool turns = dice.chance(last ? 10 : 65);
    const Turn how = dice.one_of(std::vector{Turn::plain, Turn::wrap, Turn::wrap, Turn::doubled});
    // With a fill the number left must be said; without one it may be.
    const bool fills = !turns || dice.chance(60);
    const long long leaves = turns && fills ? dice.number(dice.chance(90) ? 1 : 0, 5) : -1;
    Row row;
    Linear takes, gives;
    row.ops = random_row(dice, ahead - Linear(std::max(0LL, leaves)), fills, takes, gives);
    if (turns) row.ops.push_back(turn_op(how, leaves));
    out.rows.push_back(std::move(row));
    const Linear rest = turns ? ahead - takes : Linear(0);
    if (out.form == Form::round && !turns && side == Side::right) {
      ahead = behind + gives;
      behind = 0;
      continue;
    }
    side = other(side);
    const long long lifted = turns && how == Turn::doubled ? 1 : 0;
    ahead = gives + behind - Linear(lifted);
    behind = rest + Linear(lifted);
  }
  number_rows(out, std::vector<bool>(out.rows.size(), false));
  return out;
}

Sketch random_layered(Dice& dice) {
  Sketch out;
  out.form = dice.chance(60) ? Form::flat : Form::round;
  const long long closed = dice.chance(40) ? dice.number(1, 2) : 0;  // plain stitches at both edges
  const long long per = dice.number(1, 4);
  out.width = dice.chance(20) ? Linear(2 * dice.number(1, 12) + 2 * closed)
                              : Linear(2 * per, 2 * dice.number(0, 3) + 2 * closed);
  const long long rows = out.form == Form::flat ? 2 * dice.number(1, 3) : dice.number(1, 4);
  const auto pairs = [&](long long count) {
    std::vector<Op> ops;
    while (count > 0) {
      const long long some = dice.number(1, count);
      Op pair = stitch_op("dk", some);
      if (dice.chance(15)) pair = stitch_op("sl", 2 * some);
      if (dice.chance(40)) {
        pair = frame(Op::Form::strand, {pair});
        pair.strand = static_cast<short>(dice.number(0, 1));
      }
      ops.push_back(std::move(pair));
      count -= some;
    }
    return ops;
  };
  for (long long i = 0; i < rows; ++i) {
    Row row;
    row.strand = static_cast<short>(dice.number(0, 1));
    row.back_strand = static_cast<short>(1 - row.strand);
    const long long in_fill = out.width.constant() ? 1 : dice.chance(50) ? per : 1;
    const long long base = (out.width.base - 2 * closed) / 2;
    const long long beside = out.width.constant() ? dice.number(0, base) : floor_rest(base, in_fill);
    const long long before = dice.number(0, beside);
    if (closed > 0) row.ops.push_back(stitch_op("k", closed));
    std::vector<Op> head = pairs(before), fill = pairs(in_fill), tail = pairs(beside - before);
    row.ops.insert(row.ops.end(), head.begin(), head.end());
    if (dice.chance(4)) fill = {stitch_op("k", 2 * in_fill)};
    row.ops.push_back(frame(Op::Form::fill, std::move(fill)));
    row.ops.insert(row.ops.end(), tail.begin(), tail.end());
    if (closed > 0) row.ops.push_back(stitch_op("p", closed));
    if (dice.chance(3)) row.ops.push_back(stitch_op(dice.chance(50) ? "k" : "dk"));
    out.rows.push_back(std::move(row));
  }
  number_rows(out, std::vector<bool>(out.rows.size(), false));
  return out;
}

}  // namespace wale::naive
