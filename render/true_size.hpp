/// A chart as large as it will be knitted, to lay knitting on, or to see what fits a mitten.
///
/// The squares have the size of real stitches, so nothing may be made smaller: what does not fit the page
/// goes to the next. Neighbouring pages share their outermost squares, so that they can be laid over each
/// other and glued. Every page carries a ruler, in centimetres and inches, by which the printer is checked:
/// many print smaller than they are told to.
///
///     +-----------------------------+
///     | rib at its true size        |     20 st x 28 rows = 10 cm: squares 5 mm wide and 3.57 mm high
///     | page 1 of 2: ...            |
///     | +--+--+--+--+--+--+--+--+   |
///     | |  |--|--|  |  |--|--|  | 1 |
///     | +--+--+--+--+--+--+--+--+   |
///     | |''''|''''|''''| cm         |
///     +-----------------------------+
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "render/chart_grid.hpp"
#include "render/page_flow.hpp"

namespace wale::render {

/// More pages than this are not printed for one chart.
inline constexpr std::size_t most_true_pages = 100;

/// The pages, with squares of exactly `cell` points; `source` is told above them (the gauge). Fails, saying
/// why, when a square is larger than a page, when there would be more than `most_true_pages`, or when the
/// chart cannot be drawn at all.
std::variant<std::vector<Drawing>, RenderError> lay_out_true_size(const Chart& chart, CellSize cell,
                                                                  const std::string& source,
                                                                  const PageStyle& page = {});

/// Centimetres and inches side by side, at most `width` points long: whole centimetres, whole inches. Its
/// upper left corner is where both begin, at 0.
Drawing ruler(double width);

}  // namespace wale::render
