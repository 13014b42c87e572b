// Rows: labels, stitches, groups, fills, pictures. A row's stitches run on over lines until the next label or
// the closing brace, so here a line's end means nothing.

#include <fmt/format.h>

#include <algorithm>

#include "grammar/parser_internal.hpp"

namespace wale {

namespace {

constexpr Keywords default_words{"rs", "ws", "every"};

/// What instructions call a row, which a label leaves out.
bool is_row_word(std::string_view word) {
  const std::string lower = lower_case(word);
  return lower == "row" || lower == "rows" || lower == "round" || lower == "rounds" || lower == "rnd" ||
         lower == "rnds";
}

}  // namespace

/// A number that does not touch a bracket begins the next label, unless it stands where no label can: the
/// numbers of a crossing with blanks in it, or a count with a blank before its bracket or behind its stitch.
bool Parser::at_number_in_row() const {
  const TokenKind next = peek(1).kind;
  if (next == TokenKind::divide) return true;
  if (next == TokenKind::left_round && touches()) return true;
  if (begins_line(at_) || next == TokenKind::colon || next == TokenKind::comma || next == TokenKind::range ||
      next == TokenKind::minus)
    return false;
  const bool strand_label =
      next == TokenKind::name && (peek(2).kind == TokenKind::colon || peek(3).kind == TokenKind::colon);
  return !strand_label && (next == TokenKind::left_round || tokens_[at_ - 1].kind == TokenKind::name) &&
         text(peek()) != std::to_string(next_row_);
}

/// "rs", "ws" or "every", also where a slip of it stands before a colon.
std::optional<Keyword> Parser::default_word() const {
  if (!at(TokenKind::name)) return {};
  const bool colon = peek(1).kind == TokenKind::colon ||
                     (peek(1).kind == TokenKind::name &&
                      (peek(2).kind == TokenKind::colon ||
                       (peek(2).kind == TokenKind::name && peek(3).kind == TokenKind::colon)));
  if (!colon) return {};
  if (at_any(default_words)) return peek().keyword;
  if (peek(1).kind != TokenKind::colon) return {};
  return meant_word(default_words);
}

/// `Row 1:`
bool Parser::at_row_word() const {
  if (!at(TokenKind::name) || peek(1).kind != TokenKind::number || !is_row_word(text(peek()))) return false;
  const TokenKind after = peek(2).kind;
  return after == TokenKind::colon || after == TokenKind::left_round || after == TokenKind::comma ||
         after == TokenKind::range || after == TokenKind::minus ||
         (after == TokenKind::name && peek(3).kind == TokenKind::colon);
}

/// How many labels stand before the next closing brace; bounded, as steps are.
std::size_t Parser::likely_rows() const {
  constexpr std::size_t most = 16;
  std::size_t out = 0;
  for (std::size_t i = at_; out < most && tokens_[i].kind != TokenKind::right_curly; ++i) {
    if (tokens_[i].kind == TokenKind::end) break;
    out += tokens_[i].kind == TokenKind::colon;
  }
  return out;
}

bool Parser::rows(std::vector<tree::Row>& rows, std::vector<tree::Picture>& pictures, Span open) {
  bool complained = false;
  next_row_ = 1;
  rows.reserve(likely_rows());
  last_label_.reset();
  while (skip_newlines(), !at(TokenKind::right_curly)) {
    if (at(TokenKind::end)) {
      never_closed(open);
      return true;
    }
    if (at_word("draw")) {
      if (tree::Picture drawn; picture(drawn))
        pictures.push_back(std::move(drawn));
      else
        skip_line();
    } else if (at_label()) {
      tree::Row& next = rows.emplace_back();
      if (!label(next.label)) take_if(TokenKind::colon);
      row(next);
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
  if (at_row_word()) {
    const Span word = span(take());
    diagnostics_.add(Kind::expected, word, "a row's label is its number alone")
        .try_this(fmt::format("{}:", text(peek())))
        .mend({word.begin, peek().begin, word.source}, "");
  }
  if (at(TokenKind::name)) {
    const Keyword word = default_word().value_or(Keyword());
    if (!at_word(word))
      diagnostics_.add(Kind::expected, here(), fmt::format("`{}:` begins no row", text(peek())))
          .try_this(fmt::format("{}:", word.text()))
          .mend(here(), std::string(word.text()));
    take();
    out.by_default = word == "rs"   ? tree::RowLabel::Default::right_side
                     : word == "ws" ? tree::RowLabel::Default::wrong_side
                                    : tree::RowLabel::Default::every;
  } else {
    do {
      if (!range(out)) return false;
    } while (take_if(TokenKind::comma));
  }
  if (at(TokenKind::name) && peek(1).kind == TokenKind::name && peek(2).kind == TokenKind::colon) {
    take_as_name(out.strand.emplace());
    take_as_name(out.back_strand.emplace());
  } else if (at(TokenKind::name) && peek(1).kind == TokenKind::colon) {
    take_as_name(out.strand.emplace());
  }
  out.span = since(first);
  if (at(TokenKind::left_round)) side_in_label(out);
  if (!at(TokenKind::colon)) {
    missing_colon(out);
    return false;
  }
  take();
  if (!out.numbers.empty()) next_row_ = out.numbers.back().last + 1;
  if (begins_line(first)) last_label_ = out.span.begin;
  return true;
}

bool Parser::range(tree::RowLabel& out) {
  const auto from = count("a row's number");
  if (!from) return false;
  tree::RowLabel::Range range{from->value, from->value, from->span};
  bool reaches = take_if(TokenKind::range);
  if (!reaches && at(TokenKind::minus) && peek(1).kind == TokenKind::number) {
    // Nothing is subtracted in a label.
    diagnostics_.add(Kind::expected, here(), "rows from one to another are joined by `..`")
        .try_this(fmt::format("{}..{}", from->value, text(peek(1))))
        .mend({from->span.end, peek(1).begin, from->span.source}, "..");
    reaches = take().kind == TokenKind::minus;
  }
  if (reaches) {
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
  return true;
}

/// A number in its turn, in the column of the labels, and before a stitch or a fill can only be a label
/// without its colon. In mid-line it may be a count that has lost its stitch.
void Parser::missing_colon(const tree::RowLabel& label) {
  const std::size_t number = at_ - 1;
  wrong(name_of(TokenKind::colon));
  const bool in_turn = label.numbers.size() == 1 && !label.strand && label.numbers[0].first >= next_row_ &&
                       tokens_[number].kind == TokenKind::number && begins_line(number);
  const auto column = [&](std::uint32_t offset) {
    return count_characters(text_.substr(0, offset).substr(source_.line_start(offset)));
  };
  const bool in_column = !last_label_ || column(label.span.begin) == column(*last_label_);
  const bool row = at(TokenKind::less) || at(TokenKind::name) || at(TokenKind::crossing);
  Diagnostic& added = diagnostics_.last();
  if (in_turn && in_column && row) {
    added.try_this(fmt::format("{}:", label.numbers[0].last))
        .mend({label.span.end, label.span.end, label.span.source}, ":");
    next_row_ = label.numbers[0].last + 1;
    return;
  }
  added.try_this("a count touches its stitch or bracket (k3, 3(k p)); a row's number has a colon (3: k)");
}

void Parser::row(tree::Row& out) {
  skip_newlines();
  const std::size_t first = at_;
  const std::size_t told = diagnostics_.all().size(), dropped = diagnostics_.dropped();
  if (at_word("as") && peek(1).kind == TokenKind::number) {
    take();
    out.as_row = count("a row's number");
    if (at(TokenKind::name) && out.label.strand && text(peek()) == out.label.strand->text) take();
  } else {
    items(out.items, 0);
    if (!commas_.empty()) commas_of_row();
  }
  // What is mended is read as it was meant; with anything else the row's sum says nothing.
  const auto& all = diagnostics_.all();
  out.whole = diagnostics_.dropped() == dropped &&
              std::all_of(all.begin() + static_cast<std::ptrdiff_t>(std::min(told, all.size())), all.end(),
                          [](const Diagnostic& each) { return !each.edits.empty(); });
  out.span = since(first);
  // Trailing line ends do not belong to the row.
  if (!out.items.empty()) out.span.end = out.items.back().span.end;
}

void Parser::items(std::vector<tree::RowItem>& out, int depth) {
  while (skip_newlines(),
         !at(TokenKind::right_curly) && !at(TokenKind::end) && !at_label() && !at_picture()) {
    if (depth > 0 && (at(TokenKind::right_round) || at(TokenKind::greater) || at(TokenKind::right_square)))
      return;
    item(out, depth);
  }
}

/// How many items are likely to stand before the next closing bracket or, in no bracket, to begin the row.
std::size_t Parser::likely_items(int depth) const {
  const auto past_names = [&](std::size_t from) {
    while (tokens_[from].kind == TokenKind::name) ++from;
    return from;
  };
  const auto ends = [&](std::size_t token) {
    return tokens_[token].kind == TokenKind::newline || tokens_[token].kind == TokenKind::right_curly;
  };
  constexpr std::size_t most = 8, some = 2;
  if (depth > 0 || !at(TokenKind::less))
    return std::clamp<std::size_t>(past_names(at_) - at_, depth > 0 ? 1 : some, most);
  // `<k2 p2>` and nothing else is a row of one item.
  const std::size_t close = past_names(at_ + 1);
  return tokens_[close].kind == TokenKind::greater && ends(close + 1) ? 1 : some;
}

void Parser::item(std::vector<tree::RowItem>& out, int depth) {
  if (out.empty()) out.reserve(likely_items(depth));
  if (tree::RowItem& item = out.emplace_back(); !read(item, depth)) out.pop_back();
}

/// One item, in its place among the others. False where there is none, which is reported.
bool Parser::read(tree::RowItem& item, int depth) {
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
      if (peek(1).kind == TokenKind::divide) {
        if (!split_crossing(item)) return false;
        break;
      }
      number_in_row(item, depth);
      if (item.form != tree::RowItem::Form::group) return false;
      break;
    case TokenKind::left_round:
      item.form = tree::RowItem::Form::group;
      group(item, TokenKind::right_round, depth);
      break;
    case TokenKind::left_square:
      square_group(item, depth);
      break;
    case TokenKind::times:
      if (!printed_repeat(item, depth)) return false;
      break;
    case TokenKind::less:
      item.form = tree::RowItem::Form::fill;
      group(item, TokenKind::greater, depth);
      break;
    case TokenKind::name: {
      const Token word = take();
      item.word = text(word);
      if (word.keyword == "as" && at_word("seen")) {
        item.span = join(item.span, span(take()));
        item.form = tree::RowItem::Form::as_seen;
      } else if (opens && item.word.starts_with("in") && item.word.size() > 2 &&
                 item.word.find_first_not_of("0123456789", 2) == std::string::npos) {
        item.form = tree::RowItem::Form::into;
        item.count = count_of_token({TokenKind::number, {}, word.begin + 2, word.end});
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
      stray_in_row();
      return false;
  }
  if (peek().keyword || at(TokenKind::number)) printed_extent(item);
  return true;
}

/// A count and its group; the count may not touch it. A count without a group is reported and passed over.
/// What was meant is not certain: in `k 2 (p)` the 2 may have lost its stitch.
void Parser::number_in_row(tree::RowItem& out, int depth) {
  const Token before = at_ > 0 ? tokens_[at_ - 1] : Token{};
  const Token number = take();
  if (at(TokenKind::left_round)) {
    out.form = tree::RowItem::Form::group;
    out.count = count_of_token(number);
    if (number.end != peek().begin)
      diagnostics_.add(Kind::expected, span(number), "a count touches its bracket")
          .try_this(fmt::format("{}(...)", text(number)));
    group(out, TokenKind::right_round, depth);
    return;
  }
  const std::string_view stitch = text(before);
  const bool counted = stitch.back() >= '0' && stitch.back() <= '9';
  diagnostics_.add(Kind::expected, span(number), "a count touches its stitch")
      .try_this(counted ? "a stitch has one count: k3, or 2(k3)" : fmt::format("{}{}", stitch, text(number)));
}

/// `2/2 rc`: put together, for the vocabulary to say whether it is one.
bool Parser::split_crossing(tree::RowItem& out) {
  const std::size_t first = at_;
  out.word = text(take());
  while (take_if(TokenKind::divide)) {
    out.word += '/';
    if (at(TokenKind::number) || at(TokenKind::crossing)) out.word += text(take());
  }
  if (at(TokenKind::name)) out.word += text(take());
  out.span = out.word_span = since(first);
  const char last = out.word.back();
  if ((last < '0' || last > '9') && last != '/') return true;
  diagnostics_.add(Kind::expected, out.span, "a crossing says how it crosses")
      .try_this("a crossing is one word: 2/2rc, 2/2lc");
  return false;
}

/// What stands in no row.
void Parser::stray_in_row() {
  const std::size_t first = at_;
  const TokenKind kind = peek().kind;
  if (kind == TokenKind::right_round || kind == TokenKind::greater || kind == TokenKind::right_square) {
    diagnostics_.add(Kind::unclosed_bracket, here(), fmt::format("{} closes nothing", name_of(kind)));
  } else if (kind != TokenKind::comma) {
    wrong("a stitch");
  }
  // One complaint for a run of the same sign.
  while (at(kind) && !at(TokenKind::end)) take();
  if (kind == TokenKind::comma) commas_.push_back(since(first));
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
  if (at(TokenKind::right_round) || at(TokenKind::greater) || at(TokenKind::right_square)) take();
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
  if (!take_if(TokenKind::right_curly)) never_closed(open);
  return true;
}

}  // namespace wale
