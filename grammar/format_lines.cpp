#include "grammar/format_lines.hpp"

#include <algorithm>
#include <array>
#include <string_view>

namespace wale {

namespace {

/// What stands between two tokens: blanks, line ends and comments.
struct Between {
  std::vector<std::string> comments;  ///< one for each line that has one
  std::vector<bool> own_line;         ///< of the comments: nothing else stands in their lines
  std::vector<bool> empty_before;     ///< of the comments
  std::size_t line_ends = 0;
  bool empty_line = false;  ///< directly above the next word
  std::size_t blanks = 0;   ///< directly before the next word
};

std::string trimmed(std::string_view text) {
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t' || text.back() == '\r'))
    text.remove_suffix(1);
  return std::string(text);
}

/// `--text` gets its blank; rulers of hyphens and marks are left as they are.
std::string comment_text(std::string_view text) {
  std::string out = trimmed(text);
  const auto letter = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
  };
  if (out.size() > 2 && letter(out[2])) out.insert(2, " ");
  return out;
}

Between between(std::string_view gap, bool at_start) {
  Between out;
  bool line_has_something = !at_start;
  bool empty = false;
  for (std::size_t at = 0; at < gap.size();) {
    if (gap[at] == '\n') {
      empty |= !line_has_something;
      ++out.line_ends;
      line_has_something = false;
      out.blanks = 0;
      ++at;
    } else if (gap[at] == '-') {
      const std::size_t end = std::min(gap.find('\n', at), gap.size());
      out.comments.push_back(comment_text(gap.substr(at, end - at)));
      out.own_line.push_back(!line_has_something);
      out.empty_before.push_back(empty);
      empty = false;
      line_has_something = true;
      at = end;
    } else {
      ++out.blanks;
      ++at;
    }
  }
  out.empty_line = empty;
  return out;
}

bool is_unit(std::string_view word) {
  constexpr std::array<std::string_view, 7> units{"mm", "cm", "m", "in", "yd", "g", "oz"};
  return std::find(units.begin(), units.end(), word) != units.end() || word == "st";
}

bool is_operator(TokenKind kind) {
  return kind == TokenKind::plus || kind == TokenKind::minus || kind == TokenKind::times ||
         kind == TokenKind::divide;
}

/// A minus that belongs to the number behind it.
bool is_sign(const std::vector<LineWord>& words, std::size_t at) {
  if (words[at].kind != TokenKind::minus) return false;
  if (at == 0) return true;
  const TokenKind before = words[at - 1].kind;
  return is_operator(before) || before == TokenKind::left_round || before == TokenKind::left_square ||
         before == TokenKind::equals || before == TokenKind::comma;
}

bool blank_between(const std::vector<LineWord>& words, std::size_t at, bool row) {
  const LineWord& a = words[at - 1];
  const LineWord& b = words[at];
  switch (b.kind) {
    case TokenKind::comma:
    case TokenKind::colon:
    case TokenKind::right_round:
    case TokenKind::right_square:
    case TokenKind::greater:
    case TokenKind::range:
      return false;
    default:
      break;
  }
  switch (a.kind) {
    case TokenKind::left_round:
    case TokenKind::left_square:
    case TokenKind::less:
    case TokenKind::range:
      return false;
    default:
      break;
  }
  if (is_sign(words, at - 1)) return false;
  if (!b.touches) return true;
  if (b.kind == TokenKind::left_round) return a.kind != TokenKind::number && a.kind != TokenKind::name;
  if (a.kind != TokenKind::number) return true;
  if (b.kind == TokenKind::string) return false;  // 4"
  if (b.kind != TokenKind::name) return true;
  if (at > 1 && words[at - 2].text == "every")
    return !row && b.text != "st" && is_unit(b.text);  // every 21st
  return !row && is_unit(b.text);                      // 4n and 1X are one, `10cm` is 10 cm
}

}  // namespace

std::vector<TextLine> text_lines(const Source& source, const std::vector<Token>& tokens) {
  const std::string_view text = source.text();
  std::vector<TextLine> out;
  std::size_t at = text.starts_with("\xEF\xBB\xBF") ? 3 : 0;
  bool open = false;  // the last line may take more words
  for (const Token& token : tokens) {
    if (token.kind == TokenKind::newline) continue;
    const Between gap = between(text.substr(at, token.begin - at), out.empty());
    for (std::size_t i = 0; i < gap.comments.size(); ++i) {
      if (gap.own_line[i] || out.empty()) out.push_back({{}, "", gap.empty_before[i] && !out.empty()});
      out.back().comment = gap.comments[i];
    }
    if (gap.line_ends > 0) open = false;
    at = token.end;
    if (token.kind == TokenKind::end) break;
    if (!open) out.push_back({{}, "", gap.empty_line && !out.empty()});
    const bool first = out.back().words.empty();
    out.back().words.push_back({token.kind, std::string(text.substr(token.begin, token.end - token.begin)),
                                !first && gap.blanks == 0, !first && gap.blanks > 1});
    open = true;
  }
  return out;
}

std::string spaced(const std::vector<LineWord>& words, bool row) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0 && blank_between(words, i, row)) out += ' ';
    out += words[i].text;
  }
  return out;
}

}  // namespace wale
