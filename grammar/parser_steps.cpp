// Steps that are about places in the work: markers, buttonholes, and the row that parts it.
//
//     place markers raglan after 20, 12, 40 and 12 st
//     make 7 buttonholes of 2 st over 40 cm, 3 st from the left edge, 2 cm from the ends
//     divide into left-front and right-front, 16 st bound off between as neck

#include <fmt/format.h>

#include <algorithm>

#include "grammar/parser_internal.hpp"

namespace wale {

namespace {

constexpr Keywords row_words{"rows", "row", "rounds", "round"};

}  // namespace

bool Parser::at_end_of_step() const {
  return at(TokenKind::newline) || at(TokenKind::right_curly) || at(TokenKind::end);
}

/// `other`, `2nd`, `6th`: every second, every sixth.
std::optional<tree::Expression> Parser::ordinal() {
  tree::Expression out;
  out.span = here();
  if (at_word("other")) {
    take();
    out.value = 2;
    return out;
  }
  if (!at(TokenKind::number) || !touches() || !contains({"st", "nd", "rd", "th"}, peek(1).keyword)) return {};
  out.value = static_cast<double>(count_of_token(take()));
  take();
  return out;
}

/// `6 rows`, `6th row`, `other row`.
bool Parser::every_rows(std::optional<tree::Expression>& out) {
  out = ordinal();
  if (!out) out = expression();
  return out && one_of("`rows`", {"rows", "rounds", "row", "round"});
}

/// `bind off loosely`: how it is done is for the knitter.
bool Parser::manner_of_binding_off() {
  const bool all = at_word("all") && peek(1).kind != TokenKind::name;
  const bool manner = at_any({"loosely", "firmly", "tightly", "evenly", "in", "knitwise", "purlwise"});
  if (!all && !manner) return false;
  const std::size_t first = at_;
  while (!at_end_of_step()) take();
  const Span words = since(first);
  if (all) {
    diagnostics_.add(Kind::expected, words, "`bind off` alone binds off all stitches")
        .try_this("bind off")
        .mend({words.begin - 1, words.end, words.source}, "");
    return true;
  }
  diagnostics_
      .add(Kind::expected, words,
           fmt::format("`{}` says how it is done, and a step says only what is done", source_.text(words)))
      .note("the knitter reads it best as she binds off: put it behind the step as a comment")
      .try_this(fmt::format("bind off  -- {}", source_.text(words)));
  return true;
}

bool Parser::place_markers(tree::PlaceMarkers& out) {
  take_word("a");
  if (!one_of("`marker` or `markers`", {"marker", "markers"})) return false;
  if (!name("a name for the marker", out.name) || !need_word("after")) return false;
  do {
    if (!expression(out.after.emplace_back())) return false;
    take_word("st");
  } while (take_if(TokenKind::comma) || take_word("and"));
  return true;
}

/// `the markers raglan`, `the raglan`, `raglan`.
bool Parser::marker_name(tree::Shape& out) {
  take_word("the");
  if (at_word("marker") || at_word("markers")) take();
  out.marker = name("a marker's name");
  return out.marker.has_value();
}

bool Parser::buttonholes(tree::Buttonholes& out) {
  if (!expression(out.count)) return false;
  out.eyelets = take_word("eyelet");
  if (!one_of("`buttonholes`", {"buttonholes", "buttonhole"})) return false;
  if (take_word("of")) {
    out.width = expression();
    if (!out.width) return false;
    take_word("st");
  }
  const auto how = one_of("`over` or `every`", {"over", "every"});
  if (!how) return false;
  if (*how == "over" && take_word("the")) {
    out.across = true;
    if (!one_of("`row`", {"row", "round"})) return false;
  } else {
    std::optional<tree::Expression> amount = *how == "every" ? ordinal() : std::nullopt;
    if (!amount) amount = expression();
    if (!amount) return false;
    tree::Buttonholes::Distance distance{std::move(*amount), {}};
    if (at_any(row_words)) take_as_name(distance.unit.emplace());
    (*how == "over" ? out.over : out.every) = std::move(distance);
  }
  while (take_if(TokenKind::comma))
    if (!hole_distance(out)) return false;
  return true;
}

/// `3 st from the left edge`, `2 cm from the ends`.
bool Parser::hole_distance(tree::Buttonholes& out) {
  const Span first = here();
  auto amount = expression();
  if (!amount) return false;
  tree::Buttonholes::Distance distance{std::move(*amount), {}};
  if (at_any({"st", "rows", "row"})) take_as_name(distance.unit.emplace());
  if (!need_word("from") || !need_word("the")) return false;
  const auto where = one_of("`left edge`, `right edge` or `ends`", {"left", "right", "ends"});
  if (!where || (*where != "ends" && !need_word("edge"))) return false;
  auto& to = *where == "ends" ? out.from_ends : out.from_side;
  if (to && !out.twice) out.twice = first;
  if (*where != "ends") out.from_left = *where == "left";
  to = std::move(distance);
  return true;
}

bool Parser::divide(tree::Divide& out) {
  if (!need_word("into")) return false;
  if (!name("a name for the part that is worked first", out.first) || !need_word("and")) return false;
  if (!name("a name for the other part", out.second)) return false;
  if (take_word("after")) {
    out.after = expression();
    if (!out.after) return false;
    take_word("st");
  }
  if (!take_if(TokenKind::comma)) return true;
  out.bound_off = expression();
  if (!out.bound_off) return false;
  take_word("st");
  if (!need_word("bound") || !need_word("off") || !need_word("between")) return false;
  if (!take_word("as")) return true;
  out.name = name("a name for the edge between them");
  return out.name.has_value();
}

}  // namespace wale
