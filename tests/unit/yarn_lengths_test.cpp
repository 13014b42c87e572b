// Yarn, stitch by stitch: the table, and what patterns take by it, held against loops counted one by one.
// Munden (J. Textile Inst. 50, 1959): w = Kw / l, c = Kc / l, w c = Ks / l^2 for plain fabric.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/check.hpp"
#include "compiler/yarn_estimate.hpp"
#include "tests/unit/naive.hpp"
#include "tests/unit/pattern_files.hpp"
#include "tests/unit/random_fabric.hpp"

using namespace wale;

namespace {

Checked checked(const std::string& text) {
  Checked out = check(Source("t.wale", text, 1));
  INFO(show(out.diagnostics, {vocabulary_source(), Source("t.wale", text, 1)}), text);
  REQUIRE(!out.diagnostics.has_errors());
  return out;
}

Estimate estimate(const std::string& text) {
  const Checked found = checked(text);
  return estimate_yarn(found.pattern, *found.stitches);
}

double metres(const std::string& text) {
  const Estimate found = estimate(text);
  REQUIRE(found.strands.size() == 1);
  return found.strands[0].metres.middle;
}

const char* const plain_square =
    "fabric plain flat n st { rs: <k> ws: <p> }\n"
    "piece square flat {\n  cast on 40\n  work plain for 56 rows\n  bind off\n}\n";

std::string gauge(double stitches, double rows) {
  return fmt::format("gauge {} st x {} rows = 10 cm\n", stitches, rows);
}

/// What a range costs by hand: the middle of each line of the table, written out here a second time.
constexpr double kw = 4.1, ks = 21.6, tail = 3, bind_off = 3, end_cm = 15, float_slack = 1.1;

}  // namespace

TEST_CASE("each line of the table is in order and stands where its use is looked up") {
  std::size_t at = 0;
  for (const LoopLength& line : loop_length_table()) {
    CAPTURE(line.name);
    CHECK(static_cast<std::size_t>(line.use) == at++);
    CHECK(&loop_length_of(line.use) == &line);
    CHECK(line.factor.low <= line.factor.middle);
    CHECK(line.factor.middle <= line.factor.high);
    CHECK(line.factor.middle > 0);
    CHECK(!line.source.empty());
    const bool says_how_known = line.source.find("assumed") != std::string_view::npos ||
                                line.source.find("common practice") != std::string_view::npos ||
                                line.source.find("base loop") != std::string_view::npos;
    CHECK(says_how_known);
  }
  CHECK(at == static_cast<std::size_t>(YarnUse::end) + 1);
}

TEST_CASE("the table of the write-up is the table of the program") {
  std::string table =
      "| yarn goes into | in terms of | low | middle | high | source |\n| --- | --- | --- | --- | --- | --- "
      "|\n";
  const auto per = [](LoopLength::Per each) -> std::string_view {
    switch (each) {
      case LoopLength::Per::uses:
        return "what the stitch `uses`, base loops";
      case LoopLength::Per::loop:
        return "base loops, a stitch";
      case LoopLength::Per::width:
        return "stitch widths, a stitch";
      case LoopLength::Per::length:
        return "the length sewn";
      case LoopLength::Per::cm:
        return "cm";
    }
    return "";
  };
  for (const LoopLength& line : loop_length_table())
    table += fmt::format("| {} | {} | {:g} | {:g} | {:g} | {} |\n", line.name, per(line.per), line.factor.low,
                         line.factor.middle, line.factor.high, line.source);
  INFO(table);
  const bool there = read_project_file("compiler/yarn-model.md").find(table) != std::string::npos;
  CHECK(there);
}

TEST_CASE("a plain square takes its loops, its edges and its ends") {
  const double loop = std::sqrt(ks / (2.0 * 2.8)), width = 0.5;
  const double cm = 40 * 56 * loop + 40 * loop + 40 * width * (tail + bind_off) + 2 * end_cm;
  CHECK(metres(gauge(20, 28) + plain_square) == doctest::Approx(cm / 100).epsilon(1e-12));
}

