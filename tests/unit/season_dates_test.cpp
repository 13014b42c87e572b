// Days, weeks and knitting time, against sums that know nothing of ours.
#include "compiler/season_dates.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <random>

using namespace wale;
using std::chrono::days;

namespace {

std::optional<Day> read(const std::string& text) {
  std::string why;
  return read_day(text, why);
}

std::string why_not(const std::string& text) {
  std::string why;
  CHECK(!read_day(text, why));
  return why;
}

/// Days since 1970-01-01, counted up year by year and month by month, as the Gregorian rule says it.
long long counted(int year, int month, int day) {
  const auto leaps = [](int y) { return (y % 4 == 0 && y % 100 != 0) || y % 400 == 0; };
  constexpr int lengths[]{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  long long out = 0;
  for (int y = 1970; y < year; ++y) out += leaps(y) ? 366 : 365;
  for (int m = 1; m < month; ++m) out += lengths[m - 1] + (m == 2 && leaps(year) ? 1 : 0);
  return out + day - 1;
}

}  // namespace

TEST_CASE("dates are days of the Gregorian calendar, and no others are read") {
  for (int year = 1970; year < 2110; ++year)
    for (int month = 0; month <= 13; ++month)
      for (int day = 0; day <= 32; ++day) {
        const std::string text = fmt::format("{:04}-{:02}-{:02}", year, month, day);
        const auto found = read(text);
        const bool there =
            month >= 1 && month <= 12 && day >= 1 &&
            counted(year, month, day) < (month == 12 ? counted(year + 1, 1, 1) : counted(year, month + 1, 1));
        REQUIRE(found.has_value() == there);
        if (!there) continue;
        REQUIRE(found->time_since_epoch().count() == counted(year, month, day));
        REQUIRE(render::iso_date(*found) == text);
      }
}

TEST_CASE("a date that is none says why") {
  CHECK(why_not("2027-02-30") == "February 2027 has 28 days");
  CHECK(why_not("2028-02-30") == "February 2028 has 29 days");
  CHECK(why_not("2100-02-29") == "February 2100 has 28 days");
  CHECK(why_not("2027-13-01") == "a year has 12 months, and this is month 13");
  CHECK(why_not("2027-04-31") == "April 2027 has 30 days");
  CHECK(why_not("2027-04-00") == "the first day of a month is 01");
  CHECK(why_not("1582-10-15") == "years before 1583 had another calendar");
}

TEST_CASE("weeks are numbered as ISO 8601 does it") {
  // Worked examples of the standard's rule (week 1 holds the first Thursday), checked with `date +%G-W%V`.
  const std::pair<const char*, const char*> known[]{
      {"2005-01-01", "2004-W53"}, {"2005-01-02", "2004-W53"}, {"2005-12-31", "2005-W52"},
      {"2007-01-01", "2007-W01"}, {"2008-12-29", "2009-W01"}, {"2010-01-03", "2009-W53"},
      {"2026-12-01", "2026-W49"}, {"2027-01-03", "2026-W53"}, {"2027-01-04", "2027-W01"}};
  for (const auto& [day, week] : known) CHECK(render::iso_week(*read(day)) == week);
  CHECK(render::day_words(*read("2027-02-06")) == "Sat 6 February 2027");
  CHECK(render::short_day_words(*read("2027-02-06")) == "6 Feb");
}

TEST_CASE("a tick is on the day that the hours of each day before lead to") {
  std::mt19937 random(11);
  const Day first = *read("2026-12-01");
  for (int round = 0; round < 200; ++round) {
    std::vector<WeekHours> hours{
        {first, first + days{longest_season}, 1.0 + static_cast<double>(random() % 40) / 4}};
    if (random() % 2 == 0)
      hours.push_back({first + days{random() % 30}, first + days{30 + random() % 30},
                       static_cast<double>(random() % 3) * 3});
    std::vector<std::pair<Day, Day>> away;
    for (std::size_t i = random() % 3; i > 0; --i) {
      const Day from = first + days{random() % 80};
      away.push_back({from, from + days{random() % 10}});
    }
    const KnittingTime time(first, hours, away);
    long long so_far = 0;
    for (int i = 0; i < 120; ++i) {
      const Day day = first + days{i};
      double per_week = 0;
      for (const WeekHours& each : hours)
        if (day >= each.first && day <= each.last) per_week = each.per_week;
      for (const auto& [from, to] : away)
        if (day >= from && day <= to) per_week = 0;
      REQUIRE(time.before(day) == so_far);
      // Quarters of an hour are whole ticks a day, so seven days are the week exactly.
      REQUIRE(time.on(day) * 7 == std::llround(per_week * static_cast<double>(ticks_an_hour)));
      if (time.on(day) > 0) {
        REQUIRE(time.day_of(so_far) == day);
        REQUIRE(time.day_of(time.after(day) - 1) == day);
      }
      so_far = time.after(day);
    }
    CHECK(time.before(first - days{5}) == 0);
    CHECK(time.after(first + days{longest_season + 50}) == time.all());
  }
}

TEST_CASE("hours become ticks, never fewer than they are, and huge ones stick") {
  CHECK(ticks_of(1) == ticks_an_hour);
  CHECK(ticks_of(0.5 / static_cast<double>(ticks_an_hour)) == 1);
  CHECK(ticks_of(1e300) == most_ticks);
  CHECK(hours_of(ticks_of(7.25)) == doctest::Approx(7.25));
}
