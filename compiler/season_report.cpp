// The report of a season, for programs to read. Its form is `season.schema.json` beside this file; a change
// that breaks a reader makes it "wale-season-2". Hours are rounded to thousandths, grams to tenths.

#include <cmath>
#include <nlohmann/json.hpp>

#include "compiler/season_document.hpp"

namespace wale {

namespace {

using json = nlohmann::ordered_json;
using render::iso_date;

double hours(long long ticks) {
  return std::round(hours_of(ticks) * 1000) / 1000;
}
double grams(double value) {
  return std::round(value * 10) / 10;
}
json date_or_null(const std::optional<Day>& day) {
  return day ? json(iso_date(*day)) : json();
}

json of_project(const SeasonProject& project) {
  json out;
  out["file"] = project.file;
  out["title"] = project.title;
  out["size"] = project.size.empty() ? json() : json(project.size);
  out["after"] = date_or_null(project.after);
  out["due"] = date_or_null(project.by);
  out["begins"] = iso_date(project.begins);
  out["ends"] = iso_date(project.ends);
  out["days_to_spare"] = project.by ? json((*project.by - project.ends).count()) : json();
  out["hours_to_spare"] = project.slack ? json(hours(*project.slack)) : json();
  out["stitches"] = project.stitches;
  out["hours"] = hours(project.ticks);
  out["parts"] = json::array();
  for (const SeasonPart& part : project.parts)
    out["parts"].push_back({{"fabric", part.fabric.empty() ? json() : json(part.fabric)},
                            {"stitches", part.stitches},
                            {"stitches_per_hour", part.pace},
                            {"hours", hours(part.ticks)}});
  out["yarns"] = json::array();
  for (const SeasonYarn& yarn : project.yarns)
    out["yarns"].push_back(
        {{"label", yarn.label}, {"grams", grams(yarn.grams)}, {"grams_from_stash", grams(yarn.from_stash)}});
  return out;
}

/// A stint as the days that it touches.
json of_stint(const Season& season, const Stint& stint) {
  return {{"project", stint.job},
          {"first", iso_date(season.time.day_of(stint.begin))},
          {"last", iso_date(season.time.day_of(stint.end - 1))},
          {"hours", hours(stint.end - stint.begin)}};
}

}  // namespace

std::string season_report(const Season& season) {
  json out;
  out["format"] = "wale-season-1";
  out["season"] = season.name;
  out["from"] = iso_date(season.from);
  out["to"] = iso_date(season.last_day());
  out["stitches_per_hour"] = season.pace;
  out["hours_per_week"] = season.hours_per_week;
  out["hours"] = hours(season.ticks());
  out["away"] = json::array();
  for (const auto& [first, last] : season.away)
    out["away"].push_back({{"from", iso_date(first)}, {"to", iso_date(last)}});
  out["projects"] = json::array();
  for (const SeasonProject& project : season.projects) out["projects"].push_back(of_project(project));
  out["order"] = season.in_order();
  out["stints"] = json::array();
  for (const Stint& stint : season.schedule.stints) out["stints"].push_back(of_stint(season, stint));
  out["weeks"] = json::array();
  for (const SeasonWeek& week : weeks_of(season))
    out["weeks"].push_back({{"week", render::iso_week(week.monday)},
                            {"monday", iso_date(week.monday)},
                            {"hours_there", hours(week.there)},
                            {"hours_knitted", hours(week.knitted)},
                            {"projects", week.projects}});
  out["stash"] = json::array();
  for (const SeasonStash& each : season.stash)
    out["stash"].push_back({{"label", each.label},
                            {"grams", grams(each.there)},
                            {"grams_used", grams(each.used)},
                            {"grams_left", grams(each.there - each.used)}});
  return out.dump(2, ' ', false, json::error_handler_t::replace) + "\n";
}

}  // namespace wale
