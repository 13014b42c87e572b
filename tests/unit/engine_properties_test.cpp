// What the engine proves for every n, held against a knitter who works every loop one by one at many an n.
//
// Every case prints the seed and the smallest fabric that shows the disagreement, written as it would stand
// in a file.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <set>

#include "compiler/check.hpp"
#include "compiler/fabric.hpp"
#include "tests/unit/naive.hpp"
#include "tests/unit/random_fabric.hpp"

using namespace wale;
using namespace wale::naive;

namespace {

constexpr long long tried_n = 5;
/// And some beyond those, up to so many.
constexpr long long far_n = 60;
constexpr int tried_far = 20;

std::vector<LoopType> types_of(const std::vector<Loop>& loops) {
  std::vector<LoopType> out;
  for (const Loop& loop : loops) out.push_back(loop.type);
  return out;
}

bool comes_back(const Outcome& real) {
  return real.at_an_end && real.next_side == Side::right && types_of(real.end) == types_of(real.entry);
}

/// `found` are plain numbers of the naive knitter, `said` the engine's sum with n put in.
std::string compare_tally(const Fabric& fabric, long long n,
                          const std::map<std::pair<StitchId, short>, long long>& found) {
  Tally said;
  for (const CheckedRow& row : fabric.rows) {
    Tally own;
    for (const auto& [key, count] : row.tally) {
      Tally one;
      one[{key.first, key.second < 0 ? row.row.strand : key.second}] = count;
      add(own, one);
    }
    add(said, own);
  }
  auto rest = found;
  for (const auto& [key, count] : said) {
    if (rest[key] != count.at(n))
      return fmt::format("{} is worked {} times, the engine says {}", vocabulary()[key.first].name, rest[key],
                         count.at(n));
    rest.erase(key);
  }
  for (const auto& [key, count] : rest)
    if (count > 0) return fmt::format("{} is not in the engine's tally", vocabulary()[key.first].name);
  return "";
}

/// One n of a fabric that the engine calls good.
std::string compare_at(const Fabric& fabric, long long n) {
  const std::vector<Row> rows = rows_of(fabric);
  std::vector<Loop> loops = fabric.entry_at(n).loops(1'000'000);
  for (Loop& loop : loops) loop.face = Face::knit;
  if (static_cast<long long>(loops.size()) != fabric.width.at(n))
    return "the entry is not as wide as the fabric";
  if (types_of(loops) != types_of(work(rows, fabric.form, fabric.width.at(n), vocabulary()).entry))
    return "it begins on loops of other kinds";
  const Outcome real = work(rows, fabric.form, loops, vocabulary());
  if (!real.good)
    return fmt::format("the engine says good, but row {} fails: {}", rows[real.failing_row].number, real.why);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (real.widths[i] != fabric.rows[i].after.at(n))
      return fmt::format("width after row {}", rows[i].number);
    if (find_fill(rows[i].ops) && real.fills[i] != fabric.rows[i].fills.at(n))
      return fmt::format("times the fill of row {} is worked", rows[i].number);
  }
  const bool back = comes_back(real);
  if (fabric.returns && !back) return "the engine says that it returns, and it does not";
  if (fabric.gains.at(n) != static_cast<long long>(real.end.size()) - static_cast<long long>(loops.size()))
    return "stitches gained";
  return compare_tally(fabric, n, real.tally);
}

bool returns_everywhere(const Fabric& fabric) {
  const long long last = fabric.width.constant() ? 0 : fabric.smallest_n + tried_n;
  for (long long n = fabric.smallest_n; n <= last; ++n) {
    const Outcome real =
        work(rows_of(fabric), fabric.form, fabric.entry_at(n).loops(1'000'000), vocabulary());
    if (!comes_back(real)) return false;
  }
  return true;
}

struct Verdict {
  std::string disagreement;
  bool good = false, judged = true;
  bool named = false;  ///< refused, and an n is named at which it fails
};

