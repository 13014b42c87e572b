#include "compiler/season_yarn.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/check.hpp"
#include "compiler/yarn_estimate.hpp"

namespace wale {

namespace {

/// Grams on the shelf by the yarn's full name, all lots together, in the order of the file.
std::vector<SeasonStash> stash_of(const Pattern& pattern) {
  std::vector<SeasonStash> out;
  for (const Lot& lot : pattern.stash) {
    const std::string& label = pattern.yarns[static_cast<std::size_t>(lot.yarn)].label;
    const auto known =
        std::find_if(out.begin(), out.end(), [&](const SeasonStash& shelf) { return shelf.label == label; });
    if (known == out.end())
      out.push_back({label, lot.grams, 0, 0});
    else
      known->there += lot.grams;
  }
  return out;
}

std::string grams_words(double grams) {
  return fmt::format("{:.0f} g", std::ceil(grams - 1e-9));
}

void say_short(const Season& season, std::size_t project, const SeasonYarn& yarn, const SeasonStash& shelf,
               const std::vector<std::size_t>& before, Diagnostics& diagnostics) {
  const double lacking = yarn.grams - (shelf.there - shelf.used);
  const SeasonProject& short_one = season.projects[project];
  std::string what;
  if (before.empty())
    what = fmt::format("{} takes {} of {}, and the stash has {:.0f} g", short_one.title,
                       grams_words(yarn.grams), yarn.label, shelf.there);
  else
    what = fmt::format("{} is promised twice: {} needs {} of it, and {:.0f} g of {:.0f} g are left",
                       yarn.label, short_one.title, grams_words(yarn.grams),
                       std::floor(shelf.there - shelf.used), shelf.there);
  Diagnostic& added = diagnostics.add(Kind::season_yarn_short, short_one.span, std::move(what));
  added.under(fmt::format("{} short", grams_words(lacking)));
  for (const std::size_t i : before)
    for (const SeasonYarn& taken : season.projects[i].yarns)
      if (taken.label == yarn.label)
        added.label(season.projects[i].span,
                    fmt::format("{} takes {}, and is done before", season.projects[i].title,
                                grams_words(taken.from_stash)));
  added.try_this(fmt::format("buy {} more, or leave out one of them", grams_words(lacking)));
}

}  // namespace

void take_yarns(const Checked& checked, SeasonProject& project) {
  const Estimate estimate = estimate_yarn(checked.pattern, *checked.stitches);
  project.no_estimate = estimate.missing;
  for (const YarnEstimate& each : estimate.yarns) {
    const Yarn& yarn = checked.pattern.yarns[static_cast<std::size_t>(each.yarn)];
    project.yarns.push_back({yarn.label, yarn.colour, each.grams.middle, each.grams.high, 0});
  }
  // What there is most of gives the project its colour.
  std::stable_sort(project.yarns.begin(), project.yarns.end(),
                   [](const SeasonYarn& a, const SeasonYarn& b) { return a.grams > b.grams; });
}

void share_stash(Season& season, const Pattern& pattern, Diagnostics& diagnostics) {
  season.stash = stash_of(pattern);
  const std::vector<std::size_t> order = season.in_order();
  for (SeasonStash& shelf : season.stash) {
    std::vector<std::size_t> before;
    for (const std::size_t i : order)
      for (SeasonYarn& yarn : season.projects[i].yarns) {
        if (yarn.label != shelf.label) continue;
        if (yarn.grams > shelf.there - shelf.used + 1e-9) {
          say_short(season, i, yarn, shelf, before, diagnostics);
        } else {
          yarn.from_stash = yarn.grams;
          shelf.used += yarn.grams;
          shelf.used_at_most += yarn.at_most;
          before.push_back(i);
        }
      }
  }
}

}  // namespace wale
