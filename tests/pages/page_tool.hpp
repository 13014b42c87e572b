// What can be said about a pattern's files without drawing them.
#pragma once

#include <string>
#include <vector>

#include "compiler/check.hpp"

namespace wale::pages {

/// What is wrong with a chart as SVG: a symbol that is defined twice, never used, or used and not defined.
/// `svg`: the file's bytes.
std::vector<std::string> svg_faults(const std::string& svg);

/// The sums of a yarn report that do not agree with each other or with the pattern. `json`: the file's bytes.
std::vector<std::string> yarn_faults(const std::string& json, const Pattern& pattern);

}  // namespace wale::pages
