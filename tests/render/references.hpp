/// Pictures that are kept in the tree and looked at by people: what is drawn today must look like them.
///
///     references/symbols.png      every symbol at 6 mm
///     references/rope.png         a cable with its key, and so on: one for each way of drawing
///
/// `references/renew` draws them anew. `reference_test.cpp` compares.
#pragma once

#include <string>
#include <vector>

#include "render/geometry.hpp"
#include "tests/render/raster.hpp"

namespace wale::render::sample {

/// The pictures, each named after its file; `root` is the folder of the project, which has the examples.
std::vector<Drawing> reference_drawings(const std::string& root);

/// Dots to the inch of the files.
inline constexpr double reference_dots = 96;

/// How much a picture may differ from its reference, see `apart`, softened by two pixels, half a millimetre.
/// Lines a third of a pixel elsewhere, or smoothed otherwise, came to 0.16 at most; a symbol moved by a sixth
/// of its square, missing or exchanged to 0.25 at least. `reference_test.cpp` measures both.
inline constexpr int reference_softness = 2;
inline constexpr double reference_tolerance = 0.2;

}  // namespace wale::render::sample
