/// A drawing as a PNG picture, for places that take nothing better.
///
///     write_png(draw_chart(chart), {.dots_per_inch = 96})  ->  "\x89PNG..."
#pragma once

#include "render/geometry.hpp"

namespace wale::render {

struct PngOptions {
  double dots_per_inch = 150;
  double most_pixels = 100e6;  ///< A larger picture is refused before any memory is taken.
};

/// On white. Fails when the picture would be empty, larger than `most_pixels`, or longer than 32767 a side.
Bytes write_png(const Drawing& drawing, const PngOptions& options = {});

}  // namespace wale::render
