#include "compiler/sizes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

namespace wale {

std::vector<std::string> declared_sizes(const Declarations& pattern, Diagnostics& diagnostics) {
  std::vector<std::string> out;
  std::optional<Span> first;
  pattern.for_each<tree::Sizes>([&](const tree::Sizes& sizes, Span span) {
    if (first) {
      diagnostics.add(Kind::duplicate_name, span, "the pattern has its sizes already").label(*first, "here");
      return;
    }
    first = span;
    std::map<std::string, Span> seen;
    for (const tree::Name& name : sizes.names) {
      const auto [before, is_new] = seen.insert({name.text, name.span});
      if (!is_new)
        diagnostics
            .add(Kind::duplicate_name, name.span, fmt::format("there are two sizes called `{}`", name.text))
            .label(before->second, "the first one");
      else if (out.size() == most_sizes)
        diagnostics.add(Kind::number_too_large, name.span,
                        fmt::format("a pattern has at most {} sizes", most_sizes));
      if (out.size() < most_sizes && is_new) out.push_back(name.text);
    }
  });
  return out;
}

std::string sizes_words(const std::vector<std::string>& names) {
  std::string out = names.size() == 1 ? "size " : "sizes ";
  for (std::size_t i = 0; i < names.size(); ++i)
    out += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
  return out;
}

Diagnostics merge_findings(const std::vector<std::string>& names, const std::vector<Diagnostics>& found) {
  struct Finding {
    const Diagnostic* first = nullptr;
    std::vector<std::size_t> sizes;
    std::vector<std::pair<std::size_t, std::string>> others;  ///< what it says of later sizes
  };
  using Place = std::tuple<std::uint32_t, std::uint32_t, std::uint32_t, Kind>;
  using Key = std::pair<Place, int>;  // and the how many-eth of its kind there
  std::map<Key, Finding> by_place;
  std::vector<Key> order;
  for (std::size_t size = 0; size < found.size(); ++size) {
    std::map<Place, int> times;
    for (const Diagnostic& each : found[size].all()) {
      const Place place{each.span.source, each.span.begin, each.span.end, each.kind};
      const Key key{place, times[place]++};
      Finding& finding = by_place[key];
      if (!finding.first) {
        finding.first = &each;
        order.push_back(key);
      }
      finding.sizes.push_back(size);
      if (each.message != finding.first->message) finding.others.push_back({size, each.message});
    }
  }
  Diagnostics out;
  for (const Key& key : order) {
    const Finding& finding = by_place[key];
    Diagnostic& added = out.add(finding.first->kind, finding.first->span, finding.first->message);
    added = *finding.first;
    std::vector<std::string> concerned;
    for (const std::size_t size : finding.sizes) concerned.push_back(names[size]);
    if (concerned.size() < names.size())
      added.note("in " + sizes_words(concerned));
    else if (names.size() > 1 && !finding.others.empty())
      added.note(fmt::format("this is size {}; it goes wrong in every size", concerned.front()));
    constexpr std::size_t most_others = 3;
    for (std::size_t i = 0; i < std::min(most_others, finding.others.size()); ++i)
      added.note(fmt::format("in size {}, {}", names[finding.others[i].first], finding.others[i].second));
    // What would fit one size need not fit another.
    if (!finding.others.empty()) added.edits.clear();
  }
  for (const Diagnostics& each : found) out.count_dropped(each);
  return out;
}

}  // namespace wale
