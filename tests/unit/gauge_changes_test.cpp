// Another gauge changes every count, and must break no pattern: where a nearest multiple is valid it is
// found, and shaping has room for its rows. Nobody knits exactly the gauge that is written.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <random>

#include "compiler/check.hpp"
#include "tests/unit/pattern_files.hpp"

using namespace wale;

namespace {

std::string gauge_words(const Gauge& gauge, double stitches, double rows) {
  return fmt::format("{:.4f} {} x {:.4f} rows = 10 cm", gauge.wales_per_cm() * stitches * 10,
                     gauge.layers == 2 ? "pairs" : "st", gauge.rows_per_cm * rows * 10);
}

Checked at_gauge(const Source& source, const std::string& gauge) {
  return check(source, {{}, gauge, {}});
}

/// Nothing where it compiles at this gauge.
std::string refused(const Source& source, const std::string& gauge) {
  const Checked checked = at_gauge(source, gauge);
  if (!checked.diagnostics.has_errors()) return "";
  return fmt::format("at {}\n{}", gauge, show(checked.diagnostics, {vocabulary_source(), source}));
}

constexpr double steps[] = {0.99, 0.9925, 0.995, 0.9975, 1, 1.0025, 1.005, 1.0075, 1.01};

}  // namespace

TEST_CASE("a change of gauge by one in a hundred breaks no pattern of the tree that has pieces and a gauge") {
  int patterns = 0, tried = 0;
  for (const std::string folder : {"../examples", "patterns"})
    for (const PatternFile& file : pattern_files(folder)) {
      const Source source(file.name, file.text, 1);
      const Checked written = check(source);
      if (written.diagnostics.has_errors() || written.pattern.gauges.empty() ||
          written.pattern.pieces.empty())
        continue;
      ++patterns;
      const Gauge& gauge = written.pattern.gauges.front();
      for (const double stitches : steps)
        for (const double rows : {stitches, 2 - stitches}) {
          ++tried;
          const std::string why = refused(source, gauge_words(gauge, stitches, rows));
          INFO(file.name, " ", why);
          CHECK(why.empty());
        }
    }
  MESSAGE(patterns, " patterns at ", tried, " gauges");
  CHECK(patterns >= 15);
}

TEST_CASE("the slipover for the harbour watch compiles in nine sizes at ten gauges, its source unchanged") {
  const std::string text = read_project_file("examples/harbour-slipover.wale");
  const Source source("harbour-slipover.wale", text, 1);
  for (const auto& [stitches, rows] : {std::pair{12.0, 17.0},
                                       {14.0, 19.0},
                                       {15.5, 22.0},
                                       {17.0, 24.0},
                                       {18.0, 26.0},
                                       {20.0, 28.0},
                                       {22.0, 30.0},
                                       {24.0, 33.0},
                                       {26.5, 36.5},
                                       {30.0, 42.0}}) {
    const Checked checked = at_gauge(source, fmt::format("{} st x {} rows = 10 cm", stitches, rows));
    INFO(stitches, " x ", rows, "\n", show(checked.diagnostics, {vocabulary_source(), source}));
    CHECK(!checked.diagnostics.has_errors());
    CHECK(checked.larger.size() == 8);
    // Each size is as wide as it is meant to be, to the stitches of a repeat (4 of the rib).
    std::vector<const Pattern*> sizes{&checked.pattern};
    for (const Pattern& each : checked.larger) sizes.push_back(&each);
    for (std::size_t i = 1; i < sizes.size(); ++i)
      CHECK(sizes[i]->pieces.at(0).widest >= sizes[i - 1]->pieces.at(0).widest);
  }
}

namespace {

/// A sleeve or a body, shaped by lengths, in three sizes.
std::string random_pattern(std::mt19937& random) {
  const auto between = [&](int low, int high) {
    return std::uniform_int_distribution<int>(low, high)(random);
  };
  const auto list = [&](int low, int high, int step) {
    const int first = between(low, high);
    return fmt::format("[{} {} {}] cm", first, first + between(0, step), first + step + between(0, step));
  };
  const int multiple = between(1, 8), over = between(0, 3);
  const bool round = between(0, 1) == 1;
  const char* count = round ? "round" : "flat";
  std::string out = "sizes S M L\n";
  out += fmt::format("gauge {} st x {} rows = 10 cm\n", between(12, 32), between(16, 46));
  out += fmt::format("measure wrist = {}\nmeasure arm = wrist + {}\n", list(16, 30, 3), list(2, 24, 3));
  out += fmt::format("measure long = {}\n", list(12, 48, 3));
  out += fmt::format("fabric rib {} {}n + {} st {{ every: <k{}>{} }}\n", count, multiple, over, multiple,
                     over ? fmt::format(" p{}", over) : "");
  out += fmt::format("fabric plain {} n st {{ {} }}\n", count, round ? "every: <k>" : "rs: <k>  ws: <p>");
  out += fmt::format("piece sleeve {}{} {{\n  cast on near(wrist, {}n + {})\n", count,
                     between(0, 1) ? " twice" : "", multiple, over);
  out += fmt::format("  work rib for {} cm\n  work plain for 2 rows\n", between(2, 7));
  out += "  widen 1 each side to arm over long\n  work even for 3 cm\n";
  switch (between(0, 3)) {
    case 0:
      out += fmt::format("  narrow 1 each side to wrist / 2 over {} cm\n", between(10, 40));
      break;
    case 1:
      out += "  narrow 1 each side every 2 rows to arm / 2\n";
      break;
    case 2:
      out += fmt::format(
          "  place markers cap after {0}, {0} st\n  narrow 1 each side of cap over {1} cm {2} times\n",
          between(4, 6), between(4, 16), between(1, 2));
      break;
    default:
      if (!round)
        out += "  divide into near-side and far-side\n  resume near-side\n  bind off\n  resume far-side\n";
  }
  return out + "  bind off\n}\n";
}

}  // namespace

TEST_CASE("random sleeves that compile at one gauge compile a hundredth beside it, in all sizes") {
  std::mt19937 random(20261127);
  int good = 0;
  for (int trial = 0; trial < 250; ++trial) {
    const std::string text = random_pattern(random);
    const Source source("random.wale", text, 1);
    const Checked written = check(source);
    INFO(text, show(written.diagnostics, {vocabulary_source(), source}));
    // What is written is no valid pattern at its own gauge: nothing is promised for another.
    if (written.diagnostics.has_errors()) continue;
    ++good;
    for (const double by : {0.99, 0.995, 1.005, 1.01})
      for (const double rows : {by, 2 - by}) {
        const std::string why = refused(source, gauge_words(written.pattern.gauges.front(), by, rows));
        INFO(why);
        CHECK(why.empty());
      }
  }
  MESSAGE(good, " of 250 random patterns");
  CHECK(good > 200);
}
