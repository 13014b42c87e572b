/// What the document says of strands and swatches: weights and classes, the yarn that the pattern was written
/// for, gauges measured, and what washing does to the pieces.
///
///     Strand | m to 100 g | Weight          | Sts to 10 cm | This pattern
///     D      | 176        | Medium (4)      | about 18     | 20 sts to 10 cm: agrees
#pragma once

#include <vector>

#include "compiler/document_settings.hpp"
#include "compiler/pattern.hpp"
#include "compiler/strands.hpp"
#include "render/document.hpp"

namespace wale {

/// The gauge at which a strand is knitted: of the fabric that takes most of its stitches.
struct StrandGauge {
  double stitches = 0;  ///< to 10 cm
  bool plain = false;   ///< of stockinette
  std::string fabric;   ///< empty: of no fabric in particular
};
/// Nothing without a gauge.
std::optional<StrandGauge> gauge_of_strand(const Pattern& pattern, const Stitches& stitches, short strand);

/// "agrees", "looser than its class", ...
std::string_view fit_words(GaugeFit fit);

/// A table of the strands whose yarn is known, and what they are beside the yarn that the pattern was written
/// for. Empty where no yarn is known.
std::vector<render::Block> strand_blocks(const Pattern& pattern, const Stitches& stitches, Units units,
                                         int heading_level = 3);

/// The swatches: a table, and for each what follows from it. Empty where there is none.
std::vector<render::Block> swatch_blocks(const Pattern& pattern, const Stitches& stitches, Units units,
                                         int heading_level = 3);

}  // namespace wale
