#include "compiler/season_yarn.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/check.hpp"
#include "compiler/values.hpp"
#include "compiler/yarn_estimate.hpp"

namespace wale {

namespace {

/// Grams on the shelf by the yarn's full name, in the order of the file.
std::vector<SeasonStash> stash_of(const tree::Pattern& tree, const Pattern& pattern) {
  std::vector<SeasonStash> out;
  for (const tree::Declaration& each : tree.declarations) {
    const auto* stash = std::get_if<tree::Stash>(&each.what);
    if (!stash) continue;
    for (const tree::Stash::Lot& lot : stash->lots) {
      const auto yarn = std::find_if(pattern.yarns.begin(), pattern.yarns.end(),
                                     [&](const Yarn& known) { return known.name == lot.yarn.text; });
      Diagnostics quiet;
      const auto grams = evaluate_mass(lot.mass, {}, "a lot's weight", quiet);
      if (yarn == pattern.yarns.end() || !grams) continue;
      const auto known = std::find_if(out.begin(), out.end(),
                                      [&](const SeasonStash& shelf) { return shelf.label == yarn->label; });
      if (known == out.end())
        out.push_back({yarn->label, *grams, 0});
      else
        known->there += *grams;
    }
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
  added.note(fmt::format("with the {:.0f} % that are kept in reserve", reserve * 100));
  added.try_this(fmt::format("buy {} more, or leave out one of them", grams_words(lacking)));
}

}  // namespace

void take_yarns(const Checked& checked, SeasonProject& project) {
  const Estimate estimate = estimate_yarn(checked.pattern, *checked.stitches);
  project.no_estimate = estimate.missing;
  for (const YarnEstimate& each : estimate.yarns) {
    const Yarn& yarn = checked.pattern.yarns[static_cast<std::size_t>(each.yarn)];
    project.yarns.push_back({yarn.label, yarn.colour, each.grams.middle * (1 + reserve), 0});
  }
  // What there is most of gives the project its colour.
  std::stable_sort(project.yarns.begin(), project.yarns.end(),
                   [](const SeasonYarn& a, const SeasonYarn& b) { return a.grams > b.grams; });
}

void share_stash(Season& season, const tree::Pattern& tree, const Pattern& pattern,
                 Diagnostics& diagnostics) {
  season.stash = stash_of(tree, pattern);
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
          before.push_back(i);
        }
      }
  }
}

}  // namespace wale
