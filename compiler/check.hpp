/// From a tree to a checked pattern: declarations first, then fabrics, then pieces.
///
///     check(load(source, ...))     names known, fabrics proved, pieces worked; or diagnostics that say why
///     not
#pragma once

#include <memory>

#include "compiler/contrast.hpp"
#include "compiler/effort.hpp"
#include "compiler/known_fabrics.hpp"
#include "compiler/loading.hpp"
#include "compiler/pattern.hpp"
#include "compiler/season.hpp"
#include "compiler/settings.hpp"
#include "grammar/tree.hpp"

namespace wale {

/// What a compilation comes to. `pattern` is complete only where `diagnostics` has no errors.
struct Checked {
  Pattern pattern;                     ///< of the first size, or of the one asked for
  std::vector<Pattern> larger;         ///< of the other sizes, in order
  std::unique_ptr<Stitches> stitches;  ///< the vocabulary with the pattern's own stitches and crossings
  std::optional<Season> season;        ///< that the file declares
  Diagnostics diagnostics;
  Effort effort;  ///< what it took
};

/// The pattern with all that it uses. `effort` tells how much work may be done.
Checked check(const Loaded& loaded, const Settings& settings = {}, const Effort& effort = {});
/// Whether `check` would find nothing at all to say. `false` may also mean that a quick look does not tell.
bool finds_nothing(const Loaded& loaded, const Settings& settings, KnownFabrics& known);
/// A pattern that lies in no folder, so that nothing lies beside it; its number is 1.
Checked check(const Source& source, const Settings& settings = {}, const Effort& effort = {});

/// The embedded vocabulary as a source, for showing places in it.
Source vocabulary_source();

}  // namespace wale
