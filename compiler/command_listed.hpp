/// Of a collection the patterns that a list of files concerns: what another program says has changed.
///
///     git diff --name-only main | wale check --listed patterns
///
/// A file concerns itself and all that use it, directly or through others, or knit it in a season; also one
/// that is no longer there, since whatever uses it no longer works.
#pragma once

#include <istream>
#include <vector>

#include "compiler/files.hpp"

namespace wale {

/// One name a line, with bytes that are no plain characters as Git quotes them ("\303\244.wale"); or, if
/// there is one, each ending with a byte 0.
std::vector<std::string> read_list(std::istream& list);

/// Of `files` those that the list concerns.
std::vector<Found> listed(std::vector<Found> files, std::istream& list, const FileAccess& disk);

}  // namespace wale
