#include "render/loop_picture.hpp"

#include <algorithm>

namespace wale::render {

namespace {

constexpr double yarn_outline = 0.9;  // points, on both sides of the edge together

Colour shade(Colour colour) {
  const auto darker = [](auto part) { return static_cast<decltype(part)>(part * 11 / 20); };
  return {darker(colour.red), darker(colour.green), darker(colour.blue)};
}

/// The yarn in a box of 1 x 1.
Path outline(LoopShape shape) {
  Path path;
  if (shape == LoopShape::legs) {
    for (const double side : {1.0, -1.0}) {
      const auto at = [&](double x, double y) { return Point{0.5 + side * x, y}; };
      path.move_to(at(0.47, 0.02));
      path.curve_to(at(0.5, 0.35), at(0.22, 0.62), at(0.02, 1.0));
      path.curve_to(at(-0.02, 0.72), at(0.02, 0.42), at(0.2, 0.22));
      path.curve_to(at(0.28, 0.12), at(0.38, 0.0), at(0.47, 0.02));
      path.close();
    }
  } else if (shape == LoopShape::arc) {
    path.move_to({0.02, 0.78});
    path.curve_to({0.05, 0.05}, {0.95, 0.05}, {0.98, 0.78});
    path.curve_to({0.9, 0.98}, {0.78, 0.95}, {0.74, 0.78});
    path.curve_to({0.68, 0.45}, {0.32, 0.45}, {0.26, 0.78});
    path.curve_to({0.22, 0.95}, {0.1, 0.98}, {0.02, 0.78});
    path.close();
  }
  return path;
}

}  // namespace

Drawing draw_loops(const LoopPicture& picture) {
  const int columns = std::clamp(picture.columns, 0, most_loop_columns);
  const int rows = std::clamp(picture.rows, 0, most_loop_rows);
  Drawing drawing;
  drawing.name = picture.name;
  drawing.title = picture.title;
  drawing.description = picture.description;
  drawing.width = columns * picture.loop_width;
  drawing.height = rows * picture.loop_height;
  if (columns == 0 || rows == 0) return drawing;
  add_box(drawing, {0, 0, drawing.width, drawing.height}, std::nullopt, quiet_ink);

  std::vector<PicturedLoop> loops;
  for (const PicturedLoop& loop : picture.loops)
    if (loop.column >= 0 && loop.column < columns && loop.row < rows && loop.rows >= 1 &&
        loop.row - loop.rows >= -1 && loop.shape != LoopShape::hole)
      loops.push_back(loop);
  std::stable_sort(loops.begin(), loops.end(), [](const PicturedLoop& a, const PicturedLoop& b) {
    return a.row != b.row ? a.row > b.row : a.depth < b.depth;
  });
  const double inset = yarn_outline / 2;
  for (const PicturedLoop& loop : loops) {
    const double height = loop.rows * picture.loop_height;
    const Path path =
        scaled(outline(loop.shape), picture.loop_width - yarn_outline, height - yarn_outline, {inset, inset});
    const std::string id =
        std::string(loop.shape == LoopShape::legs ? "legs-" : "arc-") + std::to_string(loop.rows);
    const Point at{loop.column * picture.loop_width, (rows - 1 - loop.row) * picture.loop_height};
    Symbol edge{id + "-edge", picture.loop_width, height};
    edge.stroke = path;
    edge.stroke_width = yarn_outline;
    Symbol yarn{id, picture.loop_width, height};
    yarn.fill = path;
    place_symbol(drawing, add_symbol(drawing, std::move(edge)), at, shade(loop.colour));
    place_symbol(drawing, add_symbol(drawing, std::move(yarn)), at, loop.colour);
  }
  return drawing;
}

}  // namespace wale::render
