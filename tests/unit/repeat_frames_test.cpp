// Where repeats are framed: straight where the rows allow it, and never through a stitch.
#include "compiler/repeat_frames.hpp"

#include <doctest/doctest.h>

#include "compiler/chart.hpp"
#include "compiler/check.hpp"

using namespace wale;

TEST_CASE("a frame is straight where every row can have it there") {
  const auto frames =
      straight_frames({{{{1, 1}, {5, 5}}}, {{{0, 2}, {4, 6}}}, {{{3, 3}, {7, 7}}, {{1, 3}, {5, 5}}}}, 8);
  for (const auto& frame : frames) CHECK(frame == RepeatFrame{1, 5});
}

TEST_CASE("a frame jogs no further than the row makes it, and is missing where there is no place") {
  const auto frames = straight_frames({{{{1, 1}, {5, 5}}}, {{{1, 1}, {5, 5}}}, {{{2, 4}, {6, 8}}}, {}}, 8);
  CHECK(frames[2] == RepeatFrame{2, 6});
  CHECK(!frames[3]);
}

TEST_CASE("no crossing straddles the frame of its row, also where the fill begins elsewhere") {
  const Checked checked = check(Source("t.wale",
                                       "fabric f round 6n st {\n"
                                       "  1: <k6>\n  2: <1/1rc k 1/1lc k>\n  3: <k 1/1rc 1/1rc k>\n"
                                       "  4: <k6>\n}\n",
                                       1));
  REQUIRE(!checked.diagnostics.has_errors());
  const auto chart = draw_fabric(checked.pattern.fabrics.at(0), checked.pattern, *checked.stitches);
  REQUIRE(chart);
  for (const auto& row : chart->rows) {
    REQUIRE(row.repeat);
    const int first = row.repeat->first, end = first + row.repeat->count;
    for (const auto& cell : row.cells)
      for (const int side : {first, end}) CHECK((cell.column >= side || cell.column + cell.span <= side));
  }
}
