/// A document as plain text, for a terminal, a mail or a listening ear.
///
///     Rows
///     ----
///
///     Row 1 (RS): K4, *p2, k2; rep from * to the last 6 sts,
///                 p2, k4. (42 sts)
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "render/document.hpp"

namespace wale::render {

struct TextOptions {
  int columns = 80;  ///< Longest line, in character cells; at least 20.
};

/// UTF-8 that ends with a newline. Lines hang under their lead; tables are aligned; a chart is its title and
/// notes. No line is longer than `columns`.
std::string write_text(const Document& document, const TextOptions& options = {});

/// Character cells that a text takes in a terminal: wide letters take two, combining marks none.
int text_columns(std::string_view text);

/// Breaks clean text at spaces into lines of at most `columns` cells; a longer word is broken.
std::vector<std::string> wrap_columns(std::string_view text, int columns, int first_columns);

}  // namespace wale::render
