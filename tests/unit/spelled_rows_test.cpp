// A row that is spelled out is worked in one go. It must come to what its stitches come to one after another.
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
  out.outcome = worker.work(needle, parts, std::vector<Linear>(parts.size(), 0), {side, 0, 1, "this row"});
  return out;
}

}  // namespace

TEST_CASE("a row that is spelled out comes to what its stitches come to one after another") {
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
    for (const std::vector<Op>& one : each) parts.push_back({&one, balance(one, stitches).takes});
    const Side side = dice.number(0, 1) == 0 ? Side::right : Side::wrong;
    const Worked whole = work(needle, types, {{&row, balance(row, stitches).takes}}, side);
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

TEST_CASE("loops that are looked at stay on the needle") {
  const Loop a{LoopType::plain, Face::knit, 0, -1}, b{LoopType::plain, Face::purl, 1, -1};
  Needle needle;
  needle.push({a, b}, 3);
  needle.push({b}, Linear(1, 2));
  needle.drop(1);
  std::vector<Loop> seen;
  needle.peek(4, seen);
  CHECK(seen == std::vector<Loop>{b, a, b, a});
  needle.peek(100, seen);  // what grows with n is not spelled out
  CHECK(seen == std::vector<Loop>{b, a, b, a, b});
  CHECK(needle.width() == Linear(1, 7));
}