/// A fabric in which every row's sum and every loop's type is right.
std::string compare_proved(const Sketch& sketch, const Fabric& fabric, bool yarns_good) {
  const long long last = sketch.width.constant() ? 0 : tried_n;
  for (long long n = fabric.smallest_n; n <= fabric.smallest_n + last; ++n)
    if (const std::string found = compare_at(fabric, n); !found.empty())
      return fmt::format("{} (n = {})", found, n);
  Dice dice(static_cast<std::uint64_t>(sketch.width.base + 1000));
  for (int i = 0; i < (last > 0 ? tried_far : 0); ++i) {
    const long long n = fabric.smallest_n + dice.number(last + 1, far_n);
    if (const std::string found = compare_at(fabric, n); !found.empty())
      return fmt::format("{} (n = {})", found, n);
  }
  for (long long n = smallest_n(sketch.width, 1); n < fabric.smallest_n; ++n)
    if (work(sketch.rows, sketch.form, sketch.width.at(n), vocabulary()).good)
      return fmt::format("works at n = {}, below the engine's smallest n", n);
  if (!fabric.returns && returns_everywhere(fabric))
    return "it returns, and the engine says that it does not";
  const Outcome wide =
      work(sketch.rows, sketch.form, sketch.width.at(fabric.smallest_n + last), vocabulary());
  const bool meets = row_without_yarn(sketch.rows, sketch.form, wide) < 0;
  if (meets != yarns_good)
    return meets ? "every yarn hangs where it is wanted" : "a yarn hangs at the other edge";
  return "";
}

/// The n in "for n = 3: ...", wherever the diagnostic says it.
std::optional<long long> named_n(const Diagnostic& diagnostic) {
  std::string words = diagnostic.message + "\n" + diagnostic.at;
  for (const std::string& note : diagnostic.notes) words += "\n" + note;
  const std::string sign = "n = ";
  const std::size_t at = words.find(sign);
  if (at == std::string::npos) return {};
  return std::stoll(words.substr(at + sign.size()));
}

/// A fabric that is refused fails at the n that is named, in the row that is named; where none is named, at
/// every n.
std::string compare_refused(const Sketch& sketch, const Diagnostic& said, long long first) {
  const std::string words = said.message + "\n" + said.at;
  const auto named = named_n(said);
  if (named && (sketch.width.constant() || *named < first))
    return fmt::format("there is no n = {}: {}", *named, words);
  const long long last = sketch.width.constant() ? first : first + tried_n;
  for (long long n = named.value_or(first); n <= named.value_or(last); ++n) {
    const Outcome real = work(sketch.rows, sketch.form, sketch.width.at(n), vocabulary());
    if (real.good) return fmt::format("works at n = {}, but the engine refuses: {}", n, words);
    const std::string row = row_name(sketch.rows[real.failing_row], sketch.form, two_strands());
    if (named && said.message.find(row) == std::string::npos && said.at.find(row) == std::string::npos)
      return fmt::format("at n = {} {} fails, but the engine says: {}", n, row, words);
  }
  return "";
}

/// The same for a yarn that is out of reach.
std::string compare_yarns(const Sketch& sketch, const Diagnostic& said, long long first) {
  const auto named = named_n(said);
  const long long last = sketch.width.constant() ? first : first + tried_n;
  for (long long n = named.value_or(first); n <= named.value_or(last); ++n) {
    const Outcome real = work(sketch.rows, sketch.form, sketch.width.at(n), vocabulary());
    if (!real.good || row_without_yarn(sketch.rows, sketch.form, real) < 0)
      return fmt::format("every yarn is in reach at n = {}, but the engine says: {}", n, said.message);
  }
  return "";
}

Verdict judge(const Sketch& sketch) {
  Fabric fabric = fabric_of(sketch);
  const long long first = smallest_n(sketch.width, 1);
  if (first < 0) return {"", false, false};
  Diagnostics diagnostics;
  prove(fabric, vocabulary(), two_strands(), diagnostics);
  const auto said = [&](Kind kind) {
    return std::any_of(diagnostics.all().begin(), diagnostics.all().end(),
                       [&](const Diagnostic& d) { return d.kind == kind; });
  };
  if (said(Kind::too_much_work)) return {"", false, false};
  if (fabric.good || said(Kind::yarn_at_other_edge)) {
    std::string found = compare_proved(sketch, fabric, fabric.good);
    if (found.empty() && !fabric.good)
      found = compare_yarns(sketch, diagnostics.all().front(), fabric.smallest_n);
    return {found, true, true};
  }
  if (diagnostics.all().empty()) return {"the engine refuses without a word", false, true};
  const Diagnostic& refusal = diagnostics.all().front();
  return {compare_refused(sketch, refusal, first), false, true, named_n(refusal).has_value()};
}

