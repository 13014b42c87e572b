/// Reading swatches: what is missing, what cannot be, and what a knitter should know before she trusts one.
///
///     swatch rib { made 8 st x 10 rows ... }    warning: 8 st measured, so the gauge may be off by 1 in 8
#pragma once

#include "compiler/values.hpp"

namespace wale {

/// The numbers of a swatch; its strand is found later. Nothing where a line is missing or a number cannot be,
/// which is reported.
std::optional<Swatch> read_swatch(const tree::Swatch& source, const Scope& scope, Diagnostics& diagnostics);

/// Each swatch gives the gauge of its fabric where the pattern has none of its own.
void add_swatch_gauges(Pattern& pattern);

/// The strand that each swatch was made in; the first that is declared where none is said. Reports fabrics
/// and strands that are not there. Strands and fabrics must be known.
void find_strands_of_swatches(Pattern& pattern, const std::vector<const tree::Swatch*>& sources,
                              bool declares_strands, Diagnostics& diagnostics);

/// Warns of swatches that are too small, that differ from the pattern's gauge for their fabric
/// (`own_gauge_asked`: it is not the file's, so it is not compared), and whose weight is not their yarn's.
void warn_of_swatches(const Pattern& pattern, const Stitches& stitches, bool own_gauge_asked,
                      Diagnostics& diagnostics);

/// `75 m / 50 g`.
std::optional<Yardage> read_yardage(const tree::WrittenFor& source, Span span, const Scope& scope,
                                    Diagnostics& diagnostics);
/// Warns of strands that are much heavier or lighter than the yarn that the pattern was written for, where no
/// swatch has shown what they knit up to.
void warn_of_other_weights(const Pattern& pattern, Diagnostics& diagnostics);

}  // namespace wale
