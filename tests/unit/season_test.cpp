// Seasons worked out from files in memory: the sums, the days and the yarn, each against a plainer way to get
// them.
#include "compiler/season.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <random>

#include "compiler/check.hpp"
#include "compiler/season_document.hpp"
#include "compiler/season_outputs.hpp"
#include "compiler/stitch_counts.hpp"
#include "tried.hpp"

using namespace wale;
using std::chrono::days;

namespace {

Tried try_season(const std::string& season, Files files) {
  files["season.wale"] = season;
  return try_file("season.wale", files);
}

/// A garter strip of so many stitches, edges among them.
std::string strip(const std::string& title, long long stitches, const std::string& more = "") {
  return fmt::format(
      "pattern \"{}\"\n{}fabric garter flat n st {{ every: <k> }}\npiece strip flat {{\n  cast on 10\n"
      "  work garter for {} rows\n  bind off\n}}\n",
      title, more, stitches / 10 - 2);
}

Day day(int year, unsigned month, unsigned number) {
  return std::chrono::sys_days{std::chrono::year{year} / static_cast<int>(month) / static_cast<int>(number)};
}

std::string season(const std::string& lines) {
  return "season \"Watch\" from 2026-12-01 {\n  pace 1000 st per hour, 7 hours per week\n" + lines + "}\n";
}

}  // namespace

TEST_CASE("stitches are counted fabric by fabric, and none is lost") {
  const Source source(
      "a.wale",
      "fabric garter flat n st { every: <k> }\n"
      "fabric rib flat 4n + 2 st {\n  1: <k2 p2> k2\n  2: <p2 k2> p2\n}\n"
      "fabric rope flat 8 st {\n  1: k8\n  2: p8\n  3: 4/4rc\n  4: p8\n}\n"
      "piece scarf flat {\n  cast on 58\n  work garter for 6 rows\n"
      "  work garter 4 | rope 8 | rib for 40 rows\n  rows { 1: <k>\n 2: <p> }\n"
      "  repeat 3 times {\n    work garter for 2 rows\n    work garter for 1 times\n  }\n  bind off\n}\n",
      1);
  const Checked checked = check(source);
  INFO(show(checked.diagnostics, {vocabulary_source(), source}));
  REQUIRE(!checked.diagnostics.has_errors());
  StitchCounts counts = count_stitches(checked.pattern, *checked.stitches);
  // By hand: garter 6 x 58, 40 x 4 and 3 x 3 x 58; the rope 40 x 8, crossings of 8 as 8; rib the rest of 40
  // rows; cast on, bound off and two rows of no fabric 4 x 58.
  CHECK(counts["garter"] == 6 * 58 + 40 * 4 + 9 * 58);
  CHECK(counts["rope"] == 40 * 8);
  CHECK(counts["rib"] == 40 * (58 - 12));
  CHECK(counts[""] == 4 * 58);
}

TEST_CASE("shares add up to the whole") {
  std::mt19937 random(5);
  for (int i = 0; i < 1000; ++i) {
    std::vector<double> weights(1 + random() % 6);
    for (double& weight : weights) weight = static_cast<double>(random() % 5);
    const auto whole = static_cast<long long>(random() % 1000);
    long long sum = 0;
    for (const long long part : shares(whole, weights)) {
      CHECK(part >= 0);
      sum += part;
    }
    CHECK(sum == whole);
  }
}

