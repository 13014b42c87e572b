#include "compiler/stitches.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <set>

#include "compiler/check.hpp"
#include "compiler/stitch_sense.hpp"
#include "grammar/parser.hpp"

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

/// As it was read, for patterns that add to it, and complete, for those that do not.
struct Stitches::Vocabulary {
  Table as_read, complete;
};

const Stitches::Vocabulary& Stitches::vocabulary() {
  static const Vocabulary out = [] {
    Diagnostics quiet;
    Stitches stitches(parse(vocabulary_source(), quiet), quiet);
    Vocabulary made;
    made.as_read = stitches.own_;
    stitches.complete(quiet);
    made.complete = std::move(stitches.own_);
    return made;
  }();
  return out;
}

Stitches::Stitches() : shared_(&vocabulary().complete), shared_count_(shared_->stitches.size()) {}

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

/// What the attributes say, as far as they can be read.
Stitch read_stitch(const tree::Stitch& declared, Diagnostics& diagnostics) {
  Stitch out;
  out.name = declared.name.text;
  out.span = declared.name.span;
  for (const tree::Stitch::Attribute& attribute : declared.attributes) {
    const std::string& name = attribute.name.text;
    const std::string word = attribute.words.empty() ? "" : attribute.words.front().text;
    if (name == "takes") {
      read_loops(attribute, out.takes, nullptr, diagnostics);
    } else if (name == "gives") {
      read_loops(attribute, out.gives, &out.passes_on, diagnostics);
    } else if (name == "leans" && (word == "right" || word == "left" || word == "centre")) {
      out.lean = word == "right" ? Lean::right : word == "left" ? Lean::left : Lean::centre;
    } else if (name == "twin" && !word.empty()) {
      out.twin_name = word;
      out.twin_span = attribute.words.front().span;
    } else if (name == "shows" && (word == "purl" || word == "knit")) {
      out.shows_purl = word == "purl";
    } else if (name == "uses" && attribute.number && !attribute.number->unit) {
      out.uses = attribute.number->value;
    } else if (name == "says" && attribute.text) {
      out.says = attribute.text->text;
    } else if ((name == "mark" || name == "fills") && attribute.text) {
      (name == "mark" ? out.mark : out.fills) = attribute.text->text;
    } else {
      diagnostics.add(Kind::bad_stitch, attribute.name.span, fmt::format("`{}` cannot be that", name));
    }
  }
  return out;
}

}  // namespace

void Stitches::add(const tree::Stitch& declared, Diagnostics& diagnostics) {
  if (shared_) {
    own_ = vocabulary().as_read;
    shared_ = nullptr;
    shared_count_ = 0;
  }
  if (declared.crossing) {
    check_crossing(declared, diagnostics);
    const auto [family, fresh] = own_.families.try_emplace(declared.name.text, declared);
    if (!fresh && family->second.name.span.source == declared.name.span.source)
      diagnostics
          .add(Kind::duplicate_name, declared.name.span,
               fmt::format("the crossing `{}` is declared twice", declared.name.text))
          .label(family->second.name.span, "first here");
    family->second = declared;
    return;
  }
  const std::size_t told = diagnostics.all().size();
  Stitch out = read_stitch(declared, diagnostics);
  check_stitch(declared, out, diagnostics.all().size() == told, diagnostics);
  if (out.passes_on) out.gives = out.takes;
  if (out.says.empty()) out.says = out.name;
  if (out.twin_name.empty()) out.twin_name = out.name;
  if (const auto before = own_.by_name.find(out.name); before != own_.by_name.end()) {
    const Stitch& older = own_.stitches[static_cast<std::size_t>(before->second)];
    if (older.span.source == out.span.source)
      diagnostics
          .add(Kind::duplicate_name, out.span, fmt::format("the stitch `{}` is declared twice", out.name))
          .label(older.span, "first here");
    own_.stitches[static_cast<std::size_t>(before->second)] = std::move(out);
    return;
  }
  own_.by_name[out.name] = static_cast<StitchId>(own_.stitches.size());
  own_.stitches.push_back(std::move(out));
}

/// In a frame stands the shortest beginning of the name, of three letters at most, that is no other's; a
/// number where there is none.
void Stitches::mark_by_letters() {
  constexpr std::size_t most = 3;
  std::set<std::string> taken;
  for (Stitch& stitch : own_.stitches) {
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
  if (shared_) return;
  mark_by_letters();
  const auto all_plain = [](const std::vector<LoopType>& loops) {
    return std::all_of(loops.begin(), loops.end(), [](LoopType type) { return type == LoopType::plain; });
  };
  for (Stitch& stitch : own_.stitches) {
    stitch.plain =
        all_plain(stitch.takes) && all_plain(stitch.gives) && !stitch.passes_on && !stitch.crossing;
    const auto twin = find(stitch.twin_name);
    stitch.twin = twin ? *twin : *find(stitch.name);
    if (twin) continue;
    diagnostics
        .add(Kind::bad_stitch, stitch.twin_span.value_or(stitch.span),
             fmt::format("the twin of `{}`, `{}`, is not a stitch", stitch.name, stitch.twin_name))
        .try_this("declare it too, or name the stitch that looks the same from the other side");
    stitch.twin_name = stitch.name;
  }
  check_among(*this, diagnostics);
}

std::optional<StitchId> Stitches::find(std::string_view name) const {
  if (shared_)
    if (const auto found = shared_->by_name.find(name); found != shared_->by_name.end()) return found->second;
  if (own_.by_name.empty()) return {};
  const auto found = own_.by_name.find(name);
  if (found == own_.by_name.end()) return {};
  return found->second;
}

const tree::Stitch* Stitches::family(const std::string& letters) const {
  const auto& families = shared_ ? shared_->families : own_.families;
  const auto found = families.find(letters);
  return found == families.end() ? nullptr : &found->second;
}

std::optional<Stitches::CrossingWord> Stitches::read_crossing(const std::string& word) const {
  const std::size_t letters = word.find_first_not_of("0123456789/");
  if (letters == std::string::npos || letters == 0) return {};
  const tree::Stitch* of = family(word.substr(letters));
  if (!of) return {};
  CrossingWord out{of, {}};
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
  const auto id = static_cast<StitchId>(size());
  out.twin = id;
  own_.by_name[word] = id;
  own_.stitches.push_back(std::move(out));
  return id;
}

std::optional<Word> Stitches::lookup(const std::string& word, bool* too_large) {
  if (const auto whole = find(word)) return Word{*whole, 1};
  if (const auto crossing = make_crossing(word)) return Word{*crossing, 1};
  const std::size_t digits = word.find_last_not_of("0123456789") + 1;
  if (digits == word.size() || digits == 0) return {};
  auto stem = find(std::string_view(word).substr(0, digits));
  if (!stem) stem = make_crossing(word.substr(0, digits));
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
  const std::string stem = word.substr(0, digits);
  return digits > 0 && digits < word.size() && (find(stem) || read_crossing(stem));
}

std::vector<std::string> Stitches::families() const {
  std::vector<std::string> out;
  for (const auto& [letters, family] : shared_ ? shared_->families : own_.families) out.push_back(letters);
  return out;
}

std::vector<std::string> Stitches::names() const {
  std::vector<std::string> out;
  if (shared_)
    for (const auto& [name, id] : shared_->by_name) out.push_back(name);
  for (const auto& [name, id] : own_.by_name) out.push_back(name);
  std::sort(out.begin(), out.end());
  return out;
}

}  // namespace wale
