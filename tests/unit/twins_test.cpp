// What a stitch looks like from the right side, worked on either side; and that a fabric turned into the
// other way of working looks the same and leaves the same on the needle.
//
//     wrong-side row:  p2tog p3     the right side shows:  k3 k2tog
//
// How each stitch looks is written down here by hand, from common practice: a wrong twin in the vocabulary
// does not agree with it. The fabrics are worked by the naive knitter.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "compiler/fabric.hpp"
#include "tests/unit/naive.hpp"
#include "tests/unit/random_fabric.hpp"

using namespace wale;
using namespace wale::naive;

namespace {

/// What the right side shows of a stitch worked on the right side, and of one worked on the wrong side. The
/// first word is the face of its loops (what has no face of its own is read as knit); `right`, `left` and
/// `centre` are where the stitches taken together lean, seen from the right side.
struct Drawn {
  std::string word, on_right, on_wrong;
};

/// Common practice. Of decreases: p2tog from behind is k2tog, leaning right; ssp is ssk, leaning left; a
/// stitch passed over lies on top and leans to the side it was passed to, so from behind it is the second of
/// the two, passed over the first, that makes a left one. Of increases: lifting the strand from front to back
/// and twisting it leans left, knitted from one side or purled from the other.
const std::vector<Drawn>& looks() {
  static const std::vector<Drawn> table{
      {"k", "knit", "purl"},
      {"p", "purl", "knit"},
      {"ktbl", "knit twisted", "purl twisted"},
      {"ptbl", "purl twisted", "knit twisted"},
      {"kb", "knit into the stitch below", "purl into the stitch below"},
      {"pb", "purl into the stitch below", "knit into the stitch below"},
      {"sl", "slipped, yarn hidden", "slipped, yarn hidden"},
      {"slk", "slipped turned, yarn hidden", "slipped turned, yarn hidden"},
      {"slwyif", "slipped, yarn shows", "slipped, yarn hidden"},
      {"slwyib", "slipped, yarn hidden", "slipped, yarn shows"},
      {"yo", "a hole", "a hole"},
      {"co", "a cast-on loop", "a cast-on loop"},
      {"drop", "a ladder", "a ladder"},
      {"bo", "a bound-off loop", "a bound-off loop"},
      {"kfb", "knit, 2 out of 1", "purl, 2 out of 1"},
      {"pfb", "purl, 2 out of 1", "knit, 2 out of 1"},
      {"kfbf", "knit, 3 out of 1", "purl, 3 out of 1"},
      {"pfbf", "purl, 3 out of 1", "knit, 3 out of 1"},
      {"m1", "knit strand twisted", "purl strand twisted"},
      {"m1p", "purl strand twisted", "knit strand twisted"},
      {"m1l", "knit strand twisted left", "purl strand twisted left"},
      {"m1lp", "purl strand twisted left", "knit strand twisted left"},
      {"m1r", "knit strand twisted right", "purl strand twisted right"},
      {"m1rp", "purl strand twisted right", "knit strand twisted right"},
      {"k2tog", "knit 2 right", "purl 2 right"},
      {"p2tog", "purl 2 right", "knit 2 right"},
      {"ssk", "knit 2 left", "purl 2 left"},
      {"ssp", "purl 2 left", "knit 2 left"},
      {"skp", "knit 2 left, passed over", "purl 2 left, passed over"},
      {"prp", "purl 2 left, passed over", "knit 2 left, passed over"},
      {"k3tog", "knit 3 right", "purl 3 right"},
      {"p3tog", "purl 3 right", "knit 3 right"},
      {"sssk", "knit 3 left", "purl 3 left"},
      {"sssp", "purl 3 left", "knit 3 left"},
      {"sk2p", "knit 3 left, passed over", "purl 3 left, passed over"},
      {"p2rp", "purl 3 left, passed over", "knit 3 left, passed over"},
      {"s2kp", "knit 3 centre", "purl 3 centre"},
      {"s2pp", "purl 3 centre", "knit 3 centre"},
      {"sl1yo", "slipped under its yarn over", "slipped under its yarn over"},
      {"brk", "knit with its yarn over", "purl with its yarn over"},
      {"brp", "purl with its yarn over", "knit with its yarn over"},
      {"brkyobrk", "knit with its yarn over, 3 out of 1", "purl with its yarn over, 3 out of 1"},
      {"brpyobrp", "purl with its yarn over, 3 out of 1", "knit with its yarn over, 3 out of 1"},
      {"brlsl", "knit brioche 3 left", "purl brioche 3 left"},
      {"brlsp", "purl brioche 3 left", "knit brioche 3 left"},
      {"brrsl", "knit brioche 3 right", "purl brioche 3 right"},
      {"brrsp", "purl brioche 3 right", "knit brioche 3 right"},
      {"dk", "a pair", "a pair"},
      {"dkopen", "opened into a pair", "opened into a pair"},
      {"dkjoin", "knit layers joined", "purl layers joined"},
      {"pkjoin", "purl layers joined", "knit layers joined"},
  };
  return table;
}

const Drawn* look_of(const std::string& word) {
  for (const Drawn& each : looks())
    if (each.word == word) return &each;
  return nullptr;
}

std::string look_of(const Made& made) {
  const std::string into = made.into > 0 ? fmt::format("out of {}: ", made.into) : "";
  if (made.stitch < 0) return into + "as seen";
  const Stitch& stitch = vocabulary()[made.stitch];
  // A crossing is called by what the right side shows.
  if (stitch.crossing) return into + stitch.name;
  const Drawn* look = look_of(stitch.name);
  if (!look) return into + "nobody knows how " + stitch.name + " looks";
  return into + (made.side == Side::right ? look->on_right : look->on_wrong);
}

std::vector<std::string> looks_of(const std::vector<Made>& row) {
  std::vector<std::string> out;
  for (const Made& each : row) out.push_back(look_of(each));
  return out;
}

Lean lean_said(const std::string& look) {
  return look.find("left") != std::string::npos     ? Lean::left
         : look.find("right") != std::string::npos  ? Lean::right
         : look.find("centre") != std::string::npos ? Lean::centre
                                                    : Lean::none;
}

std::vector<std::string> all_words() {
  std::vector<std::string> out;
  for (const Drawn& each : looks()) out.push_back(each.word);
  return out;
}

/// Crossings of every kind whose strips come to at most `most` stitches, and some that are as wide as may be.
std::vector<std::string> crossings(int most) {
  std::vector<std::string> out;
  for (const char* family : {"rc", "lc", "rpc", "lpc"}) {
    for (int over = 1; over < most; ++over)
      for (int under = 1; over + under <= most; ++under) {
        out.push_back(fmt::format("{}/{}{}", over, under, family));
        for (int between = 1; over + between + under <= most; ++between)
          out.push_back(fmt::format("{}/{}/{}{}", over, between, under, family));
      }
    out.push_back(fmt::format("32/32{}", family));
    out.push_back(fmt::format("1/62/1{}", family));
    out.push_back(fmt::format("20/3/41{}", family));
  }
  return out;
}

/// Stitches that leave loops for this one, if a wrong-side row (or the next round) comes to it.
std::vector<Op> foundation(const Stitch& stitch, bool wrong_side) {
  std::vector<LoopType> wanted = stitch.takes;
  if (wrong_side) {
    std::reverse(wanted.begin(), wanted.end());
    for (LoopType& type : wanted) type = from_behind(type);
  }
  std::vector<Op> out;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const bool pair = wanted[i] == LoopType::front || wanted[i] == LoopType::back;
    out.push_back(stitch_op(pair ? "dk" : wanted[i] == LoopType::veiled ? "sl1yo" : i % 3 == 1 ? "p" : "k"));
    if (pair) ++i;
  }
  return out;
}

