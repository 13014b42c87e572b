/// Text that others wrote, as it may be put before somebody: on a terminal, in a line of its own.
///
/// A file's name may hold any byte but a slash, and a text in a pattern almost any character. Some of these a
/// terminal obeys instead of showing them, or shows what follows in another order. They are shown by their
/// numbers.
///
///     visible("rib\x1B[2J.wale")  ->  "rib(U+001B)[2J.wale"
#pragma once

#include <string>
#include <string_view>

namespace wale {

/// Control characters (C0, C1, delete), line and paragraph separators, and marks that turn the direction of
/// what follows (Unicode Standard Annex 9: embeddings, overrides, isolates) as `(U+001B)`; bytes that are no
/// UTF-8 as `(0xFF)`.
std::string visible(std::string_view text);

/// The same for a text of several lines, whose ends stay.
std::string visible_lines(std::string_view text);

}  // namespace wale
