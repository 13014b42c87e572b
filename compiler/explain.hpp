/// `wale explain`: the diagnostics told at length, as text for the terminal.
///
///     explain(Kind::empty_fill)    what it means and why, a pattern that shows it, what Wale says of it, and
///                                  the pattern mended
#pragma once

#include <string>
#include <vector>

#include "grammar/diagnostics.hpp"

namespace wale {

/// Lines longer than these are hard to follow.
inline constexpr int explanation_columns = 90, list_columns = 100;

/// The kind explained, in lines of at most `columns` cells; lines of patterns are not broken, but on a narrow
/// terminal they are cut where they are quoted.
std::string explain(Kind kind, int columns = explanation_columns);

/// All kinds with what they mean, in the groups of the registry.
std::string list_kinds(int columns = list_columns);

/// The line below all that a run has said, on how to have it explained: the first error if there is one.
/// Empty where nothing was said.
std::string explain_hint(const std::vector<Kind>& told);

}  // namespace wale
