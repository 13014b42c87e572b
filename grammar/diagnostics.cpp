#include "grammar/diagnostics.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "grammar/visible.hpp"

namespace wale {

namespace {

constexpr std::array registry{
#define WALE_KIND(name, slug, severity, summary) KindFacts{slug, Severity::severity, summary},
#include "grammar/diagnostic_kinds.def"
#undef WALE_KIND
};

std::string_view severity_word(Severity severity) {
  switch (severity) {
    case Severity::note:
      return "note";
    case Severity::warning:
      return "warning";
    case Severity::error:
      return "error";
  }
  return "error";
}

/// Longest stretch of a source line that is quoted; a longer line is cut around the marked place.
constexpr std::size_t widest_quote = 100;

/// What a terminal would obey (see `visible`), as one sign each so that columns agree; a tab is a space.
std::string printable(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    const auto byte = static_cast<unsigned char>(text[i]);
    std::size_t end = i + 1;
    while (byte >= 0x80 && end < text.size() && (text[end] & 0xC0) == 0x80) ++end;
    const std::string_view character = text.substr(i, end - i);
    if (byte < 0x20 || byte == 0x7F)
      out += ' ';
    else
      out += byte < 0x80 || visible(character) == character ? character : "\uFFFD";
    i = end;
  }
  return out;
}

std::size_t character_start(std::string_view text, std::size_t byte) {
  while (byte > 0 && byte < text.size() && (text[byte] & 0xC0) == 0x80) --byte;
  return byte;
}

/// The source line with marks under the span: two lines, each indented by the width of the line number.
std::string quote(const Source& source, Span span, std::string_view words, char mark) {
  const std::string_view line = source.line(span.begin);
  const std::size_t start = source.line_start(span.begin);
  const std::size_t from = std::min<std::size_t>(span.begin - start, line.size());
  const std::size_t to = std::clamp<std::size_t>(span.end - start, from, line.size());

  std::size_t cut = 0, cut_end = line.size();
  if (line.size() > widest_quote) {
    cut = character_start(line, from > 30 ? from - 30 : 0);
    cut_end = character_start(line, std::min(line.size(), cut + widest_quote));
  }
  const std::string before = printable(line.substr(cut, from - cut));
  const std::size_t marks = std::max<std::size_t>(
      1, count_characters(line.substr(from, std::min(to, cut_end) - std::min(from, cut_end))));
  return fmt::format("{:>6} | {}{}{}\n{:>6} | {}{}{}{}{}\n", source.place(span.begin).line,
                     cut > 0 ? "..." : "", printable(line.substr(cut, cut_end - cut)),
                     cut_end < line.size() ? "..." : "", "", cut > 0 ? "   " : "",
                     std::string(count_characters(before), ' '), std::string(marks, mark),
                     words.empty() ? "" : " ", visible(words));
}

const Source* find_source(const Sources& sources, Span span) {
  return span.source < sources.size() ? &sources[span.source] : nullptr;
}

}  // namespace

const KindFacts& facts(Kind kind) {
  return registry[static_cast<std::size_t>(kind)];
}

const std::vector<Kind>& all_kinds() {
  static const std::vector<Kind> kinds = [] {
    std::vector<Kind> all;
    for (std::size_t i = 0; i < registry.size(); ++i) all.push_back(static_cast<Kind>(i));
    return all;
  }();
  return kinds;
}

std::string_view group_of(Kind kind) {
  static const std::vector<std::string_view> groups = [] {
    std::vector<std::string_view> all;
    std::string_view group;
#define WALE_GROUP(title) group = title;
#define WALE_KIND(name, slug, severity, summary) all.push_back(group);
#include "grammar/diagnostic_kinds.def"
#undef WALE_KIND
    return all;
  }();
  return groups[static_cast<std::size_t>(kind)];
}

std::optional<Kind> find_kind(std::string_view slug) {
  for (const Kind kind : all_kinds())
    if (facts(kind).slug == slug) return kind;
  return {};
}

