// The yarn model against figures from outside; what is off, and by how much, stands in
// compiler/yarn-model.md.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <map>

#include "compiler/check.hpp"
#include "compiler/yarn_estimate.hpp"
#include "tests/unit/pattern_files.hpp"

using namespace wale;

namespace {

double metres(const std::string& text) {
  const Checked found = check(Source("t.wale", text, 1));
  INFO(show(found.diagnostics, {vocabulary_source(), Source("t.wale", text, 1)}));
  REQUIRE(!found.diagnostics.has_errors());
  const Estimate said = estimate_yarn(found.pattern, *found.stitches);
  REQUIRE(said.strands.size() == 1);
  return said.strands[0].metres.middle;
}

/// Whether the write-up has these words: what is measured here is what stands there.
void written_up(const std::string& words) {
  const bool there = read_project_file("compiler/yarn-model.md").find(words) != std::string::npos;
  CHECK_MESSAGE(there, words);
}

/// Handbook of Wool Knitting and Crochet, 1918, "Knitting for the Red Cross": one knitting-yarn, sold in
/// hanks of a quarter of a pound. The book gives stitches to the inch and lengths, no rows: garter has twice
/// as many rows as stitches to the length (rule of the trade), rib is given 1.4 times as many (assumed).
struct Knitted {
  std::string_view name;
  double hanks = 0;
  std::string pattern;
};

std::vector<Knitted> red_cross() {
  const std::string fabrics =
      "fabric garter flat n st { every: <k> }\nfabric rib flat 4n st { every: <k2 p2> }\n";
  const auto gauges = [](double stitches) {
    return fmt::format("gauge {0} st x {1} rows = 1 in, in garter\ngauge {0} st x {2} rows = 1 in, in rib\n",
                       stitches, 2 * stitches, 1.4 * stitches);
  };
  return {
      {"muffler", 2.5,
       gauges(50.0 / 11) + fabrics +
           "piece muffler flat {\n cast on 50\n work garter for 68 in\n bind off\n}\n"},
      {"sweater", 3,
       gauges(11.0 / 2) + fabrics +
           "piece sweater flat {\n cast on 80\n work rib for 4 in\n work garter for 21 in\n"
           " rows { 1: k28 bo24 k28 }\n hold last 28 st as shoulder\n work garter for 14 rows\n bind off\n"
           " resume shoulder\n work garter for 14 rows\n rows { 1: <k> co52 }\n work garter for 21 in\n"
           " work rib for 4 in\n bind off\n}\n"},
      {"mitts", 0.5,
       gauges(9) + fabrics +
           "piece mitt flat {\n cast on 48\n work rib for 12 in\n bind off\n}\n"
           "piece other-mitt flat {\n cast on 48\n work rib for 12 in\n bind off\n}\n"},
  };
}

}  // namespace

TEST_CASE("a textile examination's loops to the square centimetre") {
  // GATE 2015 no. 54 (shared standards): Kw 4.2, Kc 5.5, loop length 0.5 cm: 92 loops per square cm.
  const double l = 0.5, wales = 4.2 / l, courses = 5.5 / l;
  CHECK(std::lround(wales * courses) == 92);
  // Backwards: from those wales and courses the model finds the loop, at the fully relaxed end of its range.
  Gauge gauge;
  gauge.stitches_per_cm = wales;
  gauge.rows_per_cm = courses;
  const BaseLoop loop = loop_from_gauge(gauge, true);
  CHECK(loop.cm.high == doctest::Approx(0.5).epsilon(0.001));
  CHECK(loop.cm.low < 0.5);
  CHECK(loop.width == doctest::Approx(1 / wales));
}

TEST_CASE("Munden's constants agree with each other in each state of relaxation") {
  // Ks = Kw Kc: from memory, dry 3.8 x 5.0, wet 4.1 x 5.3, full 4.2 x 5.5.
  Gauge gauge;
  for (const auto& [kw, kc, ks] : {std::tuple{3.8, 5.0, 19.0}, {4.1, 5.3, 21.6}, {4.2, 5.5, 23.1}}) {
    CHECK(kw * kc == doctest::Approx(ks).epsilon(0.01));
    for (const double l : {0.3, 1.0, 2.5}) {
      gauge.stitches_per_cm = kw / l;
      gauge.rows_per_cm = kc / l;
      const BaseLoop loop = loop_from_gauge(gauge, true);
      CHECK(loop.cm.low <= l * 1.005);
      CHECK(loop.cm.high >= l * 0.995);
    }
  }
  // By the wale spacing alone and by both spacings, a gauge of plain knitting in the proportion of the
  // constants has one loop length.
  gauge.stitches_per_cm = 4.1 / 2;
  gauge.rows_per_cm = 5.3 / 2;
  CHECK(loop_from_gauge(gauge, false).cm.middle ==
        doctest::Approx(loop_from_gauge(gauge, true).cm.middle).epsilon(0.01));
}

TEST_CASE("the weights of 1918: muffler, sweater and mitts from one yarn") {
  std::map<std::string_view, double> length, hanks;
  std::string table =
      "| piece | hanks in the book | metres by the model | tex that would make it so |\n| --- | --- | --- | "
      "--- |\n";
  for (const Knitted& each : red_cross()) {
    length[each.name] = metres(each.pattern);
    hanks[each.name] = each.hanks;
    table += fmt::format("| {} | {:g} | {:.0f} | {:.0f} |\n", each.name, each.hanks, length[each.name],
                         1000 * each.hanks * 113.4 / length[each.name]);
  }
  INFO(table);
  written_up(table);
  for (const auto& [name, hank] : hanks) {
    const double ratio = length[name] / length["muffler"], book = hank / hanks["muffler"];
    const double off = ratio / book - 1;
    CAPTURE(name);
    CAPTURE(off);
    // Hanks are bought whole, or by halves: half a hank in 2 1/2 is a fifth.
    CHECK(std::abs(off) < 0.25);
    if (hank != 2.5)
      written_up(fmt::format("{} to muffler: {:.2f} by the model, {:.2f} in the book ({:+.0f} %)", name,
                             ratio, book, 100 * off));
  }
}
