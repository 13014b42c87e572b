// Pieces: what is done from cast-on to bind-off, one step a line.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "grammar/parser_internal.hpp"

namespace wale {

namespace {

constexpr Keywords step_words{"cast",  "work", "rows",  "repeat", "hold",  "resume", "pick",
                              "join",  "cord", "bind",  "narrow", "widen", "spread", "call",
                              "graft", "seam", "place", "make",   "divide"};

/// What a printed pattern begins a line with, and how the same is written.
constexpr std::array<std::pair<std::string_view, std::string_view>, 4> trade_steps{{
    {"knit", "work garter for 4 rows, by a fabric's name, or row by row: rows { 1: <k>  2: <p> }"},
    {"purl", "work garter for 4 rows, by a fabric's name, or row by row: rows { 1: <k>  2: <p> }"},
    {"dec", "narrow 1 each side every 4 rows 3 times, or all in one row: spread 4 fewer over the row"},
    {"inc", "widen 1 each side every 4 rows 3 times, or all in one row: spread 4 more over the row"},
}};

}  // namespace

/// How many steps are likely to come before the next closing brace. A step is large, so growing by and by
/// costs more than to look; and so it is bounded, for what no step follows.
std::size_t Parser::likely_steps() const {
  constexpr std::size_t most = 8;
  std::size_t out = 0;
  for (std::size_t i = at_; out < most && tokens_[i].kind != TokenKind::right_curly; ++i) {
    if (tokens_[i].kind == TokenKind::end) break;
    out += tokens_[i].kind == TokenKind::newline && contains(step_words, tokens_[i + 1].keyword);
  }
  return out;
}

bool Parser::steps(std::vector<tree::Step>& out, int depth) {
  out.reserve(likely_steps());
  return block([&] {
    const bool good = step(out, depth);
    steps_whole_ &= good;
    return good;
  });
}

/// The step is read in its place among the others, which it keeps only if it could be read.
bool Parser::step(std::vector<tree::Step>& out, int depth) {
  const std::size_t first = at_;
  const auto begin = step_word();
  if (!begin) return false;
  tree::Step& step = out.emplace_back();
  step.head = here();
  take();
  if (!step_behind(*begin, step, depth)) {
    out.pop_back();
    return false;
  }
  step.span = since(first);
  if (need_line_end()) return true;
  diagnostics_.last().try_this("each step stands on a line of its own");
  return false;
}

/// The word here, or what it certainly stands for. Any other is reported and passed over.
std::optional<Parser::StepWord> Parser::step_word() {
  if (at_any(step_words) || at_word("go")) return StepWord{peek().keyword};
  const std::string word(at(TokenKind::name) ? text(peek()) : std::string_view());
  const auto none = [&] {
    return word.empty() ? fmt::format("no step of a piece begins with {}", name_of(peek().kind))
                        : fmt::format("no step of a piece begins with `{}`", word);
  };
  Diagnostic& added = diagnostics_.add(Kind::unknown_statement, here(), none());
  if (const auto meant = meant_word(step_words)) {
    added.try_this(std::string(meant->text())).mend(here(), std::string(meant->text()));
    return StepWord{*meant};
  }
  const std::string lower = lower_case(word);
  const bool casts = lower == "co" || lower == "caston";
  if (casts || lower == "bo" || lower == "bindoff" || lower == "castoff") {
    const std::string both = casts ? "cast on" : "bind off";
    added.try_this(both).mend(here(), both);
    return StepWord{casts ? Keyword("cast") : Keyword("bind"), true};
  }
  const auto* trade = std::find_if(trade_steps.begin(), trade_steps.end(),
                                   [&](const auto& each) { return lower.starts_with(each.first); });
  if (trade != trade_steps.end())
    added.try_this(std::string(trade->second));
  else if (!added.try_nearest(here(), word, texts_of(step_words), Candidates::closed))
    added.try_this(
        "steps are: cast on, work, rows, repeat, hold, resume, pick up, call, join, graft, seam, go on in "
        "rows, cord, narrow, widen, spread, place, make, divide, bind off");
  take();
  return {};
}

/// What follows the word that begins the step.
bool Parser::step_behind(const StepWord& begin, tree::Step& step, int depth) {
  const Keyword word = begin.word;
  auto& what = step.what;
  const auto second = [&](Keyword expected) {
    if (begin.both) return true;
    step.head = join(step.head, here());
    return second_word(expected);
  };
  using namespace tree;
  if (word == "cast") return second("on") && cast_on(what.emplace<CastOn>());
  if (word == "bind") return second("off") && bind_off(what.emplace<BindOff>());
  if (word == "pick") return second("up") && pick_up(what.emplace<PickUp>());
  if (word == "work") return work(what.emplace<Work>());
  if (word == "rows") {
    const Span open = here();
    auto& made = what.emplace<WorkRows>();
    return need(TokenKind::left_curly) && rows(made.rows, made.pictures, open);
  }
  if (word == "repeat") return repeat(what.emplace<Repeat>(), depth);
  if (word == "hold") return hold(what.emplace<Hold>());
  if (word == "cord") return cord(what.emplace<Cord>());
  if (word == "resume") return name("the name under which stitches were held", what.emplace<Resume>().name);
  if (word == "join" && take_word("in")) {
    what.emplace<JoinRound>();
    return need_word("the") && need_word("round");
  }
  if (word == "join") return join_step(step);
  if (word == "call") return call_edge(what.emplace<CallEdge>());
  if (word == "graft" || word == "seam")
    return unite(what.emplace<Unite>(), word == "graft" ? Unite::How::graft : Unite::How::seam);
  if (word == "go") {
    what.emplace<GoOnInRows>();
    return need_word("on") && need_word("in") && need_word("rows");
  }
  if (word == "narrow" || word == "widen") return shape(*what.emplace<Boxed<Shape>>(), word == "widen");
  if (word == "spread") return spread(what.emplace<Spread>());
  if (word == "place") return place_markers(what.emplace<PlaceMarkers>());
  if (word == "make") return buttonholes(*what.emplace<Boxed<Buttonholes>>());
  return divide(*what.emplace<Boxed<Divide>>());
}

/// `on` of `cast on`, `off` of `bind off`. Without it a number or the line's end says what was meant, and to
/// cast off is to bind off (British usage).
bool Parser::second_word(Keyword word) {
  if (take_word(word)) return true;
  const Span first = span(tokens_[at_ - 1]);
  const bool bare = (word == "on" && at(TokenKind::number)) || (word == "off" && at(TokenKind::newline));
  if (bare) {
    wrong(fmt::format("`{}`", word.text()));
    diagnostics_.last().try_this(fmt::format("{} {}", source_.text(first), word.text()));
    diagnostics_.last().mend({first.end, first.end, first.source}, fmt::format(" {}", word.text()));
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
  if (!expression(out.stitches)) return false;
  static constexpr Keywords words{"st", "sts", "pairs", "pair", "with"};
  if (!at_one_of(words)) return true;
  auto word = one_of("`with`", words);
  if (word && *word != "with") {
    out.pairs = *word != "st" && *word != "sts";
    if (!at_one_of({"with"})) return true;
    word = one_of("`with`", {"with"});
  }
  if (!word) return false;
  out.strand = name("a strand");
  if (out.strand && out.pairs && at(TokenKind::name)) take_as_name(out.back_strand.emplace());
  return out.strand.has_value();
}

bool Parser::layout(tree::Work& out) {
  const std::size_t first = at_;
  do {
    tree::LayoutPart& part = out.layout.emplace_back();
    if (!name("a fabric's name", part.fabric)) return false;
    const bool ends =
        at(TokenKind::bar) || at(TokenKind::newline) || at_word("for") || at_word("with") || at_word("until");
    // A measure could be called `fro`, but then more of the layout would follow it.
    const TokenKind next = peek(1).kind;
    const auto slip = [&] {
      return (next == TokenKind::number || next == TokenKind::name) && !at_word("st", 1) &&
             !at_word("for", 1) && !at_word("with", 1) && meant_word({"for", "with"});
    };
    if (!ends && !slip()) {
      part.width = expression();
      if (!part.width) return false;
      take_word("st");
    }
  } while (take_if(TokenKind::bar));
  out.layout_span = since(first);
  return true;
}

bool Parser::extent(tree::Extent& out) {
  if (!expression(out.amount)) return false;
  out.form = tree::Extent::Form::length;
  if (!at(TokenKind::name) || out.amount.unit) return true;
  const auto word = one_of("`rows`, `rounds` or `times`", {"rows", "row", "rounds", "round", "times"});
  if (word) out.form = *word == "times" ? tree::Extent::Form::times : tree::Extent::Form::rows;
  return word.has_value();
}

bool Parser::work(tree::Work& out) {
  if (!layout(out)) return false;
  // `work rib 10 rows`: the number is no width.
  if (out.layout.back().width && at_any({"rows", "row", "rounds", "round", "times"})) {
    out.extent.amount = std::move(*out.layout.back().width);
    out.layout.back().width.reset();
    const Span number = out.extent.amount.span;
    diagnostics_.add(Kind::expected, number, "expected `for` before this number")
        .try_this(fmt::format("for {} {}", source_.text(number), text(peek())))
        .mend({number.begin, number.begin, number.source}, "for ");
    out.extent.form = take().keyword == "times" ? tree::Extent::Form::times : tree::Extent::Form::rows;
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
    } else if (at(TokenKind::name) && at_word("runs", 1)) {
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
  if (!expression(out.amount)) return false;
  take_word("st");
  if (!shape_where(out)) return false;
  while (!at_end_of_step()) {
    std::optional<tree::Expression>* part = &out.times;
    const Keyword word = peek().keyword;
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
    if (part == &out.over && (at_word("rows") || at_word("rounds"))) take_as_name(out.over_rows.emplace());
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
    out.where = take().keyword == "before" ? Where::before_markers : Where::after_markers;
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
  if (!expression(out.amount)) return false;
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
  return name("a name for the stitches held", out.name);
}

bool Parser::cord(tree::Cord& out) {
  if (!expression(out.stitches) || !need_word("st") || !need_word("for")) return false;
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
