// A row is worked in large parts, and from its words alone where its stitches all ask for the same. It must
// come to what they come to one after another.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include "compiler/row_worker.hpp"
#include "tests/unit/random_fabric.hpp"

using namespace wale;
using naive::Dice;

namespace {

Loop random_loop(Dice& dice, EntryTypes& types) {
  constexpr LoopType kinds[] = {LoopType::plain,   LoopType::plain,   LoopType::plain, LoopType::veiled,
                                LoopType::wrapped, LoopType::doubled, LoopType::any};
  const LoopType type = kinds[dice.number(0, 6)];
  const Face face = dice.number(0, 1) == 0 ? Face::knit : Face::purl;
  return {type, face, static_cast<short>(dice.number(-1, 1)), type == LoopType::any ? types.fresh() : -1};
}

/// Some of it repeats, and of its first repeat something is used up.
Needle random_needle(Dice& dice, EntryTypes& types) {
  Needle out;
  for (long long left = dice.number(2, 6); left > 0; --left) {
    std::vector<Loop> word;
    for (long long i = dice.number(1, 4); i > 0; --i) word.push_back(random_loop(dice, types));
    if (dice.number(0, 2) == 0)
      word = {{LoopType::front, Face::knit, 0, -1}, {LoopType::back, Face::purl, 1, -1}};
    out.push(word, dice.number(1, 4));
  }
  out.drop(dice.number(0, 3));
  return out;
}

std::vector<Op> random_row(Dice& dice, const Stitches& stitches) {
  constexpr const char* names[] = {"k", "k", "p", "dk", "yo", "k2tog", "sl", "sl1yo", "brk"};
  std::vector<Op> out;
  for (long long i = dice.number(4, 12); i > 0; --i) {
    Op op;
    op.stitch = *stitches.find(names[dice.number(0, 8)]);
    op.count = dice.number(1, 3);
    op.span.begin = static_cast<std::uint32_t>(10 * i);
    op.span.end = op.span.begin + 1;
    if (dice.number(0, 1) == 0) {
      Op in_strand;
      in_strand.form = Op::Form::strand;
      in_strand.strand = static_cast<short>(dice.number(0, 1));
      in_strand.ops = {op};
      op = in_strand;
    }
    out.push_back(op);
  }
  return out;
}

struct Worked {
  RowOutcome outcome;
  Diagnostics diagnostics;
};

Worked work(const Needle& needle, EntryTypes types, const std::vector<RowPart>& parts, Side side) {
  static const Stitches stitches;
  Worked out;
  RowWorker worker(stitches, types, out.diagnostics);
  out.outcome = worker.work(needle, parts, {side, 0, 1, "this row"});
  return out;
}

}  // namespace

TEST_CASE("a row comes to what its stitches come to one after another") {
  const Stitches stitches;
  int good = 0, refused = 0;
  for (std::uint64_t seed = 0; seed < 4000; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    EntryTypes types;
    const Needle needle = random_needle(dice, types);
    const std::vector<Op> row = random_row(dice, stitches);
    if (needle.width().base < balance(row, stitches).takes) continue;
    std::vector<std::vector<Op>> each;
    for (const Op& op : row) each.push_back({op});
    std::vector<RowPart> parts;
    for (const std::vector<Op>& one : each) parts.push_back({&one, balance(one, stitches).takes, 0});
    const Side side = dice.number(0, 1) == 0 ? Side::right : Side::wrong;
    const Worked whole = work(needle, types, {{&row, balance(row, stitches).takes, 0}}, side);
    const Worked singly = work(needle, types, parts, side);
    REQUIRE(whole.outcome.good == singly.outcome.good);
    REQUIRE(whole.diagnostics.all().size() == singly.diagnostics.all().size());
    for (std::size_t i = 0; i < whole.diagnostics.all().size(); ++i)
      REQUIRE(whole.diagnostics.all()[i].message == singly.diagnostics.all()[i].message);
    ++(whole.outcome.good ? good : refused);
    if (!whole.outcome.good) continue;
    REQUIRE(whole.outcome.needle == singly.outcome.needle);
    REQUIRE(whole.outcome.unworked == singly.outcome.unworked);
    REQUIRE(whole.outcome.tally == singly.outcome.tally);
    REQUIRE(whole.outcome.resolves == singly.outcome.resolves);
  }
  // Both are there to be compared.
  CHECK(good > 100);
  CHECK(refused > 100);
}

