/// A season worked out: what is knitted on which days, what it takes, and what is left over.
///
/// The projects come from their own files, checked in the size that is asked for. Their stitches and the pace
/// give hours, the hours of the weeks give days, the due dates give the order (season_schedule.hpp), and
/// their yarns are taken from the one stash, in that order, so that no skein is promised twice. A season that
/// cannot be knitted in its hours, or whose yarn does not suffice, is an error that says by how much, and
/// what would help.
///
///     season "Ice watch" from 2026-12-01 {
///       pace 1100 st per hour, 6 hours per week
///       knit "fogbound-cowl.wale" by 2027-02-06      11,000 st: 10 hours, knitted until 13 December, 55 days
///       to spare
///     }
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/declarations.hpp"
#include "compiler/effort.hpp"
#include "compiler/loading.hpp"
#include "compiler/pattern.hpp"
#include "compiler/season_dates.hpp"
#include "compiler/season_schedule.hpp"

namespace wale {

/// Stitches knitted at one pace.
struct SeasonPart {
  std::string fabric;  ///< empty: all that has no pace of its own
  long long stitches = 0;
  double pace = 0;  ///< stitches an hour
  long long ticks = 0;
};

/// Yarn of one kind, known by its full name. In grams, by the middle of the estimate and by its upper end.
struct SeasonYarn {
  std::string label;
  std::optional<Rgb> colour;
  double grams = 0, at_most = 0;
  double from_stash = 0;  ///< of the grams
};

struct SeasonProject {
  std::string file;   ///< as the season names it
  std::string title;  ///< the pattern's, or its file's name
  std::string size;   ///< empty where it has one and no name for it
  Span span;          ///< of the file's name in the season
  std::optional<Day> after, by;
  std::vector<SeasonPart> parts;
  long long stitches = 0, ticks = 0;  ///< sums of its parts
  std::vector<SeasonYarn> yarns;
  std::string no_estimate;  ///< why its yarn is not known; empty where it is
  Day begins, ends;         ///< the first and the last day of knitting
  /// Knitting time between its end and the end of the day on which it is due. Other projects may use it.
  std::optional<long long> slack;
};

/// A yarn of the stash, and what the season takes of it.
struct SeasonStash {
  std::string label;
  double there = 0, used = 0;
  double used_at_most = 0;  ///< by the upper estimates
};

struct Season {
  std::string name;
  Day from;
  double pace = 0, hours_per_week = 0;  ///< of the whole season, as they are written
  std::vector<std::pair<Day, Day>> away;
  std::vector<SeasonProject> projects;  ///< in the order of the file
  Schedule schedule;                    ///< in ticks of `time`; its jobs are the projects
  std::vector<SeasonStash> stash;
  KnittingTime time{Day{}, {}, {}};

  /// The last day of knitting, or the last one on which something is due if that is later.
  Day last_day() const;
  /// Projects in the order in which they are finished.
  std::vector<std::size_t> in_order() const;
  /// Knitting time of all projects.
  long long ticks() const;
};

/// The season that the file declares, if it does. `pattern` is what else it declares. `effort` is spent on
/// its projects.
std::optional<Season> plan_season(const Loaded& loaded, const Declarations& declarations,
                                  const Pattern& pattern, Diagnostics& diagnostics, Effort& effort);

}  // namespace wale
