#include "compiler/season.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>

#include "compiler/check.hpp"
#include "compiler/season_advice.hpp"
#include "compiler/season_yarn.hpp"
#include "compiler/sizes.hpp"
#include "compiler/stitch_counts.hpp"
#include "compiler/values.hpp"

namespace wale {

namespace {

using render::iso_date;
using std::chrono::days;

constexpr double hours_in_a_week = 168;

/// In tenths, and not less than it is.
std::string hours_words(long long ticks) {
  const double tenths = std::ceil(hours_of(ticks) * 10 - 1e-6);
  return fmt::format("{:g} {}", tenths / 10, tenths == 10 ? "hour" : "hours");
}

class SeasonPlanner {
 public:
  SeasonPlanner(const Loaded& loaded, const Declarations& declarations, const Pattern& pattern,
                Diagnostics& diagnostics, Effort& effort)
      : loaded_(loaded),
        declarations_(declarations),
        pattern_(pattern),
        diagnostics_(diagnostics),
        effort_(effort) {}

  std::optional<Season> run() {
    const tree::Season* season = nullptr;
    declarations_.for_each<tree::Season>([&](const tree::Season& found, Span) {
      if (season)
        diagnostics_.add(Kind::duplicate_name, found.name.span, "this file has a season already")
            .label(season->name.span, "here")
            .try_this("put each season into a file of its own");
      else
        season = &found;
    });
    if (!season) return {};
    const std::size_t errors = diagnostics_.errors();
    read(*season);
    if (diagnostics_.errors() > errors) return {};
    schedule_projects(*season);
    if (diagnostics_.errors() > errors) return {};
    share_stash(out_, pattern_, diagnostics_);
    if (diagnostics_.errors() > errors) return {};
    return std::move(out_);
  }

 private:
  Diagnostic& wrong(Span span, std::string what) {
    return diagnostics_.add(Kind::bad_season, span, std::move(what));
  }

  std::optional<Day> day(const tree::Name& date) {
    std::string why;
    const auto out = read_day(date.text, why);
    if (!out)
      diagnostics_.add(Kind::bad_date, date.span, fmt::format("there is no {}: {}", date.text, why))
          .try_this("dates are year, month and day: 2027-02-06");
    return out;
  }

  /// A number over `least`, or equal to it where that is `allowed`, and at most `most`.
  std::optional<double> number(const tree::Expression& expression, std::string_view what, bool zero_allowed,
                               double most, std::string_view why, std::string_view example) {
    const auto value = evaluate(expression, {}, diagnostics_);
    if (!value) return {};
    if (value->dimension != Dimension::count) {
      wrong(expression.span, fmt::format("{} is a plain number", what)).try_this(std::string(example));
      return {};
    }
    if (value->value > 0 ? value->value <= most : zero_allowed && value->value == 0) return value->value;
    if (value->value > 0)
      wrong(expression.span, fmt::format("{} cannot be {:g}: {}", what, value->value, why))
          .try_this(std::string(example));
    else
      wrong(expression.span, fmt::format("{} is more than nothing, or nothing is ever done", what))
          .try_this(std::string(example));
    return {};
  }

  // --- reading

  void read(const tree::Season& season) {
    out_.name = season.name.text;
    const auto from = day(season.from);
    if (!from) return;
    out_.from = *from;
    last_ = *from + days{longest_season - 1};
    paces(season);
    hours(season);
    for (const tree::Season::Away& each : season.away) {
      const auto first = day(each.from), last = each.to ? day(*each.to) : first;
      if (first && last && in_order(*first, *last, each.to ? *each.to : each.from))
        out_.away.push_back({*first, *last});
    }
    projects(season);
    if (diagnostics_.has_errors()) return;
    out_.time = KnittingTime(out_.from, hours_, out_.away);
  }

  bool in_order(Day first, Day last, const tree::Name& where) {
    if (first <= last) return true;
    wrong(where.span, fmt::format("{} is before {}", iso_date(last), iso_date(first)))
        .try_this("the earlier day stands first, and both are counted");
    return false;
  }

