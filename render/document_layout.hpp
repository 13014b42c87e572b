/// A document on paper: title, headings, paragraphs, tables and charts, in reading order, on numbered pages.
///
///     write_pdf(lay_out(document), {.title = document.title})
#pragma once

#include <vector>

#include "render/document.hpp"
#include "render/page_flow.hpp"

namespace wale::render {

/// The pages, at least one. Nothing overlaps or leaves the page; headings stay with what follows, and two
/// lines of a paragraph stay together at either end of a page. A page style too small to set text on is
/// widened.
std::vector<Drawing> lay_out(const Document& document, const PageStyle& style = {});

}  // namespace wale::render