/// A fabric that works the stitch in its second row among others that tell right from left, and passes on
/// what it gives; with another beside it worked in the first row. Each row begins with a stitch in the other
/// strand, so that both are where the next row wants them.
Sketch showing(const std::string& word, Form form) {
  const Op shown = stitch_op(word);
  const Stitch& stitch = vocabulary()[shown.stitch];
  Sketch out;
  out.form = form;
  const bool back = form == Form::flat;
  std::vector<Op> ground = foundation(stitch, back);
  const std::vector<Op> marks{stitch_op("k", 2), stitch_op("p")};
  Row first, second;
  std::vector<Op> under = back ? std::vector{stitch_op("p"), stitch_op("k", 2)} : marks;
  if (back)
    under.insert(under.begin(), ground.begin(), ground.end());
  else
    under.insert(under.end(), ground.begin(), ground.end());
  const long long period = balance(under, vocabulary()).takes;
  Op edge = frame(Op::Form::strand, {stitch_op("k")});
  edge.strand = 1;
  first.ops = {edge, frame(Op::Form::fill, std::move(under)), stitch_op("p", 2)};
  std::vector<Op> fill = marks;
  fill.push_back(shown);
  second.ops = {back ? stitch_op("p", 2) : edge, frame(Op::Form::fill, std::move(fill)),
                back ? edge : stitch_op("p", 2)};
  out.width = Linear(period, 3);
  for (Row* row : {&first, &second}) {
    row->strand = 0;
    row->back_strand = 1;
    out.rows.push_back(std::move(*row));
  }
  // What was slipped onto the needle is seen again by a row that passes it all on.
  for (int more = 0; more < 2; ++more) {
    Row row;
    row.strand = 0;
    row.back_strand = 1;
    row.ops = {frame(Op::Form::fill, {stitch_op("sl")})};
    out.rows.push_back(std::move(row));
  }
  number_rows(out, std::vector<bool>(out.rows.size(), false));
  return out;
}

