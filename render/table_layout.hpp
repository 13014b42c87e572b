/// Tables: columns as wide as their content asks, cells wrapped where the page is too narrow for that.
///
///     Strand  Yarn                      Metres
///     ----------------------------------------
///     A  [#]  Skerry Worsted, Kelp         424
#pragma once

#include <vector>

#include "render/document.hpp"
#include "render/page_flow.hpp"

namespace wale::render {

/// One fragment per row, or per line of a row that is taller than a page; the header is repeated on every
/// page. A table with more columns than fit side by side is set in bands that repeat its first
/// column.
std::vector<Fragment> lay_out_table(const Table& table, const PageStyle& style);

}  // namespace wale::render
