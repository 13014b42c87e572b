/// The yarn report for people: what to buy, what each piece takes of each strand and how that is known, what
/// the strands are, what the swatches say.
///
///     | Piece | Strand | About   | Between          | Known from                          |
///     | Scarf | D      | 180 m   | 150 m and 210 m  | a weighed swatch of another fabric  |
#pragma once

#include "compiler/document_settings.hpp"
#include "compiler/yarn_estimate.hpp"
#include "render/document.hpp"

namespace wale {

/// A row for each strand of each piece that takes yarn.
render::Table amounts_by_piece(const Pattern& pattern, const Estimate& estimate, Units units);

/// One document of one size; `name` stands for a missing title.
render::Document make_yarn_document(const Pattern& pattern, const Stitches& stitches,
                                    const Estimate& estimate, const std::string& name, Units units);

}  // namespace wale