std::vector<Loop> entry_at(const Fabric& fabric, long long n) {
  std::vector<Loop> out = fabric.entry_at(n).loops(1'000'000);
  for (Loop& loop : out) loop.face = Face::knit;
  return out;
}

/// Both ways of working, at one n: the same stitches in the same places of the right side, the same loops
/// after each row. A fabric doubled for flat work is held against its rows worked twice.
std::string compare_looks(const Fabric& one, const Fabric& two, long long n) {
  if (!(types_only(one.entry, {}) == types_only(two.entry, {}))) return "they begin on other stitches";
  std::vector<Row> rows = rows_of(one);
  const std::vector<Row> others = rows_of(two);
  const std::vector<Row> once = rows;
  while (rows.size() < others.size()) rows.insert(rows.end(), once.begin(), once.end());
  const Outcome a = work(rows, one.form, entry_at(one, n), vocabulary(), true);
  const Outcome b = work(others, two.form, entry_at(two, n), vocabulary(), true);
  if (!a.good || !b.good) return "it does not work: " + a.why + b.why;
  if (a.made.size() != b.made.size()) return "another number of rows";
  for (std::size_t i = 0; i < a.made.size(); ++i) {
    const auto shown = looks_of(a.made[i]), other = looks_of(b.made[i]);
    if (shown != other)
      return fmt::format("row {} shows\n  {}\nand\n  {}", i + 1, fmt::join(shown, " | "),
                         fmt::join(other, " | "));
    if (a.lines[i] != b.lines[i]) return fmt::format("other loops after row {}", i + 1);
  }
  return "";
}

struct Turned {
  bool good = false;
  std::string wrong;
};

/// There and back.
Turned turned(const Sketch& sketch) {
  Fabric fabric = fabric_of(sketch);
  if (smallest_n(fabric.width, 1) < 0) return {};
  Diagnostics diagnostics;
  prove(fabric, vocabulary(), two_strands(), diagnostics);
  if (!fabric.good) return {};
  const Form other_form = fabric.form == Form::flat ? Form::round : Form::flat;
  const Fabric there = converted(fabric, other_form, vocabulary(), two_strands());
  if (!there.good)
    return {};  // yarns may end at the wrong edges in flat work, or two cycles may not follow each other
  const Fabric back = converted(there, fabric.form, vocabulary(), two_strands());
  if (!back.good) return {true, "it cannot be turned back"};
  // A round that loses stitches, worked twice, needs more of them.
  const long long smallest = std::max({fabric.smallest_n, there.smallest_n, back.smallest_n});
  for (const long long n : {smallest, smallest + 3}) {
    if (std::string wrong = compare_looks(fabric, there, n); !wrong.empty()) return {true, wrong};
    if (std::string wrong = compare_looks(fabric, back, n); !wrong.empty())
      return {true, "back again: " + wrong};
    if (fabric.width.constant()) break;
  }
  return {true, ""};
}

