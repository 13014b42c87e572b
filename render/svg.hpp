/// A drawing as SVG 1.1, for screens and web pages.
///
/// Symbols are defined once and used by reference; every group carries its title, and the picture its title
/// and description, so that it can be read aloud. Numbers have two decimals at most, the same in every
/// locale.
///
///     write_svg(drawing)  ->  "<?xml version=\"1.0\"...<svg ... role=\"img\" aria-labelledby=\"rib-title
///     rib-desc\">..."
#pragma once

#include <string>

#include "render/geometry.hpp"

namespace wale::render {

struct SvgOptions {
  bool declaration =
      true;  ///< Begin with the XML declaration; leave it out to embed the picture in a web page.
};

/// UTF-8 text that ends with a newline; equal drawings give equal bytes. No text of the drawing can become
/// markup.
std::string write_svg(const Drawing& drawing, const SvgOptions& options = {});

/// `value` with two decimals at most and no trailing zeros: 2.50 is "2.5", -0.001 is "0".
std::string short_number(double value);

/// SVG path data of a path, in absolute coordinates.
std::string path_data(const Path& path);

}  // namespace wale::render