TEST_CASE("a season is knitted in the order of due dates, on the days that have hours") {
  // 1000 stitches an hour, an hour a day.
  const Tried tried = try_season(season("  away 2026-12-06 to 2026-12-08\n"
                                        "  knit \"late.wale\" by 2026-12-31\n"
                                        "  knit \"soon.wale\" by 2026-12-10\n"
                                        "  knit \"whenever.wale\"\n"
                                        "  knit \"wait.wale\" after 2026-12-10 by 2026-12-14\n"),
                                 {{"late.wale", strip("Late", 8000)},
                                  {"soon.wale", strip("Soon", 4500)},
                                  {"whenever.wale", strip("Whenever", 2000)},
                                  {"wait.wale", strip("Wait", 2000)}});
  INFO(tried.shown);
  REQUIRE(tried.checked.season);
  const Season& plan = *tried.checked.season;
  const auto& all = plan.projects;
  CHECK(all[1].begins == day(2026, 12, 1));
  CHECK(all[1].ends == day(2026, 12, 5));  // half of it is left for the next
  CHECK(all[0].begins == day(2026, 12, 5));
  CHECK(all[3].begins == day(2026, 12, 11));
  CHECK(all[3].ends == day(2026, 12, 12));
  CHECK(all[0].ends == day(2026, 12, 18));
  CHECK(all[2].ends == day(2026, 12, 20));
  CHECK(!all[2].slack);
  // From noon on the fifth: half of it and the ninth and tenth.
  CHECK(hours_of(*all[1].slack) == doctest::Approx(2.5));
  CHECK(plan.in_order() == std::vector<std::size_t>{1, 3, 0, 2});
  CHECK(plan.last_day() == day(2026, 12, 31));
}

TEST_CASE(
    "hours are the sum of their parts, in projects, stints and weeks, and a knitter who counts days agrees") {
  std::mt19937 random(17);
  int planned = 0;
  for (int round = 0; round < 60; ++round) {
    Files files;
    std::string lines = "  pace 600 st per hour in slow\n";
    if (random() % 2) lines += "  away 2026-12-20 to 2026-12-28\n";
    if (random() % 2) lines += "  14 hours per week from 2027-01-04 to 2027-01-10\n";
    const auto count = 1 + random() % 5;
    for (std::size_t i = 0; i < count; ++i) {
      const std::string name = fmt::format("p{}.wale", i);
      files[name] = strip(fmt::format("P{}", i), 1000 + static_cast<long long>(random() % 900) * 10,
                          "fabric slow flat n st { every: <k> }\npiece cuff flat {\n  cast on 30\n"
                          "  work slow for 7 rows\n  bind off\n}\n");
      lines += fmt::format("  knit \"{}\"", name);
      if (random() % 3 == 0) lines += fmt::format(" after 2026-12-{:02}", 1 + random() % 20);
      if (random() % 4) lines += fmt::format(" by 2027-{:02}-{:02}", 1 + random() % 3, 1 + random() % 28);
      lines += "\n";
    }
    const Tried tried = try_season(season(lines), files);
    if (!tried.checked.season) {
      CHECK(says(tried, "[season-too-short]"));
      continue;
    }
    ++planned;
    const Season& plan = *tried.checked.season;
    long long parts = 0, stints = 0, weeks = 0, projects = 0;
    for (const SeasonProject& each : plan.projects) {
      projects += each.ticks;
      for (const SeasonPart& part : each.parts) {
        parts += part.ticks;
        CHECK(hours_of(part.ticks) ==
              doctest::Approx(static_cast<double>(part.stitches) / (part.fabric == "slow" ? 600 : 1000)));
      }
    }
    for (const Stint& each : plan.schedule.stints) stints += each.end - each.begin;
    for (const SeasonWeek& each : weeks_of(plan)) {
      weeks += each.knitted;
      CHECK(each.knitted <= each.there);
    }
    CHECK(parts == plan.ticks());
    CHECK(projects == plan.ticks());
    CHECK(stints == plan.ticks());
    CHECK(weeks == plan.ticks());

    // Day after day, at what is due first of what may be begun.
    std::vector<long long> left;
    for (const SeasonProject& each : plan.projects) left.push_back(each.ticks);
    std::vector<Day> ends(left.size());
    for (Day now = plan.from; now < plan.from + days{400}; now += days{1}) {
      long long today = ticks_an_hour;
      if (now >= day(2027, 1, 4) && now <= day(2027, 1, 10) && lines.find("14 hours") != std::string::npos)
        today *= 2;
      if (now >= day(2026, 12, 20) && now <= day(2026, 12, 28) && lines.find("away") != std::string::npos)
        today = 0;
      while (today > 0) {
        std::optional<std::size_t> next;
        const auto due = [&](std::size_t i) { return plan.projects[i].by.value_or(day(2100, 1, 1)); };
        for (std::size_t i = 0; i < left.size(); ++i)
          if (left[i] > 0 && (!plan.projects[i].after || now > *plan.projects[i].after) &&
              (!next || due(i) < due(*next)))
            next = i;
        if (!next) break;
        const long long done = std::min(today, left[*next]);
        today -= done;
        left[*next] -= done;
        if (left[*next] == 0) ends[*next] = now;
      }
    }
    for (std::size_t i = 0; i < ends.size(); ++i) {
      CHECK(plan.projects[i].ends == ends[i]);
      if (plan.projects[i].by) CHECK(ends[i] <= *plan.projects[i].by);
    }
  }
  CHECK(planned > 15);
}

