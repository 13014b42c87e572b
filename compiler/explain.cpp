#include "compiler/explain.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/check.hpp"
#include "grammar/explanations.hpp"
#include "render/text.hpp"

namespace wale {

namespace {

/// Stands for a space that is not to be broken at: `wrap_columns` breaks at each. No explanation holds it.
constexpr char kept_space = '~';

/// Lines of at most so many cells; a bit of source between backticks stays in one.
std::string paragraph(std::string text, int columns) {
  bool source = false;
  for (char& c : text) {
    if (c == '`') source = !source;
    if (c == ' ' && source) c = kept_space;
  }
  std::string out;
  for (std::string& line : render::wrap_columns(text, columns, columns)) {
    std::replace(line.begin(), line.end(), kept_space, ' ');
    out += line;
    out += '\n';
  }
  return out;
}

std::string indented(std::string_view block) {
  std::string out;
  for (std::size_t at = 0; at < block.size();) {
    const std::size_t end = std::min(block.find('\n', at), block.size());
    if (end > at) out += fmt::format("    {}", block.substr(at, end - at));
    out += '\n';
    at = end + 1;
  }
  return out;
}

/// `columns`: of a narrow terminal; 0: as in a file.
std::string said_of(const std::string& pattern, std::string_view slug, int columns) {
  const Source source(fmt::format("{}.wale", slug), pattern, 1);
  const Look look{false, static_cast<std::size_t>(columns)};
  return show(check(source).diagnostics, {vocabulary_source(), source}, false, look);
}

}  // namespace

std::string explain(Kind kind, int columns) {
  const KindFacts& known = facts(kind);
  std::string out =
      fmt::format("{} ({})\n\n{}", known.slug, known.severity == Severity::error ? "error" : "warning",
                  paragraph(std::string(known.summary), columns));
  const auto more = explanation(kind);
  if (!more) return out;
  for (const std::string& each : more->paragraphs) {
    out += '\n';
    out += paragraph(each, columns);
  }
  if (more->shows.empty()) return out;
  out += fmt::format("\nShows it:\n\n{}\nWale says:\n\n{}\nMended:\n\n{}", indented(more->shows),
                     indented(said_of(more->shows, known.slug,
                                      columns < explanation_columns ? std::max(columns - 4, 20) : 0)),
                     indented(more->mended));
  return out;
}

std::string list_kinds(int columns) {
  std::size_t widest = 0;
  for (const Kind kind : all_kinds()) widest = std::max(widest, facts(kind).slug.size());
  const int beside = static_cast<int>(widest) + 4;
  // On a narrow terminal the meaning stands below its name.
  const bool below = columns - beside < 30;
  const int indent = below ? 6 : beside;
  std::string out;
  std::string_view group;
  for (const Kind kind : all_kinds()) {
    if (group_of(kind) != group) {
      group = group_of(kind);
      out += fmt::format("{}{}\n\n", out.empty() ? "" : "\n", group);
    }
    std::string lead = fmt::format("  {:<{}}  ", facts(kind).slug, below ? 0 : widest);
    if (below) out += fmt::format("  {}\n", facts(kind).slug), lead.assign(6, ' ');
    for (const std::string& line :
         render::wrap_columns(facts(kind).summary, columns - indent, columns - indent)) {
      out += lead + line + "\n";
      lead.assign(static_cast<std::size_t>(indent), ' ');
    }
  }
  return out + "\n" + paragraph("`wale explain NAME` says more about one of them.", columns);
}

std::string explain_hint(const std::vector<Kind>& told) {
  if (told.empty()) return "";
  const auto error = std::find_if(told.begin(), told.end(),
                                  [](Kind kind) { return facts(kind).severity == Severity::error; });
  const Kind first = error == told.end() ? told.front() : *error;
  const bool several = std::any_of(told.begin(), told.end(), [&](Kind kind) { return kind != first; });
  return fmt::format("why, and an example: wale explain {}{}\n", facts(first).slug,
                     several ? " (or another name in brackets)" : "");
}

}  // namespace wale
