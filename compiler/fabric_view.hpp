/// The view of a fabric: its checked loops as they lie on the right side, as a picture of yarn.
///
/// Each square of the chart that holds a loop becomes legs (knit) or an arc (purl) in the colour of its
/// strand; a slipped stitch makes the loop under it longer. Fabrics of two layers, crossings and loops with a
/// yarn over them lie two deep, which this does not draw yet.
#pragma once

#include <optional>

#include "compiler/pattern.hpp"
#include "render/loop_picture.hpp"

namespace wale {

/// Nothing for a fabric that did not work out, is wider than a picture may be, or lies two deep.
std::optional<render::LoopPicture> view_fabric(const Fabric& fabric, const Pattern& pattern,
                                               const Stitches& stitches);

}  // namespace wale
