#include "compiler/season_document.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace wale {

namespace {

using std::chrono::days;

/// Of projects whose yarn has no colour.
constexpr render::Colour plain_band{205, 205, 200};

std::string hours(long long ticks) {
  return fmt::format("{:.1f}", hours_of(ticks));
}

/// "8,212": thousands apart, as long numbers are read.
std::string grouped(long long number) {
  std::string out = std::to_string(number);
  for (auto at = static_cast<std::ptrdiff_t>(out.size()) - 3; at > (number < 0 ? 1 : 0); at -= 3)
    out.insert(static_cast<std::size_t>(at), ",");
  return out;
}

/// "1,100", "1,100.5".
std::string pace_words(double pace) {
  const double whole = std::floor(pace);
  return grouped(static_cast<long long>(whole)) +
         (whole == pace ? "" : fmt::format("{:g}", pace - whole).substr(1));
}

std::string name_of(const SeasonProject& project) {
  return project.size.empty() ? project.title : fmt::format("{}, size {}", project.title, project.size);
}

std::string tag_of(const Season& season, std::size_t project) {
  const std::vector<std::size_t> order = season.in_order();
  const auto at = std::find(order.begin(), order.end(), project);
  return std::to_string(at - order.begin() + 1);
}

/// The parts of days that a project is knitted on.
void add_days(const Season& season, const Stint& stint, std::vector<render::CalendarBand::Part>& parts) {
  for (long long at = stint.begin; at < stint.end;) {
    const Day day = season.time.day_of(at);
    const long long begin = season.time.before(day), length = season.time.on(day);
    const long long end = std::min(stint.end, begin + length);
    const auto share = [&](long long tick) {
      return static_cast<double>(tick - begin) / static_cast<double>(length);
    };
    parts.push_back({day, share(at), share(end)});
    at = end;
  }
}

std::string slack_words(const SeasonProject& project) {
  if (!project.by) return "";
  return count_of((*project.by - project.ends).count(), "day", "days");
}

/// "in rope 4,224 st at 700 an hour, the rest 5,200 st at 1,100 an hour"
std::string paces_words(const SeasonProject& project) {
  std::vector<std::string> out;
  for (const bool general : {false, true})
    for (const SeasonPart& part : project.parts)
      if (part.fabric.empty() == general)
        out.push_back(fmt::format("{}{} st at {} an hour",
                                  !general      ? fmt::format("in {} ", part.fabric)
                                  : out.empty() ? ""
                                                : "the rest ",
                                  grouped(part.stitches), pace_words(part.pace)));
  return fmt::format("{}", fmt::join(out, ", "));
}

class Writer {
 public:
  explicit Writer(const Season& season) : season_(season) {}

  render::Document run() {
    out_.title = season_.name;
    summary();
    out_.blocks.emplace_back(render::CalendarBlock{make_calendar(season_)});
    projects();
    yarns();
    weeks();
    notes();
    return std::move(out_);
  }

 private:
  void say(std::string text) { out_.blocks.emplace_back(render::Paragraph{"", std::move(text)}); }

  void summary() {
    say(fmt::format("{} to {}: {}, {} hours of knitting, at {} stitches an hour and {:g} hours a week.",
                    render::day_words(season_.from), render::day_words(season_.last_day()),
                    count_of(static_cast<long long>(season_.projects.size()), "project", "projects"),
                    hours(season_.ticks()), pace_words(season_.pace), season_.hours_per_week));
  }

  void projects() {
    if (season_.projects.empty()) return;
    out_.blocks.emplace_back(render::Heading{2, "Projects"});
    render::Table table;
    table.header = {"",     "Project", "Stitches",      "Hours",         "Begun",
                    "Done", "Due",     "Days to spare", "Hours to spare"};
    table.numeric = {true, false, true, true, true, true, true, true, true};
    for (const std::size_t i : season_.in_order()) {
      const SeasonProject& each = season_.projects[i];
      table.rows.push_back({tag_of(season_, i), name_of(each), grouped(each.stitches), hours(each.ticks),
                            render::short_day_words(each.begins), render::short_day_words(each.ends),
                            each.by ? render::short_day_words(*each.by) : "",
                            each.by ? std::to_string((*each.by - each.ends).count()) : "",
                            each.slack ? hours(*each.slack) : ""});
    }
    out_.blocks.emplace_back(std::move(table));
    for (const std::size_t i : season_.in_order()) {
      const SeasonProject& each = season_.projects[i];
      std::string words = paces_words(each) + ".";
      if (each.after)
        words += fmt::format(" Not begun until after {}.", render::short_day_words(*each.after));
      out_.blocks.emplace_back(
          render::Paragraph{fmt::format("{} {}:", tag_of(season_, i), name_of(each)), words});
    }
  }

