/// What stands behind a diagnostic, at length: why knitting has the rule, a pattern that breaks it, and the
/// same pattern mended.
///
/// Each kind has a file `explanations/<slug>.md`, embedded when the program is built:
///
///     # empty-fill
///
///     Prose, in paragraphs.
///
///     Shows it:               then a block of source (three backticks and `wale`)
///
///     Mended:                 and another
///
/// Two kinds speak of files that no text can show, and have prose alone. Tests hold that every kind has its
/// file, that the first pattern is told that kind and nothing else, and that the second is told nothing.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "grammar/diagnostics.hpp"

namespace wale {

struct Explanation {
  std::vector<std::string> paragraphs;  ///< each in one line, unwrapped
  std::string shows, mended;            ///< patterns, every line ended; both empty where text cannot show it
};

/// Nothing, where no file explains the kind or the file is not of the form above.
std::optional<Explanation> explanation(Kind kind);

/// Reads one explanation. Nothing, where it is not of the form above.
std::optional<Explanation> read_explanation(std::string_view text, std::string_view slug);

/// An embedded file.
struct ExplanationText {
  std::string_view slug, text;
};
const std::vector<ExplanationText>& explanation_texts();

}  // namespace wale
