#include "compiler/stitch_sense.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "render/path.hpp"

namespace wale {

namespace {

constexpr std::uint32_t vocabulary = 0;  // the number of its source

bool blank(const std::string& text) {
  return text.find_first_not_of(" \t") == std::string::npos;
}

/// A mark is drawn in a unit square. A point may lie on its edge, not beyond it.
void check_mark(const tree::Text& text, Diagnostics& diagnostics) {
  constexpr std::string_view advice =
      "a mark is an SVG path in a square of side 1, such as \"M.2 .8 L.8 .2\"";
  constexpr double slack = 0.05;  // the controls of a curve may lie a little beyond what is drawn
  const auto parsed = render::parse_path(text.text);
  if (const auto* error = std::get_if<render::PathError>(&parsed)) {
    // The text stands between quotes; where it has escapes, the whole of it is marked.
    Span at = text.span;
    if (at.end - at.begin == text.text.size() + 2 && error->offset <= text.text.size()) {
      // What is missing at the end is missing at the closing quote.
      at.begin += 1 + static_cast<std::uint32_t>(error->offset);
      at.end = at.begin + 1;
    }
    diagnostics.add(Kind::bad_stitch, at, fmt::format("this symbol cannot be drawn: {}", error->message))
        .try_this(std::string(advice));
    return;
  }
  const auto& path = std::get<render::Path>(parsed);
  const bool draws = std::any_of(path.segments.begin(), path.segments.end(), [](const render::Segment& each) {
    return each.kind == render::Segment::Kind::line || each.kind == render::Segment::Kind::curve;
  });
  if (!draws) {
    diagnostics.add(Kind::bad_stitch, text.span, "this symbol draws nothing, so its square stays blank")
        .try_this(std::string(advice));
    return;
  }
  const render::Box box = render::bounds(path);
  if (box.x < -slack || box.y < -slack || box.right() > 1 + slack || box.bottom() > 1 + slack)
    diagnostics
        .add(Kind::bad_stitch, text.span,
             fmt::format(
                 "this symbol reaches outside its square: from {:.4g} to {:.4g} across and from {:.4g} "
                 "to {:.4g} down, where the square goes from 0 to 1",
                 box.x, box.right(), box.y, box.bottom()))
        .try_this(std::string(advice));
}

/// Rows are in lower case: a capital letter begins the name of a strand, so no row could say such a word.
void check_letters(const tree::Name& name, Diagnostics& diagnostics) {
  std::string lower = name.text;
  for (char& letter : lower)
    if (letter >= 'A' && letter <= 'Z') letter = static_cast<char>(letter - 'A' + 'a');
  if (lower == name.text) return;
  diagnostics
      .add(Kind::bad_stitch, name.span,
           fmt::format("no row can say `{}`: the words of rows are in lower case", name.text))
      .note("a capital letter begins the name of a strand")
      .try_this("`" + lower + "`");
}

/// Two takes, or two marks: which of them is meant is not ours to guess.
void check_said_once(const tree::Stitch& declared, Diagnostics& diagnostics) {
  const auto& all = declared.attributes;
  for (auto each = all.begin(); each != all.end(); ++each) {
    const auto first =
        std::find_if(all.begin(), each, [&](const auto& one) { return one.name.text == each->name.text; });
    if (first == each) continue;
    diagnostics
        .add(Kind::bad_stitch, each->name.span,
             fmt::format("`{}` says `{}` twice", declared.name.text, each->name.text))
        .label(first->name.span, "first here");
  }
}

/// Yarn for one stitch. The longest wraps of the trade use some tens of loops.
void check_uses(const tree::Stitch::Attribute& uses, Diagnostics& diagnostics) {
  constexpr double most = 100;
  if (!uses.number || uses.number->unit || (uses.number->value >= 0 && uses.number->value <= most)) return;
  diagnostics
      .add(Kind::bad_stitch, uses.number->span,
           fmt::format("a stitch uses the yarn of at most {:.4g} plain loops", most))
      .try_this("uses 1 for as much as a plain stitch, uses 2 for twice as much");
}

/// The words of a family hold places for what its sizes differ in: a place of another name would be printed
/// as it stands.
void check_places(const tree::Text& says, Diagnostics& diagnostics) {
  const std::string& words = says.text;
  for (std::size_t at = words.find_first_of("{}"); at != std::string::npos;
       at = words.find_first_of("{}", at)) {
    const std::size_t close = words[at] == '{' ? words.find_first_of("{}", at + 1) : at;
    const std::size_t end = close == std::string::npos ? words.size() : close + 1;
    const std::string place = words.substr(at, end - at);
    if (place != "{held}" && place != "{first}" && place != "{then}") {
      Span span = says.span;
      if (span.end - span.begin == words.size() + 2) {
        span.begin += 1 + static_cast<std::uint32_t>(at);
        span.end = span.begin + static_cast<std::uint32_t>(place.size());
      }
      diagnostics
          .add(Kind::bad_stitch, span, fmt::format("the words of a crossing have no place for `{}`", place))
          .try_this(
              "{held}: how many stitches go on the cable needle; {first}: how the next are worked; "
              "{then}: what follows");
      return;
    }
    at = end;
  }
}

/// A row reads `k2` as a count, unless a stitch is called that; a pattern may not change what a count means.
void check_count_name(const Stitch& named, const Stitches& known, Diagnostics& diagnostics) {
  const std::string& name = named.name;
  const std::size_t digits = name.find_last_not_of("0123456789") + 1;
  if (digits == 0 || digits == name.size()) return;
  const std::string stem = name.substr(0, digits);
  if (!known.find(stem)) return;
  diagnostics
      .add(Kind::bad_stitch, named.span,
           fmt::format("in a row `{}` is `{}` worked {} times, so no stitch can be called that", name, stem,
                       name.substr(digits)))
      .try_this("a name that does not end in a number, such as `" + stem + "tied`");
}

std::string words_of(Lean lean) {
  switch (lean) {
    case Lean::right:
      return "leans right";
    case Lean::left:
      return "leans left";
    case Lean::centre:
      return "leans to the centre";
    case Lean::none:
      return "leans nowhere";
  }
  return "leans nowhere";
}

/// Seen from the other side the loops lie in the opposite order.
bool mirrored(const std::vector<LoopType>& one, const std::vector<LoopType>& other) {
  return std::equal(one.begin(), one.end(), other.rbegin(), other.rend(),
                    [](LoopType a, LoopType b) { return a == from_behind(b); });
}

/// Twins make the same fabric, worked from its two sides. Of two that do not fit one is told: the pattern's,
/// not the vocabulary's, and of two of the pattern's the later.
void check_twin(const Stitch& stitch, const Stitches& stitches, Diagnostics& diagnostics) {
  const Stitch& other = stitches[stitch.twin];
  const bool mutual = other.twin_name == stitch.name;
  const bool own = stitch.span.source != vocabulary, others_own = other.span.source != vocabulary;
  const bool told_there = mutual && others_own && (!own || other.span.begin > stitch.span.begin);
  if (told_there) return;
  // A pattern that says a stitch anew may leave the vocabulary's twin behind; then the pattern's is at fault.
  const Stitch& at_fault = own || !others_own ? stitch : other;
  const Span marked = at_fault.twin_span.value_or(at_fault.span);
  const auto tell = [&](std::string message) -> Diagnostic& {
    Diagnostic& told = diagnostics.add(Kind::bad_stitch, marked, std::move(message));
    if (own && others_own && other.name != stitch.name)
      told.label(other.span, fmt::format("`{}` is declared here", other.name));
    return told;
  };
  if (!mirrored(stitch.takes, other.takes) || !mirrored(stitch.gives, other.gives)) {
    tell(fmt::format("`{}` and its twin `{}` do not take and give the same", stitch.name, other.name))
        .note("twins make the same fabric from its two sides, so a row of either uses as many loops");
    return;
  }
  if (!mutual) {
    if (own)
      tell(fmt::format("the twin of `{}` is `{}`, but the twin of that is `{}`", stitch.name, other.name,
                       other.twin_name))
          .note("twins look alike from the two sides of the work, so each is the other's twin")
          .try_this(fmt::format("leave out `twin {}`, or declare a stitch for the wrong side", other.name));
    return;
  }
  if (stitch.lean == other.lean) return;
  const Lean said = stitch.lean == Lean::none ? other.lean : stitch.lean;
  Diagnostic& told = tell(fmt::format("`{}` {}, and its twin `{}` {}", stitch.name, words_of(stitch.lean),
                                      other.name, words_of(other.lean)));
  told.note(
      "`leans` says what the right side shows, whichever side the stitch is worked on; there twins look "
      "alike");
  if (stitch.lean == Lean::none || other.lean == Lean::none)
    told.try_this(fmt::format("say `{}` of both", said == Lean::centre ? "leans centre" : words_of(said)));
}

}  // namespace

void check_stitch(const tree::Stitch& declared, const Stitch& read, bool sound, Diagnostics& diagnostics) {
  const std::size_t told = diagnostics.all().size();
  const auto said = [&](std::string_view name) {
    return std::any_of(declared.attributes.begin(), declared.attributes.end(),
                       [&](const auto& each) { return each.name.text == name; });
  };
  check_letters(declared.name, diagnostics);
  check_said_once(declared, diagnostics);
  for (const tree::Stitch::Attribute& attribute : declared.attributes) {
    const std::string& name = attribute.name.text;
    if (name == "uses") check_uses(attribute, diagnostics);
    if (!attribute.text) continue;
    if (name == "mark" || name == "fills") check_mark(*attribute.text, diagnostics);
    if (name == "says" && blank(attribute.text->text))
      diagnostics
          .add(Kind::bad_stitch, attribute.text->span,
               fmt::format("the key has no words for `{}`: its `says` is empty", read.name))
          .try_this("say how it is worked, such as \"knit 2 together\"");
  }
  if (!said("takes") || !said("gives")) {
    diagnostics
        .add(Kind::bad_stitch, declared.name.span,
             fmt::format("`{}` does not say what it {}", read.name, said("takes") ? "gives" : "takes"))
        .try_this("takes 1 gives 1");
    return;
  }
  // What follows is told of a stitch that is else in order: one mistake, one error.
  if (!sound || diagnostics.all().size() != told) return;
  if (read.takes.empty() && read.gives.empty() && !read.passes_on)
    diagnostics
        .add(Kind::bad_stitch, read.span,
             fmt::format("`{}` takes no loop and gives none, so nothing is worked", read.name))
        .try_this("takes 1 gives 1");
  else if (!said("says"))
    diagnostics.add(Kind::bad_stitch, read.span, fmt::format("`{}` does not say how it is worked", read.name))
        .note("who knits the pattern has only the key to go by")
        .try_this("says \"knit 2 together\", in your own words");
}

void check_crossing(const tree::Stitch& declared, Diagnostics& diagnostics) {
  bool leans = false, says = false;
  check_letters(declared.name, diagnostics);
  check_said_once(declared, diagnostics);
  for (const tree::Stitch::Attribute& attribute : declared.attributes) {
    const std::string& name = attribute.name.text;
    const std::string word = attribute.words.empty() ? "" : attribute.words.front().text;
    const bool strip = name == "over" || name == "under" || name == "between";
    const bool good =
        (name == "leans" && (word == "left" || word == "right")) || (name == "over" && word == "k") ||
        (strip && name != "over" && (word == "k" || word == "p")) || (name == "says" && attribute.text) ||
        (name == "uses" && attribute.number && !attribute.number->unit);
    leans |= name == "leans";
    says |= name == "says";
    if (!good)
      diagnostics
          .add(Kind::bad_stitch, attribute.name.span, fmt::format("a crossing's `{}` cannot be that", name))
          .try_this(
              "over k  under k (or p)  between k (or p)  leans right (or left)  uses 1.1  says \"...\"");
    else if (name == "uses")
      check_uses(attribute, diagnostics);
    else if (name == "says" && blank(attribute.text->text))
      diagnostics
          .add(Kind::bad_stitch, attribute.text->span,
               fmt::format("the key has no words for the crossing `{}`: its `says` is empty",
                           declared.name.text))
          .try_this("slip {held} to a cable needle, {first}, {then} from the cable needle");
    else if (name == "says")
      check_places(*attribute.text, diagnostics);
  }
  const std::string& name = declared.name.text;
  if (const std::size_t digits = name.find_last_not_of("0123456789") + 1; digits < name.size())
    diagnostics
        .add(Kind::bad_stitch, declared.name.span,
             fmt::format("in a row the {} of `2/2{}` is a count, so no crossing can be called that",
                         name.substr(digits), name))
        .try_this("letters alone, such as `" + name.substr(0, digits) + "`");
  if (!leans || !says)
    diagnostics
        .add(Kind::bad_stitch, declared.name.span,
             fmt::format("the crossing `{}` does not say {}", declared.name.text,
                         leans ? "how it is worked" : "which way it leans"))
        .try_this(leans ? "says \"slip {held} to a cable needle, {first}, {then} from the cable needle\""
                        : "leans right");
}

void check_among(const Stitches& stitches, Diagnostics& diagnostics) {
  for (StitchId id = 0; id < static_cast<StitchId>(stitches.size()); ++id) {
    if (stitches[id].span.source != vocabulary) check_count_name(stitches[id], stitches, diagnostics);
    check_twin(stitches[id], stitches, diagnostics);
  }
}

}  // namespace wale
