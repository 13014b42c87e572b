// Rows in the wording of printed patterns, which the language says otherwise:
//
//     *k2, p2; rep from * to end     <k2 p2>          k to last 2 sts, p2     <k> p2
//     [k2, p2] 3 times               3(k2 p2)         1 (RS): k               1: k
//
// What was meant is clear, so it is said once, at the whole of the wording, how it is written here; and it is
// read as meant, so that the row's own sum is looked at too.

#include <fmt/format.h>

#include <algorithm>

#include "grammar/parser_internal.hpp"

namespace wale {

/// What follows a group in print.
struct Parser::Printed {
  bool closed = false;    ///< by an asterisk, or by `rep from *`
  bool fills = false;     ///< `to end`, `to last 2 sts`, `across`
  long long times = 0;    ///< `3 times`, `3 more times`; 0 where it says none
  bool more = false;      ///< beyond the first: `rep from * 3 more times`
  bool repeated = false;  ///< it says `rep`
  std::size_t end = 0;    ///< past its last token
};

namespace {

bool is_one_of(std::string_view word, std::initializer_list<std::string_view> words) {
  const std::string lower = lower_case(word);
  return std::find(words.begin(), words.end(), lower) != words.end();
}

}  // namespace

/// The words behind a group, none of them taken: [`*`] [`rep` [`from` `*`]] [`to end` ...] [`3 more times`].
Parser::Printed Parser::printed_ending() {
  Printed out;
  std::size_t i = 0;
  const auto kind = [&] { return peek(i).kind; };
  const auto word = [&](std::initializer_list<std::string_view> words) {
    if (kind() != TokenKind::name || !is_one_of(text(peek(i)), words)) return false;
    ++i;
    return true;
  };
  const auto stars = [&] {
    bool any = false;
    for (; kind() == TokenKind::times; ++i) any = true;
    return any;
  };
  out.closed = stars();
  std::size_t parted = i;
  while (kind() == TokenKind::comma) ++i;
  if (word({"rep", "repeat"})) {
    out.repeated = true;
    if (word({"from"}) && !word({"beginning"})) out.closed |= stars();
    if (kind() == TokenKind::comma) ++i;
    parted = i;
  }
  if (word({"to"})) {
    word({"the"});
    if (word({"end"})) {
      out.fills = true;
    } else if (word({"last"})) {
      out.fills = true;
      if (kind() == TokenKind::number) ++i;
      word({"st", "sts", "stitch", "stitches"});
      if (kind() == TokenKind::comma) ++i;
    }
  } else if (word({"across", "around"})) {
    out.fills = true;
  } else if (kind() == TokenKind::number || (kind() == TokenKind::name && is_one_of(text(peek(i)), {"x"}))) {
    const std::size_t before = i;
    if (kind() == TokenKind::name) ++i;
    const Token number = peek(i);
    if (kind() == TokenKind::number) ++i;
    out.more = word({"more"});
    if (number.kind == TokenKind::number && word({"times", "time"})) {
      out.more |= word({"more"});
      out.times = count_of_token(number);
    } else {
      i = before;
      out.more = false;
    }
  }
  if (out.fills) {
    if (word({"of"})) word({"the"});
    word({"row", "round", "rnd"});
  }
  out.end = out.fills || out.times > 0 || out.repeated ? i : parted;
  if (!out.fills && out.times == 0 && !out.repeated && !out.closed) out.end = 0;
  return out;
}

/// The items as the language has them: without commas, on one line. Nothing where a comment stands between.
std::optional<std::string> Parser::as_written(const std::vector<tree::RowItem>& items) const {
  std::string out;
  const std::string_view all =
      source_.text({items.front().span.begin, items.back().span.end, source_.number()});
  if (all.find("--") != std::string_view::npos) return {};
  for (const char c : all) {
    const bool parts = c == ',' || c == ';' || c == '\n' || c == '\r' || c == '\t' || c == ' ';
    if (!parts)
      out += c;
    else if (!out.empty() && out.back() != ' ')
      out += ' ';
  }
  return out;
}

/// `*k2, p2; rep from * to end`, `*k2, p2*`: a fill. Returns whether there is an item.
bool Parser::printed_repeat(tree::RowItem& out, int depth) {
  const std::size_t first = at_;
  while (at(TokenKind::times)) take();
  const std::size_t told = diagnostics_.errors();
  out.form = tree::RowItem::Form::fill;
  while (skip_newlines(), !at(TokenKind::right_curly) && !at(TokenKind::end) && !at(TokenKind::times) &&
                              !at_label() && !at_picture()) {
    if (at(TokenKind::right_round) || at(TokenKind::greater) || at(TokenKind::right_square)) break;
    if (at(TokenKind::name) && is_one_of(text(peek()), {"rep", "repeat"})) break;
    if (take_if(TokenKind::comma)) continue;
    item(out.items, depth + 1);
  }
  const Printed ending = printed_ending();
  const bool meant = !out.items.empty() && ending.closed;
  for (std::size_t i = 0; meant && i < ending.end; ++i) take();
  out.span = meant ? since(first) : span(tokens_[first]);
  if (!meant) {
    diagnostics_.add(Kind::expected, out.span, "`*` has no meaning in a row")
        .try_this("write a repeat as <k2 p2>");
    out.form = tree::RowItem::Form::group;
    return !out.items.empty();
  }
  const bool sound = diagnostics_.errors() == told;
  diagnostics_.withdraw(Kind::unexpected_character, out.span);
  forget_commas(out.span);
  const auto words = as_written(out.items);
  if (ending.times > 0) {
    out.form = tree::RowItem::Form::group;
    out.count = std::min(ending.times + (ending.repeated ? 1 : 0), largest_count);
  }
  const std::string instead = ending.times > 0 ? fmt::format("{}({})", out.count, words.value_or("k2 p2"))
                                               : fmt::format("<{}>", words.value_or("k2 p2"));
  Diagnostic& added = diagnostics_.add(
      Kind::expected, out.span,
      ending.times > 0 ? "a group that is worked several times has its number in front"
                       : "a repeat stands between `<` and `>`, and is worked as often as it fits");
  added.try_this(instead);
  if (ending.times == 0 && words && sound && depth == 0) added.mend(out.span, instead);
  return true;
}

/// `[k2, p2] 3 times`
void Parser::square_group(tree::RowItem& out, int depth) {
  const Span open = here();
  const std::size_t told = diagnostics_.errors();
  out.form = tree::RowItem::Form::group;
  group(out, TokenKind::right_square, depth);
  if (out.items.empty() || diagnostics_.errors() != told) return;
  printed_extent(out);
  if (diagnostics_.errors() != told) return;
  const auto words = as_written(out.items);
  forget_commas(out.span);
  Diagnostic& added = diagnostics_.add(Kind::expected, open, "the brackets of a group are round");
  added.try_this(fmt::format("({})", words.value_or("k2 p2")));
  if (words) added.mend(out.span, fmt::format("({})", *words));
}

/// `k to end`, `(k2 p2) to last 3 sts`, `(k2 p2) 3 times`: what stands behind the item that was just read.
void Parser::printed_extent(tree::RowItem& out) {
  using Form = tree::RowItem::Form;
  if (out.form != Form::stitch && out.form != Form::group) return;
  const bool group = out.form == Form::group;
  const bool begins =
      at_word("to") || at_word("across") || at_word("around") ||
      (group && (at(TokenKind::number) || at_word("rep") || at_word("repeat") || at_word("x")));
  if (!begins) return;
  const Printed ending = printed_ending();
  if (!ending.fills && (!group || ending.times == 0)) return;
  if (ending.times > 0 && out.count != 1) return;
  const std::size_t words_first = at_;
  for (std::size_t i = 0; i < ending.end; ++i) take();
  const Span words = since(words_first);
  const Span whole = join(out.span, words);
  diagnostics_.withdraw(Kind::unexpected_character, whole);
  forget_commas(whole);
  const bool bare = group && out.count == 1 && !out.items.empty();
  const auto inside = bare ? as_written(out.items) : as_written({out});
  std::string instead;
  if (ending.times > 0) {
    out.count = ending.times;
    instead = fmt::format("{}({})", ending.times, inside.value_or("k2 p2"));
  } else {
    instead = fmt::format("<{}>", inside.value_or("k2 p2"));
    tree::RowItem fill;
    fill.form = Form::fill;
    if (bare)
      fill.items = std::move(out.items);
    else
      fill.items.push_back(out);
    out = std::move(fill);
  }
  out.span = out.word_span = whole;
  Diagnostic& added =
      diagnostics_.add(Kind::expected, words,
                       ending.times > 0 ? "a group that is worked several times has its number in front"
                                        : "what is worked as often as it fits stands between `<` and `>`");
  added.try_this(instead);
  if (inside) added.mend(whole, instead);
}

/// `1 (RS):`; its bracket is here.
void Parser::side_in_label(const tree::RowLabel& label) {
  if (peek(1).kind != TokenKind::name || peek(2).kind != TokenKind::right_round ||
      !is_one_of(text(peek(1)), {"rs", "ws"}))
    return;
  const bool wrong_side = is_one_of(text(peek(1)), {"ws"});
  const std::size_t first = at_;
  for (int i = 0; i < 3; ++i) take();
  Diagnostic& added = diagnostics_.add(Kind::expected, since(first),
                                       "a label does not say the side: it follows from the number");
  added.note("in flat work odd rows are right-side rows and even ones wrong-side rows");
  if (label.numbers.empty()) return;
  const bool fits = std::all_of(label.numbers.begin(), label.numbers.end(), [&](const auto& range) {
    return range.first == range.last && (range.first % 2 == 0) == wrong_side;
  });
  if (!fits) return;
  added.try_this(fmt::format("{}:", source_.text(label.numbers.back().span)))
      .mend({label.numbers.back().span.end, span(tokens_[at_ - 1]).end, source_.number()}, "");
}

/// Those within what is mended as a whole.
void Parser::forget_commas(Span within) {
  std::erase_if(commas_, [&](Span run) { return run.begin >= within.begin && run.end <= within.end; });
}

/// Commas between stitches are told once for a row; there are some.
void Parser::commas_of_row() {
  const std::string& all = source_.text();
  Diagnostic& added =
      diagnostics_.add(Kind::expected, commas_.front(), "stitches are parted by spaces, not commas");
  for (const Span run : commas_) {
    // What a comma parts must not grow together.
    const bool parted =
        run.end >= all.size() || std::string_view(" \t\r\n>)}").find(all[run.end]) != std::string_view::npos;
    added.mend(run, parted ? "" : " ");
  }
  commas_.clear();
}

}  // namespace wale
