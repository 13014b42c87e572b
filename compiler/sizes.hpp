/// The sizes of a pattern, and what is said of each of them put together.
///
/// A pattern is worked once for every size, and each time all that is wrong is found. What is wrong in every
/// size is said once; what is wrong in some of them says in which.
///
///     pattern.wale:9:11: error: a cast-on must be a whole number, 1 or more [bad-measure]
///          note  in sizes S and M
#pragma once

#include <string>
#include <vector>

#include "compiler/declarations.hpp"
#include "grammar/diagnostics.hpp"
#include "grammar/tree.hpp"

namespace wale {

inline constexpr std::size_t most_sizes = 30;

/// The names that the pattern declares, smallest first; empty where it has one size and no name for it.
std::vector<std::string> declared_sizes(const Declarations& pattern, Diagnostics& diagnostics);

/// "size M", "sizes S and M", "sizes S, M and L".
std::string sizes_words(const std::vector<std::string>& names);

/// What was found in each size, by place. `names` and `found` go side by side.
Diagnostics merge_findings(const std::vector<std::string>& names, const std::vector<Diagnostics>& found);

}  // namespace wale