TEST_CASE("yarn follows the gauge as the formulas say, and the weight follows the tex") {
  naive::Dice dice(71'000);
  const auto ends = 2 * end_cm / 100;
  for (int i = 0; i < 40; ++i) {
    const auto stitches = static_cast<double>(dice.number(8, 40)),
               rows = static_cast<double>(dice.number(10, 60));
    const double scale = static_cast<double>(dice.number(50, 200)) / 100;
    CAPTURE(stitches);
    CAPTURE(rows);
    CAPTURE(scale);
    const double once = metres(gauge(stitches, rows) + plain_square) - ends;
    const double scaled = metres(gauge(stitches * scale, rows * scale) + plain_square) - ends;
    CHECK(scaled * scale == doctest::Approx(once).epsilon(1e-9));
    const std::string garter =
        "fabric garter flat n st { every: <k> }\n"
        "piece square flat {\n  cast on 40\n  work garter for 56 rows\n  bind off\n}\n";
    // By the wale spacing the rows of the gauge do not matter.
    CHECK(metres(gauge(stitches, rows) + garter) ==
          doctest::Approx(metres(gauge(stitches, rows * scale) + garter)));
    const double fine = static_cast<double>(dice.number(100, 900));
    const auto of_tex = [&](double length) {
      const Estimate found = estimate(fmt::format("yarn a \"A\" 100 g = {} m\nstrand A = a\n", length) +
                                      gauge(stitches, rows) + plain_square);
      return found.yarns.at(0).grams.middle;
    };
    // A yarn that goes so much less far is so much heavier to the metre.
    CHECK(of_tex(fine / scale) == doctest::Approx(of_tex(fine) * scale).epsilon(1e-9));
  }
}

TEST_CASE("yarn is conserved: pieces and colours come to the loops that are counted one by one") {
  int looked_at = 0, stranded = 0;
  for (std::uint64_t seed = 72'000; seed < 74'600; ++seed) {
    naive::Dice dice(seed);
    const naive::Sketch sketch = naive::random_plain(dice);
    const Fabric fabric = naive::fabric_of(sketch);
    const long long n = dice.number(1, 9), width = fabric.width.at(n);
    if (width < 1 || width > 200) continue;
    const std::string text =
        gauge(19, 27) + naive::words_of(sketch) +
        fmt::format("\npiece p {} {{\n  cast on {}\n  work f for {} rows\n  bind off\n}}\n",
                    sketch.form == Form::round ? "round" : "flat", width, fabric.cycle_rows());
    const Checked found = check(Source("p.wale", text, 1));
    if (found.diagnostics.has_errors() || !found.pattern.fabrics.at(0).good) continue;
    const Fabric& proved = found.pattern.pieces.at(0).fabrics.at(0);
    const std::vector<Row> rows = naive::rows_of(proved);
    const naive::Outcome real = naive::work(
        rows, sketch.form, std::vector<Loop>(static_cast<std::size_t>(width)), *found.stitches, true);
    const bool slips = std::any_of(real.tally.begin(), real.tally.end(), [&](const auto& each) {
      return (*found.stitches)[each.first.first].passes_on;
    });
    if (!real.good || slips || real.lines.size() != rows.size()) continue;
    ++looked_at;
    const double stitch_width = 1 / 1.9;
    const double loop =
        is_plain_knitting(proved, *found.stitches) ? std::sqrt(ks / (1.9 * 2.7)) : kw * stitch_width;
    std::map<short, double> cm;
    for (const auto& [key, count] : real.tally) {
      const Stitch& stitch = (*found.stitches)[key.first];
      cm[key.second] +=
          static_cast<double>(count) * stitch.uses * loop_length_of(use_of(stitch)).factor.middle * loop;
    }
    cm.try_emplace(-1, 0);  // which casts on
    for (auto& [strand, each] : cm) each += 2 * end_cm;
    for (std::size_t row = 0; row < rows.size(); ++row) {
      std::map<short, long long> made;
      for (const Loop& each : real.lines[row]) ++made[each.strand];
      stranded += real.strands[row].size() > 1;
      for (const short strand : real.strands[row])
        cm[strand] += static_cast<double>(static_cast<long long>(real.lines[row].size()) - made[strand]) *
                      stitch_width * float_slack;
    }
    cm[-1] += static_cast<double>(width) * (loop + tail * stitch_width) +
              static_cast<double>(real.end.size()) * bind_off * stitch_width;
    const Estimate said = estimate_yarn(found.pattern, *found.stitches);
    INFO("seed ", seed, "\n", text);
    CHECK(said.strands.size() == cm.size());
    const Estimate amounts = estimate_amounts(found.pattern, *found.stitches);
    REQUIRE(amounts.strands.size() == said.strands.size());
    for (std::size_t i = 0; i < said.strands.size(); ++i)
      CHECK(amounts.strands[i].metres.high == said.strands[i].metres.high);
    double all = 0, by_piece = 0;
    for (const StrandEstimate& each : said.strands) {
      CHECK(each.metres.middle * 100 == doctest::Approx(cm[each.strand]).epsilon(1e-9));
      CHECK(each.metres.low <= each.metres.middle);
      CHECK(each.metres.middle <= each.metres.high);
      all += each.metres.middle;
    }
    for (const PieceEstimate& piece : said.pieces)
      for (const StrandEstimate& each : piece.strands) by_piece += each.metres.middle;
    CHECK(all == doctest::Approx(by_piece));
  }
  MESSAGE(looked_at, " fabrics, ", stranded, " rows of two strands");
  CHECK(looked_at > 100);
  CHECK(stranded > 50);
}

TEST_CASE("a repeat takes what its steps take when they are written out") {
  const std::string head =
      gauge(20, 28) +
      "gauge 24 st x 28 rows = 10 cm, in rib\n"
      "fabric garter flat n st { every: <k> }\nfabric rib flat 4n st { every: <k2 p2> }\n"
      "piece p flat {\n  cast on 40 with A\n";
  const std::string inside = "work garter with A for 4 rows\n work rib with B for 6 rows\n join A\n join B\n";
  std::string written = head, repeated = head + "repeat 3 times {\n" + inside + "}\n bind off\n}\n";
  for (int i = 0; i < 3; ++i) written += inside;
  written += "bind off\n}\n";
  const Estimate one = estimate(written), other = estimate(repeated);
  REQUIRE(one.strands.size() == 2);
  for (std::size_t i = 0; i < 2; ++i)
    CHECK(one.strands[i].metres.middle == doctest::Approx(other.strands[i].metres.middle).epsilon(1e-12));

  const Checked found = checked(repeated);
  const LoopLengths lengths(found.pattern, *found.stitches);
  const Piece& piece = found.pattern.pieces[0];
  const Step& repeat = piece.steps.at(1);
  const StrandMetres all = lengths.of(repeat, piece), once = lengths.once(repeat, piece);
  for (const auto& [strand, each] : all)
    CHECK(each.middle == doctest::Approx(3 * once.find(strand)->second.middle));
}

TEST_CASE("a repeat in different fabrics that grows takes what its rows take") {
  const std::string head = gauge(20, 28) +
                           "fabric rising flat n st {\n  1: k2 yo <k>\n  2: <k>\n}\n"
                           "fabric plain flat n st { rs: <k> ws: <p> }\npiece p flat {\n  cast on 4\n";
  const std::string inside = "work rising for 2 rows\n work plain for 2 rows\n";
  std::string written = head;
  for (int i = 0; i < 30; ++i) written += inside;
  const double one = metres(written + "bind off\n}\n"),
               other = metres(head + "repeat 30 times {\n" + inside + "}\n bind off\n}\n");
  CHECK(one == doctest::Approx(other).epsilon(0.005));
}

TEST_CASE("a strand that is carried takes its floats") {
  const std::string cuff = gauge(20, 28) +
                           "fabric band round 4n st {\n  1: <A(k3) B(k)>\n}\n"
                           "piece p round {\n  cast on 40 with A\n  work band for 10 rounds\n  bind off\n}\n";
  const Estimate found = estimate(cuff);
  REQUIRE(found.strands.size() == 2);
  // B: 100 loops, and 300 stitches passed; two ends.
  const double loop = std::sqrt(ks / 5.6);  // plain, whatever the strand
  CHECK(found.strands[1].metres.middle * 100 ==
        doctest::Approx(100 * loop + 300 * 0.5 * float_slack + 2 * end_cm));
}

TEST_CASE("a cord, and pairs of double knitting, take yarn for what they are") {
  const std::string tie =
      gauge(20, 28) + "piece t flat {\n  cast on 4\n  cord 4 st for 50 rows\n  bind off\n}\n";
  const double loop = std::sqrt(ks / 5.6), other = kw * 0.5;
  CHECK(metres(tie) * 100 ==
        doctest::Approx(4 * 50 * loop + 50 * 0.5 + 4 * (other + 1.5) + 4 * 1.5 + 2 * end_cm).epsilon(0.001));
  const std::string flag =
      "gauge 20 pairs x 28 rows = 10 cm\nfabric signal flat 16 st {\n  1 A B: <dk>\n  2 B A: <dk>\n}\n"
      "piece f flat {\n  cast on 8 pairs with A B\n  work signal for 10 rows\n  bind off\n}\n";
  const Estimate found = estimate(flag);
  REQUIRE(found.strands.size() == 2);
  // The layers are alike, but one of them binds off.
  CHECK(std::abs(found.strands[0].metres.middle - found.strands[1].metres.middle) * 100 ==
        doctest::Approx(8 * 0.5 * bind_off));
}

TEST_CASE("amounts stay numbers however large the piece") {
  const Estimate found =
      estimate(gauge(20, 28) +
               "fabric plain flat n st { rs: <k> ws: <p> }\n"
               "piece p flat {\n  cast on 1000000000\n  repeat 1000000000 times {\n    work plain for "
               "1000000000 rows\n  }\n  bind off\n}\n");
  for (const StrandEstimate& each : found.strands) {
    CHECK(std::isfinite(each.metres.high));
    CHECK(each.metres.low > 0);
  }
}

TEST_CASE("amounts are rounded to what they can claim") {
  CHECK(rounded(1234) == 1200);
  CHECK(rounded(3.94) == 3.9);
  CHECK(rounded(0.0567) == 0.057);
  CHECK(rounded(568.7, 3) == 569);
  CHECK(rounded(0) == 0);
  CHECK(rounded(-3) == 0);
}