namespace {

/// Stitches that all ask for plain loops, or all for pairs.
Op alike_op(Dice& dice, const Stitches& stitches, bool pairs) {
  constexpr const char* plain[] = {"k", "p", "k", "k2tog", "ssp", "yo", "m1l", "bo"};
  Op op;
  op.stitch = *stitches.find(pairs ? "dk" : plain[dice.number(0, 7)]);
  op.count = dice.number(1, dice.chance(10) ? 40 : 3);
  if (dice.chance(50)) {
    Op in_strand;
    in_strand.form = Op::Form::strand;
    in_strand.strand = static_cast<short>(dice.number(0, 1));
    in_strand.ops = {op};
    op = in_strand;
  }
  if (dice.chance(20)) {
    Op group;
    group.form = Op::Form::group;
    group.count = dice.number(1, 4);
    group.ops = {op, op};
    op = group;
  }
  return op;
}

/// Loops of that kind alone, cut anyhow, some of them still to be found out; n of them where it grows.
Needle alike_needle(Dice& dice, EntryTypes& types, Linear count, bool pairs) {
  const Loop plain{LoopType::plain, Face::purl, 0, -1};
  const std::vector<Loop> unit =
      pairs ? std::vector<Loop>{{LoopType::front, Face::knit, 0, -1}, {LoopType::back, Face::purl, 1, -1}}
            : std::vector<Loop>{plain};
  const auto wide = static_cast<long long>(unit.size());
  Needle out;
  out.push(unit, Linear(count.per_n / wide, 0));
  for (long long left = count.base / wide; left > 0;) {
    const long long some = dice.number(1, left);
    std::vector<Loop> word = unit;
    if (dice.chance(30))
      for (Loop& loop : word) loop = {LoopType::any, Face::unknown, -1, types.fresh()};
    out.push(word, some);
    left -= some;
  }
  return out;
}

}  // namespace

TEST_CASE("a row of stitches that ask for the same loops comes to what its parts come to one after another") {
  const Stitches stitches;
  int worked = 0, growing = 0;
  for (std::uint64_t seed = 0; seed < 4000; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const bool pairs = dice.chance(30), grows = dice.chance(40);
    std::vector<Op> row;
    for (long long i = dice.number(1, 8); i > 0; --i) row.push_back(alike_op(dice, stitches, pairs));
    if (grows || dice.chance(50)) {
      Op fill;
      fill.form = Op::Form::fill;
      for (long long i = dice.number(1, 3); i > 0; --i) fill.ops.push_back(alike_op(dice, stitches, pairs));
      row.insert(
          row.begin() + static_cast<std::ptrdiff_t>(dice.number(0, static_cast<long long>(row.size()))),
          fill);
    }
    const Op* fill = find_fill(row);
    const long long each = fill ? balance(fill->ops, stitches).takes : 0;
    if (fill && each == 0) continue;
    const Linear fills = fill ? Linear(grows ? 2 : 0, dice.number(grows ? 0 : 1, 5)) : Linear(0);
    const Linear takes = fills * each + Linear(balance(row, stitches).takes);
    EntryTypes types;
    const Needle needle = alike_needle(dice, types, takes, pairs);
    const Side side = dice.number(0, 1) == 0 ? Side::right : Side::wrong;
    const Worked whole = work(needle, types, {{&row, takes, fills}}, side);
    REQUIRE(whole.outcome.good);
    REQUIRE(whole.outcome.unworked.width() == Linear(0));
    for (const long long n : {1LL, 2LL, 7LL}) {
      // Where there are several parts each is worked by itself.
      std::vector<std::vector<Op>> words;
      for (const Op& op : row) words.push_back({op});
      std::vector<RowPart> parts;
      for (const std::vector<Op>& one : words) {
        const bool repeats = find_fill(one) != nullptr;
        const long long times = repeats ? fills.at(n) : 0;
        parts.push_back({&one, repeats ? each * times : balance(one, stitches).takes, times});
      }
      static const std::vector<Op> none;
      parts.push_back({&none, 0, 0});
      const Worked singly = work(needle.at(n), types, parts, side);
      REQUIRE(singly.outcome.good);
      REQUIRE(whole.outcome.needle.at(n) == singly.outcome.needle);
      for (const auto& [key, count] : singly.outcome.tally) {
        const auto same = whole.outcome.tally.find(key);
        REQUIRE(same != whole.outcome.tally.end());
        REQUIRE(same->second.at(n) == count.base);
      }
      REQUIRE(whole.outcome.tally.size() == singly.outcome.tally.size());
      if (!grows) break;
    }
    ++worked;
    growing += grows;
  }
  CHECK(worked > 2000);
  CHECK(growing > 500);
}

TEST_CASE("a row is not worked from its words where something else is on the needle") {
  const Stitches stitches;
  const std::vector<Op> row = [&] {
    Op knit;
    knit.stitch = *stitches.find("k");
    knit.count = 4;
    return std::vector<Op>{knit};
  }();
  Needle needle;
  needle.push({{LoopType::plain, Face::knit, 0, -1}}, 3);
  needle.push({{LoopType::veiled, Face::knit, 0, -1}}, 1);
  const Worked found = work(needle, {}, {{&row, 4, 0}}, Side::right);
  CHECK_FALSE(found.outcome.good);
  REQUIRE(found.diagnostics.all().size() == 1);
  CHECK(found.diagnostics.all()[0].kind == Kind::wrong_loop);
}
