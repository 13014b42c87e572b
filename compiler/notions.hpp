/// What a pattern asks for beside yarn and needles, and where what it makes can hurt.
///
///     make 7 buttonholes of 2 st over 40 cm     "7 buttons, for buttonholes of 2 sts, about 1 cm (0.5 in)"
#pragma once

#include <string>
#include <vector>

#include "compiler/document_settings.hpp"
#include "compiler/pattern.hpp"

namespace wale {

/// Buttons, markers and holders, each a sentence without its full stop.
std::vector<std::string> notions(const Pattern& pattern, Units units);

/// A caution: what it is about, and what is to be minded.
struct Caution {
  std::string about, text;
};
/// For cords and buttons; edges that are bound off with a cord cannot be tied and need none.
std::vector<Caution> cautions(const Pattern& pattern);

}  // namespace wale
