/// What pieces measure at a gauge, and which size's numbers to follow at another gauge.
#pragma once

#include <string>
#include <vector>

#include "compiler/document_settings.hpp"
#include "compiler/pattern.hpp"
#include "render/document.hpp"

namespace wale {

/// "96.5 (38)", to half a centimetre and a quarter of an inch, in the unit that stands first.
std::string both_units(double cm, Units units);
/// "S", "the one size".
std::string size_name(const Pattern& pattern);

/// In cm; each stretch goes by the gauge of its widest fabric, as its outline does.
struct PieceMeasures {
  double width = 0;   ///< at the widest; around, where it is in the round
  double length = 0;  ///< from cast-on to bind-off
};
/// The piece's stitches and rows at `gauges`, of which there is at least one.
PieceMeasures measures_of(const Piece& piece, const Pattern& gauges);

/// Something is knitted in it, and it is a piece of its own: a band that is picked up along an edge measures
/// what the edge does.
bool has_finished_size(const Piece& piece);

/// "96.5", to half a centimetre or a quarter of an inch.
std::string measure_words(double cm, Units units);

/// A column for each size, a row for the width and the length of each piece that has a finished size.
/// `sizes` have a gauge.
render::Table finished_sizes(const std::vector<const Pattern*>& sizes, Units units);

/// The pattern's own numbers knitted at another gauge: what each size measures then, and whose numbers come
/// nearest to it. By the widest piece that has a finished size. Both lists go by size; `written` at the
/// written gauge.
render::Table written_numbers_at(const std::vector<const Pattern*>& written,
                                 const std::vector<const Pattern*>& sizes, Units units);

}  // namespace wale
