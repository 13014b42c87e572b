#include "grammar/tokens.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace wale {

namespace {

/// What a byte may be, as bits. Every byte of a file is asked after, so the answers stand in a table.
enum Class : std::uint8_t { blank = 1, digit = 2, letter = 4, hex = 8, beyond_ascii = 16 };

constexpr std::array<std::uint8_t, 256> classes = [] {
  std::array<std::uint8_t, 256> out{};
  for (const unsigned char c : std::string_view(" \t\r")) out[c] = blank;
  for (unsigned c = '0'; c <= '9'; ++c) out[c] = digit | hex;
  for (unsigned c = 'a'; c <= 'z'; ++c) out[c] = out[c - 'a' + 'A'] = c <= 'f' ? letter | hex : letter;
  for (unsigned c = 0x80; c <= 0xFF; ++c) out[c] = beyond_ascii;
  return out;
}();

bool is(int any_of, char c) {
  return (classes[static_cast<unsigned char>(c)] & any_of) != 0;
}
bool is_digit(char c) {
  return is(digit, c);
}
bool is_hex(char c) {
  return is(hex, c);
}
bool is_blank(char c) {
  return is(blank, c);
}

/// Tokens of a single sign. All others begin none of these, which `end` stands for.
constexpr std::array<TokenKind, 256> symbols = [] {
  std::array<TokenKind, 256> out{};
  out.fill(TokenKind::end);
  out['('] = TokenKind::left_round;
  out[')'] = TokenKind::right_round;
  out['{'] = TokenKind::left_curly;
  out['}'] = TokenKind::right_curly;
  out['['] = TokenKind::left_square;
  out[']'] = TokenKind::right_square;
  out['<'] = TokenKind::less;
  out['>'] = TokenKind::greater;
  out['|'] = TokenKind::bar;
  out[','] = TokenKind::comma;
  out[':'] = TokenKind::colon;
  out['='] = TokenKind::equals;
  out['+'] = TokenKind::plus;
  out['-'] = TokenKind::minus;
  out['*'] = TokenKind::times;
  out['/'] = TokenKind::divide;
  return out;
}();
TokenKind symbol(char c) {
  return symbols[static_cast<unsigned char>(c)];
}

struct CodePoint {
  std::uint32_t value;
  std::uint32_t length;
};

/// The source was checked to be UTF-8 before.
CodePoint code_point(std::string_view text, std::size_t at) {
  const auto lead = static_cast<unsigned char>(text[at]);
  if (lead < 0x80) return {lead, 1};
  const std::uint32_t whole = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  // A text may be cut off in the middle of a character.
  const auto length = static_cast<std::uint32_t>(std::min<std::size_t>(whole, text.size() - at));
  std::uint32_t value = lead & (0xFFu >> (whole + 1));
  for (std::uint32_t k = 1; k < length; ++k)
    value = value << 6 | (static_cast<unsigned char>(text[at + k]) & 0x3Fu);
  return {value, length};
}

/// Letters of other scripts are letters; punctuation, arrows and signs are not.
bool is_foreign_letter(std::uint32_t c) {
  return c >= 0xC0 && c != 0xD7 && c != 0xF7 && !(c >= 0x2000 && c < 0x3001) && c < 0xFE00;
}

/// The quotation marks that word processors put in place of straight ones.
bool is_curly_quote(std::uint32_t c) {
  return c >= 0x201C && c <= 0x201F;
}
/// Spaces that look like the ordinary one.
bool is_space(std::uint32_t c) {
  return c == 0xA0 || (c >= 0x2000 && c <= 0x200A) || c == 0x202F || c == 0x205F || c == 0x3000;
}
/// Signs without width: joiners, marks of direction, a byte order mark in mid-text.
bool is_invisible(std::uint32_t c) {
  return (c >= 0x200B && c <= 0x200F) || c == 0x2060 || c == 0xFEFF || c == 0xAD;
}
bool is_parting(char c) {
  return is_blank(c) || c == '\n';
}

class Reader {
 public:
  Reader(const Source& source, Diagnostics& diagnostics)
      : source_(source), text_(source.text()), diagnostics_(diagnostics) {}

  std::vector<Token> run() {
    // Some editors begin a UTF-8 file with a byte order mark.
    if (text_.starts_with("\xEF\xBB\xBF")) at_ = 3;
    // Words and the blanks between them are seldom shorter.
    constexpr std::size_t bytes_of_token = 3, more = 16;
    tokens_.reserve(text_.size() / bytes_of_token + more);
    while (skip_blank(), at_ < text_.size()) step();
    put(TokenKind::newline, at_, at_);
    put(TokenKind::end, at_, at_);
    return std::move(tokens_);
  }