  void paces(const tree::Season& season) {
    const tree::Season::Pace* general = nullptr;
    std::map<std::string, Span> seen;
    for (const tree::Season::Pace& each : season.paces) {
      const auto pace = number(each.stitches, "a pace", false, fastest_pace,
                               fmt::format("no hands make more than {:g} stitches an hour", fastest_pace),
                               "pace 1100 st per hour");
      const std::string fabric = each.fabric ? each.fabric->text : "";
      const Span where = each.fabric ? each.fabric->span : each.stitches.span;
      const auto [first, is_new] = seen.insert({fabric, where});
      if (!is_new) {
        diagnostics_.add(Kind::duplicate_name, where, "this pace is given already")
            .label(first->second, "here");
        continue;
      }
      if (!each.fabric) general = &each;
      if (pace) pace_[fabric] = *pace;
      if (pace && !each.fabric) out_.pace = *pace;
      if (each.fabric) fabrics_.push_back(*each.fabric);
    }
    if (!general)
      wrong(season.name.span, "the season does not say how fast you knit")
          .note("count the stitches of an hour of your own knitting; 1,000 is a fair guess to begin with")
          .try_this("pace 1100 st per hour, 6 hours per week");
  }

  void hours(const tree::Season& season) {
    const tree::Season::Hours* general = nullptr;
    for (const tree::Season::Hours& each : season.hours) {
      const auto amount = number(each.per_week, "the hours of a week", each.from.has_value(), hours_in_a_week,
                                 fmt::format("a week has {:g}, and some of them are slept", hours_in_a_week),
                                 "6 hours per week");
      if (!each.from && general) {
        diagnostics_.add(Kind::duplicate_name, each.per_week.span, "the season has its hours already")
            .label(general->per_week.span, "here")
            .try_this("hours of some of the weeks: `9 hours per week from 2026-12-21 to 2027-01-03`");
        continue;
      }
      if (!each.from) general = &each;
      const auto first = each.from ? day(*each.from) : out_.from, last = each.to ? day(*each.to) : last_;
      if (!amount || !first || !last) continue;
      if (each.from && !in_order(*first, *last, each.to ? *each.to : *each.from)) continue;
      if (each.from) {
        hours_.push_back({*first, *last, *amount});
      } else {
        out_.hours_per_week = *amount;
        hours_.insert(hours_.begin(), {out_.from, last_, *amount});
      }
    }
    if (!general)
      wrong(season.name.span, "the season does not say how many hours there are to knit in")
          .try_this("pace 1100 st per hour, 6 hours per week");
  }

  // --- projects

  void projects(const tree::Season& season) {
    const std::size_t told = diagnostics_.errors();
    for (std::size_t i = 0; i < season.projects.size(); ++i) {
      const tree::Season::Project& each = season.projects[i];
      if (i == most_projects) {
        diagnostics_.add(Kind::number_too_large, each.file.span,
                         fmt::format("a season has at most {} projects", most_projects));
        break;
      }
      SeasonProject project;
      project.file = each.file.text;
      project.span = each.file.span;
      dates(each, project);
      if (i < loaded_.projects.size() && loaded_.projects[i]) knit(each, *loaded_.projects[i], project);
      out_.projects.push_back(std::move(project));
    }
    if (diagnostics_.errors() > told) return;
    for (const tree::Name& fabric : fabrics_)
      if (!fabrics_knitted_.contains(fabric.text))
        diagnostics_
            .add(Kind::unknown_fabric, fabric.span,
                 fmt::format("no project of the season has a fabric called `{}`", fabric.text))
            .try_nearest(fabric.span, fabric.text, {fabrics_knitted_.begin(), fabrics_knitted_.end()});
  }

  void dates(const tree::Season::Project& source, SeasonProject& project) {
    if (source.after) project.after = day(*source.after);
    if (source.by) project.by = day(*source.by);
    if (project.by && *project.by < out_.from)
      wrong(source.by->span,
            fmt::format("{} is before the season begins, on {}", iso_date(*project.by), iso_date(out_.from)));
    else if (project.by && project.after && *project.by <= *project.after)
      wrong(source.by->span, fmt::format("due on {}, and not to be begun until after {}",
                                         iso_date(*project.by), iso_date(*project.after)));
    for (const auto& [date, name] :
         {std::pair(project.by, source.by), std::pair(project.after, source.after)})
      if (date && *date > last_)
        wrong(name->span, fmt::format("{} is more than ten years after the season begins", iso_date(*date)));
  }

