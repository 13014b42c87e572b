// From a gauge to the size of a square.
#include "compiler/true_size.hpp"

#include <doctest/doctest.h>

using namespace wale;

namespace {

Checked checked(const std::string& text) {
  const Source source("p.wale", text, 1);
  Checked out = check(source);
  REQUIRE_FALSE(out.diagnostics.has_errors());
  return out;
}

render::CellSize cell_of(const std::string& text) {
  const Checked out = checked(text);
  const Fabric& fabric = out.pattern.fabrics.front();
  return true_cell(fabric, *out.pattern.gauge_for(fabric.name));
}

constexpr double millimetre = 72 / 25.4;

}  // namespace

TEST_CASE("a square is as wide as a stitch and as high as a row of the fabric's own gauge") {
  const render::CellSize cell = cell_of(R"(
gauge 30 st x 40 rows = 10 cm, in garter
gauge 20 st x 28 rows = 10 cm, in rib
fabric rib flat 4n st { every: <k2 p2> }
fabric garter flat n st { every: <k> }
)");
  CHECK(cell.width == doctest::Approx(5 * millimetre));
  CHECK(cell.height == doctest::Approx(100.0 / 28 * millimetre));
}

TEST_CASE("the passes of a row share its height") {
  const render::CellSize cell = cell_of(R"(
yarn kelp "Kelp" 100 g = 200 m #2f5d50
yarn foam "Foam" 100 g = 200 m #f2efe4
strand A = kelp
strand B = foam
gauge 20 st x 25 rows = 10 cm
fabric tide flat 2n + 2 st {
  1 A: k  <sl1yo brk> k
  1 B: sl <brp sl1yo> sl
  2 A: p  <brp sl1yo> p
  2 B: sl <sl1yo brk> sl
}
)");
  CHECK(cell.width == doctest::Approx(5 * millimetre));
  CHECK(cell.height == doctest::Approx(2 * millimetre));
}

TEST_CASE("a true size needs a gauge, and the error says so where the fabric stands") {
  Checked without = checked("fabric rib flat 4n st { every: <k2 p2> }");
  require_gauge(without);
  REQUIRE(without.diagnostics.errors() == 1);
  const Diagnostic& said = without.diagnostics.all().front();
  CHECK(said.kind == Kind::no_gauge);
  CHECK(said.message == "the chart of rib can be printed at its true size only with a gauge");
  Checked with = checked("gauge 20 st x 28 rows = 10 cm\nfabric rib flat 4n st { every: <k2 p2> }");
  require_gauge(with);
  CHECK_FALSE(with.diagnostics.has_errors());
  Checked nothing = checked("yarn kelp \"Kelp\" 100 g = 200 m #2f5d50");
  require_gauge(nothing);
  CHECK_FALSE(nothing.diagnostics.has_errors());
}

TEST_CASE("each fabric's chart is a file of its own") {
  const Checked out = checked(R"(
gauge 20 st x 28 rows = 10 cm
fabric rib flat 4n st { every: <k2 p2> }
fabric moss flat 2n st { 1: <k p>  2: <k p> }
)");
  const Outputs files = make_true_size(out, "mitt", 0);
  CHECK(files.failure.empty());
  REQUIRE(files.files.size() == 2);
  CHECK(files.files[0].name == "mitt.rib.true-size.pdf");
  CHECK(files.files[1].name == "mitt.moss.true-size.pdf");
}

TEST_CASE("a chart that would take too many pages is an error that says so") {
  const Checked out = checked("gauge 2 st x 2 rows = 10 cm\nfabric sail flat 90 st x 90 rows { every: <k> }");
  const Outputs files = make_true_size(out, "mitt", 0);
  CHECK(files.files.empty());
  CHECK(files.failure.starts_with("the chart of sail at its true size: it would take about "));
}
