/// The parser's cursor and the rules that several of its files share. Included by parser*.cpp only.
#pragma once

#include <span>

#include "grammar/parser.hpp"

namespace wale {

class Parser {
 public:
  Parser(const Source& source, std::vector<Token>& tokens, Diagnostics& diagnostics)
      : source_(source),
        text_(source.text()),
        tokens_(with_room_to_peek(tokens)),
        diagnostics_(diagnostics) {}

  tree::Pattern pattern();

 private:
  // cursor (parser.cpp)
  /// Beyond the token here, which may be the last one.
  static constexpr std::size_t farthest_peek = 3;
  static std::span<const Token> with_room_to_peek(std::vector<Token>& tokens) {
    tokens.insert(tokens.end(), farthest_peek, tokens.back());
    return tokens;
  }
  const Token& peek(std::size_t ahead = 0) const { return tokens_[at_ + ahead]; }
  bool at(TokenKind kind) const { return peek().kind == kind; }
  bool at_word(Keyword word, std::size_t ahead = 0) const { return peek(ahead).keyword == word; }
  bool at_any(Keywords words) const { return peek().keyword && contains(words, peek().keyword); }
  bool touches(std::size_t ahead = 0) const { return peek(ahead).end == peek(ahead + 1).begin; }
  std::string_view text(const Token& token) const {
    return {text_.data() + token.begin, token.end - token.begin};
  }
  Span span(const Token& token) const { return {token.begin, token.end, source_.number()}; }
  Span here() const { return span(peek()); }
  Span since(std::size_t first) const {
    const std::size_t last = at_ > first ? at_ - 1 : first;
    return {tokens_[first].begin, std::max(tokens_[first].begin, tokens_[last].end), source_.number()};
  }
  Token take() {
    const Token& token = tokens_[at_];
    if (token.kind != TokenKind::end) ++at_;
    return token;
  }
  bool take_if(TokenKind kind) {
    if (!at(kind)) return false;
    take();
    return true;
  }
  bool take_word(Keyword word) {
    if (!at_word(word)) return false;
    ++at_;
    return true;
  }
  void skip_newlines() {
    while (at(TokenKind::newline)) ++at_;
  }
  void skip_line();
  void skip_group();
  /// Reports that `what` should stand here, once for a statement. Returns false, to be returned on.
  bool wrong(std::string_view what);
  bool need(TokenKind kind) { return take_if(kind) || wrong(name_of(kind)); }
  bool need_word(Keyword word);
  /// Takes one of these words. A word that certainly stands for one of them is reported, mended and taken for
  /// it; of another it is said that `what` should stand here.
  std::optional<Keyword> one_of(std::string_view what, Keywords words);
  /// The one of these that the word here certainly stands for, if it is none of them.
  std::optional<Keyword> meant_word(Keywords words) const;
  /// One of them, or a word that certainly stands for one.
  bool at_one_of(Keywords words) const;
  bool need_line_end() {
    if (at(TokenKind::newline) || at(TokenKind::right_curly) || at(TokenKind::end)) return true;
    return wrong("the end of the line");
  }
  /// `{`, lines of `rule`, `}`; reports a missing brace at the one that opens.
  template <typename Rule>
  bool block(const Rule& rule) {
    const Span open = here();
    if (!need(TokenKind::left_curly)) return false;
    while (skip_newlines(), !at(TokenKind::right_curly)) {
      if (at(TokenKind::end)) {
        never_closed(open);
        return true;
      }
      if (!rule()) skip_line();
    }
    take();
    return true;
  }
  void never_closed(Span open);
  static bool begins_declaration(Keyword word);

  // small values (parser.cpp)
  std::optional<tree::Name> name(std::string_view what);
  bool name(std::string_view what, tree::Name& out);
  std::optional<tree::Text> string(std::string_view what);
  bool string(std::string_view what, tree::Text& out);
  std::optional<tree::Count> count(std::string_view what);
  long long count_of_token(const Token& token);
  double value_of(const Token& token) const;
  /// The token here, of whatever kind.
  void take_as_name(tree::Name& out);

  // expressions (parser.cpp)
  std::optional<tree::Expression> expression();
  /// These and all below it fill an expression that is still empty; false where there is none.
  bool expression(tree::Expression& out, int depth = 0);
  bool term(tree::Expression& out, int depth);
  bool factor(tree::Expression& out, int depth);
  bool list(tree::Expression& out, int depth);
  bool parenthesised(tree::Expression& out, int depth);
  void unit(tree::Expression& expression);
  /// Whether the name so far ahead, on this line, is a unit.
  bool at_unit(std::size_t ahead) const;
  bool too_deep(int depth);
  bool too_long(int terms);

  // declarations (parser_declarations.cpp)
  bool declaration(tree::Pattern& pattern);
  std::optional<Keyword> statement_word();
  bool behind(Keyword word, tree::Declaration& out);
  bool title(tree::Title& out);
  bool by(tree::By& out);
  bool yarn(tree::Yarn& out);
  bool strand(tree::Strand& out);
  bool gauge(tree::Gauge& out);
  void decimal_comma(tree::Expression& whole);
  bool written_for(tree::WrittenFor& out);
  std::optional<tree::Name> size_name();
  bool sizes(tree::Sizes& out);
  bool measure(tree::Measure& out);
  bool stash(tree::Stash& out);
  bool swatch(tree::Swatch& out);
  bool swatch_made(tree::Swatch& out);
  bool use(tree::Use& out);
  bool stitch(tree::Stitch& out);
  bool form(tree::Form& out, Span& where);
  bool width(tree::Width& out);
  bool fabric(tree::Fabric& out);
  bool piece(tree::Piece& out);
  bool copies(tree::Piece& out);

