/// A first pattern: what `wale new` writes.
///
/// It compiles as it stands, and its comments say what to change and what to try next, so that the first
/// minutes go into knitting and not into reading a reference.
#pragma once

#include <string>
#include <string_view>

namespace wale {

/// "winter-hat" -> "Winter Hat".
std::string title_of(std::string_view stem);

/// The text of a pattern with this title, which may hold any character.
std::string starter(std::string_view title);

}  // namespace wale
