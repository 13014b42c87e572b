/// What another gauge or other measures make of a pattern: its numbers beside those that the file gives.
///
///     --gauge "18 st x 25 rows = 10 cm"     Back: cast on   82 (90)
///
/// For a knitter who has the pattern as it was printed, and wants to see at a glance what she has to write
/// into it. What stays the same is left out.
#pragma once

#include <vector>

#include "compiler/document_settings.hpp"
#include "compiler/pattern.hpp"
#include "compiler/yarn_estimate.hpp"
#include "render/document.hpp"

namespace wale {

/// A pattern in all its sizes, and what it takes in each.
struct Numbers {
  std::vector<const Pattern*> sizes;
  std::vector<Estimate> estimates;  ///< of `sizes`; may be empty
};

/// A column for each size, a row for each number that is another one in some size; without rows where none
/// is. Both come from one file: the same sizes and pieces in the same order.
render::Table what_changed(const Numbers& written, const Numbers& now, Units units);

}  // namespace wale
