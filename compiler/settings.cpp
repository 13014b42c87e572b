#include "compiler/settings.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grammar/parser.hpp"

namespace wale {

namespace {

/// The one declaration that an option makes, or nothing where it is something else besides.
template <typename What>
const What* only(const tree::Pattern& pattern) {
  return pattern.declarations.size() == 1 ? std::get_if<What>(&pattern.declarations.front().what) : nullptr;
}

void must_be(const Source& source, std::string_view what, std::string_view example,
             Diagnostics& diagnostics) {
  if (diagnostics.has_errors()) return;
  diagnostics
      .add(Kind::expected, {0, static_cast<std::uint32_t>(source.text().size()), source.number()},
           "expected " + std::string(what))
      .try_this(std::string(example));
}

}  // namespace

std::vector<Source> settings_sources(const Settings& settings, std::size_t first) {
  std::vector<Source> out;
  const auto add = [&](std::string name, std::string text) {
    out.emplace_back(std::move(name), std::move(text), static_cast<std::uint32_t>(first + out.size()));
  };
  if (settings.size) add("--size", *settings.size);
  if (settings.gauge) add("--gauge", "gauge " + *settings.gauge);
  for (const std::string& each : settings.measures) add("--set", "measure " + each);
  return out;
}

Asked read_settings(const Settings& settings, std::size_t first, Diagnostics& diagnostics) {
  Asked out;
  for (const Source& source : settings_sources(settings, first)) {
    Diagnostics found;
    const Span whole{0, static_cast<std::uint32_t>(source.text().size()), source.number()};
    if (source.name() == "--size") {
      out.size = {source.text(), whole};
      continue;
    }
    const tree::Pattern pattern = parse(source, found);
    if (source.name() == "--gauge") {
      if (const auto* gauge = only<tree::Gauge>(pattern)) {
        out.gauge = *gauge;
        out.gauge_span = pattern.declarations.front().span;
      } else {
        must_be(source, "one gauge", "--gauge \"18 st x 25 rows = 10 cm\"", found);
      }
    } else if (const auto* measure = only<tree::Measure>(pattern)) {
      out.measures.push_back(*measure);
    } else {
      must_be(source, "one measure and its value", "--set \"ease = 8 cm\"", found);
    }
    diagnostics.append(found);
  }
  return out;
}

bool is_declared(const Asked& asked, const Declarations& pattern, const std::vector<std::string>& sizes,
                 Diagnostics& diagnostics) {
  const std::size_t before = diagnostics.errors();
  if (asked.size && std::find(sizes.begin(), sizes.end(), asked.size->text) == sizes.end()) {
    Diagnostic& added =
        diagnostics.add(Kind::unknown_size, asked.size->span,
                        sizes.empty() ? "the pattern has one size, and no name for it"
                                      : fmt::format("the pattern has no size called `{}`", asked.size->text));
    if (!sizes.empty()) added.try_this(fmt::format("{}", fmt::join(sizes, ", ")));
  }
  if (asked.measures.empty()) return diagnostics.errors() == before;
  std::vector<std::string> measures;
  pattern.for_each<tree::Measure>(
      [&](const tree::Measure& measure, Span) { measures.push_back(measure.name.text); });
  for (const tree::Measure& each : asked.measures)
    if (std::find(measures.begin(), measures.end(), each.name.text) == measures.end())
      diagnostics
          .add(Kind::bad_measure, each.name.span,
               fmt::format("the pattern has no measure called `{}`", each.name.text))
          .try_nearest(each.name.span, each.name.text, measures);
  return diagnostics.errors() == before;
}

}  // namespace wale