 private:
  char peek(std::size_t ahead = 0) const { return at_ + ahead < text_.size() ? text_[at_ + ahead] : '\0'; }
  Span span(std::size_t begin, std::size_t end) const {
    return {static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end), source_.number()};
  }
  void put(TokenKind kind, std::size_t begin, std::size_t end) { put(kind, {}, begin, end); }
  void put(TokenKind kind, Keyword keyword, std::size_t begin, std::size_t end) {
    tokens_.push_back({kind, keyword, static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)});
    at_ = end;
  }
  void put_name(std::size_t begin, std::size_t end) {
    put(TokenKind::name, find_keyword({text_.data() + begin, end - begin}), begin, end);
  }
  /// The first from here on that is none of these. Behind the text of a source stands a NUL, which is of no
  /// class and ends the way.
  std::size_t past(int classes, std::size_t at) const {
    const char* const text = source_.text().c_str();
    while (is(classes, text[at])) ++at;
    return at;
  }
  void skip_blank() {
    at_ = past(blank, at_);
    // Behind a comment stands the end of the line.
    if (peek() == '-' && peek(1) == '-') at_ = std::min(text_.find('\n', at_), text_.size());
  }

  bool letter_at(std::size_t at) const {
    if (at >= text_.size()) return false;
    return is(letter, text_[at]) ||
           (is(beyond_ascii, text_[at]) && is_foreign_letter(code_point(text_, at).value));
  }
  std::size_t name_end(std::size_t at) const {
    while (at = past(digit | letter, at), at < text_.size()) {
      if (letter_at(at))
        at += code_point(text_, at).length;
      else if (text_[at] == '-' && at + 1 < text_.size() && (is_digit(text_[at + 1]) || letter_at(at + 1)))
        ++at;
      else
        break;
    }
    return at;
  }

  void step() {
    const char c = text_[at_];
    if (is(letter, c)) return name();
    if (c == '\n') return put(TokenKind::newline, at_, at_ + 1);
    if (const TokenKind kind = symbol(c); kind != TokenKind::end) return put(kind, at_, at_ + 1);
    if (is(beyond_ascii, c) && letter_at(at_)) return name();
    if (is_digit(c)) return number();
    if (c == '"') return string();
    if (c == '#') return colour();
    if (c == '.' && peek(1) == '.') return put(TokenKind::range, at_, at_ + 2);
    stray();
  }

  void name() {
    // Few names have more in them than letters and digits.
    std::size_t end = past(digit | letter, at_);
    if (end < text_.size() && (text_[end] == '-' || is(beyond_ascii, text_[end]))) end = name_end(end);
    put_name(at_, end);
    if (tokens_.back().keyword == "draw" && begins_statement(tokens_.size() - 1)) picture();
  }
  bool begins_statement(std::size_t token) const {
    return token == 0 || tokens_[token - 1].kind == TokenKind::newline ||
           tokens_[token - 1].kind == TokenKind::left_curly;
  }

  void number() {
    const std::size_t begin = at_;
    std::size_t end = past(digit, at_);
    // 2026-12-01
    if (end - begin == 4 && begin + 10 <= text_.size() && text_[end] == '-' && is_digit(text_[begin + 5]) &&
        is_digit(text_[begin + 6]) && text_[begin + 7] == '-' && is_digit(text_[begin + 8]) &&
        is_digit(text_[begin + 9]))
      return put(TokenKind::date, begin, begin + 10);
    // 2/1/2rpc
    std::size_t after = end;
    while (after + 1 < text_.size() && text_[after] == '/' && is_digit(text_[after + 1])) {
      after = past(digit, after + 1);
    }
    if (after > end && letter_at(after)) return put(TokenKind::crossing, begin, name_end(after));
    if (end + 1 < text_.size() && text_[end] == '.' && is_digit(text_[end + 1])) {
      end = past(digit, end + 1);
    }
    put(TokenKind::number, begin, end);
  }

  void string() {
    const std::size_t begin = at_;
    // `4"`: inches, which the parser tells.
    if (!tokens_.empty() && tokens_.back().kind == TokenKind::number && tokens_.back().end == begin)
      return put(TokenKind::string, begin, begin + 1);
    std::size_t end = at_ + 1;
    while (end < text_.size() && text_[end] != '"' && text_[end] != '\n') ++end;
    if (end < text_.size() && text_[end] == '"') return put(TokenKind::string, begin, end + 1);
    Diagnostic& added = diagnostics_
                            .add(Kind::unclosed_string, span(begin, begin + 1),
                                 "the text that begins here has no closing `\"`")
                            .try_this("put `\"` at the end of the text, on the same line");
    std::size_t last = end;
    while (last > begin && is_blank(text_[last - 1])) --last;
    const std::string_view inside = text_.substr(begin + 1, last > begin ? last - begin - 1 : 0);
    const std::size_t curly = curly_quote_before(last);
    if (curly != last)
      added.mend(span(curly, last), "\"");
    else if (is_all_of_its_line() && !inside.empty() && inside.find("--") == std::string_view::npos &&
             inside.find("\xE2\x80") == std::string_view::npos)
      added.mend(span(last, last), "\"");
    put(TokenKind::string, begin, end);
  }

  /// Where the quotation mark of a word processor begins that ends at `end`; `end` where there is none.
  std::size_t curly_quote_before(std::size_t end) const {
    if (end < 3) return end;
    const std::uint32_t sign = code_point(text_, end - 3).value;
    return is_curly_quote(sign) ? end - 3 : end;
  }

  /// A text behind these words is the last thing on its line, so it ends where the line does.
  bool is_all_of_its_line() const {
    if (tokens_.empty() || tokens_.back().kind != TokenKind::name) return false;
    const Token& word = tokens_.back();
    const std::string_view name = text_.substr(word.begin, word.end - word.begin);
    const bool first = tokens_.size() == 1 || tokens_[tokens_.size() - 2].kind == TokenKind::newline;
    return first && (name == "pattern" || name == "by" || name == "use");
  }

  /// A text between quotation marks of a word processor, or one such and a straight one: taken for a text.
  bool curly_string() {
    const std::size_t begin = at_;
    std::size_t end = begin + code_point(text_, begin).length;
    while (end < text_.size() && text_[end] != '\n' && text_[end] != '"' &&
           !is_curly_quote(code_point(text_, end).value))
      end += code_point(text_, end).length;
    if (end >= text_.size() || text_[end] == '\n') return false;
    const std::size_t after = end + code_point(text_, end).length;
    Diagnostic& added =
        diagnostics_
            .add(Kind::unexpected_character, span(begin, after), "texts stand in straight quotes: \"...\"")
            .try_this(fmt::format("\"{}\"", text_.substr(begin + 3, end - begin - 3)))
            .mend(span(begin, begin + 3), "\"");
    if (text_[end] != '"') added.mend(span(end, after), "\"");
    put(TokenKind::string, begin, after);
    return true;
  }

  void colour() {
    std::size_t end = at_ + 1;
    while (end < text_.size() && is_hex(text_[end])) ++end;
    if (end - at_ == 7 && !letter_at(end)) return put(TokenKind::colour, at_, end);
    end = std::max(end, name_end(end));
    diagnostics_.add(Kind::unexpected_character, span(at_, end), "this is not a colour")
        .try_this("write `#` and six digits or letters a to f, such as #2f5d50");
    at_ = end;
  }

  /// A dash that begins a line begins a comment: there is nothing to subtract from.
  bool dash_comment(std::uint32_t sign) {
    const bool first = tokens_.empty() || tokens_.back().kind == TokenKind::newline;
    if ((sign != 0x2013 && sign != 0x2014) || !first) return false;
    diagnostics_.add(Kind::unexpected_character, span(at_, at_ + 3), "a comment begins with two hyphens")
        .try_this("--")
        .mend(span(at_, at_ + 3), "--");
    while (at_ < text_.size() && text_[at_] != '\n') ++at_;
    return true;
  }

  /// A run of characters that begin no token is reported once.
  void stray() {
    const std::size_t begin = at_;
    const CodePoint first = code_point(text_, at_);
    if (is_curly_quote(first.value) && curly_string()) return;
    if (dash_comment(first.value)) return;
    const std::string shown(text_.substr(at_, first.length));
    bool alike = true;
    while (at_ < text_.size() && !is_blank(text_[at_]) && text_[at_] != '\n' && !is_digit(text_[at_]) &&
           !letter_at(at_) && symbol(text_[at_]) == TokenKind::end && text_[at_] != '"' &&
           text_[at_] != '#') {
      const CodePoint next = code_point(text_, at_);
      alike &= next.value == first.value;
      at_ += next.length;
    }
    if (at_ == begin) at_ += first.length;
    const bool visible = first.value >= 0x20 && first.value != 0x7F &&
                         !(first.value >= 0x80 && first.value < 0xA1) && !is_space(first.value) &&
                         !is_invisible(first.value);
    Diagnostic& added = diagnostics_.add(
        Kind::unexpected_character, span(begin, at_),
        visible ? fmt::format("`{}` has no meaning here", shown)
                : fmt::format("an invisible character (U+{:04X}) has no meaning here", first.value));
    if (is_curly_quote(first.value))
      added.try_this("texts stand in straight quotes: \"...\"");
    else if (first.value == 0xD7)
      multiplied(added, begin);
    else if (first.value == 0x2013 || first.value == 0x2014)
      added.try_this("write -- before a comment, or - for minus");
    else if (is_space(first.value))
      added.try_this("put an ordinary space here");
    else if (first.value == '*')
      added.try_this("write a repeat as <k2 p2>");
    if (!alike) return;
    // These part words or stand idle. Taken away between two words they would join them.
    const bool idle = is_invisible(first.value) || first.value == ';';
    const bool parted =
        begin == 0 || at_ >= text_.size() || is_parting(text_[begin - 1]) || is_parting(text_[at_]);
    if (is_space(first.value) || (first.value == ';' && !parted))
      added.mend(span(begin, at_), " ");
    else if (idle && parted)
      added.mend(span(begin, at_), "");
  }

  /// `20 st × 28 rows`: behind `st` the sign stands for the x between stitches and rows.
  void multiplied(Diagnostic& added, std::size_t begin) {
    added.try_this("write the letter x");
    const bool behind_st =
        !tokens_.empty() && tokens_.back().kind == TokenKind::name &&
        text_.substr(tokens_.back().begin, tokens_.back().end - tokens_.back().begin) == "st";
    const bool alone = begin > 0 && is_blank(text_[begin - 1]) && at_ < text_.size() && is_blank(text_[at_]);
    if (behind_st && alone && at_ == begin + 2) added.mend(span(begin, at_), "x");
  }

  /// `draw . A, x L {` and rows of characters up to the closing brace. Not inlined: it would make every name
  /// dearer.
  [[gnu::noinline]] void picture() {
    skip_blank();
    const std::size_t word = name_end(at_);
    if (word > at_ && text_.substr(at_, word - at_) == "pairs") put_name(at_, word);
    while (skip_blank(), at_ < text_.size() && text_[at_] != '{' && text_[at_] != '\n' && text_[at_] != '}') {
      if (text_[at_] == ',') {
        put(TokenKind::comma, at_, at_ + 1);
        continue;
      }
      put(TokenKind::picture_key, at_, at_ + code_point(text_, at_).length);
      skip_blank();
      if (at_ < text_.size() && letter_at(at_)) put_name(at_, name_end(at_));
    }
    if (peek() != '{') return;
    put(TokenKind::left_curly, at_, at_ + 1);
    while (skip_blank(), at_ < text_.size() && text_[at_] != '}') {
      if (text_[at_] == '\n') {
        ++at_;
        continue;
      }
      std::size_t end = at_;
      while (end < text_.size() && !is_blank(text_[end]) && text_[end] != '\n' && text_[end] != '}' &&
             !(text_[end] == '-' && end + 1 < text_.size() && text_[end + 1] == '-'))
        ++end;
      put(TokenKind::picture_row, at_, end);
    }
    if (peek() == '}') put(TokenKind::right_curly, at_, at_ + 1);
  }

  const Source& source_;
  std::string_view text_;
  Diagnostics& diagnostics_;
  std::size_t at_ = 0;
  std::vector<Token> tokens_;
};

}  // namespace

