/// `wale explain`: the diagnostics told at length, as text for the terminal.
///
///     explain(Kind::empty_fill)    what it means and why, a pattern that shows it, what Wale says of it, and
///                                  the pattern mended
#pragma once

#include <string>
#include <vector>

#include "grammar/diagnostics.hpp"

namespace wale {

/// The kind explained, in lines of at most `columns` cells; lines of patterns are not broken.
std::string explain(Kind kind, int columns = 90);

/// All kinds with what they mean, in the groups of the registry.
std::string list_kinds(int columns = 100);

/// The line below all that a run has said, on how to have it explained: the first error if there is one.
/// Empty where nothing was said.
std::string explain_hint(const std::vector<Kind>& told);

}  // namespace wale