bool Diagnostic::try_nearest(Span where, std::string_view word, const std::vector<std::string>& candidates,
                             Candidates what) {
  // Among thousands of names near ones are no help, and looking for them takes seconds.
  constexpr std::size_t most_candidates = 1000;
  if (candidates.size() > most_candidates) return false;
  if (const auto certain = certain_name(word, candidates, what)) {
    try_this(*certain).mend(where, *certain);
    return true;
  }
  const std::vector<std::string> near = nearest_names(word, candidates);
  if (near.empty()) return false;
  try_this(fmt::format("{}", fmt::join(near, " or ")));
  return true;
}

Diagnostic& Diagnostics::add(Kind kind, Span span, std::string message) {
  if (facts(kind).severity == Severity::error) ++errors_;
  if (facts(kind).severity == Severity::warning) ++warnings_;
  if (kept_.size() < most) return kept_.emplace_back(kind, span, std::move(message));
  ++dropped_;
  return overflow_.emplace(kind, span, std::move(message));
}

void Diagnostics::withdraw(Kind kind, Span within) {
  const std::size_t kept = kept_.size();
  std::erase_if(kept_, [&](const Diagnostic& each) {
    return each.kind == kind && each.span.source == within.source && each.span.begin >= within.begin &&
           each.span.end <= within.end;
  });
  if (facts(kind).severity == Severity::error) errors_ -= kept - kept_.size();
  if (facts(kind).severity == Severity::warning) warnings_ -= kept - kept_.size();
}

void Diagnostics::append(const Diagnostics& others) {
  for (const Diagnostic& each : others.kept_) {
    Diagnostic& added = add(each.kind, each.span, each.message);
    added = each;
  }
  count_dropped(others);
}

void Diagnostics::count_dropped(const Diagnostics& others) {
  dropped_ += others.dropped_;
  const auto kept = [&](Severity severity) {
    return static_cast<std::size_t>(
        std::count_if(others.kept_.begin(), others.kept_.end(),
                      [&](const Diagnostic& d) { return facts(d.kind).severity == severity; }));
  };
  errors_ += others.errors_ - kept(Severity::error);
  warnings_ += others.warnings_ - kept(Severity::warning);
}

std::size_t Diagnostics::certain() const {
  return static_cast<std::size_t>(
      std::count_if(kept_.begin(), kept_.end(), [](const Diagnostic& d) { return !d.edits.empty(); }));
}

void Diagnostics::drop_edits(std::size_t from) {
  for (std::size_t i = from; i < kept_.size(); ++i) kept_[i].edits.clear();
}

void Diagnostics::sort() {
  std::stable_sort(kept_.begin(), kept_.end(), [](const Diagnostic& a, const Diagnostic& b) {
    return std::pair(a.span.source, a.span.begin) < std::pair(b.span.source, b.span.begin);
  });
}

std::string show(const Diagnostic& diagnostic, const Sources& sources, bool strict) {
  const KindFacts& kind = facts(diagnostic.kind);
  const Source* source = find_source(sources, diagnostic.span);
  std::string out;
  if (source) {
    const Place place = source->place(diagnostic.span.begin);
    out += fmt::format("{}:{}:{}: ", visible(source->name()), place.line, place.column);
  }
  out += fmt::format(
      "{}: {} [{}]\n",
      severity_word(strict && kind.severity == Severity::warning ? Severity::error : kind.severity),
      visible(diagnostic.message), kind.slug);
  if (source && !source->text().empty()) out += quote(*source, diagnostic.span, diagnostic.at, '^');
  for (const Label& label : diagnostic.labels)
    if (const Source* other = find_source(sources, label.span)) {
      if (other != source) out += fmt::format("       in    {}\n", visible(other->name()));
      out += quote(*other, label.span, label.text, '-');
    }
  for (const std::string& note : diagnostic.notes) out += fmt::format("       note  {}\n", visible(note));
  for (const std::string& help : diagnostic.help) out += fmt::format("       try   {}\n", visible(help));
  return out;
}

std::string show(const Diagnostics& diagnostics, const Sources& sources, bool strict) {
  std::string out;
  for (const Diagnostic& each : diagnostics.all()) out += show(each, sources, strict);
  if (diagnostics.dropped() > 0) out += fmt::format("and {} more; mend these first\n", diagnostics.dropped());
  return out;
}

std::string count_of(long long count, std::string_view one, std::string_view many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

}  // namespace wale
