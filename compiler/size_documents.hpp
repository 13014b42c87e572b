/// One document for all sizes, in the way that printed patterns give them.
///
/// Each size is written up on its own, as if it were the only one; the documents are then laid over each
/// other, block by block and word by word. Where they say the same, it stands once; where a number differs,
/// all sizes' numbers stand in its place; what only some sizes do is headed by their names.
///
///     S  Cast on 60 sts.    M  Cast on 66 sts.    L  Cast on 72 sts.
///     all three             Cast on 60 (66, 72) sts.
#pragma once

#include <string>
#include <vector>

#include "render/document.hpp"

namespace wale {

/// One document each, smallest size first; at least one. `sizes` names them.
render::Document merge_documents(const std::vector<std::string>& sizes,
                                 std::vector<render::Document> documents);

/// The words of all sizes in one, where they differ in numbers alone (and in what follows from a number: "1
/// row", "2 rows"); nothing where they differ in more. Inside brackets the numbers' own are square ones.
std::optional<std::string> merge_words(const std::vector<std::string>& texts);

}  // namespace wale