  void knit(const tree::Season::Project& source, const Loaded& loaded, SeasonProject& project) {
    const std::string name = std::filesystem::path(project.file).filename().string();
    Settings settings;
    if (!has_size(source, loaded, name)) return;
    if (source.size) settings.size = project.size = source.size->text;
    Effort effort;
    effort.most = std::max(0LL, effort_.most - effort_.work());
    const Checked checked = check(loaded, settings, effort);
    effort_.stitches += checked.effort.work();
    if (checked.diagnostics.has_errors()) return has_errors(source, loaded, settings, checked, name);
    project.title = checked.pattern.title.empty() ? std::filesystem::path(project.file).stem().string()
                                                  : checked.pattern.title;
    if (count(checked, project) == 0)
      wrong(source.file.span, fmt::format("there is nothing to knit in {}", name))
          .note("it has no piece, or its pieces have no stitches");
  }

  bool has_size(const tree::Season::Project& source, const Loaded& loaded, const std::string& name) {
    Diagnostics quiet;
    const std::vector<std::string> sizes = declared_sizes(Declarations(loaded.files.front().tree), quiet);
    if (source.size && std::find(sizes.begin(), sizes.end(), source.size->text) == sizes.end()) {
      Diagnostic& added = diagnostics_.add(
          Kind::unknown_size, source.size->span,
          sizes.empty() ? fmt::format("{} has one size, and no name for it", name)
                        : fmt::format("{} has no size called `{}`", name, source.size->text));
      if (!sizes.empty()) added.try_this(fmt::format("{}", fmt::join(sizes, ", ")));
      return false;
    }
    if (source.size || sizes.empty()) return true;
    diagnostics_
        .add(Kind::unknown_size, source.file.span,
             fmt::format("{} has {} sizes, and the season does not say which is knitted", name, sizes.size()))
        .try_this(fmt::format("knit \"{}\" size {}", source.file.text, sizes[sizes.size() / 2]));
    return false;
  }

  void has_errors(const tree::Season::Project& source, const Loaded& loaded, const Settings& settings,
                  const Checked& checked, const std::string& name) {
    const auto& all = checked.diagnostics.all();
    const auto first = std::find_if(all.begin(), all.end(), [](const Diagnostic& each) {
      return facts(each.kind).severity == Severity::error;
    });
    Diagnostic& added = diagnostics_.add(
        Kind::project_has_errors, source.file.span,
        fmt::format("{} has {}", name,
                    count_of(static_cast<long long>(checked.diagnostics.errors()), "error", "errors")));
    if (first == all.end()) return;
    const std::string shown =
        show(*first, sources_of(loaded, settings_sources(settings, loaded.files.size() + 1)));
    added.note(shown.substr(0, shown.find('\n')))
        .try_this(fmt::format("mend it first: `wale check {}` says all of it", name));
  }

  /// Returns the stitches, also those for which no pace is known.
  long long count(const Checked& checked, SeasonProject& project) {
    std::map<std::string, long long> by_pace;
    long long all = 0;
    for (const auto& [fabric, stitches] : count_stitches(checked.pattern, *checked.stitches)) {
      if (!fabric.empty()) fabrics_knitted_.insert(fabric);
      const std::string own = pace_.contains(fabric) ? fabric : "";
      by_pace[own] = add_counts(by_pace[own], stitches);
      all = add_counts(all, stitches);
    }
    for (const auto& [fabric, stitches] : by_pace) {
      const auto pace = pace_.find(fabric);
      if (pace == pace_.end()) continue;  // that it is not given has been said
      SeasonPart part{fabric, stitches, pace->second, 0};
      part.ticks = ticks_of(static_cast<double>(stitches) / part.pace);
      project.parts.push_back(part);
    }
    for (const SeasonPart& part : project.parts) {
      project.stitches += part.stitches;
      project.ticks = std::min(most_ticks, project.ticks + part.ticks);
    }
    take_yarns(checked, project);
    return all;
  }