/// Judges `count` fabrics; there must be many good and many bad ones among them, or nothing is tested.
void judge_many(Sketch (*make)(Dice&), std::uint64_t seed, int count) {
  int good = 0, bad = 0, named = 0, disagreements = 0;
  for (int i = 0; i < count && disagreements < 3; ++i) {
    Dice dice(seed + static_cast<std::uint64_t>(i));
    const Sketch sketch = make(dice);
    const Verdict verdict = judge(sketch);
    if (verdict.judged) ++(verdict.good ? good : bad);
    if (verdict.named) ++named;
    if (verdict.disagreement.empty()) continue;
    ++disagreements;
    const Sketch small = shrink(sketch, [](const Sketch& s) { return !judge(s).disagreement.empty(); });
    FAIL_CHECK("seed ", seed + static_cast<std::uint64_t>(i), ": ", judge(small).disagreement, "\n",
               words_of(small));
  }
  MESSAGE(good, " good, ", bad, " bad, ", named, " of them at an n that is named, ", count - good - bad,
          " not judged");
  CHECK(good > count / 4);
  CHECK(bad > count / 10);
  CHECK(named > bad / 20);
}

/// A needle of random loops, and how it is cut into segments.
std::vector<Loop> random_loops(Dice& dice, long long most) {
  std::vector<Loop> word, out;
  const long long period = dice.number(1, 5);
  for (long long i = 0; i < period; ++i)
    word.push_back({dice.chance(50) ? LoopType::plain : LoopType::veiled,
                    dice.chance(80) ? Face::knit : Face::purl, -1, -1});
  for (long long runs = dice.number(1, 3); runs > 0; --runs) {
    for (long long copies = dice.number(1, most); copies > 0; --copies)
      out.insert(out.end(), word.begin(), word.end());
    if (dice.chance(50)) word.push_back({LoopType::plain, Face::purl, -1, -1});
    if (dice.chance(30)) out.push_back({LoopType::front, Face::knit, -1, -1});
  }
  return out;
}

/// The same loops as segments, cut anywhere; runs that repeat are now and then kept as repeats.
Needle cut(Dice& dice, const std::vector<Loop>& loops) {
  Needle out;
  for (std::size_t at = 0; at < loops.size();) {
    const auto length = static_cast<std::size_t>(
        dice.number(1, std::min<long long>(12, static_cast<long long>(loops.size() - at))));
    const auto begin = loops.begin() + static_cast<std::ptrdiff_t>(at);
    const std::vector<Loop> word(begin, begin + static_cast<std::ptrdiff_t>(length));
    std::size_t copies = 1;
    while (at + (copies + 1) * length <= loops.size() &&
           std::equal(word.begin(), word.end(), begin + static_cast<std::ptrdiff_t>(copies * length)))
      ++copies;
    if (dice.chance(30)) copies = static_cast<std::size_t>(dice.number(1, static_cast<long long>(copies)));
    out.push(word, static_cast<long long>(copies));
    at += copies * length;
  }
  return out;
}

std::string words_of(const Needle& needle) {
  std::string out;
  for (const Segment& segment : needle.segments()) {
    std::string word;
    for (const Loop& loop : segment.word)
      word += loop.type == LoopType::veiled  ? 'v'
              : loop.type == LoopType::front ? 'f'
              : loop.face == Face::purl      ? 'p'
                                             : 'k';
    out += fmt::format("({})x{} ", word, to_string(segment.times));
  }
  return out;
}

}  // namespace

TEST_CASE("the fabrics that are judged are read from a file as they are written") {
  Dice dice(1);
  for (int i = 0; i < 50; ++i) {
    const Sketch sketch = random_plain(dice);
    const Checked checked = check(Source("f.wale", words_of(sketch), 1));
    Fabric fabric = fabric_of(sketch);
    Diagnostics diagnostics;
    if (smallest_n(fabric.width, 1) < 0) continue;
    prove(fabric, vocabulary(), two_strands(), diagnostics);
    INFO(words_of(sketch));
    REQUIRE(checked.pattern.fabrics.size() == 1);
    CHECK(checked.pattern.fabrics[0].good == fabric.good);
  }
}

