/// The stash in a document and in the yarn report, and what a knitter reads of a repeat that goes by yarn.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "compiler/document_settings.hpp"
#include "compiler/stash.hpp"
#include "render/document.hpp"

namespace wale {

/// "From the stash": of one size what is there, used and left; of several the share and the rest of each.
/// Then which piece to knit from which lot: those of the size at `here`. Nothing where the pattern has no
/// stash.
std::vector<render::Block> stash_blocks(const std::vector<const Pattern*>& sizes,
                                        const std::vector<Estimate>& estimates, std::size_t here,
                                        Units units);

/// An array with an object for each yarn of the stash; see `yarn_report`.
nlohmann::ordered_json stash_report(const Pattern& pattern, const Estimate& estimate);

/// An array with an object for each repeat that goes by yarn.
nlohmann::ordered_json repeats_by_yarn(const Pattern& pattern);

/// "until half of A is used", "until A runs out".
std::string until_words(const UntilYarn& until, const Pattern& pattern);
/// "Or go by the scales: ...": with which weight left the repeat is done.
std::string scales_sentence(const UntilYarn& until, const Pattern& pattern, Units units);

}  // namespace wale
