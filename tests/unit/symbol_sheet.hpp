/// Every symbol that a chart can hold, and a sheet of them to look at.
///
///     k2tog   [/] [/]  [ / ] [ / ]  [  /  ] [  /  ]     3, 6 and 12 mm, each on paper and on a dark strand
///
/// `page_tool symbols` writes the sheet; `symbols_test.cpp` measures what is on it.
#pragma once

#include <string>
#include <vector>

#include "render/document.hpp"
#include "render/geometry.hpp"

namespace wale::symbols {

/// A side of a square, in millimetres: the smallest that a page has, one to knit from, and one for weak eyes.
inline constexpr double sides[] = {3, 6, 12};
inline constexpr double points_per_millimetre = 72 / 25.4;

/// The marks of the vocabulary in its order, of crossings of several sizes, of turns and of several stitches
/// worked into one. The `abbreviation` of each is the stitch's name, the `meaning` what it says.
std::vector<render::Mark> all_marks();

/// A chart of this one mark and no more: its squares are `side` millimetres high and wide, their ground is
/// `ground`.
render::Drawing alone(const render::Mark& mark, double side, render::Colour ground = {255, 255, 255});

render::Drawing sheet(const std::vector<render::Mark>& marks);

}  // namespace wale::symbols