  void yarns() {
    out_.blocks.emplace_back(render::Heading{2, "Yarn"});
    render::Table table;
    table.header = {"Yarn", "Project", "Takes, g", "From the stash, g", "Left there, g"};
    table.numeric = {false, false, true, true, true};
    std::map<std::string, double> left;
    for (const SeasonStash& each : season_.stash) left[each.label] = each.there;
    std::vector<std::string> unknown;
    for (const std::size_t i : season_.in_order()) {
      const SeasonProject& project = season_.projects[i];
      if (!project.no_estimate.empty()) unknown.push_back(project.title);
      for (const SeasonYarn& yarn : project.yarns) {
        const auto shelf = left.find(yarn.label);
        if (shelf != left.end()) shelf->second -= yarn.from_stash;
        table.rows.push_back(
            {yarn.label, name_of(project), fmt::format("{:.0f}", std::ceil(yarn.grams)),
             shelf == left.end() ? "to buy" : fmt::format("{:.0f}", std::ceil(yarn.from_stash)),
             shelf == left.end() ? "" : fmt::format("{:.0f}", std::floor(shelf->second))});
        table.swatches.push_back(yarn.colour ? std::optional(render::Colour{
                                                   yarn.colour->red, yarn.colour->green, yarn.colour->blue})
                                             : std::nullopt);
      }
    }
    if (!table.rows.empty()) out_.blocks.emplace_back(std::move(table));
    for (const SeasonStash& each : season_.stash)
      if (each.used_at_most > each.there)
        out_.blocks.emplace_back(render::Paragraph{
            "Watch it:",
            fmt::format("{} may run short. By the upper estimates {:.0f} g of it are taken, and there are "
                        "{:.0f} g.",
                        each.label, std::ceil(each.used_at_most), each.there)});
    if (!unknown.empty())
      say(fmt::format("How much yarn it takes is not known of {}.", fmt::join(unknown, ", ")));
  }

  void weeks() {
    out_.blocks.emplace_back(render::Heading{2, "Weeks"});
    render::Table table;
    table.header = {"Week", "From", "Hours there", "Knitted", "Projects"};
    table.numeric = {false, false, true, true, false};
    for (const SeasonWeek& week : weeks_of(season_)) {
      std::vector<std::string> names;
      for (const std::size_t i : week.projects)
        names.push_back(fmt::format("{} {}", tag_of(season_, i), name_of(season_.projects[i])));
      table.rows.push_back({render::iso_week(week.monday), render::short_day_words(week.monday),
                            hours(week.there), hours(week.knitted),
                            fmt::format("{}", fmt::join(names, ", "))});
    }
    out_.blocks.emplace_back(std::move(table));
  }

  void notes() {
    out_.blocks.emplace_back(render::Heading{2, "What this rests on"});
    say("Each day has a seventh of its week's hours. At any time the project with the earliest due date is "
        "knitted; "
        "no other order would make the latest one less late. A stitch counts as the loops that it makes; "
        "seams, "
        "weaving in and washing are not counted.");
    say("Yarn is the middle of each pattern's estimate, without a reserve; projects take it from the stash "
        "in the order "
        "in which they are finished.");
  }

  const Season& season_;
  render::Document out_;
};

}  // namespace

std::vector<SeasonWeek> weeks_of(const Season& season) {
  std::vector<SeasonWeek> out;
  for (Day monday = render::monday_of(season.from); monday <= season.last_day(); monday += days{7}) {
    SeasonWeek week{monday, 0, 0, {}};
    const long long begin = season.time.before(monday), end = season.time.before(monday + days{7});
    week.there = end - begin;
    for (const Stint& each : season.schedule.stints) {
      const long long shared = std::min(end, each.end) - std::max(begin, each.begin);
      if (shared <= 0) continue;
      week.knitted += shared;
      if (std::find(week.projects.begin(), week.projects.end(), each.job) == week.projects.end())
        week.projects.push_back(each.job);
    }
    out.push_back(std::move(week));
  }
  return out;
}

render::Calendar make_calendar(const Season& season) {
  render::Calendar out;
  out.name = "season";
  out.title = season.name;
  out.first = season.from;
  out.last = season.last_day();
  for (const std::size_t i : season.in_order()) {
    const SeasonProject& project = season.projects[i];
    render::CalendarBand band;
    band.tag = tag_of(season, i);
    band.name = project.size.empty() ? project.title : fmt::format("{} {}", project.title, project.size);
    band.words = fmt::format("{}: {} hours, {} to {}", name_of(project), hours(project.ticks),
                             render::short_day_words(project.begins), render::short_day_words(project.ends));
    band.colour = plain_band;
    if (!project.yarns.empty() && project.yarns.front().colour) {
      const Rgb colour = *project.yarns.front().colour;
      band.colour = {colour.red, colour.green, colour.blue};
    }
    for (const Stint& stint : season.schedule.stints)
      if (stint.job == i) add_days(season, stint, band.parts);
    band.flag = project.by;
    band.flag_words = "due";
    if (!out.description.empty()) out.description += "; ";
    out.description += band.words;
    if (project.by)
      out.description +=
          fmt::format(", due {}, {} to spare", render::short_day_words(*project.by), slack_words(project));
    out.bands.push_back(std::move(band));
  }
  for (const auto& [first, last] : season.away) out.rests.push_back({first, last, "away"});
  out.weeks_title = "hours";
  out.notes = {
      "Bands: what is knitted, from the part of a day on which it is begun to the part on which it is done. "
      "Dashed lines: time to spare until the day on which it is due. Beside each week: hours knitted, of "
      "those that there are."};
  for (const SeasonWeek& week : weeks_of(season))
    out.weeks.push_back(week.there == 0 ? ""
                                        : fmt::format("{} of {}", hours(week.knitted), hours(week.there)));
  return out;
}

render::Document make_season_document(const Season& season) {
  return Writer(season).run();
}

}  // namespace wale
