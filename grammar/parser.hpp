/// Tokens put together into a tree.
///
/// One function for each rule of the grammar, by recursive descent. A mistake is reported at the token where
/// it shows; then the parser goes on at the next place that is sure to begin something (the next row's label,
/// the next line, the closing brace), so that one reading reports every mistake in the file.
///
///     fabric rib flat 4n st { 1: <k2 p2 }     one error at `}`, and the rest of the file is read as ever
#pragma once

#include "grammar/diagnostics.hpp"
#include "grammar/tokens.hpp"
#include "grammar/tree.hpp"

namespace wale {

/// How deep groups, repeats and expressions may stand inside each other.
inline constexpr int deepest_nesting = 32;
/// How many terms a sum may have, and how many factors a product.
inline constexpr int longest_sum = 64;
/// The largest number that may be written as a count.
inline constexpr long long largest_count = 1'000'000'000;

/// Whether this is text, and not more of it than a pattern may be: only such sources may be parsed.
bool is_text(const Source& source, Diagnostics& diagnostics);

/// Always returns a tree; where there were errors, of the parts that could be read.
tree::Pattern parse(const Source& source, Diagnostics& diagnostics);
/// The same of tokens that were read before, for who needs them as well. More of the last one are put behind
/// it.
tree::Pattern parse(const Source& source, std::vector<Token>& tokens, Diagnostics& diagnostics);

}  // namespace wale
