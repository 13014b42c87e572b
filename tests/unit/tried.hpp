/// Patterns of several files, checked in memory: what tests of `use` and of seasons try.
#pragma once

#include <map>
#include <string>

#include "compiler/check.hpp"
#include "compiler/loading.hpp"

using Files = std::map<std::string, std::string>;  ///< texts by their paths

struct Tried {
  wale::Loaded loaded;
  wale::Checked checked;
  std::string shown;  ///< all diagnostics as text
};

/// The file of that name, checked among the others.
Tried try_file(const std::string& name, const Files& files);
/// Whether its diagnostics hold these words.
bool says(const Tried& tried, const std::string& words);
