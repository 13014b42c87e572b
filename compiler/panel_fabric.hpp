/// Fabrics side by side, as one fabric over the rows after which all of them come together again.
///
///     work moss 9 | rope | moss 9       moss has 1 row, rope 8: 8 rows, moss worked eight times beside it
///
/// Each panel is worked as often as the piece works it where that can be read, and else as often as shows
/// its repeat.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/pattern.hpp"

namespace wale {

/// Panels that are together wider than this are drawn with fewer repeats than are worked.
inline constexpr long long widest_panels = 60;
/// Rows of a joint cycle that are drawn at most.
inline constexpr long long tallest_panels = 60;

struct Panels {
  Fabric fabric;                    ///< of constant width; markers stand between the panels
  long long joint_rows = 0;         ///< after so many the fabrics come together again
  std::string gauge_of;             ///< the widest panel's fabric
  const Fabric* reduced = nullptr;  ///< the only panel drawn with fewer repeats, if just one is
  long long reduced_begins = 0;     ///< stitches right of it
  std::vector<std::string> less;    ///< "moss: 4 of its 30 repeats are drawn"
};

/// Nothing where a row cannot be drawn beside another (worked as seen, turned in mid-row).
std::optional<Panels> panels_of(const Step& layout, const std::vector<Fabric>& fabrics,
                                const std::string& name, const Stitches& stitches);

}  // namespace wale