  // --- order

  Job job_of(const SeasonProject& project, const KnittingTime& time, double pace_factor) const {
    Job out;
    if (pace_factor == 1)
      out.length = project.ticks;
    else
      for (const SeasonPart& part : project.parts)
        out.length += ticks_of(static_cast<double>(part.stitches) / (part.pace * pace_factor));
    if (project.after) out.release = time.after(*project.after);
    if (project.by) out.due = time.after(*project.by);
    return out;
  }

  bool feasible(const SeasonChange& change) const {
    std::optional<KnittingTime> changed;
    if (change.hours_per_week) {
      std::vector<WeekHours> hours = hours_;
      hours.front().per_week = *change.hours_per_week;
      changed.emplace(out_.from, hours, out_.away);
    }
    const KnittingTime& time = changed ? *changed : out_.time;
    std::vector<Job> jobs;
    for (std::size_t i = 0; i < out_.projects.size(); ++i) {
      if (change.without == i) continue;
      jobs.push_back(job_of(out_.projects[i], time, change.pace_factor));
      if (change.moved && change.moved->first == i) jobs.back().due = time.after(change.moved->second);
    }
    return can_be_done(jobs) && fits(schedule(jobs), time);
  }

  static bool fits(const Schedule& made, const KnittingTime& time) {
    return std::all_of(made.ends.begin(), made.ends.end(), [&](long long end) { return end <= time.all(); });
  }

  void schedule_projects(const tree::Season& season) {
    std::vector<Job> jobs;
    for (const SeasonProject& project : out_.projects) jobs.push_back(job_of(project, out_.time, 1));
    Schedule made = schedule(jobs);
    if (made.lateness(jobs) > 0) return too_short(season, jobs, made);
    if (!fits(made, out_.time)) {
      long long all = 0;
      for (const Job& job : jobs) all += job.length;
      diagnostics_
          .add(Kind::season_too_short, season.name.span, "the season would last for more than ten years")
          .under(fmt::format("{} of knitting, {:g} a week", hours_words(all), out_.hours_per_week));
      return;
    }
    for (std::size_t i = 0; i < jobs.size(); ++i)
      if (jobs[i].due != Job::never) out_.projects[i].slack = jobs[i].due - made.ends[i];
    std::vector<bool> begun(jobs.size(), false);
    for (const Stint& stint : made.stints) {
      const Day first = out_.time.day_of(stint.begin), last = out_.time.day_of(stint.end - 1);
      SeasonProject& project = out_.projects[stint.job];
      if (!begun[stint.job]) project.begins = first;
      begun[stint.job] = true;
      project.ends = last;
    }
    out_.schedule = std::move(made);
  }

  // --- a season that cannot be knitted

  void too_short(const tree::Season& season, const std::vector<Job>& jobs, const Schedule& made) {
    std::size_t worst = 0;
    long long most = 0;
    for (std::size_t i = 0; i < jobs.size(); ++i)
      if (jobs[i].due != Job::never && made.ends[i] - jobs[i].due > most) {
        most = made.ends[i] - jobs[i].due;
        worst = i;
      }
    const SeasonProject& project = out_.projects[worst];
    Diagnostic& added = diagnostics_.add(Kind::season_too_short, season.projects[worst].by->span,
                                         fmt::format("{} cannot be done by then: the season is short by {}",
                                                     project.title, hours_words(most)));
    added.under(fmt::format("{} too little until then", hours_words(most)));
    added.note(sum_until(worst, jobs));
    for (std::size_t i = 0; i < jobs.size(); ++i)
      if (i != worst && jobs[i].due != Job::never && made.ends[i] > jobs[i].due)
        added.label(season.projects[i].by->span, fmt::format("{} is late, too, by {}", out_.projects[i].title,
                                                             hours_words(made.ends[i] - jobs[i].due)));
    std::vector<std::optional<Day>> due;
    for (const SeasonProject& each : out_.projects) due.push_back(each.by);
    give(advise(due, out_.pace, out_.hours_per_week, last_,
                [&](const SeasonChange& change) { return feasible(change); }),
         added);
  }

