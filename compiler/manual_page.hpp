/// The manual page wale(1), in the mdoc language that mandoc and groff read.
///
///     .It Fl Fl to Ar DIR
///     The folder to write into.
#pragma once

#include <string>

#include "compiler/program_facts.hpp"

namespace wale {

/// What the page says of the release that it belongs to.
struct Release {
  std::string version;  ///< "0.2.0"
  std::string date;     ///< "2026-11-27"; from no clock, so that equal sources give equal pages
};

std::string manual_page(const ProgramFacts& program, const Release& release);

}  // namespace wale
