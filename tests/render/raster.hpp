/// Pictures as numbers: how dark each pixel of a drawing is, and how far two of them are apart.
///
/// Letters and edges are smoothed differently by different versions of the libraries, so pixels do not agree;
/// ink does. `apart` therefore softens both pictures before it looks for the pixel that differs most: a
/// smoothed edge differs by little, a symbol that moved by a whole line's worth of ink.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "render/geometry.hpp"

namespace wale::render::sample {

/// 0 is white and 1 black, row by row from the upper left corner.
struct Raster {
  int width = 0, height = 0;
  std::vector<double> dark;

  double at(int x, int y) const {
    return dark[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)];
  }
};

/// The drawing on white; `dots` pixels to the inch.
Raster rasterise(const Drawing& drawing, double dots);
/// A PNG; an empty raster where the bytes are none.
Raster read_png(const std::string& bytes);
/// The part that begins at pixel (x, y).
Raster cropped(const Raster& from, int x, int y, int width, int height);
/// Every pixel the mean of the pixels at most `by` away from it.
Raster softened(const Raster& from, int by);

/// The share of the picture that is ink, 0 to 1.
double coverage(const Raster& picture);
/// The largest difference of two pixels after softening by `by`, 0 to 1; 1 where the sizes differ.
double apart(const Raster& a, const Raster& b, int by);
/// The ink that only one of them has, as a share of the ink of the darker one, after softening by `by`; 1
/// where the sizes differ.
double unshared(const Raster& a, const Raster& b, int by);

}  // namespace wale::render::sample
