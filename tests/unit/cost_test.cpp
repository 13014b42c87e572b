// That the cost of checking follows the source. Work is counted, not timed: the same on every machine.
#include <doctest/doctest.h>

#include "compiler/check.hpp"
#include "tests/bench/cases.hpp"

using namespace wale;
using namespace wale::bench;

namespace {

Effort effort_of(const Case& which, Size size) {
  const Source source("p.wale", pattern(which, size), 1);
  const Checked checked = check(source);
  INFO(source.text(), show(checked.diagnostics, {vocabulary_source(), source}));
  CHECK(checked.diagnostics.all().empty());
  const Piece& piece = checked.pattern.pieces.at(0);
  CHECK(piece.good);
  CHECK(piece.rows >= size.rows);
  return checked.effort;
}

}  // namespace

TEST_CASE("a blanket of a million stitches takes the work of a swatch") {
  CHECK(steady().size() > 10);
  for (const Case& each : steady()) {
    CAPTURE(each.name);
    const Effort a = effort_of(each, small), b = effort_of(each, large);
    CHECK(a.rows > 0);
    CHECK(a.stitches > 0);
    // The first cycle may find the stitches otherwise than it leaves them; after the second the rest is
    // counted.
    CHECK(b.rows <= a.rows + 2 * each.longest_cycle);
    if (each.longest_cycle <= small.rows) CHECK(b.work() <= 2 * a.work());
    // A hundred times larger again, it takes not a stitch more.
    const Effort c = effort_of(each, {100 * (large.stitches - 2) + 2, 100 * large.rows});
    CHECK(c.work() == b.work());
  }
}

TEST_CASE("shaping takes work in proportion to its rows") {
  CHECK(shaped().size() > 4);
  for (const Case& each : shaped()) {
    CAPTURE(each.name);
    const long long few = effort_of(each, {42, 2'000}).work(), many = effort_of(each, {42, 20'000}).work();
    CHECK(few >= 2'000);
    CHECK(many >= 8 * few);
    CHECK(many <= 12 * few);
  }
}