std::string_view name_of(TokenKind kind) {
  switch (kind) {
    case TokenKind::newline:
      return "the end of the line";
    case TokenKind::name:
      return "a name";
    case TokenKind::number:
      return "a number";
    case TokenKind::crossing:
      return "a crossing";
    case TokenKind::string:
      return "a text in quotes";
    case TokenKind::colour:
      return "a colour";
    case TokenKind::date:
      return "a date";
    case TokenKind::left_round:
      return "`(`";
    case TokenKind::right_round:
      return "`)`";
    case TokenKind::left_curly:
      return "`{`";
    case TokenKind::right_curly:
      return "`}`";
    case TokenKind::left_square:
      return "`[`";
    case TokenKind::right_square:
      return "`]`";
    case TokenKind::less:
      return "`<`";
    case TokenKind::greater:
      return "`>`";
    case TokenKind::bar:
      return "`|`";
    case TokenKind::comma:
      return "`,`";
    case TokenKind::colon:
      return "`:`";
    case TokenKind::equals:
      return "`=`";
    case TokenKind::plus:
      return "`+`";
    case TokenKind::minus:
      return "`-`";
    case TokenKind::times:
      return "`*`";
    case TokenKind::divide:
      return "`/`";
    case TokenKind::range:
      return "`..`";
    case TokenKind::picture_key:
      return "a picture's key";
    case TokenKind::picture_row:
      return "a picture's row";
    case TokenKind::end:
      return "the end of the file";
  }
  return "something";
}

std::vector<Token> read_tokens(const Source& source, Diagnostics& diagnostics) {
  return Reader(source, diagnostics).run();
}

}  // namespace wale
