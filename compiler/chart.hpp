/// Charts: the checked loops of a fabric, put into squares.
///
/// A square is a loop as it lies on the right side. The chart is drawn for a small n (enough to show the
/// repeat whole), and read like the knitting: row 1 at the bottom, the first stitch of a right-side row at
/// the right.
///
/// Where a row has fewer stitches than the widest, the squares left over say "no stitch"; which they are is
/// told in chart_placement.hpp. A flat fabric that does not come back to its width steps at its edges.
#pragma once

#include <optional>

#include "compiler/chart_placement.hpp"
#include "compiler/pattern.hpp"
#include "render/document.hpp"

namespace wale {

/// Charts wider or taller than this are not drawn.
inline constexpr long long widest_chart = 400;
inline constexpr long long tallest_chart = 2000;

/// What a chart that is not a fabric's own takes from where it stands.
struct ChartRules {
  std::optional<Gaps> gaps;  ///< otherwise as the rows suggest
  std::string gauge_of;      ///< the fabric whose gauge gives the squares their shape; empty: its own
};

/// "Chart of moss".
std::string chart_title(const std::string& name);

/// The chart of a fabric; nothing where it is too large to draw or did not work out.
std::optional<render::Chart> draw_fabric(const Fabric& fabric, const Pattern& pattern,
                                         const Stitches& stitches, const ChartRules& rules = {});

/// The same in the way in which the pattern's pieces work the fabric: flat or in the round. Where they work
/// it both ways, as it is written, with a note.
std::optional<render::Chart> draw_as_worked(const Fabric& fabric, const Pattern& pattern,
                                            const Stitches& stitches);

}  // namespace wale