TEST_CASE("a season that is too short says by how much, and every change that it offers is enough") {
  const Files files{{"a.wale", strip("Alpha", 10'000)}, {"b.wale", strip("Beta", 20'000)}};
  const std::string lines = "  knit \"a.wale\" by 2026-12-12\n  knit \"b.wale\" by 2026-12-22\n";
  // 22 hours are there until the 22nd, and 30 are needed.
  const Tried tried = try_season(season(lines), files);
  CHECK(says(tried, "season.wale:4:20: error: Beta cannot be done by then: the season is short by 8 hours"));
  CHECK(says(tried,
             "until 2026-12-22 there are 22.0 hours, and what is due by then takes 30 hours: Alpha 10 hours, "
             "Beta 20 hours"));
  CHECK(says(tried, "try   leave out Alpha, or Beta: the rest is done in time"));
  CHECK(says(tried, "try   Alpha by 2026-12-30, 18 days later"));
  CHECK(says(tried, "try   Beta by 2026-12-30, 8 days later"));
  CHECK(says(tried, "try   9.75 hours per week in place of 7"));
  CHECK(says(tried, "try   a pace of 1364 st per hour in place of 1000"));
  const auto fits = [&](const std::string& text) {
    return try_season(text, files).checked.season.has_value();
  };
  const auto with = [&](const std::string& from, const std::string& to) {
    std::string out = season(lines);
    out.replace(out.find(from), from.size(), to);
    return out;
  };
  CHECK(fits(with("  knit \"a.wale\" by 2026-12-12\n", "")));
  CHECK(fits(with("2026-12-12", "2026-12-30")));
  CHECK(!fits(with("2026-12-12", "2026-12-29")));
  CHECK(fits(with("2026-12-22", "2026-12-30")));
  CHECK(!fits(with("2026-12-22", "2026-12-29")));
  CHECK(fits(with("7 hours", "9.75 hours")));
  CHECK(!fits(with("7 hours", "9.5 hours")));
  CHECK(fits(with("1000 st", "1364 st")));
  CHECK(!fits(with("1000 st", "1363 st")));
}