  // seasons (parser_season.cpp)
  bool season(tree::Season& out);
  bool season_line(tree::Season& out);
  bool pace(tree::Season& out);
  bool hours(tree::Season& out);
  bool project(tree::Season& out);
  std::optional<tree::Name> date(std::string_view example);

  // rows (parser_rows.cpp)
  bool rows(std::vector<tree::Row>& rows, std::vector<tree::Picture>& pictures, Span open);
  std::size_t likely_rows() const;
  bool at_label() const {
    if (at(TokenKind::number)) return !at_number_in_row();
    if (!at(TokenKind::name)) return false;
    // Most names are stitches, which is seen before more is asked.
    const TokenKind next = peek(1).kind;
    if (next == TokenKind::number && at_row_word()) return true;
    return (peek().keyword || next == TokenKind::colon) && default_word();
  }
  /// `draw` at the beginning of a line is a picture, not a stitch of the row before.
  bool at_picture() const { return at_word("draw") && begins_line(at_); }
  bool label(tree::RowLabel& out);
  bool range(tree::RowLabel& out);
  void row(tree::Row& out);
  void items(std::vector<tree::RowItem>& out, int depth);
  std::size_t likely_items(int depth) const;
  void item(std::vector<tree::RowItem>& out, int depth);
  bool read(tree::RowItem& item, int depth);
  bool at_number_in_row() const;
  bool at_row_word() const;
  bool begins_line(std::size_t token) const {
    return token == 0 || tokens_[token - 1].kind == TokenKind::newline ||
           tokens_[token - 1].kind == TokenKind::left_curly;
  }
  void number_in_row(tree::RowItem& out, int depth);
  bool split_crossing(tree::RowItem& out);
  void commas_of_row();
  void forget_commas(Span within);
  void stray_in_row();
  std::optional<Keyword> default_word() const;
  void missing_colon(const tree::RowLabel& label);
  void group(tree::RowItem& out, TokenKind close, int depth);
  bool picture(tree::Picture& out);

  // the wording of printed patterns (parser_printed.cpp)
  void side_in_label(const tree::RowLabel& label);
  bool printed_repeat(tree::RowItem& out, int depth);
  void square_group(tree::RowItem& out, int depth);
  void printed_extent(tree::RowItem& out);
  struct Printed;
  Printed printed_ending();
  std::optional<std::string> as_written(const std::vector<tree::RowItem>& items) const;

  // pieces (parser_pieces.cpp)
  bool steps(std::vector<tree::Step>& out, int depth);
  bool step(std::vector<tree::Step>& out, int depth);
  std::size_t likely_steps() const;
  struct StepWord {
    Keyword word;
    bool both = false;  ///< the second one, `on` of `cast on`, stands in it
  };
  std::optional<StepWord> step_word();
  bool step_behind(const StepWord& begin, tree::Step& step, int depth);
  bool second_word(Keyword word);
  bool cast_on(tree::CastOn& out);
  bool work(tree::Work& out);
  bool layout(tree::Work& out);
  bool extent(tree::Extent& out);
  bool repeat(tree::Repeat& out, int depth);
  bool shape(tree::Shape& out, bool widen);
  bool shape_where(tree::Shape& out);
  bool spread(tree::Spread& out);
  bool hold(tree::Hold& out);
  bool cord(tree::Cord& out);
  bool bind_off(tree::BindOff& out);

  // markers, buttonholes, parts (parser_steps.cpp)
  bool at_end_of_step() const;
  std::optional<tree::Expression> ordinal();
  bool every_rows(std::optional<tree::Expression>& out);
  bool manner_of_binding_off();
  bool place_markers(tree::PlaceMarkers& out);
  bool marker_name(tree::Shape& out);
  bool buttonholes(tree::Buttonholes& out);
  bool hole_distance(tree::Buttonholes& out);
  bool divide(tree::Divide& out);

  // edges and what is joined at them (parser_edges.cpp)
  bool edge_name(tree::EdgeName& out);
  bool at_portion() const;
  bool pick_up(tree::PickUp& out);
  bool call_edge(tree::CallEdge& out);
  bool join_step(tree::Step& out);
  bool unite(tree::Unite& out, tree::Unite::How how);

  const Source& source_;
  std::string_view text_;  ///< of the source
  std::span<const Token> tokens_;
  Diagnostics& diagnostics_;
  std::size_t at_ = 0;
  std::vector<Span> commas_;                 ///< runs of them in the row that is read
  bool steps_whole_ = true;                  ///< no step of the piece is left out
  long long next_row_ = 1;                   ///< the number that the next row is likely to have
  std::optional<std::uint32_t> last_label_;  ///< where it begins: the last one that began its line
};

}  // namespace wale
