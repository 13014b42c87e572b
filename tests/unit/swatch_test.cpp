// Swatches: the gauge and how sure it is, washing, needles, yarn by weight, and pages to make one.
#include "compiler/swatch.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/check.hpp"
#include "compiler/loop_lengths.hpp"
#include "compiler/pattern_document.hpp"
#include "compiler/swatch_page.hpp"
#include "render/text.hpp"
#include "tests/unit/pattern_files.hpp"
#include "tests/unit/random_fabric.hpp"

using namespace wale;

namespace {

const std::string head =
    "yarn kelp \"Skerry Worsted, Kelp\" 100 g = 200 m\nstrand A = kelp\n"
    "fabric rib flat 4n st { every: <k2 p2> }\nfabric garter flat n st { every: <k> }\n"
    "fabric plain flat n st { rs: <k> ws: <p> }\n";

const std::string rib_swatch =
    "swatch rib {\n  made 40 st x 56 rows, 21 g, needle 4.5 mm\n  before 20.5 x 19.0 cm\n  after 21.0 x 20.5 "
    "cm\n}\n";

Checked checked(const std::string& text) {
  return check(Source("t.wale", text, 1));
}

std::vector<Kind> kinds(const Checked& found) {
  std::vector<Kind> out;
  for (const Diagnostic& each : found.diagnostics.all()) out.push_back(each.kind);
  return out;
}

std::string document(const Checked& found) {
  std::string text = render::write_text(
      make_document(found.pattern, *found.stitches, estimate_yarn(found.pattern, *found.stitches), "x"));
  std::replace(text.begin(), text.end(), '\n', ' ');
  text.erase(std::unique(text.begin(), text.end(), [](char x, char y) { return x == ' ' && y == ' '; }),
             text.end());
  return text;
}

bool says(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

Swatch of(long long stitches, long long rows, double width, double height, double needle = 4.5) {
  Swatch out;
  out.stitches = stitches;
  out.rows = rows;
  out.after = out.before = {width, height};
  out.needle_mm = needle;
  return out;
}

Gauge wanted(double stitches) {
  Gauge out;
  out.stitches_per_cm = stitches / 10;
  out.rows_per_cm = 2.8;
  return out;
}

}  // namespace

TEST_CASE("a swatch of 40 stitches tells its gauge to 1 in 40") {
  const Checked found = checked(head + rib_swatch);
  CHECK(kinds(found).empty());
  const Swatch& swatch = found.pattern.swatches.at(0);
  CHECK(stitches_of(swatch).count == doctest::Approx(400 / 21.0));
  CHECK(stitches_of(swatch).plus_minus == doctest::Approx(10 / 21.0));
  CHECK(rows_of(swatch).count == doctest::Approx(560 / 20.5));
  CHECK(rows_of(swatch).plus_minus == doctest::Approx(10 / 20.5));
  CHECK(width_growth(swatch) == doctest::Approx(0.5 / 20.5));
  CHECK(height_growth(swatch) == doctest::Approx(1.5 / 19));
  CHECK(swatch.strand == 0);
}

TEST_CASE("units of both sides, pairs and edges are read") {
  const Checked found =
      checked(head +
              "swatch rib with A {\n  edges 3 st x 6 rows\n  after 8 x 8.5 in\n  before 180 "
              "mm x 8 in\n  made 40 st x 56 rounds\n}\n");
  REQUIRE(found.pattern.swatches.size() == 1);
  const Swatch& swatch = found.pattern.swatches[0];
  CHECK(swatch.after.width == doctest::Approx(20.32));
  CHECK(swatch.before.width == doctest::Approx(18));
  CHECK(swatch.edge_stitches == 3);
  CHECK(swatch.edge_rows == 6);
  CHECK(swatch.grams == 0);
  CHECK(!swatch.needle_mm);
}

TEST_CASE("the washed swatch is the gauge of its fabric where the pattern gives none") {
  const Checked alone =
      checked(head + rib_swatch + "piece p flat {\n cast on 40\n work rib for 41 cm\n bind off\n}\n");
  CHECK(kinds(alone).empty());
  CHECK(alone.pattern.pieces.at(0).rows == 112);  // 41 cm are twice 56 rows
  const Checked general = checked("gauge 18 st x 24 rows = 10 cm\n" + head + rib_swatch);
  CHECK(kinds(general).empty());
  CHECK(general.pattern.gauge_for("rib")->stitches_per_cm == doctest::Approx(40 / 21.0));
  CHECK(general.pattern.gauge_for("garter")->stitches_per_cm == doctest::Approx(1.8));
}

TEST_CASE("a gauge within the swatch's uncertainty is met, one beyond it is told with a needle") {
  CHECK(kinds(checked("gauge 19.4 st x 27 rows = 10 cm, in rib\n" + head + rib_swatch)).empty());
  const Checked off = checked("gauge 21 st x 27.3 rows = 10 cm, in rib\n" + head + rib_swatch);
  CHECK(kinds(off) == std::vector{Kind::swatch_differs});
  CHECK(off.pattern.gauge_for("rib")->stitches_per_cm == doctest::Approx(2.1));
  bool smaller = false;
  for (const std::string& each : off.diagnostics.all()[0].help)
    smaller |= says(each, "smaller needle, about 3.5 mm");
  CHECK(smaller);
}

TEST_CASE("a needle changes by half a millimetre for a stitch in twenty") {
  // Common practice: one size, half a millimetre about 4 to 5 mm, is about one stitch in twenty.
  const auto one = needle_for(of(42, 56, 20, 20, 5), wanted(20));  // 21 st, 20 wanted
  REQUIRE(one);
  CHECK(one->larger);
  CHECK(one->mm == 5.5);
  const auto other = needle_for(of(38, 56, 20, 20, 5), wanted(20));
  REQUIRE(other);
  CHECK(!other->larger);
  CHECK(other->mm == 4.5);
  CHECK(!needle_for(of(41, 56, 20, 20), wanted(20)));
  Swatch without = of(50, 56, 20, 20);
  without.needle_mm.reset();
  CHECK(!needle_for(without, wanted(20)));
}

TEST_CASE("a needle is sized in the right direction and stays a needle, whatever the swatch") {
  naive::Dice dice(91'000);
  for (int i = 0; i < 500; ++i) {
    const double needle = static_cast<double>(dice.number(4, 100)) / 4;
    const Swatch swatch = of(dice.number(4, 400), 50, static_cast<double>(dice.number(4, 100)), 20, needle);
    const Gauge gauge = wanted(static_cast<double>(dice.number(2, 60)));
    const auto found = needle_for(swatch, gauge);
    if (!found) continue;
    CHECK(found->mm >= 1);
    CHECK(found->mm <= needle * 1.5 + 0.5);
    CHECK(found->larger == (stitches_of(swatch).count > 10 * gauge.wales_per_cm()));
    if (needle > 2) CHECK(found->larger == (found->mm > needle));
  }
}

TEST_CASE("a swatch too small to trust says so by numbers") {
  const auto sized = [](int stitches, int rows, double width, double height) {
    return checked(
        head +
        fmt::format("swatch rib {{\n made {0} st x {1} rows\n before {2} x {3} cm\n after {2} x {3} cm\n}}\n",
                    stitches, rows, width, height));
  };
  CHECK(kinds(sized(20, 28, 10, 10)).empty());
  CHECK(kinds(sized(19, 28, 10, 10)) == std::vector{Kind::swatch_too_small});
  CHECK(kinds(sized(40, 28, 20, 9.9)) == std::vector{Kind::swatch_too_small});
  const Checked tiny = sized(8, 10, 4, 4);
  REQUIRE(tiny.diagnostics.all().size() == 1);
  CHECK(says(tiny.diagnostics.all()[0].message, "20.0 st to 10 cm, give or take 2.5"));
  CHECK(kinds(sized(1, 28, 10, 10)) == std::vector{Kind::bad_measure});
}

TEST_CASE("knit to 46.5 cm to have 50 after washing") {
  const Checked found =
      checked(head + rib_swatch + "piece p flat {\n cast on 40\n work rib for 50 cm\n bind off\n}\n");
  const std::string text = document(found);
  INFO(text);
  CHECK(says(text, "knit to 46.5 cm (18.25 in) to have 50 cm"));
  CHECK(says(text, "19.0 ± 0.5"));
  CHECK(says(text, "its width by +2.4 % and its height by +7.9 %"));
}

TEST_CASE("the weight of a swatch is its loops and its edges") {
  // Of 100 g = 200 m, 21 g are 42 m: 40 x 56 loops of rib and 40 of the cast-on, and six widths of edge.
  const Checked found = checked(head + rib_swatch);
  const Fabric& rib = found.pattern.fabrics.at(0);
  const SwatchYarn yarn = yarn_of(found.pattern.swatches[0], rib, found.pattern, *found.stitches);
  CHECK(yarn.metres == doctest::Approx(42));
  CHECK(yarn.loop_cm == doctest::Approx((4200 - 6 * 21.0) / (40 * 56 + 40)));
}

TEST_CASE("estimates by a weighed swatch give back the swatch's own weight") {
  naive::Dice dice(92'000);
  for (int i = 0; i < 60; ++i) {
    const long long stitches = 4 * dice.number(6, 20), rows = 2 * dice.number(12, 50);
    const double width = static_cast<double>(stitches) / 2.0, height = static_cast<double>(rows) / 2.7;
    // A weight between three quarters and five quarters of what the gauge would say.
    const double grams = static_cast<double>(stitches * rows) * 2.05 / 100 / 2 *
                         static_cast<double>(dice.number(75, 125)) / 100;
    const std::string text =
        head +
        fmt::format(
            "swatch rib {{\n made {0} st x {1} rows, {2} g\n before {3} x {4} cm\n after {3} x {4} cm\n}}\n"
            "piece p flat {{\n cast on {0}\n work rib for {1} rows\n bind off\n}}\n",
            stitches, rows, grams, width, height);
    const Checked found = checked(text);
    INFO(text);
    REQUIRE(!found.diagnostics.has_errors());
    const Estimate said = estimate_yarn(found.pattern, *found.stitches);
    REQUIRE(said.strands.size() == 1);
    CHECK(said.strands[0].evidence == Evidence::weighed);
    // The ends of the piece were cut off the swatch.
    CHECK((said.strands[0].metres.middle - 0.3) / 2 == doctest::Approx(grams).epsilon(1e-9));
  }
}

TEST_CASE("a swatch of another fabric scales the loops that the gauge says") {
  const std::string piece =
      "gauge 20 st x 40 rows = 10 cm, in garter\npiece p flat {\n cast on 40\n work garter for 100 rows\n "
      "bind off\n}\n";
  const Checked with = checked(head + rib_swatch + piece), without = checked(head + piece);
  const LoopLengths own(with.pattern, *with.stitches), gauge(without.pattern, *without.stitches);
  const Fabric& garter = with.pattern.fabrics.at(1);
  CHECK(own.of_fabric(garter).evidence == Evidence::weighed_other);
  CHECK(gauge.of_fabric(without.pattern.fabrics.at(1)).evidence == Evidence::wale_spacing);
  const double weighed = (4200 - 6 * 21.0) / (40 * 56 + 40), by_gauge = 4.1 / (40 / 21.0);
  CHECK(own.of_fabric(garter).cm.middle ==
        doctest::Approx(gauge.of_fabric(without.pattern.fabrics.at(1)).cm.middle * weighed / by_gauge));
}

TEST_CASE("edges of garter are weighed and not measured") {
  const Checked found = checked(head +
                                "swatch rib {\n made 40 st x 56 rows, 21 g\n edges 3 st x 6 rows\n before 21 "
                                "x 20.5 cm\n after 21 x 20.5 cm\n}\n");
  const SwatchYarn yarn =
      yarn_of(found.pattern.swatches.at(0), found.pattern.fabrics.at(0), found.pattern, *found.stitches);
  CHECK(yarn.loop_cm == doctest::Approx((4200 - 6 * 46 * 21.0 / 40) / (46 * 68 + 46)));
}

TEST_CASE("swatches at the edge of what can be read make errors or numbers, never nonsense") {
  const std::vector<std::string> counts{"1", "4", "1000000000", "0", "-3", "2.5", "40 cm"},
      sides{"0 cm", "-1 cm", "0.0001 mm", "21 cm", "1000 km", "21", "5 g"},
      masses{"", ", 0 g", ", -2 g", ", 21 g", ", 1000000 g", ", 3 cm"};
  int errors = 0, good = 0;
  for (const std::string& stitches : counts)
    for (const std::string& side : sides)
      for (const std::string& mass : masses) {
        const std::string text =
            head + fmt::format(
                       "swatch rib {{\n made {} st x 56 rows{}\n before {} x 19 cm\n after {} x 19 cm\n}}\n"
                       "piece p flat {{\n cast on 40\n work rib for 10 rows\n bind off\n}}\n",
                       stitches, mass, side, side);
        const Checked found = checked(text);
        INFO(text);
        ++(found.diagnostics.has_errors() ? errors : good);
        const Estimate said = estimate_yarn(found.pattern, *found.stitches);
        for (const StrandEstimate& each : said.strands) {
          CHECK(std::isfinite(each.metres.high));
          CHECK(each.metres.low > 0);
        }
        CHECK(!document(found).empty());
      }
  CHECK(errors > 100);
  CHECK(good > 0);
}

TEST_CASE("a swatch page fits the fabric and is 15 cm or more") {
  for (const std::string folder : {"patterns", "published", "../examples"})
    for (const PatternFile& file : pattern_files(folder)) {
      const Compiled compiled = compile(file);
      if (compiled.checked.diagnostics.has_errors()) continue;
      for (const SwatchPlan& plan : plan_swatches(compiled.checked.pattern)) {
        INFO(file.name, ": ", plan.fabric->name);
        const Fabric& fabric = *plan.fabric;
        const long long layers = !fabric.rows.empty() && fabric.rows.front().row.back_strand >= 0 ? 2 : 1;
        const long long on_needle = plan.stitches * layers;
        if (fabric.width.constant()) {
          CHECK(on_needle == fabric.width.base * plan.copies);
        } else {
          const long long n = (on_needle - fabric.width.base) / fabric.width.per_n;
          CHECK(fabric.width.at(n) == on_needle);
          CHECK(n >= fabric.smallest_n);
        }
        CHECK(plan.rows % fabric.cycle_rows() == 0);
        CHECK(static_cast<double>(plan.stitches) >= plan.stitches_to_10cm * 1.5 - 1e-6);
        CHECK(static_cast<double>(plan.rows) >= plan.rows_to_10cm * 1.5 - 1e-6);
      }
    }
}

TEST_CASE("a fabric with a swatch needs no page, and one that is not worked neither") {
  const Checked found = checked(head + rib_swatch +
                                "gauge 20 st x 40 rows = 10 cm, in garter\npiece p flat {\n cast on 40\n "
                                "work garter for 4 rows\n work rib for 10 rows\n bind off\n}\n");
  const std::vector<SwatchPlan> plans = plan_swatches(found.pattern);
  REQUIRE(plans.size() == 1);
  CHECK(plans[0].fabric->name == "garter");
  CHECK(plans[0].stitches == 30);
  CHECK(plans[0].rows == 60);
}
