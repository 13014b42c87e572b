#include "grammar/parser.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <cstdlib>

#include "grammar/parser_internal.hpp"

namespace wale {

// --- cursor
// --------------------------------------------------------------------------------------------------

Span Parser::since(std::size_t first) const {
  const std::size_t last = at_ > first ? at_ - 1 : first;
  return {tokens_[first].begin, std::max(tokens_[first].begin, tokens_[last].end), source_.number()};
}

Token Parser::take() {
  const Token token = peek();
  if (token.kind != TokenKind::end) ++at_;
  return token;
}

bool Parser::take_if(TokenKind kind) {
  if (!at(kind)) return false;
  take();
  return true;
}

bool Parser::take_word(std::string_view word) {
  if (!at_word(word)) return false;
  take();
  return true;
}

void Parser::skip_newlines() {
  while (at(TokenKind::newline)) take();
}

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

bool Parser::need(TokenKind kind) {
  return take_if(kind) || wrong(name_of(kind));
}
bool Parser::need_word(std::string_view word) {
  return take_word(word) || wrong(fmt::format("`{}`", word));
}

bool Parser::need_line_end() {
  if (at(TokenKind::newline) || at(TokenKind::right_curly) || at(TokenKind::end)) return true;
  return wrong("the end of the line");
}

bool Parser::block(const std::function<bool()>& rule) {
  const Span open = here();
  if (!need(TokenKind::left_curly)) return false;
  while (skip_newlines(), !at(TokenKind::right_curly)) {
    if (at(TokenKind::end)) {
      diagnostics_.add(Kind::unclosed_bracket, open, "`{` is opened here and never closed");
      return true;
    }
    if (!rule()) skip_line();
  }
  take();
  return true;
}

// --- small values
// --------------------------------------------------------------------------------------------

std::optional<tree::Name> Parser::name(std::string_view what) {
  if (!at(TokenKind::name)) return wrong(what), std::nullopt;
  const Token token = take();
  return tree::Name{std::string(text(token)), span(token)};
}

std::optional<tree::Name> Parser::token_as_name() {
  const Token token = take();
  return tree::Name{std::string(text(token)), span(token)};
}

std::optional<tree::Text> Parser::string(std::string_view what) {
  if (!at(TokenKind::string)) return wrong(what), std::nullopt;
  const Token token = take();
  std::string_view inside = text(token).substr(1);
  if (!inside.empty() && inside.back() == '"') inside.remove_suffix(1);
  return tree::Text{std::string(inside), span(token)};
}

long long Parser::count_of_token(const Token& token) {
  const double value = std::strtod(std::string(text(token)).c_str(), nullptr);
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

constexpr std::array units{"mm", "cm", "m", "in", "yd", "g", "oz"};

tree::Expression binary(std::string_view sign, tree::Expression left, tree::Expression right) {
  tree::Expression out;
  out.form = tree::Expression::Form::binary;
  out.span = join(left.span, right.span);
  out.word = sign;
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

void Parser::unit(tree::Expression& out) {
  if (!at(TokenKind::name)) return;
  for (const std::string_view each : units)
    if (text(peek()) == each) {
      out.unit = token_as_name();
      out.span = join(out.span, out.unit->span);
      return;
    }
}

std::optional<tree::Expression> Parser::expression(int depth) {
  auto left = term(depth);
  for (int terms = 1; left && (at(TokenKind::plus) || at(TokenKind::minus)); ++terms) {
    if (too_long(terms)) return {};
    const std::string_view sign = text(take());
    auto right = term(depth);
    if (!right) return {};
    left = binary(sign, std::move(*left), std::move(*right));
  }
  return left;
}

std::optional<tree::Expression> Parser::term(int depth) {
  auto left = factor(depth);
  for (int factors = 1; left && (at(TokenKind::times) || at(TokenKind::divide)); ++factors) {
    if (too_long(factors)) return {};
    const std::string_view sign = text(take());
    auto right = factor(depth);
    if (!right) return {};
    left = binary(sign, std::move(*left), std::move(*right));
  }
  return left;
}

std::optional<tree::Expression> Parser::factor(int depth) {
  if (too_deep(depth)) return {};
  tree::Expression out;
  out.span = here();
  if (at(TokenKind::number)) {
    const Token token = take();
    out.value = std::strtod(std::string(text(token)).c_str(), nullptr);
    if (!std::isfinite(out.value)) out.value = 1e300;
    if (at(TokenKind::name) && text(peek()) == "n" && token.end == peek().begin) {
      out.form = tree::Expression::Form::multiple;
      out.span = join(out.span, span(take()));
      return out;
    }
    unit(out);
    return out;
  }
  if (at(TokenKind::minus)) {
    take();
    auto inner = factor(depth + 1);
    if (!inner) return {};
    out.form = tree::Expression::Form::negate;
    out.span = join(out.span, inner->span);
    out.operands.push_back(std::move(*inner));
    return out;
  }
  if (at(TokenKind::left_square)) return list(depth);
  if (at(TokenKind::left_round)) return parenthesised(depth);
  if (!at(TokenKind::name)) return wrong("a number or a measure"), std::nullopt;
  const Token token = take();
  out.form = tree::Expression::Form::name;
  out.word = text(token);
  if (!at(TokenKind::left_round) || token.end != peek().begin) return out;
  take();
  out.form = tree::Expression::Form::call;
  do {
    skip_newlines();
    auto operand = expression(depth + 1);
    if (!operand) return {};
    out.operands.push_back(std::move(*operand));
    skip_newlines();
  } while (take_if(TokenKind::comma));
  out.span = join(out.span, here());
  if (!need(TokenKind::right_round)) return {};
  return out;
}

std::optional<tree::Expression> Parser::list(int depth) {
  tree::Expression out;
  out.form = tree::Expression::Form::list;
  out.span = here();
  take();
  while (skip_newlines(), !at(TokenKind::right_square)) {
    auto operand = factor(depth + 1);
    if (!operand) return {};
    out.operands.push_back(std::move(*operand));
    take_if(TokenKind::comma);
  }
  out.span = join(out.span, span(take()));
  unit(out);
  return out;
}

std::optional<tree::Expression> Parser::parenthesised(int depth) {
  const Span open = span(take());
  skip_newlines();
  auto inner = expression(depth + 1);
  if (!inner) return {};
  skip_newlines();
  inner->span = join(open, here());
  if (!need(TokenKind::right_round)) return {};
  return inner;
}

tree::Pattern parse(const Source& source, Diagnostics& diagnostics) {
  return Parser(source, read_tokens(source, diagnostics), diagnostics).pattern();
}

}  // namespace wale
