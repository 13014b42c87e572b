// Whole documents, from source to page: words keep clear of each other and everything stays on the paper, for
// the collection and for patterns made at random.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cstdlib>

#include "compiler/check.hpp"
#include "compiler/files.hpp"
#include "compiler/outputs.hpp"
#include "compiler/pattern_document.hpp"
#include "compiler/schematic.hpp"
#include "render/chart_layout.hpp"
#include "render/document_layout.hpp"
#include "render/schematic_layout.hpp"
#include "tests/render/geometry_check.hpp"
#include "tests/render/sample_charts.hpp"
#include "tests/unit/random_fabric.hpp"

using namespace wale;

namespace {

/// Faults of all pages and all charts of a checked pattern.
std::string faults_of(const Checked& checked, const DocumentSettings& settings) {
  const render::PageStyle style = page_style(settings);
  const Estimate estimate = estimate_yarn(checked.pattern, *checked.stitches);
  Family family;
  family.sizes.push_back(&checked.pattern);
  for (const Pattern& each : checked.larger) family.sizes.push_back(&each);
  family.estimates.assign(family.sizes.size(), estimate);
  family.schematic = make_schematic(family.sizes, settings);
  const render::Document document =
      make_document(checked.pattern, *checked.stitches, estimate, "untitled", settings, family);
  std::string report;
  if (family.schematic)
    report += render::check::fault_report(
        render::draw_schematic(*family.schematic, render::enlarged_schematic({}, style.scale())));
  // The foot stands in the lower margin, so words are held to the paper and not to the margins.
  for (const render::Drawing& page : render::lay_out(document, style))
    report += render::check::fault_report(page);
  for (const render::Chart& chart : make_charts(checked.pattern, *checked.stitches, settings))
    report += render::check::fault_report(render::draw_chart(chart, render::enlarged({}, style.scale())));
  return report;
}

/// Both papers in usual and in large print; the other choices in turn with them.
std::vector<DocumentSettings> all_settings() {
  return {{},
          {.paper = Paper::letter, .units = Units::inches},
          {.large_print = true, .mirror = true},
          {.paper = Paper::letter, .large_print = true, .units = Units::inches}};
}

std::string quoted(render::sample::Random& random, int most) {
  return "\"" + render::sample::words(random, most) + "\"";
}

/// A pattern of up to three fabrics; words that are long, or not there, or of other scripts, stand where an
/// author may put words.
std::string random_pattern(naive::Dice& dice, render::sample::Random& random) {
  std::string text = fmt::format("pattern {}\nby {}\n", quoted(random, 14), quoted(random, 5));
  if (dice.chance(80)) {
    text += fmt::format("yarn one {} {} g = {} m {}\n", quoted(random, 10), dice.number(25, 200),
                        dice.number(20, 900), dice.chance(70) ? "#2f5d50" : "");
    text += fmt::format("yarn two {} 50 g = 120 m #e9b44c\n", quoted(random, 10));
    text += "strand A = one\nstrand B = two\n";
  } else {
    text += "strand A\nstrand B\n";
  }
  if (dice.chance(80))
    text += fmt::format("gauge {} st x {} rows = 10 cm\n", dice.number(4, 60), dice.number(4, 90));
  for (long long i = dice.number(1, 3); i > 0; --i)
    text += naive::words_of(dice.chance(60) ? naive::random_plain(dice) : naive::random_typed(dice),
                            fmt::format("f{}", i));
  return text;
}

}  // namespace

TEST_CASE("the collection's pages and charts are clear") {
  const char* folder = std::getenv("WALE_EXAMPLES");
  REQUIRE(folder != nullptr);
  std::vector<Problem> problems;
  const std::vector<Found> patterns = find_patterns({folder}, problems);
  REQUIRE(problems.empty());
  REQUIRE(patterns.size() >= 5);
  for (const Found& each : patterns) {
    INFO(each.path);
    std::string reason;
    const auto loaded = load_file(each.path, reason);
    REQUIRE(loaded);
    const Checked checked = check(*loaded);
    REQUIRE_FALSE(checked.diagnostics.has_errors());
    if (checked.pattern.pieces.empty() && checked.pattern.fabrics.empty()) continue;
    for (const DocumentSettings& settings : all_settings()) CHECK(faults_of(checked, settings) == "");
  }
}

TEST_CASE("two hundred random patterns' pages and charts are clear") {
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  naive::Dice dice(seed);
  render::sample::Random random(seed);
  int drawn = 0, tried = 0;
  for (; drawn < 200 && tried < 4000; ++tried) {
    const std::string text = random_pattern(dice, random);
    const Source source("random.wale", text, 1);
    const Checked checked = check(source);
    if (checked.diagnostics.has_errors()) continue;
    ++drawn;
    INFO(text);
    for (const DocumentSettings& settings : all_settings()) CHECK(faults_of(checked, settings) == "");
  }
  MESSAGE(drawn, " patterns drawn of ", tried, " made");
  CHECK(drawn == 200);
}
