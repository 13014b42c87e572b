/// How wide a text is on a terminal, in cells of its grid: letters of the East take two, combining marks
/// none.
///
///     cells("wale")    4
///     cells("鯨")      2      Unicode Standard Annex 11: wide
///     cells("ö")      1      o and a combining diaeresis
///
/// Widths come from utf8proc and hang on no locale. A stray byte that is no UTF-8 takes one,
/// and so does a control character, which is shown as a blank.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace wale {

std::size_t cells(std::string_view text);

/// The longest beginning of the text that fits into so many cells, in bytes; never in the midst of a
/// character or before a mark that belongs to it.
std::size_t head_within(std::string_view text, std::size_t most);
/// The same from the end: where in the text its longest such ending begins.
std::size_t tail_within(std::string_view text, std::size_t most);

/// Broken at blanks into lines of at most `first` and then `rest` cells; a longer word stays whole.
std::vector<std::string> wrap(std::string_view text, std::size_t first, std::size_t rest);

}  // namespace wale
