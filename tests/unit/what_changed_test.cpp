// A pattern at another gauge or with other measures, told beside its own numbers.
#include "compiler/what_changed.hpp"

#include <doctest/doctest.h>

#include "compiler/check.hpp"
#include "compiler/outputs.hpp"

using namespace wale;

namespace {

const std::string band = R"(sizes S M
yarn kelp "Kelp" 100 g = 200 m
strand A = kelp
gauge 20 st x 30 rows = 10 cm
measure length = 20 cm
fabric plain flat n st { rs: <k>  ws: <p> }
piece band flat {
  cast on stitches([40 50] cm) with A
  work plain for length
  bind off
}
piece cuff flat {
  cast on 30
  work plain for 6 rows
  bind off
}
)";

Checked checked(const Settings& settings) {
  Checked out = check(Source("p.wale", band, 1), settings);
  REQUIRE(!out.diagnostics.has_errors());
  return out;
}

Numbers numbers(const Checked& of) {
  return {{&of.pattern, &of.larger.at(0)},
          {estimate_yarn(of.pattern, *of.stitches), estimate_yarn(of.larger.at(0), *of.stitches)}};
}

std::vector<std::string> row(const render::Table& table, const std::string& name) {
  for (const std::vector<std::string>& each : table.rows)
    if (each.front() == name) return {each.begin() + 1, each.end()};
  return {};
}

}  // namespace

TEST_CASE("what another gauge changes stands beside what was written, and the rest is left out") {
  // By hand: 40 cm at 18 st to 10 cm are 72 st, 50 cm are 90; 20 cm at 25 rows are 50 rows. The cuff keeps
  // its 30 st and 6 rows, which then measure 16.7 cm and 2.4 cm in the place of 15 and 2.
  const Checked written = checked({}), now = checked({{}, "18 st x 25 rows = 10 cm", {}});
  const render::Table table = what_changed(numbers(written), numbers(now), Units::metric);
  using Cells = std::vector<std::string>;
  CHECK(table.header == Cells{"Now (as written)", "S", "M"});
  CHECK(row(table, "Band: sts") == Cells{"72 (80)", "90 (100)"});
  CHECK(row(table, "Band: rows") == Cells{"50 (60)", "50 (60)"});
  CHECK(row(table, "Band: wide, cm").empty());
  CHECK(row(table, "Band: long, cm").empty());
  CHECK(row(table, "Cuff: sts").empty());
  CHECK(row(table, "Cuff: wide, cm") == Cells{"16.5 (15)", "16.5 (15)"});
  CHECK(row(table, "Cuff: long, cm") == Cells{"2.5 (2)", "2.5 (2)"});
  CHECK(what_changed(numbers(written), numbers(written), Units::metric).rows.empty());
}

TEST_CASE("a measure that is set changes the document by what hangs on it") {
  const Checked written = checked({}), now = checked({{}, {}, {"length = 30 cm"}});
  const render::Table table = what_changed(numbers(written), numbers(now), Units::inches);
  // 20 cm are 7.87 in, 30 cm are 11.81 in: to a quarter of an inch 7.75 and 11.75.
  CHECK(row(table, "Band: rows") == std::vector<std::string>{"90 (60)", "90 (60)"});
  CHECK(row(table, "Band: long, in") == std::vector<std::string>{"11.75 (7.75)", "11.75 (7.75)"});
  CHECK(!row(table, "Kelp, g").empty());
  const auto text = [&](const Originals& originals) {
    for (const OutputFile& file : make_outputs(now, "p", {}, {}, originals).files)
      if (file.name == "p.txt") return file.bytes;
    return std::string();
  };
  CHECK(text({nullptr, &written}).find("What changed from the numbers as written") != std::string::npos);
  CHECK(text({}).find("What changed") == std::string::npos);
}
