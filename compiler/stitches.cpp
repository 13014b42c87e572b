#include "compiler/stitches.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <set>

#include "grammar/parser.hpp"
#include "render/path.hpp"

namespace wale {

namespace {

struct TypeName {
  std::string_view word;
  LoopType type;
};
constexpr std::array type_names{TypeName{"plain", LoopType::plain}, TypeName{"veiled", LoopType::veiled},
                                TypeName{"front", LoopType::front}, TypeName{"back", LoopType::back},
                                TypeName{"any", LoopType::any}};

void replace_all(std::string& text, std::string_view from, std::string_view to) {
  for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size())
    text.replace(at, from.size(), to);
}

/// How a crossing is worked from one side. The template says where the cable needle is held; which stitches
/// go on it depends on the side: seen from the right side a right crossing holds the back strip (and the
/// middle) at the back, and from the wrong side it holds the front strip, away from the worker again.
std::string crossing_words(std::string words, const Stitch::Crossing& c, bool right_side) {
  const bool over_first = c.right == right_side;
  const auto strip = [&](int count, bool purl_on_right) {
    return fmt::format("{} {}", purl_on_right == right_side ? "purl" : "knit", count);
  };
  const std::string over = strip(c.over, false), under = strip(c.under, c.under_purl);
  std::string then;
  if (c.between > 0)
    then =
        fmt::format("return {0} to the left needle and {1}, ", c.between, strip(c.between, c.between_purl));
  then += "then " + (over_first ? under : over);
  replace_all(words, "{held}", fmt::format("{}", c.between + (over_first ? c.under : c.over)));
  replace_all(words, "{first}", over_first ? over : under);
  replace_all(words, "{then}", then);
  return words;
}

/// The lines that stand for a strip of stitches beginning at `from`: one stitch has a line along its middle,
/// a wider strip has its two edges.
std::vector<double> strip_lines(double from, int count) {
  constexpr double inset = 0.28;
  if (count == 1) return {from + 0.5};
  return {from + inset, from + count - inset};
}

/// The symbol of a crossing: the front strip's lines go through from where it lies below to where it lies
/// above; the back strip's end where they would touch the front strip. A stitch that is purled has a bar at
/// the foot of its square, and the strips stand higher, as in every symbol of a purled stitch. Drawn for a
/// right crossing and mirrored for a left one.
std::string crossing_mark(const Stitch::Crossing& c) {
  constexpr double bar = 0.2, bar_height = 0.83, least = 0.06;
  const double gap = c.over == 1 ? 0.27 : 0.17;  // A single line over another says nothing but by its gap.
  const bool purled = c.under_purl || c.between_purl;
  const double top = purled ? 0.12 : 0.14, bottom = purled ? 0.65 : 0.86;
  const double width = c.over + c.between + c.under;
  const double over_shift = width - c.over, under_shift = width - c.under;
  std::string path;
  const auto line = [&](double x1, double y1, double x2, double y2) {
    const auto x_of = [&](double x) { return c.right ? x : width - x; };
    path +=
        fmt::format("{}M{:.4g} {:.4g} L{:.4g} {:.4g}", path.empty() ? "" : " ", x_of(x1), y1, x_of(x2), y2);
  };
  const std::vector<double> front = strip_lines(0, c.over);
  for (const double foot : front) line(foot, bottom, foot + over_shift, top);
  for (const double foot : strip_lines(width - c.under, c.under)) {
    // Heights, as shares from the bottom, at which this line goes under the front strip and comes out again;
    // along the line the gap is as wide as it looks, whatever the angle.
    const double meet = over_shift + under_shift;
    const double along = gap * std::hypot(over_shift, bottom - top) / (bottom - top) / meet;
    const double under_at = (foot - front.back()) / meet - along;
    const double out_at = (foot - front.front()) / meet + along;
    const auto point = [&](double share) {
      return std::pair(foot - share * under_shift, bottom - share * (bottom - top));
    };
    if (under_at > least) line(foot, bottom, point(under_at).first, point(under_at).second);
    if (out_at < 1 - least) line(point(out_at).first, point(out_at).second, point(1).first, top);
  }
  const auto bars = [&](double from, int count) {
    for (int i = 0; i < count; ++i) line(from + i + 0.5 - bar, bar_height, from + i + 0.5 + bar, bar_height);
  };
  if (c.under_purl) bars(width - c.under, c.under);
  if (c.between_purl) bars(c.over, c.between);
  return path;
}

}  // namespace

