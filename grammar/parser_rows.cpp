// Rows: labels, stitches, groups, fills, pictures. A row's stitches run on over lines until the next label or
// the closing brace, so here a line's end means nothing.

#include <fmt/format.h>

#include "grammar/parser_internal.hpp"

namespace wale {

/// A number that opens no group, or a default with its colon, begins the next row.
bool Parser::at_label() const {
  if (at(TokenKind::number)) return !(peek(1).kind == TokenKind::left_round && touches());
  if (!at_word("rs") && !at_word("ws") && !at_word("every")) return false;
  if (peek(1).kind == TokenKind::colon) return true;
  if (peek(1).kind != TokenKind::name) return false;
  return peek(2).kind == TokenKind::colon ||
         (peek(2).kind == TokenKind::name && peek(3).kind == TokenKind::colon);
}

/// `draw` at the beginning of a line is a picture, not a stitch of the row before.
bool Parser::at_picture() const {
  if (!at_word("draw") || at_ == 0) return false;
  const TokenKind before = tokens_[at_ - 1].kind;
  return before == TokenKind::newline || before == TokenKind::left_curly;
}

bool Parser::rows(std::vector<tree::Row>& rows, std::vector<tree::Picture>& pictures, Span open) {
  bool complained = false;
  while (skip_newlines(), !at(TokenKind::right_curly)) {
    if (at(TokenKind::end)) {
      diagnostics_.add(Kind::unclosed_bracket, open, "`{` is opened here and never closed");
      return true;
    }
    if (at_word("draw")) {
      if (tree::Picture drawn; picture(drawn))
        pictures.push_back(std::move(drawn));
      else
        skip_line();
    } else if (at_label()) {
      tree::Row next;
      if (!label(next.label)) take_if(TokenKind::colon);
      row(next);
      rows.push_back(std::move(next));
      complained = false;
    } else {
      if (!complained) {
        wrong("a row's label, such as `1:` or `every:`");
        complained = true;
      }
      take();
    }
  }
  take();
  return true;
}

bool Parser::label(tree::RowLabel& out) {
  const std::size_t first = at_;
  if (at(TokenKind::name)) {
    const std::string_view word = text(take());
    out.by_default = word == "rs"   ? tree::RowLabel::Default::right_side
                     : word == "ws" ? tree::RowLabel::Default::wrong_side
                                    : tree::RowLabel::Default::every;
  } else {
    do {
      const auto from = count("a row's number");
      if (!from) return false;
      tree::RowLabel::Range range{from->value, from->value, from->span};
      if (take_if(TokenKind::range)) {
        const auto to = count("the last row's number");
        if (!to) return false;
        range.last = to->value;
        range.span = join(range.span, to->span);
      }
      if (range.first < 1)
        diagnostics_.add(Kind::bad_measure, from->span, "rows are counted from 1");
      else if (range.last < range.first)
        diagnostics_.add(Kind::bad_measure, range.span, "this range of rows runs backwards")
            .try_this(fmt::format("{}..{}", range.last, range.first));
      out.numbers.push_back(range);
    } while (take_if(TokenKind::comma));
  }
  if (at(TokenKind::name) && peek(1).kind == TokenKind::name && peek(2).kind == TokenKind::colon) {
    out.strand = token_as_name();
    out.back_strand = token_as_name();
  } else if (at(TokenKind::name) && peek(1).kind == TokenKind::colon) {
    out.strand = token_as_name();
  }
  out.span = since(first);
  if (take_if(TokenKind::colon)) return true;
  const bool crossing = at(TokenKind::divide);
  wrong(name_of(TokenKind::colon));
  diagnostics_.last().try_this(
      crossing ? "a crossing is one word: 2/2rc"
               : "a count touches its stitch or bracket (k3, 3(k p)); a row's number has a colon (3: k)");
  return false;
}

void Parser::row(tree::Row& out) {
  skip_newlines();
  const std::size_t first = at_;
  if (at_word("as") && peek(1).kind == TokenKind::number) {
    take();
    out.as_row = count("a row's number");
    if (at(TokenKind::name) && out.label.strand && text(peek()) == out.label.strand->text) take();
  } else {
    items(out.items, 0);
  }
  out.span = since(first);
  // Trailing line ends do not belong to the row.
  if (!out.items.empty()) out.span.end = out.items.back().span.end;
}

void Parser::items(std::vector<tree::RowItem>& out, int depth) {
  while (skip_newlines(),
         !at(TokenKind::right_curly) && !at(TokenKind::end) && !at_label() && !at_picture()) {
    if (depth > 0 && (at(TokenKind::right_round) || at(TokenKind::greater))) return;
    item(out, depth);
  }
}

void Parser::item(std::vector<tree::RowItem>& out, int depth) {
  tree::RowItem item;
  item.span = item.word_span = here();
  const bool opens = peek(1).kind == TokenKind::left_round && touches();
  switch (peek().kind) {
    case TokenKind::bar:
      take();
      item.form = tree::RowItem::Form::marker;
      break;
    case TokenKind::crossing:
      item.word = text(take());
      break;
    case TokenKind::number:
      item.count = count_of_token(take());
      item.form = tree::RowItem::Form::group;
      group(item, TokenKind::right_round, depth);
      break;
    case TokenKind::left_round:
      item.form = tree::RowItem::Form::group;
      group(item, TokenKind::right_round, depth);
      break;
    case TokenKind::less:
      item.form = tree::RowItem::Form::fill;
      group(item, TokenKind::greater, depth);
      break;
    case TokenKind::name: {
      const Token word = take();
      item.word = text(word);
      if (item.word == "as" && at_word("seen")) {
        item.span = join(item.span, span(take()));
        item.form = tree::RowItem::Form::as_seen;
      } else if (opens && item.word.starts_with("in") && item.word.size() > 2 &&
                 item.word.find_first_not_of("0123456789", 2) == std::string::npos) {
        item.form = tree::RowItem::Form::into;
        item.count = count_of_token({TokenKind::number, word.begin + 2, word.end});
        group(item, TokenKind::right_round, depth);
      } else if (opens) {
        item.form = tree::RowItem::Form::strand;
        if (item.word[0] < 'A' || item.word[0] > 'Z')
          diagnostics_.add(Kind::expected, item.span, fmt::format("`{}(` begins no group", item.word))
              .try_this("before a bracket stands a number (3(k1 p1)), a strand (A(k2)) or in1, in2, ...")
              .try_this(fmt::format("for the stitch `{}` put a space before the bracket", item.word));
        group(item, TokenKind::right_round, depth);
      }
      break;
    }
    default:
      if (at(TokenKind::right_round) || at(TokenKind::greater)) {
        diagnostics_.add(Kind::unclosed_bracket, here(),
                         fmt::format("{} closes nothing", name_of(peek().kind)));
      } else if (at(TokenKind::times)) {
        diagnostics_.add(Kind::expected, here(), "`*` has no meaning in a row")
            .try_this("write a repeat as <k2 p2>");
      } else if (at(TokenKind::comma)) {
        diagnostics_.add(Kind::expected, here(), "stitches are parted by spaces, not commas")
            .mend(here(), "");
      } else {
        wrong("a stitch");
      }
      // One complaint for a run of the same sign.
      for (const TokenKind kind = peek().kind; at(kind) && !at(TokenKind::end);) take();
      return;
  }
  out.push_back(std::move(item));
}

void Parser::group(tree::RowItem& out, TokenKind close, int depth) {
  const Span open = here();
  if (too_deep(depth)) {
    take();
    skip_group();
    return;
  }
  take();
  items(out.items, depth + 1);
  out.span = join(out.span, here());
  if (take_if(close)) return;
  out.span = join(out.span, open);
  if (!out.items.empty()) out.span = join(out.span, out.items.back().span);
  diagnostics_
      .add(Kind::unclosed_bracket, open,
           fmt::format("`{}` is opened here and not closed", source_.text(open)))
      .try_this(fmt::format("close it with {}", name_of(close)));
  if (at(TokenKind::right_round) || at(TokenKind::greater)) take();
}

bool Parser::picture(tree::Picture& out) {
  const std::size_t first = at_;
  take();
  out.pairs = take_word("pairs");
  while (at(TokenKind::picture_key)) {
    tree::Picture::Key key;
    key.span = here();
    key.character = text(take());
    auto strand = name("the strand that this character stands for");
    if (!strand) return false;
    key.strand = *strand;
    out.keys.push_back(std::move(key));
    if (!take_if(TokenKind::comma)) break;
  }
  if (out.keys.empty()) return wrong("a character and its strand, such as `x A`");
  const Span open = here();
  if (!need(TokenKind::left_curly)) return false;
  while (at(TokenKind::picture_row)) {
    const Token token = take();
    out.rows.push_back({std::string(text(token)), span(token)});
  }
  out.span = since(first);
  if (take_if(TokenKind::right_curly)) return true;
  diagnostics_.add(Kind::unclosed_bracket, open, "`{` is opened here and never closed");
  return true;
}

}  // namespace wale
