/// Whether colours that are knitted side by side read apart.
///
///     #2f5d50 beside #1f2d3d     1.9 : 1, a warning
#pragma once

#include "compiler/pattern.hpp"
#include "grammar/diagnostics.hpp"

namespace wale {

/// WCAG 2.x contrast ratio of two colours, 1 to 21.
double contrast_ratio(Rgb a, Rgb b);
/// Two strands whose colours have a lower ratio than this are hard to tell apart. 3 : 1 is what WCAG 2.1 asks
/// of graphical objects (success criterion 1.4.11); knitters' own test is the black-and-white photograph
/// (common practice).
inline constexpr double least_contrast = 3;

/// Warns of strands that stand in one fabric side by side and are hard to tell apart.
void warn_of_contrast(const Pattern& pattern, Diagnostics& diagnostics);

}  // namespace wale
