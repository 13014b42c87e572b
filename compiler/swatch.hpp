/// What a swatch tells: its gauge and how sure that is, how it grew in the wash, and the yarn in its loops.
///
/// A swatch is measured over whole stitches and rows, washed and dried. Each end of what is measured is read
/// to half a stitch (the model of all uncertainties here): n stitches are n +- 1 at worst, so a swatch of 40
/// gives its gauge to 1 in 40, and one of 8 to 1 in 8, which nobody should trust.
///
/// Its yarn is what it weighs. What lies in its cast-on, its bind-off and its floats is taken off, and the
/// rest is shared out among its loops.
///
///     40 st x 56 rows, 21.0 x 20.5 cm washed    19.0 +- 0.5 st and 27.3 +- 0.5 rows to 10 cm
///     21 g of 100 g = 200 m                     42 m, less 1.3 m of edges, over 2,280 loops: 1.8 cm a loop
#pragma once

#include "compiler/pattern.hpp"

namespace wale {

/// A kitchen scale reads to the gram, so half a gram either way (assumed).
inline constexpr double scale_reading_grams = 0.5;
/// Fewer stitches or rows than this are no swatch at all; with fewer than the second, 1 in 20 may be wrong.
inline constexpr long long fewest_measured = 4, enough_measured = 20;
/// A side of a swatch below this is too short to be measured well (common practice), in cm.
inline constexpr double shortest_side = 10;

/// To 10 cm.
struct GaugeReading {
  double count = 0, plus_minus = 0;
};
GaugeReading stitches_of(const Swatch& swatch);  ///< pairs, for double knitting
GaugeReading rows_of(const Swatch& swatch);

/// Of the washed swatch.
Gauge gauge_of(const Swatch& swatch);

/// How much longer it is after washing, as a share: 0.05 is 5 % longer, -0.02 shrunk by 2 %.
double width_growth(const Swatch& swatch);
double height_growth(const Swatch& swatch);

struct SwatchYarn {
  double metres = 0;   ///< of all strands together, by weight
  double loop_cm = 0;  ///< of yarn in one base loop; 0 where it is not weighed or the strands have no yarn
};
/// Of a fabric that is proved.
SwatchYarn yarn_of(const Swatch& swatch, const Fabric& fabric, const Pattern& pattern,
                   const Stitches& stitches);
/// The loop that was weighed over the one that its gauge alone would have; 0 where it is not known.
double weighed_over_gauge(const Swatch& swatch, const Fabric& fabric, const Pattern& pattern,
                          const Stitches& stitches);
/// Outside these, the weight is another yarn's, or a slip of the pen; it is left out.
inline constexpr double least_over_gauge = 0.5, most_over_gauge = 2;

/// A needle for a swatch that is off gauge.
struct NeedleAdvice {
  bool larger = false;
  double mm = 0;
};
/// Where the swatch is off `wanted` by more than its uncertainty. Half a millimetre of needle changes about
/// one stitch in twenty (common practice, for needles about 4 to 5 mm): in proportion, two parts of needle
/// for one of gauge. To the half millimetre, below 4 mm to the quarter; at least one size, and not below 1
/// mm.
std::optional<NeedleAdvice> needle_for(const Swatch& swatch, const Gauge& wanted);

}  // namespace wale
