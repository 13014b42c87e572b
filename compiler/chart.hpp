/// Charts: the checked loops of a fabric, put into squares.
///
/// A square is a loop as it lies on the right side. The chart is drawn for a small n (enough to show the
/// repeat whole), and read like the knitting: row 1 at the bottom, the first stitch of a right-side row at
/// the right.
///
/// Placement. Every row's stitches keep their order; where a row has fewer of them than the widest, the
/// squares left over say "no stitch". Each stitch wants to stand over the loops that it was worked into, and
/// the placement of a row minimises the sum of the distances (in squares) between where its stitches stand
/// and where they would like to; a dynamic programme over stitches and columns finds the least. It starts at
/// the widest row and goes up and down from there.
///
///     row 2     \ . /        the two decreases stand over the outer stitches of row 1,
///     row 1   . . . . .      and two squares of row 2 stay empty
#pragma once

#include <optional>

#include "compiler/pattern.hpp"
#include "render/document.hpp"

namespace wale {

/// Charts wider or taller than this are not drawn.
inline constexpr long long widest_chart = 400;
inline constexpr long long tallest_chart = 2000;

/// The chart of a fabric; nothing where it is too large to draw or did not work out.
std::optional<render::Chart> draw_fabric(const Fabric& fabric, const Pattern& pattern,
                                         const Stitches& stitches);

}  // namespace wale