void check_turned(const std::string& word) {
  for (const Form form : {Form::flat, Form::round}) {
    const Sketch sketch = showing(word, form);
    const Turned result = turned(sketch);
    INFO(words_of(sketch), result.wrong);
    CHECK(result.good);
    CHECK(result.wrong.empty());
  }
}

}  // namespace

TEST_CASE(
    "every stitch of the vocabulary looks as the trade says, and its twin the same from the other side") {
  std::set<std::string> told;
  for (const Drawn& each : looks()) {
    CAPTURE(each.word);
    REQUIRE(vocabulary().find(each.word));
    CHECK(told.insert(each.word).second);
    const Stitch& stitch = vocabulary()[*vocabulary().find(each.word)];
    CHECK(stitch.lean == lean_said(each.on_right));
    CHECK(stitch.lean == lean_said(each.on_wrong));
    CHECK(stitch.shows_purl == each.on_right.starts_with("purl"));
    const Drawn* twin = look_of(vocabulary()[stitch.twin].name);
    REQUIRE(twin);
    CHECK(twin->on_wrong == each.on_right);
    CHECK(twin->on_right == each.on_wrong);
  }
  for (const std::string& name : vocabulary().names()) {
    CAPTURE(name);
    const bool known = vocabulary()[*vocabulary().find(name)].crossing || told.count(name) > 0;
    CHECK(known);
  }
}

TEST_CASE("the loops that a stitch gives turn the face to the right side that the trade says") {
  for (const Drawn& each : looks()) {
    const StitchId id = *vocabulary().find(each.word);
    const Stitch& stitch = vocabulary()[id];
    if (stitch.passes_on || stitch.gives == std::vector{LoopType::veiled}) continue;
    for (const Side side : {Side::right, Side::wrong}) {
      const std::string& look = side == Side::right ? each.on_right : each.on_wrong;
      for (const LoopType type : stitch.gives) {
        CAPTURE(each.word);
        // Of a pair the right side shows the knit face of the near layer; the far layer turns its purl face
        // to it.
        const bool near_on_right = (type == LoopType::front) == (side == Side::right);
        const bool layer = type == LoopType::front || type == LoopType::back;
        const bool purl = layer ? !near_on_right : look.starts_with("purl");
        CHECK(face_made(vocabulary(), id, type, side) == (purl ? Face::purl : Face::knit));
      }
    }
  }
}

TEST_CASE("a fabric with any stitch of the vocabulary looks the same flat and in the round") {
  for (const std::string& word : all_words()) check_turned(word);
}

TEST_CASE("cables of all sizes cross the same way flat and in the round") {
  for (const std::string& word : crossings(7)) check_turned(word);
}

TEST_CASE("random fabrics look the same flat and in the round, and back again") {
  int looked_at = 0;
  const auto judge = [&](Sketch (*make)(Dice&), std::uint64_t seed) {
    Dice dice(seed);
    const Sketch sketch = make(dice);
    const Turned result = turned(sketch);
    looked_at += result.good;
    if (result.wrong.empty()) return;
    const Sketch small = shrink(sketch, [](const Sketch& s) { return !turned(s).wrong.empty(); });
    FAIL_CHECK("seed ", seed, ": ", turned(small).wrong, "\n", words_of(small));
  };
  for (std::uint64_t seed = 0; seed < 1500; ++seed) judge(random_plain, 81'000 + seed);
  for (std::uint64_t seed = 0; seed < 1500; ++seed) judge(random_typed, 83'000 + seed);
  for (std::uint64_t seed = 0; seed < 800; ++seed) judge(random_layered, 85'000 + seed);
  MESSAGE(looked_at, " fabrics");
  CHECK(looked_at > 1000);
}
