/// A picture of loops of yarn, side by side and one above the other, in the colours of the yarn.
///
/// Every loop is one of a few shapes, drawn twice: a broader one in a darker shade for the ground between two
/// loops, and the yarn upon it. Loops are drawn from the top row down and, within a row, from the back
/// (`depth` small) to the front.
///
///     legs:  \ /     arc:   ,-.      hole:  nothing but the ground
///             V            (   )
#pragma once

#include <string>
#include <vector>

#include "render/geometry.hpp"

namespace wale::render {

enum class LoopShape { legs, arc, hole };

struct PicturedLoop {
  LoopShape shape = LoopShape::legs;
  Colour colour = paper;
  int row = 0;     ///< of its head; 0 at the bottom
  int rows = 1;    ///< how many rows high: a long loop has its foot `rows - 1` rows lower
  int column = 0;  ///< 0 at the left
  int depth = 0;   ///< greater lies in front
};

struct LoopPicture {
  std::string name = "loops", title, description;
  int columns = 0, rows = 0;
  double loop_width = 10, loop_height = 8;  ///< points
  std::vector<PicturedLoop> loops;
};

/// More columns or rows than this are left out.
inline constexpr int most_loop_columns = 60, most_loop_rows = 80;

/// The picture; loops that would leave it are not drawn.
Drawing draw_loops(const LoopPicture& picture);

}  // namespace wale::render