TEST_CASE("what cannot be is said in words at its place") {
  const Files files{{"a.wale", strip("Alpha", 1000)},
                    {"sized.wale", strip("Sized", 1000, "sizes S M L\n")},
                    {"wrong.wale", "piece p flat {\n  cast on 4\n  work rib for 2 rows\n}\n"},
                    {"yarns.wale", "yarn kelp \"Kelp\" 100 g = 200 m\n"}};
  const auto said = [&](const std::string& text) { return try_season(text, files).shown; };
  const auto line = [&](const std::string& text) { return said(season("  " + text + "\n")); };
  const auto has = [](const std::string& shown, const std::string& words) {
    INFO(shown, "\nlooked for: ", words);
    CHECK(shown.find(words) != std::string::npos);
  };
  has(line("knit \"a.wale\" by 2027-02-30"),
      "season.wale:3:20: error: there is no 2027-02-30: February 2027 has 28 days [bad-date]");
  has(line("knit \"a.wale\" by 2026-11-30"),
      "2026-11-30 is before the season begins, on 2026-12-01 [bad-season]");
  has(line("knit \"a.wale\" after 2027-01-05 by 2027-01-05"),
      "due on 2027-01-05, and not to be begun until after 2027-01-05");
  has(line("knit \"a.wale\" by 2037-12-01"), "more than ten years");
  has(line("away 2027-01-02 to 2026-12-24"), "2026-12-24 is before 2027-01-02");
  has(line("pace 1200 st per hour"), "this pace is given already");
  has(line("6 hours per week"), "the season has its hours already");
  has(line("pace 10 cm st per hour in rib"), "a pace is a plain number");
  has(line("pace 700 st per hour in rope\n  knit \"a.wale\""),
      "no project of the season has a fabric called `rope`");
  has(line("knit \"sized.wale\""), "sized.wale has 3 sizes, and the season does not say which is knitted");
  has(line("knit \"sized.wale\""), "try   knit \"sized.wale\" size M");
  has(line("knit \"sized.wale\" size XL"), "sized.wale has no size called `XL`");
  has(line("knit \"a.wale\" size M"), "a.wale has one size, and no name for it");
  has(line("knit \"wrong.wale\""), "wrong.wale has 1 error [project-has-errors]");
  has(line("knit \"wrong.wale\""), "wrong.wale:3:8: error: ");
  has(line("knit \"yarns.wale\""), "there is nothing to knit in yarns.wale");
  has(line("knit \"b.wale\""), "`b.wale` cannot be read: there is no such file [cannot-use]");
  has(line("knit \"/b.wale\""), "not from the root");
  has(line("knit \"a.wale\" by 2027-01-05 by 2027-01-06"), "each of `size`, `after` and `by` once");
  const auto paced = [&](const std::string& pace) {
    return said("season \"W\" from 2026-12-01 {\n  " + pace + "\n  knit \"a.wale\"\n}\n");
  };
  has(paced("pace 0 st per hour, 6 hours per week"), "a pace is more than nothing, or nothing is ever done");
  has(paced("pace -5 st per hour, 6 hours per week"), "a pace is more than nothing");
  has(paced("pace 20000 st per hour, 6 hours per week"),
      "a pace cannot be 20000: no hands make more than 10000");
  has(paced("pace 1000 st per hour, 200 hours per week"),
      "the hours of a week cannot be 200: a week has 168");
  has(paced("pace 1000 st per hour, 0 hours per week"), "the hours of a week is more than nothing");
  has(paced("pace 1000 st per hour"), "does not say how many hours there are to knit in");
  has(paced("pace 900 st per hour in garter, 6 hours per week"), "does not say how fast you knit");
  has(paced("pace 1000 st per hour, 6 hours per week\n  0 hours per week from 2026-12-01"),
      "more than ten years");
  has(said("season \"W\" from 2026-02-29 {\n}\n"), "there is no 2026-02-29: February 2026 has 28 days");
  has(said(season("") + season("")), "this file has a season already");
}

TEST_CASE("a season with very many projects, or very large ones, is bounded") {
  std::string lines;
  for (int i = 0; i < 60; ++i) lines += "  knit \"a.wale\"\n";
  Tried tried = try_season(season(lines), {{"a.wale", strip("A", 100)}});
  CHECK(says(tried, "a season has at most 50 projects"));
  const std::string endless =
      "fabric garter flat n st { every: <k> }\npiece p flat {\n  cast on 1000000000\n  work garter for "
      "1000000 rows\n  "
      "bind off\n}\n";
  tried = try_season(season("  knit \"a.wale\" by 2026-12-31\n"), {{"a.wale", endless}});
  CHECK(tried.checked.diagnostics.has_errors());
  tried = try_season(season("  knit \"a.wale\"\n"), {{"a.wale", strip("A", 10'000'000)}});
  CHECK(says(tried, "the season would last for more than ten years"));
}

