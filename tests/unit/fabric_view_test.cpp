// What a knitter sees on the right side. Stockinette, garter and rib: by their definitions.
#include "compiler/fabric_view.hpp"

#include <doctest/doctest.h>

#include "compiler/check.hpp"

using namespace wale;
using render::LoopShape;

namespace {

std::optional<render::LoopPicture> view(const std::string& text) {
  const Checked checked = check(Source("t.wale", text, 1));
  REQUIRE(!checked.diagnostics.has_errors());
  return view_fabric(checked.pattern.fabrics.at(0), checked.pattern, *checked.stitches);
}

/// Whether `knit(row, column from the right)` says of every loop if it is legs.
template <class Knit>
bool shows(const std::string& fabric, Knit knit) {
  const auto picture = view("fabric f " + fabric + "\n");
  REQUIRE(picture);
  CHECK(picture->loops.size() == static_cast<std::size_t>(picture->columns * picture->rows));
  for (const auto& loop : picture->loops)
    if ((loop.shape == LoopShape::legs) != knit(loop.row, picture->columns - 1 - loop.column)) return false;
  return true;
}

}  // namespace

TEST_CASE("stockinette shows legs only, garter every other row, rib in columns, moss as a chequer") {
  CHECK(shows("flat n st { 1: <k>  2: <p> }", [](int, int) { return true; }));
  CHECK(shows("flat n st { every: <k> }", [](int row, int) { return row % 2 == 0; }));
  CHECK(shows("flat 4n st { every: <k2 p2> }", [](int, int column) { return column % 4 < 2; }));
  CHECK(shows("round 2n st { 1: <k p>  2: <p k> }",
              [](int row, int column) { return (row + column) % 2 == 0; }));
}

TEST_CASE("a slipped stitch is one long loop") {
  const auto picture = view("fabric f round 2n st { 1: <k2>  2: <k slwyib> }\n");
  REQUIRE(picture);
  for (const auto& loop : picture->loops)
    CHECK(loop.rows == ((picture->columns - 1 - loop.column) % 2 == 1 ? 2 : 1));
}

TEST_CASE("a fabric whose loops lie two deep is not drawn as if it lay flat") {
  CHECK(!view("fabric f round 4n st { 1: <2/2rc>  2: <k4> }\n"));
}
