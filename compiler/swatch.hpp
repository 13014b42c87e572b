/// What a swatch tells: its gauge, and the yarn in one of its loops.
///
/// A swatch is measured over whole stitches and rows, washed and dried. Its yarn is what it weighs; what lies
/// in its cast-on, its bind-off and its floats is taken off, and the rest is shared out among its loops.
///
///     40 st x 56 rows, 21 g, 21.0 x 20.5 cm of a yarn of 100 g = 200 m
///     42 m, less 1.3 m of edges, over 2,240 loops: 1.8 cm a loop
#pragma once

#include "compiler/pattern.hpp"

namespace wale {

/// A kitchen scale reads to the gram, so half a gram either way (assumed).
inline constexpr double scale_reading_grams = 0.5;

/// At the size after washing.
Gauge gauge_of(const Swatch& swatch);

struct SwatchYarn {
  double metres = 0;  ///< of all strands together, by weight
  double loop_cm =
      0;  ///< of yarn in one base loop; 0 where the strands have no yarn, or the weight cannot be
};
/// Of a fabric that is proved.
SwatchYarn yarn_of(const Swatch& swatch, const Fabric& fabric, const Pattern& pattern,
                   const Stitches& stitches);

/// Grams of a kilometre of the strand; nothing where it has no yarn.
std::optional<double> tex_of(const Pattern& pattern, short strand);

}  // namespace wale
