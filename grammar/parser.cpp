#include "grammar/parser.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdlib>

#include "grammar/parser_internal.hpp"

namespace wale {

// --- cursor
// --------------------------------------------------------------------------------------------------

/// To the end of the line, over whole `{ ... }` blocks; stops before a brace that closes what is around.
void Parser::skip_line() {
  int open = 0;
  while (!at(TokenKind::end)) {
    if (at(TokenKind::left_curly)) ++open;
    if (at(TokenKind::right_curly) && open-- == 0) return;
    if (at(TokenKind::newline) && open == 0) return;
    take();
  }
}

/// Past the bracket that closes the one just taken, however deep the nest; without recursion.
void Parser::skip_group() {
  for (int open = 1; open > 0 && !at(TokenKind::end) && !at(TokenKind::right_curly);) {
    const TokenKind kind = take().kind;
    if (kind == TokenKind::left_round || kind == TokenKind::less || kind == TokenKind::left_square) ++open;
    if (kind == TokenKind::right_round || kind == TokenKind::greater || kind == TokenKind::right_square)
      --open;
  }
}

bool Parser::wrong(std::string_view what) {
  const Token& token = peek();
  std::string met(name_of(token.kind));
  if (token.kind == TokenKind::name || token.kind == TokenKind::number || token.kind == TokenKind::crossing)
    met = fmt::format("`{}`", text(token));
  Span where = span(token);
  // The end of a line is best shown just behind its last word.
  if ((token.kind == TokenKind::newline || token.kind == TokenKind::end) && at_ > 0)
    where = {tokens_[at_ - 1].end, tokens_[at_ - 1].end, source_.number()};
  diagnostics_.add(Kind::expected, where, fmt::format("expected {}, but here is {}", what, met));
  return false;
}

bool Parser::need_word(Keyword word) {
  if (take_word(word)) return true;
  return one_of(fmt::format("`{}`", word.text()), {word}).has_value();
}

namespace {

/// Other words for the same thing, where nothing else can stand.
struct Synonym {
  std::string_view word;
  Keyword meant;
};
constexpr std::array synonyms{Synonym{"sts", "st"},      Synonym{"stitch", "st"},  Synonym{"stitches", "st"},
                              Synonym{"rnds", "rounds"}, Synonym{"rnd", "rounds"}, Synonym{"rws", "rows"},
                              Synonym{"hrs", "hours"},   Synonym{"wk", "week"}};
constexpr std::array unit_synonyms{
    Synonym{"millimetre", "mm"},  Synonym{"millimetres", "mm"}, Synonym{"millimeter", "mm"},
    Synonym{"millimeters", "mm"}, Synonym{"cms", "cm"},         Synonym{"centimetre", "cm"},
    Synonym{"centimetres", "cm"}, Synonym{"centimeter", "cm"},  Synonym{"centimeters", "cm"},
    Synonym{"metre", "m"},        Synonym{"metres", "m"},       Synonym{"meter", "m"},
    Synonym{"meters", "m"},       Synonym{"inch", "in"},        Synonym{"inches", "in"},
    Synonym{"ins", "in"},         Synonym{"yard", "yd"},        Synonym{"yards", "yd"},
    Synonym{"yds", "yd"},         Synonym{"gram", "g"},         Synonym{"grams", "g"},
    Synonym{"gramme", "g"},       Synonym{"grammes", "g"},      Synonym{"gr", "g"},
    Synonym{"ounce", "oz"},       Synonym{"ounces", "oz"}};

}  // namespace

std::optional<Keyword> Parser::one_of(std::string_view what, Keywords words) {
  if (at_any(words)) return take().keyword;
  wrong(what);
  if (!at(TokenKind::name)) return {};
  const auto meant = meant_word(words);
  if (!meant) {
    diagnostics_.last().try_nearest(here(), text(peek()), texts_of(words), Candidates::closed);
    return {};
  }
  diagnostics_.last().try_this(std::string(meant->text())).mend(here(), std::string(meant->text()));
  take();
  return meant;
}

bool Parser::at_one_of(Keywords words) const {
  return at_any(words) || meant_word(words).has_value();
}

std::optional<Keyword> Parser::meant_word(Keywords words) const {
  if (!at(TokenKind::name) || at_any(words)) return {};
  const std::string_view met = text(peek());
  for (const Synonym& each : synonyms)
    if (each.word.size() == met.size() && each.word == lower_case(met) && contains(words, each.meant))
      return each.meant;
  const auto certain = certain_name(met, texts_of(words), Candidates::closed);
  if (!certain) return {};
  return find_keyword(*certain);
}

/// At the end of a file that ends with a whole line, and has no declaration that the block has swallowed, the
/// brace can only be missing there.
void Parser::never_closed(Span open) {
  Diagnostic& added = diagnostics_.add(Kind::unclosed_bracket, open, "`{` is opened here and never closed");
  const std::string& all = source_.text();
  bool swallows = !all.ends_with('\n');
  for (std::size_t i = tokens_.size(); i-- > 1 && tokens_[i].begin > open.begin && !swallows;)
    swallows = tokens_[i].kind == TokenKind::name && tokens_[i - 1].kind == TokenKind::newline &&
               begins_declaration(tokens_[i].keyword);
  if (swallows) return;
  const auto last = static_cast<std::uint32_t>(all.size());
  added.try_this("close it with `}` at the end")
      .mend({last, last, source_.number()}, all.ends_with("\r\n") ? "}\r\n" : "}\n");
}

// --- small values
// --------------------------------------------------------------------------------------------

bool Parser::name(std::string_view what, tree::Name& out) {
  if (!at(TokenKind::name)) return wrong(what);
  take_as_name(out);
  return true;
}

std::optional<tree::Name> Parser::name(std::string_view what) {
  std::optional<tree::Name> out(std::in_place);
  if (!name(what, *out)) out.reset();
  return out;
}

void Parser::take_as_name(tree::Name& out) {
  const Token token = take();
  out.text = text(token);
  out.span = span(token);
}

std::optional<tree::Text> Parser::string(std::string_view what) {
  std::optional<tree::Text> out(std::in_place);
  if (!string(what, *out)) out.reset();
  return out;
}

bool Parser::string(std::string_view what, tree::Text& out) {
  if (!at(TokenKind::string)) return wrong(what);
  const Token token = take();
  // The quotes are straight, or of a word processor's kind, three bytes long; the closing one may be missing.
  std::string_view inside = text(token);
  inside.remove_prefix(inside[0] == '"' ? 1 : 3);
  if (inside.ends_with('"'))
    inside.remove_suffix(1);
  else if (inside.size() >= 3 && text(token)[0] != '"')
    inside.remove_suffix(3);
  out.text = inside;
  out.span = span(token);
  return true;
}

double Parser::value_of(const Token& token) const {
  const std::string_view digits = text(token);
  const char* const end = digits.data() + digits.size();
  // Most numbers are short and whole: they are read without a thought for rounding.
  std::uint32_t whole = 0;
  if (const auto read = std::from_chars(digits.data(), end, whole); read.ec == std::errc() && read.ptr == end)
    return whole;
  double value = 0;
  if (std::from_chars(digits.data(), end, value).ec == std::errc()) return value;
  // Too large, or too small.
  return std::strtod(std::string(digits).c_str(), nullptr);
}

long long Parser::count_of_token(const Token& token) {
  const double value = value_of(token);
  if (value > static_cast<double>(largest_count)) {
    diagnostics_.add(Kind::number_too_large, span(token), "this count is larger than any knitting")
        .try_this("counts go up to 1,000,000,000");
    return largest_count;
  }
  if (value != std::floor(value))
    diagnostics_.add(Kind::expected, span(token), "expected a whole number here")
        .try_this("stitches and rows are not cut");
  return static_cast<long long>(value);
}

std::optional<tree::Count> Parser::count(std::string_view what) {
  if (!at(TokenKind::number)) return wrong(what), std::nullopt;
  const Token token = take();
  return tree::Count{count_of_token(token), span(token)};
}

// --- expressions
// ---------------------------------------------------------------------------------------------

namespace {

constexpr Keywords units{"mm", "cm", "m", "in", "yd", "g", "oz"};

tree::Expression binary(std::string_view sign, tree::Expression left, tree::Expression right) {
  tree::Expression out;
  out.form = tree::Expression::Form::binary;
  out.span = join(left.span, right.span);
  out.word = sign;
  out.operands.reserve(2);
  out.operands.push_back(std::move(left));
  out.operands.push_back(std::move(right));
  return out;
}

}  // namespace

bool Parser::too_deep(int depth) {
  if (depth < deepest_nesting) return false;
  diagnostics_.add(Kind::nested_too_deep, here(), "this is nested deeper than anyone could read")
      .try_this(fmt::format("at most {} brackets stand inside each other", deepest_nesting));
  return true;
}

/// A sum is a tree that leans left: as deep as it is long.
bool Parser::too_long(int terms) {
  if (terms < longest_sum) return false;
  diagnostics_.add(Kind::nested_too_deep, here(), "this sum is longer than anyone could read")
      .try_this(fmt::format("at most {} terms or factors stand in a row; `measure` gives parts a name",
                            longest_sum));
  return true;
}

bool Parser::at_unit(std::size_t ahead) const {
  return contains(units, peek(ahead).keyword);
}

void Parser::unit(tree::Expression& out) {
  // The sign of inches; the tokens have it as a text of its own.
  if (at(TokenKind::string) && text(peek()) == "\"" && at_ > 0 && tokens_[at_ - 1].end == peek().begin) {
    const std::string number(text(tokens_[at_ - 1]));
    diagnostics_.add(Kind::expected, here(), "inches are written `in`")
        .try_this(fmt::format("{} in", number))
        .mend(here(), " in");
    out.unit = "in";
    out.span = join(out.span, span(take()));
    return;
  }
  if (!at(TokenKind::name)) return;
  if (at_unit(0)) {
    out.unit = peek().keyword;
    out.span = join(out.span, span(take()));
    return;
  }
  if (peek().keyword) return;  // no other word of the language is meant for a unit
  constexpr std::size_t longest_unit = 11;
  if (text(peek()).size() > longest_unit) return;
  const std::string met = lower_case(text(peek()));
  for (const Keyword each : units)
    if (met == each.text()) out.unit = each;
  for (const Synonym& each : unit_synonyms)
    if (met == each.word) out.unit = each.meant;
  if (!out.unit) return;
  const std::string meant(out.unit.text());
  diagnostics_.add(Kind::expected, here(), fmt::format("the unit `{}` is written `{}`", text(peek()), meant))
      .try_this(meant)
      .mend(here(), meant);
  out.span = join(out.span, span(take()));
}

std::optional<tree::Expression> Parser::expression() {
  std::optional<tree::Expression> out(std::in_place);
  if (!expression(*out)) out.reset();
  return out;
}

bool Parser::expression(tree::Expression& out, int depth) {
  if (!term(out, depth)) return false;
  for (int terms = 1; at(TokenKind::plus) || at(TokenKind::minus); ++terms) {
    if (too_long(terms)) return false;
    const std::string_view sign = text(take());
    tree::Expression right;
    if (!term(right, depth)) return false;
    out = binary(sign, std::move(out), std::move(right));
  }
  return true;
}

bool Parser::term(tree::Expression& out, int depth) {
  if (!factor(out, depth)) return false;
  for (int factors = 1; at(TokenKind::times) || at(TokenKind::divide); ++factors) {
    if (too_long(factors)) return false;
    const std::string_view sign = text(take());
    tree::Expression right;
    if (!factor(right, depth)) return false;
    out = binary(sign, std::move(out), std::move(right));
  }
  return true;
}

bool Parser::factor(tree::Expression& out, int depth) {
  if (too_deep(depth)) return false;
  out.span = here();
  if (at(TokenKind::number)) {
    const Token token = take();
    out.value = value_of(token);
    if (!std::isfinite(out.value)) out.value = 1e300;
    if (at_word("n") && token.end == peek().begin) {
      out.form = tree::Expression::Form::multiple;
      out.span = join(out.span, span(take()));
      return true;
    }
    if (at(TokenKind::name) || at(TokenKind::string)) unit(out);
    return true;
  }
  if (at(TokenKind::minus)) {
    take();
    out.form = tree::Expression::Form::negate;
    if (!factor(out.operands.emplace_back(), depth + 1)) return false;
    out.span = join(out.span, out.operands.back().span);
    return true;
  }
  if (at(TokenKind::left_square)) return list(out, depth);
  if (at(TokenKind::left_round)) return parenthesised(out, depth);
  if (!at(TokenKind::name)) return wrong("a number or a measure");
  const Token token = take();
  out.form = tree::Expression::Form::name;
  out.word = text(token);
  if (at_unit(0) && !at_word("in")) {
    diagnostics_
        .add(Kind::expected, here(), "a unit stands behind a number, and measures have theirs already")
        .try_this(out.word);
    take();
  }
  if (!at(TokenKind::left_round) || token.end != peek().begin) return true;
  take();
  out.form = tree::Expression::Form::call;
  out.operands.reserve(2);  // few have one alone
  do {
    skip_newlines();
    if (!expression(out.operands.emplace_back(), depth + 1)) return false;
    skip_newlines();
  } while (take_if(TokenKind::comma));
  out.span = join(out.span, here());
  return need(TokenKind::right_round);
}

bool Parser::list(tree::Expression& out, int depth) {
  out.form = tree::Expression::Form::list;
  take();
  std::size_t end = at_;
  while (tokens_[end].kind == TokenKind::number) ++end;
  out.operands.reserve(end - at_);
  while (skip_newlines(), !at(TokenKind::right_square)) {
    if (!factor(out.operands.emplace_back(), depth + 1)) return false;
    take_if(TokenKind::comma);
  }
  out.span = join(out.span, span(take()));
  unit(out);
  return true;
}

bool Parser::parenthesised(tree::Expression& out, int depth) {
  const Span open = span(take());
  skip_newlines();
  if (!expression(out, depth + 1)) return false;
  skip_newlines();
  out.span = join(open, here());
  return need(TokenKind::right_round);
}

bool is_text(const Source& source, Diagnostics& diagnostics) {
  if (source.text().size() > largest_source) {
    diagnostics
        .add(Kind::file_too_large, {0, 0, source.number()},
             "this file is larger than 1 MiB, and no pattern is")
        .try_this("put the pieces into files of their own");
    return false;
  }
  std::size_t bad = find_invalid_utf8(source.text());
  bad = std::min(bad, source.text().find('\0'));
  if (bad != std::string::npos) {
    const auto at = static_cast<std::uint32_t>(bad);
    diagnostics.add(Kind::not_text, {at, at + 1, source.number()}, "this is not UTF-8 text")
        .note(fmt::format("byte {} of the file, counted from 0, is 0x{:02X}", bad,
                          static_cast<unsigned char>(source.text()[bad])))
        .try_this("save the file as UTF-8 in your editor");
    return false;
  }
  return true;
}

tree::Pattern parse(const Source& source, Diagnostics& diagnostics) {
  std::vector<Token> tokens = read_tokens(source, diagnostics);
  return parse(source, tokens, diagnostics);
}

tree::Pattern parse(const Source& source, std::vector<Token>& tokens, Diagnostics& diagnostics) {
  return Parser(source, tokens, diagnostics).pattern();
}

}  // namespace wale
