// Pictures of loops: they stay within the picture, and a few shapes serve all of them.
#include "render/loop_picture.hpp"

#include <doctest/doctest.h>

using namespace wale::render;

namespace {

LoopPicture cloth(int columns, int rows) {
  LoopPicture picture;
  picture.columns = columns;
  picture.rows = rows;
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column)
      picture.loops.push_back({.shape = row % 2 == 0 ? LoopShape::legs : LoopShape::arc,
                               .colour = {200, 40, 40},
                               .row = row,
                               .column = column});
  return picture;
}

}  // namespace

TEST_CASE("no loop leaves its picture, and a large picture is cropped") {
  LoopPicture picture = cloth(200, 200);
  picture.loops.push_back({.row = 1, .rows = 3, .column = 0});
  picture.loops.push_back({.row = -1, .column = -1});
  const Drawing drawing = draw_loops(picture);
  CHECK(drawing.width == most_loop_columns * picture.loop_width);
  CHECK(drawing.height == most_loop_rows * picture.loop_height);
  std::size_t placed = 0;
  for (const Item& item : drawing.items) {
    const auto* symbol = std::get_if<SymbolItem>(&item);
    if (symbol == nullptr) continue;
    ++placed;
    const Symbol& shape = drawing.symbols[symbol->symbol];
    CHECK(symbol->at.x >= 0);
    CHECK(symbol->at.y >= 0);
    CHECK(symbol->at.x + shape.width <= drawing.width + 1e-9);
    CHECK(symbol->at.y + shape.height <= drawing.height + 1e-9);
    const Box ink_box = bounds(shape.fill.segments.empty() ? shape.stroke : shape.fill);
    CHECK(ink_box.x >= 0);
    CHECK(ink_box.right() <= shape.width);
  }
  CHECK(placed == 2U * most_loop_columns * most_loop_rows);
}

TEST_CASE("a picture of many loops needs two symbols for each shape") {
  CHECK(draw_loops(cloth(4, 1)).symbols.size() == 2);
  CHECK(draw_loops(cloth(40, 40)).symbols.size() == 4);
}

TEST_CASE("a picture without loops has no size") {
  CHECK(draw_loops(LoopPicture{}).items.empty());
}
