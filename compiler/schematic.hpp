/// The schematic of a pattern: each piece's outline at its gauge, with its measures for every size.
///
/// One size is drawn, the middle one. Where there are several the measures are letters, which a table
/// explains size by size; where there is one, the figures stand at the lines themselves.
#pragma once

#include <optional>
#include <vector>

#include "compiler/document_settings.hpp"
#include "compiler/pattern.hpp"
#include "render/schematic.hpp"

namespace wale {

/// Nothing where there is no gauge, or no piece that is knitted.
std::optional<render::Schematic> make_schematic(const std::vector<const Pattern*>& sizes,
                                                const DocumentSettings& settings);

}  // namespace wale