TEST_CASE("fabrics of plain stitches agree with the naive knitter at every n") {
  judge_many(random_plain, 1000, 1500);
}

TEST_CASE("fabrics of brioche stitches agree with the naive knitter at every n") {
  judge_many(random_typed, 900'000, 1500);
}

TEST_CASE("fabrics that turn in mid-row agree with the naive knitter at every n") {
  judge_many(random_turning, 40'000, 2000);
}

TEST_CASE("fabrics of two layers agree with the naive knitter at every n") {
  judge_many(random_layered, 60'000, 1500);
}

TEST_CASE("a row worked on a compressed needle gives the loops that hands would give") {
  const std::vector<std::string> words{"k",     "p",   "sl",    "yo",     "k2tog",
                                       "p2tog", "kfb", "2/2rc", "2/1lpc", "m1p"};
  for (int seed = 0; seed < 1500; ++seed) {
    Dice dice(77'000 + static_cast<std::uint64_t>(seed));
    std::vector<Loop> loops = random_loops(dice, 20);
    for (Loop& loop : loops) loop.type = LoopType::plain;
    Row row;
    row.side = dice.chance(50) ? Side::right : Side::wrong;
    Op fill;
    fill.form = Op::Form::fill;
    fill.ops = random_ops(dice, words);
    const long long takes = balance(fill.ops, vocabulary()).takes;
    if (takes == 0) continue;
    row.ops = random_ops(dice, words);
    row.ops.push_back(fill);
    const long long spare = static_cast<long long>(loops.size()) - balance(row.ops, vocabulary()).takes;
    if (spare < 0) continue;
    Op pad;
    pad.stitch = *vocabulary().find("k");
    pad.count = spare % takes;
    if (pad.count > 0) row.ops.push_back(pad);
    const Outcome real = work({row}, Form::round, loops, vocabulary());

    Diagnostics diagnostics;
    EntryTypes types;
    RowWorker worker(vocabulary(), types, diagnostics);
    const RowPart whole{&row.ops, static_cast<long long>(loops.size()), spare / takes};
    const RowOutcome outcome = worker.work(cut(dice, loops), {&whole, 1}, {row.side, -1, -1, "the row"});
    INFO("seed ", 77'000 + seed, "\n", words_of({Form::round, static_cast<long long>(loops.size()), {row}}));
    REQUIRE(real.good);
    REQUIRE(outcome.good);
    CHECK(outcome.needle.loops(1'000'000) == real.given);
  }
}

TEST_CASE("needles are equal when they hold the same loops, however these are cut into segments") {
  for (int seed = 0; seed < 4000; ++seed) {
    Dice dice(5000 + static_cast<std::uint64_t>(seed));
    const std::vector<Loop> loops = random_loops(dice, dice.chance(30) ? 400 : 12);
    Needle one = cut(dice, loops), two = cut(dice, loops);
    const std::string before = words_of(one) + "\n" + words_of(two);
    CHECK(one == two);
    one.normalise();
    CHECK(one == two);
    two.normalise();
    INFO("seed ", 5000 + seed, "\n", before, "\nbecome\n", words_of(one), "\n", words_of(two));
    CHECK(one == two);
    REQUIRE(one.loops(1'000'000) == loops);
    REQUIRE(two.loops(1'000'000) == loops);
    Needle other = cut(dice, random_loops(dice, 12));
    other.normalise();
    CHECK((other == one) == (other.loops(1'000'000) == loops));
  }
}

TEST_CASE("needles that grow with n are equal when they hold the same loops, too") {
  const Loop k{LoopType::plain, Face::knit, -1, -1}, v{LoopType::veiled, Face::knit, -1, -1};
  const auto needle = [](std::vector<Segment> segments) {
    Needle out;
    for (const Segment& segment : segments) out.push(segment);
    return out;
  };
  const Needle wanted = needle({{{k, v}, Linear(1, 0)}, {{k}, 1}});
  CHECK(needle({{{k}, 1}, {{v, k}, Linear(1, 0)}}) == wanted);
  CHECK(needle({{{k, v}, Linear(1, -2)}, {{k, v, k}, 1}, {{v, k}, 1}}) == wanted);
  CHECK(needle({{{k, v, k}, 1}, {{v, k}, Linear(1, -1)}}) == wanted);
  CHECK(needle({{{k, k}, Linear(1, 0)}}) == needle({{{k}, Linear(2, 0)}}));
  CHECK(needle({{{k}, Linear(1, 0)}, {{k, k}, Linear(1, 3)}}) == needle({{{k}, Linear(3, 6)}}));
  CHECK(!(needle({{{k}, Linear(1, 0)}}) == wanted));
  CHECK(!(needle({{{k, v}, Linear(1, 0)}}) == wanted));
  CHECK(!(needle({{{k, v}, Linear(1, 0)}, {{v}, 1}}) == wanted));
  CHECK(!(needle({{{k, v}, Linear(2, 0)}, {{k}, 1}}) == wanted));
  CHECK(needle({}) == needle({{{k}, 0}}));
}

TEST_CASE("a fabric converted and converted back has the rows that it had") {
  const std::vector<std::string> words{"k", "p", "k2tog", "ssk", "p2tog", "k3tog", "yo", "sl1yo", "brk"};
  int looked_at = 0;
  for (int seed = 0; seed < 1500; ++seed) {
    Dice dice(300 + static_cast<std::uint64_t>(seed));
    const Sketch sketch = seed % 2 ? random_typed(dice) : random_plain(dice);
    Fabric fabric = fabric_of(sketch);
    if (smallest_n(fabric.width, 1) < 0) continue;
    Diagnostics diagnostics;
    prove(fabric, vocabulary(), two_strands(), diagnostics);
    if (!fabric.good || (fabric.form == Form::round && fabric.cycle_rows() % 2 == 1)) continue;
    const Form other_form = fabric.form == Form::flat ? Form::round : Form::flat;
    const Fabric there = converted(fabric, other_form, vocabulary(), two_strands());
    if (!there.good) continue;  // two strands may end at the wrong edges in flat work
    const Fabric back = converted(there, fabric.form, vocabulary(), two_strands());
    INFO("seed ", 300 + seed, "\n", words_of(sketch));
    REQUIRE(back.good);
    REQUIRE(back.rows.size() == fabric.rows.size());
    ++looked_at;
    for (std::size_t i = 0; i < back.rows.size(); ++i) {
      Sketch a{fabric.form, fabric.width, {fabric.rows[i].row}},
          b{fabric.form, fabric.width, {back.rows[i].row}};
      CHECK(words_of(a) == words_of(b));
      CHECK(fabric.rows[i].after == back.rows[i].after);
      CHECK(fabric.rows[i].row.side == back.rows[i].row.side);
    }
    CHECK(types_only(back.entry, {}) == types_only(fabric.entry, {}));
  }
  CHECK(looked_at > 100);
}

TEST_CASE("so few stitches that ends overlap begin on the loops that those ends ask for") {
  const Checked checked = check(Source(
      "p.wale",
      "strand A = a\nstrand B = b\nyarn a \"Skerry A\" 100 g = 200 m\nyarn b \"Skerry B\" 100 g = 200 m\n"
      "fabric f flat 8n + 10 st {\n  1 B A: k2 dk 4(sl) <4(dk)> k2\n  2 A B: k2 2(dk) <4(sl)> dk k2\n}\n",
      1));
  REQUIRE(!checked.diagnostics.has_errors());
  const Fabric& fabric = checked.pattern.fabrics.at(0);
  REQUIRE(fabric.good);
  // At n = 0 the second row works the four slipped stitches of the first as two pairs; from n = 1 on it works
  // pairs of the first row's repeat there, and nothing is asked of the slipped ones.
  std::set<std::vector<LoopType>> middles;
  for (long long n = 0; n < 12; ++n) {
    const std::vector<Loop> loops = fabric.entry_at(n).loops(1000);
    const Outcome real = work(rows_of(fabric), fabric.form, fabric.width.at(n), vocabulary());
    REQUIRE(real.good);
    CHECK(types_of(loops) == types_of(real.entry));
    CHECK(work(rows_of(fabric), fabric.form, loops, vocabulary()).good);
    middles.insert(types_of({loops.begin() + 4, loops.begin() + 8}));
  }
  CHECK(middles.size() == 2);
}
