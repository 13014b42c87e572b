/// Rows that a piece works once, as a small fabric, so that they can be drawn like one.
///
/// A row over 96 stitches that works `<k2 p2>` is told by one repeat and a frame round it. So where every row
/// has a fill, and the fills lie over each other, the rows are written for n repeats; the piece works them
/// for one of these n.
///
///     on 98 st:  1: <k2 p2> k2    fills 24        4n + 2 st, fills n
///                2: <p2 k2> p2    fills 24                   fills n
///
/// Rows whose repeats do not fit over each other stay as they are, at the piece's own count.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/pattern.hpp"

namespace wale {

struct StretchFabric {
  Fabric fabric;                   ///< good; n repeats of it, or of constant width
  std::optional<long long> times;  ///< how often the piece works the repeat, where all rows agree
};

/// The rows, in order and without any left out, as worked in one piece; at least one.
StretchFabric stretch_of(std::vector<CheckedRow> rows, Form form, const std::string& name,
                         const Stitches& stitches);

/// Rows whose stitches come in equal sections (`narrow at 8 points`, `spread`), with a section as the fill.
/// Rows of other kinds stay; those between, of one stitch alone, are divided likewise.
void sections_as_fills(std::vector<CheckedRow>& rows);

}  // namespace wale
