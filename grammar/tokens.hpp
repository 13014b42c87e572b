/// Text cut into tokens.
///
/// The language is made to be read aloud, so most tokens are words. Four rules need saying:
///   - a name may hold single hyphens (`set-up`), so a minus between names needs spaces around it;
///   - digits joined by slashes and ended by letters are one word, a crossing (`2/2rc`), so a division by a
///   measure
///     needs spaces (`10 / 2 cm`);
///   - a line's end is a token, because statements end there;
///   - after `draw` stands a picture: its key, and then rows of characters that are tokens of their own.
///
///     2 M: <p2 k2> p2    Number Name Colon Less Name Name Greater Name Newline
#pragma once

#include <cstdint>
#include <vector>

#include "grammar/diagnostics.hpp"
#include "grammar/keywords.hpp"

namespace wale {

enum class TokenKind : std::uint8_t {
  newline,
  name,
  number,
  crossing,
  string,
  colour,
  date,
  left_round,
  right_round,
  left_curly,
  right_curly,
  left_square,
  right_square,
  less,
  greater,
  bar,
  comma,
  colon,
  equals,
  plus,
  minus,
  times,
  divide,
  range,
  picture_key,
  picture_row,
  end,
};

/// How a token is called in a message: "a number", "`{`".
std::string_view name_of(TokenKind kind);

struct Token {
  TokenKind kind;
  Keyword keyword;  ///< of a name that is one
  std::uint32_t begin, end;
};

/// All tokens of the source, the last one `end`. Characters that begin no token are reported and passed over.
std::vector<Token> read_tokens(const Source& source, Diagnostics& diagnostics);

}  // namespace wale