  /// "there are 17.2 hours until 2026-12-20, and it takes 29.7: Fogbound Cowl 10.3, Beacon Mitts 19.4"
  std::string sum_until(std::size_t worst, const std::vector<Job>& jobs) const {
    const long long due = jobs[worst].due;
    long long needed = 0;
    std::vector<std::string> parts;
    for (std::size_t i = 0; i < jobs.size(); ++i) {
      if (jobs[i].due > due) continue;
      needed += jobs[i].length;
      parts.push_back(fmt::format("{} {}", out_.projects[i].title, hours_words(jobs[i].length)));
    }
    std::string out =
        fmt::format("until {} there are {:.1f} hours, and what is due by then takes {}: {}",
                    iso_date(*out_.projects[worst].by), std::floor(hours_of(due) * 10 + 1e-6) / 10,
                    hours_words(needed), fmt::join(parts, ", "));
    if (out_.projects[worst].after)
      out += fmt::format("; {} waits until after {}", out_.projects[worst].title,
                         iso_date(*out_.projects[worst].after));
    return out;
  }

  void give(const SeasonAdvice& advice, Diagnostic& added) const {
    const auto title = [&](std::size_t i) {
      const SeasonProject& project = out_.projects[i];
      return project.size.empty() ? project.title : fmt::format("{} {}", project.title, project.size);
    };
    if (!advice.leave_out.empty()) {
      std::vector<std::string> names;
      for (const std::size_t i : advice.leave_out) names.push_back(title(i));
      added.try_this(fmt::format("leave out {}: the rest is done in time", fmt::join(names, ", or ")));
    } else if (out_.projects.size() > 1) {
      added.note("no single project, left out, makes room for the rest");
    }
    for (const auto& [project, date] : advice.move)
      added.try_this(fmt::format("{} by {}, {} later", title(project), iso_date(date),
                                 count_of((date - *out_.projects[project].by).count(), "day", "days")));
    if (advice.hours_per_week)
      added.try_this(
          fmt::format("{:g} hours per week in place of {:g}", *advice.hours_per_week, out_.hours_per_week));
    if (advice.pace)
      added.try_this(fmt::format("a pace of {:g} st per hour in place of {:g}{}", *advice.pace, out_.pace,
                                 pace_.size() > 1 ? ", and the other paces in proportion" : ""));
  }

  const Loaded& loaded_;
  const Declarations& declarations_;
  const Pattern& pattern_;
  Diagnostics& diagnostics_;
  Effort& effort_;
  Season out_;
  Day last_;                            ///< that is looked at
  std::map<std::string, double> pace_;  ///< by fabric; the season's under ""
  std::vector<tree::Name> fabrics_;     ///< that have a pace of their own
  std::set<std::string> fabrics_knitted_;
  std::vector<WeekHours> hours_;  ///< the season's first
};

}  // namespace

Day Season::last_day() const {
  Day out = from;
  for (const SeasonProject& project : projects)
    out = std::max({out, project.ends, project.by ? *project.by : project.ends});
  return out;
}

std::vector<std::size_t> Season::in_order() const {
  std::vector<std::size_t> out;
  for (auto stint = schedule.stints.rbegin(); stint != schedule.stints.rend(); ++stint)
    if (std::find(out.begin(), out.end(), stint->job) == out.end()) out.push_back(stint->job);
  std::reverse(out.begin(), out.end());
  return out;
}

long long Season::ticks() const {
  long long out = 0;
  for (const SeasonProject& project : projects) out += project.ticks;
  return out;
}

std::optional<Season> plan_season(const Loaded& loaded, const Declarations& declarations,
                                  const Pattern& pattern, Diagnostics& diagnostics, Effort& effort) {
  if (declarations.count<tree::Season>() == 0) return {};
  return SeasonPlanner(loaded, declarations, pattern, diagnostics, effort).run();
}

}  // namespace wale