TEST_CASE("no skein is promised twice") {
  const std::string yarn = "yarn kelp \"Skerry Worsted, Kelp\" 100 g = 200 m #2f5d50\n";
  const auto wool = [&](const std::string& title, const std::string& yarns) {
    return strip(title, 5000, yarns + "strand A = kelp\ngauge 20 st x 28 rows = 10 cm\n");
  };
  const Files files{
      {"a.wale", wool("Alpha", yarn)},
      // The short name is the file's own affair; the full name is the yarn.
      {"b.wale", strip("Beta", 5000,
                       "yarn green \"Skerry Worsted, Kelp\" 100 g = 200 m #2f5d50\nstrand A = green\n"
                       "gauge 20 st x 28 rows = 10 cm\n")},
      {"c.wale", wool("Gamma", "yarn kelp \"Skerry DK, Kelp\" 50 g = 120 m\n")},
      {"locker.wale", yarn + "stash { kelp 60 g\n kelp 60 g lot \"2\" }\n"}};
  const std::string lines =
      "  knit \"a.wale\" by 2027-02-01\n  knit \"b.wale\" by 2027-01-01\n  knit \"c.wale\"\n";
  Tried tried = try_season("use \"locker.wale\"\n" + season(lines), files);
  INFO(tried.shown);
  REQUIRE(tried.checked.season);
  const Season& plan = *tried.checked.season;
  REQUIRE(plan.stash.size() == 1);
  CHECK(plan.stash[0].there == 120);
  const double each = plan.projects[0].yarns.at(0).grams;
  CHECK(each > 30);
  CHECK(plan.stash[0].used == doctest::Approx(2 * each));
  CHECK(plan.projects[1].yarns[0].from_stash == doctest::Approx(each));
  CHECK(plan.projects[2].yarns[0].from_stash == 0);  // another yarn, to be bought

  Files less = files;
  less["locker.wale"] = yarn + fmt::format("stash {{ kelp {:.0f} g }}\n", each * 1.5);
  tried = try_season("use \"locker.wale\"\n" + season(lines), less);
  INFO(tried.shown);
  // Beta is due first and takes its share; Alpha finds half of what it needs.
  CHECK(says(tried, "season.wale:4:8: error: Skerry Worsted, Kelp is promised twice: Alpha needs"));
  CHECK(says(tried, "Beta takes"));
  less["locker.wale"] = yarn + "stash { kelp 10 g }\n";
  CHECK(says(try_season("use \"locker.wale\"\n" + season(lines), less), "the stash has 10 g"));
}

TEST_CASE("the files of a season are alike each time, and say the same") {
  const Files files{{"a.wale", strip("Alpha | <b>", 5000)}, {"b.wale", strip("Beta", 3000)}};
  const Tried tried =
      try_season(season("  away 2026-12-03\n  knit \"a.wale\" by 2026-12-20\n  knit \"b.wale\"\n"), files);
  REQUIRE(tried.checked.season);
  const Outputs first = make_season_outputs(*tried.checked.season, "watch", {}),
                second = make_season_outputs(*tried.checked.season, "watch", {});
  REQUIRE(first.failure.empty());
  REQUIRE(first.files.size() == 5);
  for (std::size_t i = 0; i < first.files.size(); ++i) {
    CHECK(first.files[i].name == second.files[i].name);
    CHECK(first.files[i].bytes == second.files[i].bytes);
    CHECK(first.files[i].name.starts_with("watch.season."));
  }
  const auto report = nlohmann::json::parse(season_report(*tried.checked.season));
  CHECK(report["format"] == "wale-season-1");
  CHECK(report["hours"] == 8.0);
  CHECK(report["projects"][0]["ends"] == "2026-12-06");
  double sum = 0;
  for (const auto& stint : report["stints"]) sum += stint["hours"].get<double>();
  CHECK(sum == doctest::Approx(8));
}
