// Declarations: what stands at the left margin of a pattern.

#include <fmt/format.h>

#include "grammar/parser_internal.hpp"

namespace wale {

namespace {

constexpr Keywords statement_words{"pattern", "by",       "yarn",   "strand", "gauge",  "written",
                                   "sizes",   "measure",  "stash",  "swatch", "season", "use",
                                   "stitch",  "crossing", "fabric", "piece"};

/// What a yarn is like, as far as it bears on the fabrics that it suits.
constexpr Keywords yarn_words{"haloed", "drapey", "plied", "single", "slippery", "superwash"};
constexpr Keywords ball_words{"balls", "ball", "skeins", "skein"};

}  // namespace

bool Parser::begins_declaration(Keyword word) {
  return contains(statement_words, word);
}

tree::Pattern Parser::pattern() {
  tree::Pattern out;
  constexpr std::size_t usual = 16;
  out.declarations.reserve(usual);
  while (skip_newlines(), !at(TokenKind::end)) {
    if (declaration(out)) continue;
    out.whole = false;
    skip_line();
    // A brace that closes nothing would stop every recovery.
    while (at(TokenKind::right_curly)) {
      take();
    }
  }
  out.span = {0, static_cast<std::uint32_t>(source_.text().size()), source_.number()};
  return out;
}

namespace {

/// Where a declaration of one line is left half written, how such a one is written.
void show_form(Keyword word, Diagnostic& said) {
  struct Form {
    Keyword begins;
    std::string_view form;
  };
  constexpr Form forms[] = {
      {"pattern", "pattern \"Fog Scarf\""},
      {"by", "by \"Skerry Row\""},
      {"yarn", "yarn kelp \"Skerry Worsted, Kelp\" 100 g = 200 m"},
      {"strand", "strand A = kelp"},
      {"gauge", "gauge 22 st x 30 rows = 10 cm"},
      {"written", "written for 75 m / 50 g"},
      {"sizes", "sizes S M L"},
      {"measure", "measure width = 20 cm"},
      {"use", "use \"locker.wale\""},
  };
  if (said.kind != Kind::expected || !said.help.empty()) return;
  for (const auto& [begins, form] : forms)
    if (word == begins) said.try_this(std::string(form));
}

}  // namespace

/// The declaration is read in its place among the others, which it keeps only if it could be read.
bool Parser::declaration(tree::Pattern& pattern) {
  const std::size_t first = at_;
  const auto word = statement_word();
  if (!word) return false;
  take();
  tree::Declaration& out = pattern.declarations.emplace_back();
  const std::size_t before = diagnostics_.all().size();
  if (!behind(*word, out)) {
    if (diagnostics_.all().size() > before) show_form(*word, diagnostics_.last());
    pattern.declarations.pop_back();
    return false;
  }
  out.span = since(first);
  if (need_line_end()) return true;
  diagnostics_.last().try_this("each declaration stands on a line of its own");
  return false;
}

/// The word here, or what it certainly stands for. Any other is reported and passed over.
std::optional<Keyword> Parser::statement_word() {
  if (at_any(statement_words)) return peek().keyword;
  const std::string word(at(TokenKind::name) ? text(peek()) : std::string_view());
  Diagnostic& added =
      diagnostics_.add(Kind::unknown_statement, here(),
                       word.empty() ? fmt::format("no statement begins with {}", name_of(peek().kind))
                                    : fmt::format("no statement begins with `{}`", word));
  if (const auto meant = meant_word(statement_words)) {
    added.try_this(std::string(meant->text())).mend(here(), std::string(meant->text()));
    return meant;
  }
  if (diagnostics_.full() || !added.try_nearest(here(), word, texts_of(statement_words), Candidates::closed))
    added.try_this(
        "statements are: pattern, by, yarn, strand, gauge, written for, sizes, measure, stash, swatch, "
        "season, use, stitch, crossing, fabric, piece");
  if (!at(TokenKind::right_curly)) take();
  return {};
}

/// What follows the word that begins the declaration.
bool Parser::behind(Keyword word, tree::Declaration& out) {
  auto& what = out.what;
  using namespace tree;
  if (word == "pattern") return title(what.emplace<Title>());
  if (word == "by") return by(what.emplace<By>());
  if (word == "yarn") return yarn(what.emplace<Yarn>());
  if (word == "strand") return strand(what.emplace<Strand>());
  if (word == "gauge") return gauge(what.emplace<Gauge>());
  if (word == "written") return written_for(what.emplace<WrittenFor>());
  if (word == "sizes") return sizes(what.emplace<Sizes>());
  if (word == "measure") return measure(what.emplace<Measure>());
  if (word == "stash") return stash(what.emplace<Stash>());
  if (word == "swatch") return swatch(*what.emplace<Boxed<Swatch>>());
  if (word == "season") return season(what.emplace<Season>());
  if (word == "use") return use(what.emplace<Use>());
  if (word == "fabric") return fabric(what.emplace<Fabric>());
  if (word == "piece") return piece(what.emplace<Piece>());
  auto& defined = what.emplace<Stitch>();
  defined.crossing = word == "crossing";
  return stitch(defined);
}

bool Parser::title(tree::Title& out) {
  return string("the pattern's title in quotes", out.text);
}

bool Parser::by(tree::By& out) {
  return string("a name in quotes", out.text);
}

bool Parser::yarn(tree::Yarn& out) {
  if (!name("the yarn's short name", out.name)) return false;
  if (!string("the yarn's full name in quotes", out.label)) return false;
  if (!expression(out.mass) || !need(TokenKind::equals) || !expression(out.length)) return false;
  if (at(TokenKind::colour)) take_as_name(out.colour.emplace());
  while (at_one_of(yarn_words)) {
    const Span where = here();
    const auto word = one_of("what the yarn is like", yarn_words);
    if (!word) return false;
    out.words.push_back({std::string(word->text()), where});
  }
  return true;
}

bool Parser::strand(tree::Strand& out) {
  if (!name("the strand's name", out.name) || !need(TokenKind::equals)) return false;
  do {
    if (!name("a yarn's name", out.ends.emplace_back())) return false;
  } while (take_if(TokenKind::plus));
  if (!take_word("written")) return true;
  out.written_for.emplace();
  return written_for(*out.written_for);
}

bool Parser::gauge(tree::Gauge& out) {
  if (!expression(out.stitches)) return false;
  out.pairs = take_word("pairs");
  if ((!out.pairs && !need_word("st")) || !need_word("x")) return false;
  if (!expression(out.rows)) return false;
  if (!one_of("`rows`", {"rows", "rounds"})) return false;
  if (!need(TokenKind::equals) || !expression(out.over)) return false;
  while (take_if(TokenKind::comma)) {
    const auto word = one_of("`needle` or `in`", {"needle", "in"});
    if (!word) return false;
    if (*word == "needle") {
      out.needle = expression();
      if (!out.needle) return false;
      decimal_comma(*out.needle);
    } else {
      out.fabric = name("a fabric's name");
      if (!out.fabric) return false;
    }
  }
  return true;
}

/// `needle 4,5 mm`: behind a needle's size a comma comes before a word, never before a digit that it touches.
void Parser::decimal_comma(tree::Expression& whole) {
  if (whole.form != tree::Expression::Form::number || whole.unit || !at(TokenKind::comma)) return;
  if (whole.span.end != peek().begin || !touches() || peek(1).kind != TokenKind::number) return;
  diagnostics_.add(Kind::expected, here(), "parts of a unit stand behind a point, not a comma")
      .try_this(fmt::format("{}.{}", source_.text(whole.span), text(peek(1))))
      .mend(here(), ".");
  take();
  whole.value += std::strtod(fmt::format("0.{}", text(peek())).c_str(), nullptr);
  whole.span = join(whole.span, span(take()));
  unit(whole);
}

bool Parser::written_for(tree::WrittenFor& out) {
  if (!need_word("for")) return false;
  auto length = expression();  // 75 m / 50 g reads as a division
  if (!length) return false;
  if (length->form != tree::Expression::Form::binary || length->word != "/")
    return wrong("a length and a weight: 75 m / 50 g");
  out.mass = std::move(length->operands[1]);
  out.length = std::move(length->operands[0]);
  return true;
}

/// `M`, `2X`: a name, a number, or both touching each other.
std::optional<tree::Name> Parser::size_name() {
  if (!at(TokenKind::name) && !at(TokenKind::number)) return {};
  const Token first = take();
  Span where = span(first);
  if (first.kind == TokenKind::number && at(TokenKind::name) && first.end == peek().begin)
    where = join(where, span(take()));
  return tree::Name{std::string(source_.text(where)), where};
}

bool Parser::sizes(tree::Sizes& out) {
  while (auto name = size_name()) out.names.push_back(std::move(*name));
  return !out.names.empty() || wrong("the names of the sizes, smallest first");
}

bool Parser::measure(tree::Measure& out) {
  return name("the measure's name", out.name) && need(TokenKind::equals) && expression(out.value);
}

bool Parser::stash(tree::Stash& out) {
  return block([&] {
    const auto yarn = name("a yarn's name");
    if (!yarn) return false;
    auto amount = expression();
    if (!amount) return false;
    tree::Stash::Lot lot{*yarn, std::move(*amount), false, {}};
    lot.balls = at_any(ball_words);
    if (lot.balls) take();
    if (take_word("lot")) {
      lot.lot = string("the dye lot in quotes");
      if (!lot.lot) return false;
    }
    out.lots.push_back(std::move(lot));
    return true;
  });
}

bool Parser::swatch(tree::Swatch& out) {
  if (!name("the fabric that was swatched", out.fabric)) return false;
  if (take_word("with") && !(out.strand = name("a strand's name"))) return false;
  // `2.5 x 3 cm`: one unit for both, where the first has none.
  const auto two = [&](std::vector<tree::Expression>& sides, const auto& between) {
    auto first = expression();
    if (!first || !between() || !need_word("x")) return false;
    auto second = expression();
    if (!second) return false;
    if (!first->unit) first->unit = second->unit;
    sides = {std::move(*first), std::move(*second)};
    return true;
  };
  const auto measured = [&](std::vector<tree::Expression>& sides) {
    return two(sides, [] { return true; }) && need_line_end();
  };
  const auto line = [&] {
    const auto word = one_of("`made`, `edges`, `before` or `after`", {"made", "edges", "before", "after"});
    if (!word) return false;
    if (*word == "before") return measured(out.before);
    if (*word == "after") return measured(out.after);
    if (*word == "made") return swatch_made(out);
    return two(out.edges, [&] { return need_word("st"); }) &&
           one_of("`rows`", {"rows", "rounds"}).has_value() && need_line_end();
  };
  return block([&] {
    const bool read = line();
    out.whole &= read;
    return read;
  });
}

bool Parser::swatch_made(tree::Swatch& out) {
  if (!(out.stitches = expression())) return false;
  out.pairs = take_word("pairs");
  if ((!out.pairs && !need_word("st")) || !need_word("x")) return false;
  if (!(out.rows = expression())) return false;
  if (!one_of("`rows`", {"rows", "rounds"})) return false;
  while (take_if(TokenKind::comma)) {
    const bool needle = take_word("needle");
    auto value = expression();
    if (!value) return false;
    (needle ? out.needle : out.mass) = std::move(*value);
  }
  return need_line_end();
}

bool Parser::use(tree::Use& out) {
  return string("a file's name in quotes", out.file);
}

bool Parser::stitch(tree::Stitch& out) {
  if (!name("the stitch's name", out.name)) return false;
  return block([&] {
    auto attribute = name("an attribute, such as `takes` or `says`");
    if (!attribute) return false;
    static const std::vector<std::string> known{"takes", "gives", "leans", "twin", "says",  "mark",
                                                "fills", "shows", "uses",  "over", "under", "between"};
    if (std::find(known.begin(), known.end(), attribute->text) == known.end()) {
      Diagnostic& added = diagnostics_.add(Kind::bad_stitch, attribute->span,
                                           fmt::format("a stitch has no `{}`", attribute->text));
      added.try_nearest(attribute->span, attribute->text, known, Candidates::closed);
      const auto meant = certain_name(attribute->text, known, Candidates::closed);
      if (!meant) return false;
      attribute->text = *meant;
    }
    tree::Stitch::Attribute next{*attribute, {}, {}, {}};
    if (at(TokenKind::string))
      next.text = string("a text");
    else if (at(TokenKind::number))
      factor(next.number.emplace(), 0);
    else if (attribute->text == "takes" || attribute->text == "gives")
      // Behind a loop stands no number and no text: a word before them is an attribute, if a misspelt one.
      while (at(TokenKind::name) && std::find(known.begin(), known.end(), text(peek())) == known.end() &&
             peek(1).kind != TokenKind::number && peek(1).kind != TokenKind::string)
        take_as_name(next.words.emplace_back());
    else if (at(TokenKind::name))
      take_as_name(next.words.emplace_back());
    if (!next.text && !next.number && next.words.empty())
      return wrong(fmt::format("what the stitch {}", attribute->text));
    out.attributes.push_back(std::move(next));
    return true;
  });
}

bool Parser::form(tree::Form& out, Span& where) {
  where = here();
  const auto word = one_of("`flat` or `round`", {"flat", "round"});
  if (word) out = *word == "flat" ? tree::Form::flat : tree::Form::round;
  return word.has_value();
}

bool Parser::width(tree::Width& out) {
  const std::size_t first = at_;
  bool any = false, negative = false;
  do {
    if (any) negative = text(take()) == "-";
    if (at_word("n")) {
      take();
      out.per_n += negative ? -1 : 1;
    } else {
      const auto number = count("the fabric's width, such as 12 st or 4n + 2 st");
      if (!number) return false;
      const Token& before = tokens_[at_ - 1];
      if ((at_word("n") || at_word("N")) && before.end == peek().begin) {
        one_of("`n`", {"n"});
        out.per_n += negative ? -number->value : number->value;
      } else {
        out.base += negative ? -number->value : number->value;
      }
    }
    any = true;
  } while (at(TokenKind::plus) || at(TokenKind::minus));
  out.span = since(first);
  return need_word("st");
}

bool Parser::fabric(tree::Fabric& out) {
  if (!name("the fabric's name", out.name)) return false;
  if (!form(out.form, out.form_span) || !width(out.width)) return false;
  if (at_one_of({"x"})) {
    need_word("x");
    out.height = count("the fabric's height in rows");
    if (!out.height) return false;
    if (!one_of("`rows`", {"rows", "rounds", "row"})) return false;
  }
  const Span open = here();
  if (!need(TokenKind::left_curly)) return false;
  return rows(out.rows, out.pictures, open);
}

/// `twice`, `3 times`.
bool Parser::copies(tree::Piece& out) {
  if (at_word("twice")) {
    out.copies = tree::Count{2, here()};
    take();
    return true;
  }
  if (!at(TokenKind::number)) return true;
  out.copies = count("how many of them are made");
  return out.copies && need_word("times");
}

bool Parser::piece(tree::Piece& out) {
  if (!name("the piece's name", out.name)) return false;
  Span where;
  steps_whole_ = true;
  const bool good = form(out.form, where) && copies(out) && steps(out.steps, 0);
  out.whole = good && steps_whole_;
  return good;
}

}  // namespace wale
