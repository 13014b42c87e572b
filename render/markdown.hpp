/// A document as Markdown, for web pages, notes and repositories: headings, paragraphs and tables with bars.
///
///     ## Projects
///
///     | Project | Hours |
///     | --- | ---: |
///     | Fogbound Cowl | 10.2 |
#pragma once

#include <string>
#include <string_view>

#include "render/document.hpp"

namespace wale::render {

/// `text` cleaned (`clean_text`), with a backslash before signs that would be markup where it stands alone in
/// a paragraph, a heading or a cell.
std::string markdown_text(std::string_view text);

/// UTF-8 that ends with a newline. No text of the document can become markup. A chart is its title and notes,
/// a picture its words.
std::string write_markdown(const Document& document);

}  // namespace wale::render
