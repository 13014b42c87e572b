/// What stands in a square of a chart: a symbol, letters, and the flags that tell one colour from another.
#pragma once

#include <cstddef>
#include <string>

#include "render/document.hpp"
#include "render/geometry.hpp"

namespace wale::render {

struct CellSize {
  double width = 15, height = 15;
  bool operator==(const CellSize&) const = default;
};

/// The symbol of a mark in a box of the given size; an undrawable mark gives an empty symbol. The pen follows
/// the square, and not the mark's own stretching; as in type, it is a little heavier in a small square and
/// lighter in a large one, so that both look equally dark; and a little lighter for a mark of many lines.
Symbol make_symbol(const Mark& mark, double width, double height, CellSize cell);

/// Two colours of one chart that are hard to tell apart in grey: then empty squares carry the tints' letters.
bool needs_letters(const Chart& chart);

/// Colour never stands alone: the squares of every tint but the first have flags, small triangles in their
/// corners, which of the four telling the tint. Tints 1 to 15 differ; `tint` counts from 0.
///
///      +----+  +----+  +----+
///      |    |  |   \|  |   \|      tints 1, 2 and 3
///      |\   |  |    |  |\   |
///      +----+  +----+  +----+
void add_flags(Path& path, std::size_t tint, const Box& square);

/// Letters of a mark, in the middle of its box.
void add_letters(Drawing& drawing, const std::string& letters, const Box& box, Colour colour);

}  // namespace wale::render
