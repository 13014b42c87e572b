/// The charts of what a piece does beside its fabrics, which have charts of their own.
///
/// A knitter wants a picture of three things more:
///
///   rows { ... }          where some row has more than one kind of stitch; one repeat where the rows repeat
///   rope 12 | moss 9      the panels over the rows after which all begin again, a line between them
///   narrow, widen, spread  the stretch with its edges as they step; one section where it is shaped at
///                         points. Shaping steps that follow each other are one stretch.
///
/// What is wider than 100 stitches and shows no repeat is not drawn, for nobody would follow it; of a wide
/// stretch that is shaped at its sides the edges are, if it is at most sixty rows high. Of other stretches
/// rows above the sixtieth are left to the words, with a note. Rows worked `as seen` on what the piece has
/// knitted before have no chart.
///
/// Of several sizes a chart that is not alike in all is drawn for the first and says so: nine sizes of an
/// armhole are nine pictures of the same curve, and a knitter needs one. `--size` draws her own.
#pragma once

#include <vector>

#include "compiler/pattern.hpp"
#include "render/document.hpp"

namespace wale {

/// The piece charts of one pattern, in the order of the work; alike ones once.
std::vector<render::Chart> piece_charts(const Pattern& pattern, const Stitches& stitches);

/// The piece charts of all sizes, smallest first; at least one.
std::vector<render::Chart> piece_charts(const std::vector<const Pattern*>& sizes, const Stitches& stitches);

}  // namespace wale
