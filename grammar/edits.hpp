/// Changes to a text, and the text with them made.
///
/// An edit puts words in place of some bytes. Edits that belong together form a mend: all of them are made,
/// or none is. Mends that touch the same bytes cannot both be right, so the first stands and the other is
/// left out; it may be found again in the text that comes of the first.
///
///     "k2tgo, p"   [0, 5) -> "k2tog",  [5, 6) -> ""     "k2tog p"
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "grammar/source.hpp"

namespace wale {

/// Put `replacement` in place of `span`; an empty span is a place between two bytes.
struct Edit {
  Span span;
  std::string replacement;
  bool operator==(const Edit&) const = default;
};

/// Edits of one source that are right only together.
using Mend = std::vector<Edit>;

struct Edited {
  std::string text;
  std::vector<std::size_t> made;  ///< which of the mends, by index, rising
};

/// The text with the mends made, earlier ones before later ones. Left out are an empty mend, one that
/// overlaps another (two insertions at one place do; ranges that only meet do not), and one that lies outside
/// the text, runs backwards or cuts a UTF-8 character. The spans count in `text`; their source is not looked
/// at.
Edited apply_mends(std::string_view text, const std::vector<Mend>& mends);

}  // namespace wale
