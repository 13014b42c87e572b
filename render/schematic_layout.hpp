/// Shapes in rows at one scale: on a page, and as a picture of their own.
///
///     back   front   sleeve      as large as the room allows, their feet on one line
///     collar
///     All at one scale, 1 : 12.
#pragma once

#include <vector>

#include "render/page_flow.hpp"
#include "render/schematic.hpp"

namespace wale::render {

/// Points to a unit (cm) at which the shapes fill the room of the style, in so many rows as it takes.
double schematic_scale(const Schematic& schematic, const SchematicStyle& style);

/// A fragment for each row of shapes, then the notes and, where it belongs into the picture, the table.
std::vector<Fragment> lay_out_schematic(const Schematic& schematic, const PageStyle& page);

/// Everything on one sheet, as `draw_chart` does it.
Drawing draw_schematic(const Schematic& schematic, const SchematicStyle& style = {});

SchematicStyle enlarged_schematic(SchematicStyle style, double factor);

}  // namespace wale::render
