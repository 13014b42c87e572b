// Pieces: what is done from cast-on to bind-off, one step a line.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "grammar/parser_internal.hpp"

namespace wale {

namespace {

const std::vector<std::string> step_words{"cast",  "work", "rows",  "repeat", "hold",  "resume", "pick",
                                          "join",  "cord", "bind",  "narrow", "widen", "spread", "call",
                                          "graft", "seam", "place", "make",   "divide"};

/// What a printed pattern begins a line with, and how the same is written.
constexpr std::array<std::pair<std::string_view, std::string_view>, 4> trade_steps{{
    {"knit", "work garter for 4 rows, by a fabric's name, or row by row: rows { 1: <k>  2: <p> }"},
    {"purl", "work garter for 4 rows, by a fabric's name, or row by row: rows { 1: <k>  2: <p> }"},
    {"dec", "narrow 1 each side every 4 rows 3 times, or all in one row: spread 4 fewer over the row"},
    {"inc", "widen 1 each side every 4 rows 3 times, or all in one row: spread 4 more over the row"},
}};

/// Keeps a rule's value only when the rule could be read.
template <typename T, typename Rule>
bool put(tree::Step& step, Rule rule) {
  T value;
  if (!rule(value)) return false;
  step.what = std::move(value);
  return true;
}

}  // namespace

bool Parser::steps(std::vector<tree::Step>& out, int depth) {
  return block([&] {
    const bool good = step(out, depth);
    steps_whole_ &= good;
    return good;
  });
}

bool Parser::step(std::vector<tree::Step>& out, int depth) {
  const std::size_t first = at_;
  tree::Step step;
  step.head = here();
  std::string word(at(TokenKind::name) ? text(peek()) : std::string_view());
  bool good = false;
  if (const auto meant = meant_word(step_words)) {
    diagnostics_
        .add(Kind::unknown_statement, here(), fmt::format("no step of a piece begins with `{}`", word))
        .try_this(*meant)
        .mend(here(), *meant);
    word = *meant;
  }
  const std::string lower = lower_case(word);
  const bool casts = lower == "co" || lower == "caston";
  if (casts || lower == "bo" || lower == "bindoff" || lower == "castoff") {
    word = casts ? "cast on" : "bind off";
    diagnostics_
        .add(Kind::unknown_statement, here(),
             fmt::format("no step of a piece begins with `{}`", text(peek())))
        .try_this(word)
        .mend(here(), word);
  }
  const auto after = [&](std::string_view second, auto rule) {
    take();
    step.head = join(step.head, here());
    return second_word(second) && rule();
  };
  using namespace tree;
  if (word == "cast") {
    good = after("on", [&] { return put<CastOn>(step, [&](auto& v) { return cast_on(v); }); });
  } else if (word == "bind") {
    good = after("off", [&] { return put<BindOff>(step, [&](auto& v) { return bind_off(v); }); });
  } else if (word == "cast on") {
    take();
    good = put<CastOn>(step, [&](auto& v) { return cast_on(v); });
  } else if (word == "bind off") {
    take();
    good = put<BindOff>(step, [&](auto& v) { return bind_off(v); });
  } else if (word == "pick") {
    good = after("up", [&] { return put<PickUp>(step, [&](auto& v) { return pick_up(v); }); });
  } else if (word == "work") {
    take();
    good = put<Work>(step, [&](auto& v) { return work(v); });
  } else if (word == "rows") {
    take();
    const Span open = here();
    good = need(TokenKind::left_curly) &&
           put<WorkRows>(step, [&](auto& v) { return rows(v.rows, v.pictures, open); });
  } else if (word == "repeat") {
    take();
    good = put<Repeat>(step, [&](auto& v) { return repeat(v, depth); });
  } else if (word == "hold") {
    take();
    good = put<Hold>(step, [&](auto& v) { return hold(v); });
  } else if (word == "cord") {
    take();
    good = put<Cord>(step, [&](auto& v) { return cord(v); });
  } else if (word == "resume") {
    take();
    const auto held = name("the name under which stitches were held");
    if (held) step.what = Resume{*held};
    good = held.has_value();
  } else if (word == "join") {
    take();
    if (take_word("in")) {
      good = need_word("the") && need_word("round");
      step.what = JoinRound{};
    } else {
      good = join_step(step);
    }
  } else if (word == "call") {
    take();
    good = put<CallEdge>(step, [&](auto& v) { return call_edge(v); });
  } else if (word == "graft" || word == "seam") {
    take();
    good = put<Unite>(step, [&](auto& v) {
      v.how = word == "graft" ? Unite::How::graft : Unite::How::seam;
      if (!edge_name(v.first) || !need_word("to") || !edge_name(v.second)) return false;
      while (v.how == Unite::How::seam && (take_if(TokenKind::comma) || take_word("and")))
        if (!edge_name(v.more.emplace_back())) return false;
      return true;
    });
  } else if (word == "go") {
    take();
    good = need_word("on") && need_word("in") && need_word("rows");
    step.what = GoOnInRows{};
  } else if (word == "narrow" || word == "widen") {
    take();
    good = put<Shape>(step, [&](auto& v) { return shape(v, word == "widen"); });
  } else if (word == "spread") {
    take();
    good = put<Spread>(step, [&](auto& v) { return spread(v); });
  } else if (word == "place") {
    take();
    good = put<PlaceMarkers>(step, [&](auto& v) { return place_markers(v); });
  } else if (word == "make") {
    take();
    good = put<Buttonholes>(step, [&](auto& v) { return buttonholes(v); });
  } else if (word == "divide") {
    take();
    good = put<Divide>(step, [&](auto& v) { return divide(v); });
  } else {
    Diagnostic& added =
        diagnostics_.add(Kind::unknown_statement, here(),
                         word.empty() ? fmt::format("no step of a piece begins with {}", name_of(peek().kind))
                                      : fmt::format("no step of a piece begins with `{}`", word));
    const auto* trade = std::find_if(trade_steps.begin(), trade_steps.end(),
                                     [&](const auto& each) { return lower.starts_with(each.first); });
    if (trade != trade_steps.end())
      added.try_this(std::string(trade->second));
    else if (!added.try_nearest(here(), word, step_words, Candidates::closed))
      added.try_this(
          "steps are: cast on, work, rows, repeat, hold, resume, pick up, call, join, graft, seam, go on in "
          "rows, cord, narrow, widen, spread, place, make, divide, bind off");
    take();
    return false;
  }
  step.span = since(first);
  if (good) out.push_back(std::move(step));
  if (!good) return false;
  if (need_line_end()) return true;
  diagnostics_.last().try_this("each step stands on a line of its own");
  return false;
}

/// `on` of `cast on`, `off` of `bind off`. Without it a number or the line's end says what was meant, and to
/// cast off is to bind off (British usage).
bool Parser::second_word(std::string_view word) {
  if (take_word(word)) return true;
  const Span first = span(tokens_[at_ - 1]);
  const bool bare = (word == "on" && at(TokenKind::number)) || (word == "off" && at(TokenKind::newline));
  if (bare) {
    wrong(fmt::format("`{}`", word));
    diagnostics_.last().try_this(fmt::format("{} {}", source_.text(first), word));
    diagnostics_.last().mend({first.end, first.end, first.source}, fmt::format(" {}", word));
    return true;
  }
  if (word == "on" && at_word("off")) {
    wrong("`on`");
    diagnostics_.last().try_this("bind off").mend(first, "bind");
    return false;
  }
  return need_word(word);
}

bool Parser::cast_on(tree::CastOn& out) {
  if (at(TokenKind::name) && at_unit(1)) {
    const std::size_t first = at_;
    const std::string measure(text(take()));
    take();
    diagnostics_
        .add(Kind::bad_measure, since(first), "a cast-on is a number of stitches, but this is a length")
        .try_this(fmt::format("stitches({0}), or near({0}, 4n) for a multiple of 4", measure));
    return false;
  }
  auto stitches = expression();
  if (!stitches) return false;
  out.stitches = std::move(*stitches);
  std::vector<std::string> words{"st", "sts", "pairs", "pair", "with"};
  while (at_one_of(words)) {
    const auto word = one_of("`with`", words);
    if (!word) return false;
    if (*word == "with") {
      out.strand = name("a strand");
      if (out.strand && out.pairs && at(TokenKind::name)) out.back_strand = token_as_name();
      return out.strand.has_value();
    }
    out.pairs = *word != "st" && *word != "sts";
    words = {"with"};
  }
  return true;
}

bool Parser::layout(tree::Work& out) {
  const std::size_t first = at_;
  do {
    auto fabric = name("a fabric's name");
    if (!fabric) return false;
    tree::LayoutPart part{*fabric, {}};
    const bool ends =
        at(TokenKind::bar) || at(TokenKind::newline) || at_word("for") || at_word("with") || at_word("until");
    // A measure could be called `fro`, but then more of the layout would follow it.
    const TokenKind next = peek(1).kind;
    const bool slip = meant_word({"for", "with"}) && (next == TokenKind::number || next == TokenKind::name) &&
                      text(peek(1)) != "st" && text(peek(1)) != "for" && text(peek(1)) != "with";
    if (!ends && !slip) {
      part.width = expression();
      if (!part.width) return false;
      take_word("st");
    }
    out.layout.push_back(std::move(part));
  } while (take_if(TokenKind::bar));
  out.layout_span = since(first);
  return true;
}

bool Parser::extent(tree::Extent& out) {
  auto amount = expression();
  if (!amount) return false;
  out.amount = std::move(*amount);
  out.form = tree::Extent::Form::length;
  if (!at(TokenKind::name) || out.amount.unit) return true;
  const auto word = one_of("`rows`, `rounds` or `times`", {"rows", "row", "rounds", "round", "times"});
  if (word) out.form = *word == "times" ? tree::Extent::Form::times : tree::Extent::Form::rows;
  return word.has_value();
}

bool Parser::work(tree::Work& out) {
  if (!layout(out)) return false;
  // `work rib 10 rows`: the number is no width.
  const std::vector<std::string> extents{"rows", "row", "rounds", "round", "times"};
  if (out.layout.back().width &&
      std::any_of(extents.begin(), extents.end(), [&](const std::string& each) { return at_word(each); })) {
    out.extent.amount = std::move(*out.layout.back().width);
    out.layout.back().width.reset();
    const Span number = out.extent.amount.span;
    diagnostics_.add(Kind::expected, number, "expected `for` before this number")
        .try_this(fmt::format("for {} {}", source_.text(number), text(peek())))
        .mend({number.begin, number.begin, number.source}, "for ");
    out.extent.form = text(take()) == "times" ? tree::Extent::Form::times : tree::Extent::Form::rows;
    return true;
  }
  const bool until = at_word("until");
  if (until) {
    wrong("`for`");
    diagnostics_.last().try_this("for 10 rows, for 10 cm or for 2 times");
    return false;
  }
  const auto word = one_of("`for`", {"for", "with"});
  if (word && *word == "with") {
    out.strand = name("a strand");
    if (!out.strand || !need_word("for")) return false;
  }
  return word && extent(out.extent);
}

bool Parser::repeat(tree::Repeat& out, int depth) {
  using Form = tree::Repeat::Form;
  if (take_word("until")) {
    if (take_word("half")) {
      out.form = Form::until_half;
      if (!need_word("of")) return false;
      out.strand = name("a strand");
      if (!out.strand) return false;
    } else if (at(TokenKind::name) && peek(1).kind == TokenKind::name && text(peek(1)) == "runs") {
      out.form = Form::until_out;
      out.strand = name("a strand");
      take();
      if (!need_word("out")) return false;
    } else {
      out.form = Form::until_stitches;
      out.amount = expression();
      if (!out.amount || !need_word("st")) return false;
    }
  } else {
    out.amount = expression();
    if (!out.amount || !need_word("times")) return false;
  }
  if (too_deep(depth)) return false;
  return steps(out.steps, depth + 1);
}

bool Parser::shape(tree::Shape& out, bool widen) {
  out.widen = widen;
  auto amount = expression();
  if (!amount) return false;
  out.amount = std::move(*amount);
  take_word("st");
  if (!shape_where(out)) return false;
  while (!at_end_of_step()) {
    std::optional<tree::Expression>* part = &out.times;
    const auto word = at(TokenKind::name) && !at_word("n") ? text(peek()) : std::string_view{};
    if (word == "every") part = &out.every;
    if (word == "to") part = &out.to;
    if (word == "over") part = &out.over;
    const Span where = here();
    if (part != &out.times) take();
    if (*part && !out.twice) out.twice = where;
    if (part == &out.every) {
      if (!every_rows(*part)) return false;
      continue;
    }
    *part = expression();
    if (!*part) return false;
    if (part == &out.times && !need_word("times")) return false;
    if (part == &out.to) take_word("st");
    if (part == &out.over && (at_word("rows") || at_word("rounds"))) out.over_rows = token_as_name();
  }
  return true;
}

/// `each side`, `at the start`, `at the end`, `at 8 points`, or at markers; nothing means each side.
bool Parser::shape_where(tree::Shape& out) {
  using Where = tree::Shape::Where;
  if (take_word("each")) {
    if (!need_word("side")) return false;
    if (!take_word("of")) return true;
    out.where = Where::markers;
    return marker_name(out);
  }
  if (at_word("before") || at_word("after")) {
    out.where = text(take()) == "before" ? Where::before_markers : Where::after_markers;
    return marker_name(out);
  }
  if (!take_word("at")) return true;
  if (take_word("the")) {
    if (at_word("marker") || at_word("markers")) {
      out.where = Where::markers;
      out.both_at_once = true;
      return marker_name(out);
    }
    const auto word = one_of("`start`, `end` or `markers`", {"start", "end"});
    out.where = word && *word == "end" ? Where::end : Where::start;
    return word.has_value();
  }
  out.where = Where::points;
  out.points = expression();
  return out.points && need_word("points");
}

bool Parser::spread(tree::Spread& out) {
  auto amount = expression();
  if (!amount) return false;
  out.amount = std::move(*amount);
  const auto word = one_of("`more` or `fewer`", {"more", "fewer"});
  out.more = word && *word == "more";
  return word && need_word("over") && need_word("the") && one_of("`row`", {"row", "round"});
}

bool Parser::hold(tree::Hold& out) {
  if (!take_word("all")) {
    out.last = take_word("last");
    out.stitches = expression();
    if (!out.stitches) return false;
    take_word("st");
  }
  if (!need_word("as")) return false;
  const auto held = name("a name for the stitches held");
  if (held) out.name = *held;
  return held.has_value();
}

bool Parser::cord(tree::Cord& out) {
  auto stitches = expression();
  if (!stitches || !need_word("st") || !need_word("for")) return false;
  out.stitches = std::move(*stitches);
  return extent(out.extent);
}

bool Parser::bind_off(tree::BindOff& out) {
  if (at_end_of_step()) return true;
  if (take_word("with")) {
    take_word("a");
    if (!need_word("cord") || !need_word("of")) return false;
    out.cord = expression();
    return out.cord && need_word("st");
  }
  if (manner_of_binding_off()) return true;
  if (!at_word("as")) {
    out.stitches = expression();
    if (!out.stitches) return false;
    take_word("st");
  }
  if (take_word("as")) {
    out.name = name("a name for the edge");
    return out.name.has_value();
  }
  return true;
}

}  // namespace wale
