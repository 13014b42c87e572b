/// Body measurements and ease that the trade has agreed on, so that a design may say `body(woman, bust)`
/// instead of nine numbers.
///
/// Source: Craft Yarn Council, Standards & Guidelines for Crochet and Knitting, as given in the project's
/// table of standards. The Council prints a range for each size (M 91.5 to 96.5 cm); a design is drafted for
/// its middle.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace wale {

/// A woman's bust in cm for `XS` to `5X`; nothing for another name.
std::optional<double> woman_bust_cm(std::string_view size);
/// The names of the sizes, smallest first.
std::vector<std::string> standard_sizes();

/// The ease at the bust in cm that a word stands for (`close`, `classic`, `loose`, `oversized`): the middle
/// of the Council's range, or its lower end where it has no upper one. From memory.
std::optional<double> ease_cm(std::string_view word);
std::vector<std::string> ease_words();

}  // namespace wale
