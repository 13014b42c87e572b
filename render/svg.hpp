/// A drawing as SVG 1.1, for screens and web pages.
///
/// Symbols are defined once and used by reference; every group carries its title, and the picture its title
/// and description, so that it can be read aloud. A row of a chart is a group with its label in `data-row`, a
/// symbol a group with its stitch in `data-stitch`, for programs that read charts. On a dark screen paper and
/// ink change places; colours of yarns stay. There is no script, and nothing outside the file is needed.
/// Numbers have two decimals at most, the same in every locale.
///
///     write_svg(drawing)  ->  "<?xml version=\"1.0\"...<svg ... role=\"img\" aria-labelledby=\"rib-title
///     rib-desc\">..."
#pragma once

#include <string>

#include "render/geometry.hpp"

namespace wale::render {

struct SvgOptions {
  /// Begin with the XML declaration and the document type; leave them out to embed the picture in a web page.
  bool declaration = true;
};

/// UTF-8 text that ends with a newline; equal drawings give equal bytes. No text of the drawing can become
/// markup.
std::string write_svg(const Drawing& drawing, const SvgOptions& options = {});

/// `value` with two decimals at most and no trailing zeros: 2.50 is "2.5", -0.001 is "0".
std::string short_number(double value);

/// SVG path data of a path, in absolute coordinates.
std::string path_data(const Path& path);

}  // namespace wale::render
