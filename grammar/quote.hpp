/// A line of a pattern quoted with a mark below it, and how what is said looks on a terminal.
///
///          3 |   2: <p2 k2> p2
///            |      ^^^^^^^^^^ 42, on the needle 43
///
/// The mark stands under what it means whatever the letters before it: it is counted in cells, not
/// characters.
#pragma once

#include <string>
#include <string_view>

#include "grammar/source.hpp"

namespace wale {

/// How the text is to look. As it is made, it is for files and pipes: equal everywhere, without colours,
/// lines as long as they are. On a terminal, lines are wrapped and quotes cut to its columns.
struct Look {
  bool colour = false;
  std::size_t columns = 0;  ///< of the terminal; 0: there is none
};

/// Red and magenta, in bold, are the two of the eight colours that keep a contrast of three to one on black
/// and on white (WCAG 2.1, 1.4.11) in the palette that xterm comes with: cd0000 and cd00cd. The words say the
/// same without.
enum class Ink { plain, bold, red, magenta };

/// The words in that ink, where there are colours.
std::string inked(std::string_view words, Ink ink, const Look& look);

/// Words from column `at` on, broken to the terminal's columns, later lines indented by `hanging`; ends the
/// line.
std::string flowing(std::string_view words, std::size_t at, std::size_t hanging, const Look& look);

/// What is marked, by what, and the words beside the mark.
struct Marked {
  Span span;
  char mark = '^';
  std::string_view words = {};
  Ink ink = Ink::plain;
};

/// The line in which the span begins, and below it the mark with its words.
std::string quote(const Source& source, const Marked& marked, const Look& look = {});

}  // namespace wale
