/// A pattern for a left-handed knitter, who works from the left needle's side what others work from the
/// right's.
///
/// She does all that a right-handed knitter does, as in a mirror: the same stitches in the same order, so the
/// rows of the instructions stay as they are, and the fabric comes out mirrored. Her k2tog leans to the left.
/// What changes is what tells the sides apart: charts are mirrored, and every left and right is exchanged, in
/// the names of stitches that are called by what the right side shows, too. (Derived: a mirror image of every
/// movement gives the mirror image of the fabric.)
///
///     2/2 RC, hold in back          ->  2/2 LC, hold in back
///     read RS rows right to left    ->  read RS rows left to right
#pragma once

#include <string>

#include "compiler/stitches.hpp"
#include "render/document.hpp"

namespace wale {

/// Exchanges the words "left" and "right", except in "right side", "right-side" and the like, which name the
/// fabric's face.
std::string mirrored_words(const std::string& text);

/// "2/2lc" for "2/2rc"; other names that tell no side stay.
std::string mirrored_name(const std::string& name);

/// The chart as it looks in a mirror: squares, marks, labels, frames and the words about them.
render::Chart mirrored(render::Chart chart);

}  // namespace wale