std::string name_of(LoopType type) {
  switch (type) {
    case LoopType::plain:
      return "a plain stitch";
    case LoopType::veiled:
      return "a stitch that carries its yarn over";
    case LoopType::front:
      return "a front stitch of double knitting";
    case LoopType::back:
      return "a back stitch of double knitting";
    case LoopType::wrapped:
      return "a wrapped stitch";
    case LoopType::doubled:
      return "a double stitch";
    case LoopType::any:
      return "any stitch";
  }
  return "a stitch";
}

Stitches::Stitches(const tree::Pattern& vocabulary, Diagnostics& diagnostics) {
  for (const tree::Declaration& declaration : vocabulary.declarations)
    if (const auto* stitch = std::get_if<tree::Stitch>(&declaration.what)) add(*stitch, diagnostics);
}

namespace {

/// `takes 2`, `takes plain veiled`: fills a list of loop types.
void read_loops(const tree::Stitch::Attribute& attribute, std::vector<LoopType>& out, bool* same,
                Diagnostics& diagnostics) {
  if (attribute.number) {
    const double count = attribute.number->value;
    if (attribute.number->unit || count != static_cast<int>(count) || count < 0 || count > widest_crossing) {
      diagnostics.add(Kind::bad_stitch, attribute.number->span,
                      fmt::format("a stitch takes and gives at most {} loops", widest_crossing));
      return;
    }
    out.assign(static_cast<std::size_t>(count), LoopType::plain);
    return;
  }
  for (const tree::Name& word : attribute.words) {
    const auto* found = std::find_if(type_names.begin(), type_names.end(),
                                     [&](const TypeName& t) { return t.word == word.text; });
    if (found != type_names.end())
      out.push_back(found->type);
    else if (same && word.text == "same")
      *same = true;
    else
      diagnostics.add(Kind::bad_stitch, word.span, fmt::format("no loop is called `{}`", word.text))
          .try_this("loops are plain, veiled, front, back or any");
  }
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

/// A family of crossings says which way it leans, what its two strips are, and how it is worked.
void check_crossing(const tree::Stitch& declared, Diagnostics& diagnostics) {
  bool leans = false, says = false;
  for (const tree::Stitch::Attribute& attribute : declared.attributes) {
    const std::string& name = attribute.name.text;
    const std::string word = attribute.words.empty() ? "" : attribute.words.front().text;
    const bool strip = name == "over" || name == "under" || name == "between";
    const bool good =
        (name == "leans" && (word == "left" || word == "right")) || (name == "over" && word == "k") ||
        (strip && name != "over" && (word == "k" || word == "p")) || (name == "says" && attribute.text) ||
        (name == "uses" && attribute.number && !attribute.number->unit);
    leans |= good && name == "leans";
    says |= good && name == "says";
    if (good) continue;
    diagnostics
        .add(Kind::bad_stitch, attribute.name.span, fmt::format("a crossing's `{}` cannot be that", name))
        .try_this("over k  under k (or p)  between k (or p)  leans right (or left)  uses 1.1  says \"...\"");
  }
  if (!leans || !says)
    diagnostics
        .add(Kind::bad_stitch, declared.name.span,
             fmt::format("the crossing `{}` does not say {}", declared.name.text,
                         leans ? "how it is worked" : "which way it leans"))
        .try_this(leans ? "says \"slip {held} to a cable needle, {first}, {then} from the cable needle\""
                        : "leans right");
}

}  // namespace

namespace {

/// A row reads `k2` as a count, unless a stitch is called that; a pattern may not change what a count means.
void check_name(const Stitch& named, const Stitches& known, Diagnostics& diagnostics) {
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

}  // namespace

void Stitches::add(const tree::Stitch& declared, Diagnostics& diagnostics) {
  if (declared.crossing) {
    check_crossing(declared, diagnostics);
    families_[declared.name.text] = declared;
    return;
  }
  Stitch out;
  out.name = declared.name.text;
  out.span = declared.name.span;
  bool takes = false, gives = false;
  const std::size_t told = diagnostics.all().size();
  for (const tree::Stitch::Attribute& attribute : declared.attributes) {
    const std::string& name = attribute.name.text;
    const std::string word = attribute.words.empty() ? "" : attribute.words.front().text;
    if (name == "takes") {
      takes = true;
      read_loops(attribute, out.takes, nullptr, diagnostics);
    } else if (name == "gives") {
      gives = true;
      read_loops(attribute, out.gives, &out.passes_on, diagnostics);
    } else if (name == "leans" && (word == "right" || word == "left" || word == "centre")) {
      out.lean = word == "right" ? Lean::right : word == "left" ? Lean::left : Lean::centre;
    } else if (name == "twin" && !word.empty()) {
      out.twin_name = word;
    } else if (name == "shows" && (word == "purl" || word == "knit")) {
      out.shows_purl = word == "purl";
    } else if (name == "uses" && attribute.number && !attribute.number->unit) {
      out.uses = attribute.number->value;
    } else if (name == "says" && attribute.text) {
      out.says = attribute.text->text;
      if (out.says.find_first_not_of(' ') == std::string::npos)
        diagnostics
            .add(Kind::bad_stitch, attribute.text->span,
                 fmt::format("the key has no words for `{}`: its `says` is empty", out.name))
            .try_this("say how it is worked, such as \"knit 2 together\"");
    } else if ((name == "mark" || name == "fills") && attribute.text) {
      (name == "mark" ? out.mark : out.fills) = attribute.text->text;
      check_mark(*attribute.text, diagnostics);
    } else {
      diagnostics.add(Kind::bad_stitch, attribute.name.span, fmt::format("`{}` cannot be that", name));
    }
  }
  if (!takes || !gives)
    diagnostics
        .add(Kind::bad_stitch, declared.name.span,
             fmt::format("`{}` does not say what it {}", out.name, takes ? "gives" : "takes"))
        .try_this("takes 1 gives 1");
  if (takes && gives && out.takes.empty() && out.gives.empty() && !out.passes_on &&
      diagnostics.all().size() == told)
    diagnostics
        .add(Kind::bad_stitch, out.span,
             fmt::format("`{}` takes no loop and gives none, so nothing is worked", out.name))
        .try_this("takes 1 gives 1");
  if (out.passes_on) out.gives = out.takes;
  if (out.says.empty()) out.says = out.name;
  if (out.twin_name.empty()) out.twin_name = out.name;
  if (const auto before = by_name_.find(out.name); before != by_name_.end()) {
    const Stitch& older = table_[static_cast<std::size_t>(before->second)];
    if (older.span.source == out.span.source)
      diagnostics
          .add(Kind::duplicate_name, out.span, fmt::format("the stitch `{}` is declared twice", out.name))
          .label(older.span, "first here");
    table_[static_cast<std::size_t>(before->second)] = std::move(out);
    return;
  }
  by_name_[out.name] = static_cast<StitchId>(table_.size());
  table_.push_back(std::move(out));
}

/// In a frame stands the shortest beginning of the name, of three letters at most, that is no other's; a
/// number where there is none.
void Stitches::mark_by_letters() {
  constexpr std::size_t most = 3;
  std::set<std::string> taken;
  for (Stitch& stitch : table_) {
    if (!stitch.mark.empty() || !stitch.fills.empty() || stitch.name == "k") continue;
    std::size_t length = 1;
    while (length < most && taken.contains(stitch.name.substr(0, length))) ++length;
    stitch.letters = stitch.name.substr(0, length);
    for (int i = 1; taken.contains(stitch.letters); ++i) stitch.letters = fmt::format("{}", i);
    taken.insert(stitch.letters);
    stitch.mark = "M.12 .12 L.88 .12 L.88 .88 L.12 .88 Z";
  }
}

void Stitches::complete(Diagnostics& diagnostics) {
  mark_by_letters();
  for (Stitch& stitch : table_) {
    const auto twin = find(stitch.twin_name);
    stitch.twin = twin ? *twin : *find(stitch.name);
    if (!twin)
      diagnostics
          .add(Kind::bad_stitch, stitch.span,
               fmt::format("the twin of `{}`, `{}`, is not a stitch", stitch.name, stitch.twin_name))
          .try_this("declare it too, or name the stitch that looks the same from the other side");
  }
  constexpr std::uint32_t vocabulary = 0;  // the number of its source
  for (const Stitch& stitch : table_) {
    if (stitch.span.source != vocabulary) check_name(stitch, *this, diagnostics);
    const Stitch& other = (*this)[stitch.twin];
    // Seen from the other side the loops lie in the opposite order.
    const auto mirrors = [](LoopType one, LoopType two) { return one == from_behind(two); };
    const bool fits = std::equal(stitch.takes.begin(), stitch.takes.end(), other.takes.rbegin(),
                                 other.takes.rend(), mirrors) &&
                      std::equal(stitch.gives.begin(), stitch.gives.end(), other.gives.rbegin(),
                                 other.gives.rend(), mirrors);
    if (fits) {
      if (table_[static_cast<std::size_t>(other.twin)].name != stitch.name &&
          stitch.span.source != vocabulary)
        diagnostics
            .add(Kind::bad_stitch, stitch.span,
                 fmt::format("the twin of `{}` is `{}`, but the twin of that is `{}`", stitch.name,
                             other.name, other.twin_name))
            .note("twins look alike from the two sides of the work, so each is the other's twin")
            .try_this(fmt::format("leave out `twin {}`, or declare a stitch for the wrong side", other.name));
      continue;
    }
    // A pattern that says a stitch anew may leave the vocabulary's twin behind; the pattern's is at fault,
    // and is told when its own turn comes if the two are twins of each other.
    const bool pattern_made_other = stitch.span.source == vocabulary && other.span.source != vocabulary;
    if (pattern_made_other && other.twin_name == stitch.name) continue;
    diagnostics.add(
        Kind::bad_stitch, pattern_made_other ? other.span : stitch.span,
        fmt::format("`{}` and its twin `{}` do not take and give the same", stitch.name, other.name));
  }
}

std::optional<StitchId> Stitches::find(const std::string& name) const {
  const auto found = by_name_.find(name);
  if (found == by_name_.end()) return {};
  return found->second;
}

std::optional<Stitches::CrossingWord> Stitches::read_crossing(const std::string& word) const {
  const std::size_t letters = word.find_first_not_of("0123456789/");
  if (letters == std::string::npos || letters == 0) return {};
  const auto family = families_.find(word.substr(letters));
  if (family == families_.end()) return {};
  CrossingWord out{&family->second, {}};
  int total = 0;
  const char* at = word.data();
  const char* end = word.data() + letters;
  while (at < end) {
    int count = 0;
    const auto [next, error] = std::from_chars(at, end, count);
    if (error != std::errc() || count < 1 || count > widest_crossing) return {};
    out.counts.push_back(count);
    total += count;
    at = next + 1;
  }
  if (out.counts.size() < 2 || out.counts.size() > 3 || total > widest_crossing) return {};
  return out;
}

std::optional<StitchId> Stitches::make_crossing(const std::string& word) {
  const auto read = read_crossing(word);
  if (!read) return {};
  const auto& [family, counts] = *read;
  Stitch out;
  Stitch::Crossing crossing{counts.front(), counts.size() == 3 ? counts[1] : 0, counts.back(), true, false,
                            false};
  out.name = out.twin_name = word;
  out.span = family->name.span;
  for (const tree::Stitch::Attribute& attribute : family->attributes) {
    const std::string& name = attribute.name.text;
    const std::string value = attribute.words.empty() ? "" : attribute.words.front().text;
    if (name == "leans") crossing.right = value == "right";
    if (name == "under") crossing.under_purl = value == "p";
    if (name == "between") crossing.between_purl = value == "p";
    if (name == "uses" && attribute.number) out.uses = attribute.number->value;
    if (name == "says" && attribute.text) out.says = attribute.text->text;
  }
  const int total = crossing.over + crossing.between + crossing.under;
  // With stitches held in the middle it is these that are purled, and the two strips stay knit.
  if (crossing.between > 0) crossing.under_purl = false;
  out.lean = crossing.right ? Lean::right : Lean::left;
  out.uses *= total;  // the family says it for each of its stitches
  out.takes.assign(static_cast<std::size_t>(total), LoopType::plain);
  out.gives = out.takes;
  const std::string words = out.says;
  out.says = crossing_words(words, crossing, true);
  out.says_wrong = crossing_words(words, crossing, false);
  out.crossing = crossing;
  out.mark = crossing_mark(crossing);
  const auto id = static_cast<StitchId>(table_.size());
  out.twin = id;
  by_name_[word] = id;
  table_.push_back(std::move(out));
  return id;
}

std::optional<Word> Stitches::lookup(const std::string& word, bool* too_large) {
  if (const auto whole = find(word)) return Word{*whole, 1};
  if (const auto crossing = make_crossing(word)) return Word{*crossing, 1};
  const std::size_t digits = word.find_last_not_of("0123456789") + 1;
  if (digits == word.size() || digits == 0) return {};
  const auto stem = find(word.substr(0, digits));
  if (!stem) return {};
  long long count = 0;
  const auto [end, error] = std::from_chars(word.data() + digits, word.data() + word.size(), count);
  if (error != std::errc() || end != word.data() + word.size() || count > largest_count) {
    if (too_large) *too_large = true;
    count = largest_count;
  }
  return Word{*stem, count};
}

bool Stitches::knows(const std::string& word) const {
  if (find(word) || read_crossing(word)) return true;
  const std::size_t digits = word.find_last_not_of("0123456789") + 1;
  return digits > 0 && digits < word.size() && find(word.substr(0, digits)).has_value();
}

std::vector<std::string> Stitches::families() const {
  std::vector<std::string> out;
  for (const auto& [letters, family] : families_) out.push_back(letters);
  return out;
}

std::vector<std::string> Stitches::names() const {
  std::vector<std::string> out;
  for (const auto& [name, id] : by_name_) out.push_back(name);
  return out;
}

}  // namespace wale
