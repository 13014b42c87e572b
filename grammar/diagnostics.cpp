#include "grammar/diagnostics.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "grammar/cells.hpp"
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

std::string show(const Diagnostic& diagnostic, const Sources& sources, bool strict, const Look& look) {
  const KindFacts& kind = facts(diagnostic.kind);
  const Source* source = find_source(sources, diagnostic.span);
  const Severity severity = strict && kind.severity == Severity::warning ? Severity::error : kind.severity;
  const Ink ink = severity == Severity::error ? Ink::red : Ink::magenta;
  std::string out;
  if (source) {
    const Place place = source->place(diagnostic.span.begin);
    out += fmt::format("{}:{}:{}: ", visible(source->name()), place.line, place.column);
  }
  const std::string_view word = severity_word(severity);
  const std::size_t at = cells(out) + word.size() + 2;
  out += inked(word, ink, look) + ": ";
  out += flowing(fmt::format("{} [{}]", visible(diagnostic.message), kind.slug), at, 7, look);
  if (source && !source->text().empty())
    out += quote(*source, {diagnostic.span, '^', diagnostic.at, ink}, look);
  for (const Label& label : diagnostic.labels)
    if (const Source* other = find_source(sources, label.span)) {
      if (other != source) out += fmt::format("       in    {}\n", visible(other->name()));
      out += quote(*other, {label.span, '-', label.text, Ink::bold}, look);
    }
  for (const std::string& note : diagnostic.notes)
    out += "       note  " + flowing(visible(note), 13, 13, look);
  for (const std::string& help : diagnostic.help)
    out += fmt::format("       {}   {}", inked("try", Ink::bold, look), flowing(visible(help), 13, 13, look));
  return out;
}

std::string show(const Diagnostics& diagnostics, const Sources& sources, bool strict, const Look& look) {
  std::string out;
  for (const Diagnostic& each : diagnostics.all()) out += show(each, sources, strict, look);
  if (diagnostics.dropped() > 0) out += fmt::format("and {} more; mend these first\n", diagnostics.dropped());
  return out;
}

std::string count_of(long long count, std::string_view one, std::string_view many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

}  // namespace wale
