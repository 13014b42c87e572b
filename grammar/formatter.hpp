/// The one layout of a pattern file.
///
/// Formatting moves blanks and line ends, and nothing else: the same tokens come out in the same order, each
/// comment stays with what it stood beside, and a line stays a line unless it is a block that has become too
/// long for one. So two people who change a pattern show each other what they changed, not how they type.
///
///     fabric rib flat 4n+2 st {               fabric rib flat 4n + 2 st {
///     1:<k2 p2>k2                       ->      1: <k2 p2> k2
///        2:   <p2 k2> p2 }                      2: <p2 k2> p2
///                                             }
///
/// What stands in columns is lined up: the stitches behind the labels of a fabric's rows, two passes over one
/// row stitch by stitch, balls and colours of yarns, the `=` of strands and measures, comments behind lines.
#pragma once

#include <optional>
#include <string>

#include "grammar/diagnostics.hpp"
#include "grammar/source.hpp"

namespace wale {

/// Columns after which a block that was written on one line is opened, and a row goes on in the next line.
inline constexpr std::size_t longest_line = 100;

/// The text laid out, or nothing where it has errors (which go to `diagnostics`): what cannot be read is not
/// touched.
std::optional<std::string> format(const Source& source, Diagnostics& diagnostics);

}  // namespace wale
