/// A wide chart cut down to its edges: what a knitter wants to see of an armhole is where it steps.
///
///     : : : : . . . . . . . . . . : : :        : : : : . | . : : :       the line: 8 sts left out
#pragma once

#include <optional>

#include "render/document.hpp"

namespace wale {

/// Charts of shaping wider than this show their edges only.
inline constexpr int widest_shaping = 60;

/// Squares kept inside of what is shaped.
inline constexpr int kept_inside = 6;

/// The right and the left edge of the chart, as far in as rows begin or end there and `kept_inside` squares
/// more, with a marker line where the middle is left out. The chart itself where it is narrow; nothing where
/// its edges meet.
std::optional<render::Chart> edges_of(render::Chart chart);

}  // namespace wale
