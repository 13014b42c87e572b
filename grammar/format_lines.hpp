/// A pattern file as lines of words and comments: what the formatter moves about.
///
/// The tokens do not hold comments, so both are gathered here, with the two things about blanks that matter:
/// whether a word touches the one before it (`3(k p)`, `4n`), and whether a line was empty before.
#pragma once

#include <string>
#include <vector>

#include "grammar/source.hpp"
#include "grammar/tokens.hpp"

namespace wale {

struct LineWord {
  TokenKind kind = TokenKind::end;
  std::string text;
  bool touches = false;  ///< the word before it
  bool apart = false;    ///< two blanks or more before it
};

struct TextLine {
  std::vector<LineWord> words;
  std::string comment;        ///< with its `--`; empty where there is none
  bool empty_before = false;  ///< at least one empty line stood above it

  bool only_comment() const { return words.empty() && !comment.empty(); }
};

/// Lines that hold a word or a comment. The tokens must cover the source without errors.
std::vector<TextLine> text_lines(const Source& source, const std::vector<Token>& tokens);

/// The words with the blanks that the layout puts between them. In a row `3 m` would not be a length.
std::string spaced(const std::vector<LineWord>& words, bool row);

}  // namespace wale
