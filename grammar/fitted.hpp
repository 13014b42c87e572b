/// Lines that are said beside mistakes, such as sums and hints, made to fit a terminal.
///
///     3 patterns compiled, 12 up to date, 1        at 40 columns
///       warning
#pragma once

#include "grammar/quote.hpp"

namespace wale {

/// Lines that are too long for the terminal broken, later ones indented by two more, or as far as the words
/// behind "try" and "note". What is to be typed stays whole: words in backticks, and a command such as `wale
/// explain wrong-loop` behind a colon or at the beginning. Where there is no terminal all is as it was.
std::string fitted(std::string_view lines, const Look& look);

}  // namespace wale
