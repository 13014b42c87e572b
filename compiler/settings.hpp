/// What the command line puts in the place of what a pattern says: one size of it, another gauge, other
/// measures.
///
///     --size M  --gauge "18 st x 25 rows = 10 cm"  --set ease=8cm
///
/// Each is read by the language's own parser, as if it were a line of a pattern, and a mistake in it is shown
/// where it stands in the option.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/declarations.hpp"
#include "grammar/diagnostics.hpp"
#include "grammar/tree.hpp"

namespace wale {

struct Settings {
  std::optional<std::string> size, gauge;
  std::vector<std::string> measures;  ///< `ease=8cm`
  bool any() const { return size || gauge || !measures.empty(); }
};

/// The options as sources, numbered from `first`, behind the vocabulary and the pattern's files.
std::vector<Source> settings_sources(const Settings& settings, std::size_t first);

/// What they say.
struct Asked {
  std::optional<tree::Name> size;
  std::optional<tree::Gauge> gauge;
  Span gauge_span;
  std::vector<tree::Measure> measures;
};
Asked read_settings(const Settings& settings, std::size_t first, Diagnostics& diagnostics);

/// Whether what is asked for is there to be asked for; else it is said.
bool is_declared(const Asked& asked, const Declarations& pattern, const std::vector<std::string>& sizes,
                 Diagnostics& diagnostics);

}  // namespace wale
