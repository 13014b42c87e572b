/// What pieces measure at a gauge, and which size's numbers to follow at another gauge.
#pragma once

#include <string>
#include <vector>

#include "compiler/document_settings.hpp"
#include "compiler/pattern.hpp"
#include "render/document.hpp"

namespace wale {

/// In cm; each stretch goes by the gauge of its widest fabric.
struct PieceMeasures {
  double width = 0;   ///< at the widest; around, where it is in the round
  double length = 0;  ///< from cast-on to bind-off
};
/// The piece's stitches and rows at `gauges`, of which there is at least one.
PieceMeasures measures_of(const Piece& piece, const Pattern& gauges);

/// "96.5", to half a centimetre or a quarter of an inch.
std::string measure_words(double cm, Units units);

/// A column for each size, a row for each piece's width and length. `sizes` have a gauge.
render::Table finished_sizes(const std::vector<const Pattern*>& sizes, Units units);

/// The pattern's own numbers knitted at another gauge: what each size measures then, and whose numbers come
/// nearest to it. By the widest piece that is cast on. Both lists go by size; `written` at the written gauge.
render::Table written_numbers_at(const std::vector<const Pattern*>& written,
                                 const std::vector<const Pattern*>& sizes, Units units);

}  // namespace wale
