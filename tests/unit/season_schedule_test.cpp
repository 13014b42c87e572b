// The order of knitting, held against every other order.
#include "compiler/season_schedule.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <random>

#include "compiler/season_advice.hpp"

using namespace wale;

namespace {

constexpr long long worst = std::numeric_limits<long long>::max();

/// The least lateness of any order in which each job is knitted without a break.
long long best_of_all_orders(const std::vector<Job>& jobs) {
  std::vector<std::size_t> order(jobs.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  long long best = worst;
  do {
    long long now = 0, late = std::numeric_limits<long long>::min();
    for (const std::size_t i : order) {
      now = std::max(now, jobs[i].release) + jobs[i].length;
      if (jobs[i].due != Job::never) late = std::max(late, now - jobs[i].due);
    }
    best = std::min(best, late);
  } while (std::next_permutation(order.begin(), order.end()));
  return best;
}

/// The least lateness of any way to share out the units of time, breaks allowed: every choice at every unit
/// is tried, the same rest of work at the same time once.
class EveryWay {
 public:
  explicit EveryWay(const std::vector<Job>& jobs) : jobs_(jobs) {}

  long long run() {
    std::vector<long long> left;
    for (const Job& job : jobs_) left.push_back(job.length);
    return from(0, left);
  }

 private:
  long long from(long long now, const std::vector<long long>& left) {
    if (std::all_of(left.begin(), left.end(), [](long long l) { return l == 0; }))
      return std::numeric_limits<long long>::min();
    const auto [known, is_new] = seen_.insert({{now, left}, worst});
    if (!is_new) return known->second;
    long long best = worst;
    bool any = false;
    for (std::size_t i = 0; i < jobs_.size(); ++i) {
      if (left[i] == 0 || jobs_[i].release > now) continue;
      any = true;
      std::vector<long long> rest = left;
      --rest[i];
      long long late = from(now + 1, rest);
      if (rest[i] == 0 && jobs_[i].due != Job::never) late = std::max(late, now + 1 - jobs_[i].due);
      best = std::min(best, late);
    }
    if (!any) best = from(now + 1, left);
    return seen_[{now, left}] = best;
  }

  const std::vector<Job>& jobs_;
  std::map<std::pair<long long, std::vector<long long>>, long long> seen_;
};

/// Knits unit by unit, each time at what is due first.
std::vector<long long> ends_unit_by_unit(const std::vector<Job>& jobs) {
  std::vector<long long> left, ends(jobs.size(), 0);
  for (const Job& job : jobs) left.push_back(job.length);
  for (long long now = 0; std::any_of(left.begin(), left.end(), [](long long l) { return l > 0; }); ++now) {
    std::optional<std::size_t> next;
    for (std::size_t i = 0; i < jobs.size(); ++i)
      if (left[i] > 0 && jobs[i].release <= now && (!next || jobs[i].due < jobs[*next].due)) next = i;
    if (next && --left[*next] == 0) ends[*next] = now + 1;
  }
  return ends;
}

std::vector<Job> random_jobs(std::mt19937& random, std::size_t most, bool released, int longest) {
  std::vector<Job> out(1 + random() % most);
  for (Job& job : out) {
    job.length = 1 + static_cast<long long>(random() % static_cast<unsigned>(longest));
    if (released && random() % 2 == 0) job.release = static_cast<long long>(random() % 8);
    if (random() % 5 > 0) job.due = job.release + 1 + static_cast<long long>(random() % 16);
  }
  return out;
}

}  // namespace

TEST_CASE("no order of projects makes the latest one less late than the order of due dates") {
  std::mt19937 random(1955);
  for (int round = 0; round < 2000; ++round) {
    const std::vector<Job> jobs = random_jobs(random, 6, false, 6);
    const Schedule made = schedule(jobs);
    const bool any_due =
        std::any_of(jobs.begin(), jobs.end(), [](const Job& j) { return j.due != Job::never; });
    if (any_due) CHECK(made.lateness(jobs) == best_of_all_orders(jobs));
    // Each in one go, in the order of due dates.
    CHECK(made.stints.size() == jobs.size());
  }
}

TEST_CASE("with days before which some may not be begun, no way to share out the time is better") {
  std::mt19937 random(1974);
  int broken_off = 0;
  for (int round = 0; round < 400; ++round) {
    const std::vector<Job> jobs = random_jobs(random, 4, true, 4);
    const Schedule made = schedule(jobs);
    if (std::all_of(jobs.begin(), jobs.end(), [](const Job& j) { return j.due == Job::never; })) continue;
    CHECK(made.lateness(jobs) == EveryWay(jobs).run());
    // Never worse than the best of those that put nothing down.
    CHECK(made.lateness(jobs) <= best_of_all_orders(jobs));
    broken_off += made.stints.size() > jobs.size();
  }
  CHECK(broken_off > 10);
}

TEST_CASE("a schedule is whole: every job its length, none before it may, none at one time with another") {
  std::mt19937 random(3);
  for (int round = 0; round < 2000; ++round) {
    const std::vector<Job> jobs = random_jobs(random, 8, true, 9);
    const Schedule made = schedule(jobs);
    std::vector<long long> knitted(jobs.size(), 0);
    long long before = 0;
    for (const Stint& each : made.stints) {
      CHECK(each.begin >= before);
      CHECK(each.end > each.begin);
      CHECK(each.begin >= jobs[each.job].release);
      before = each.end;
      knitted[each.job] += each.end - each.begin;
    }
    for (std::size_t i = 0; i < jobs.size(); ++i) CHECK(knitted[i] == jobs[i].length);
    CHECK(made.ends == ends_unit_by_unit(jobs));
  }
}

TEST_CASE("advice is enough, and less is not") {
  // Two projects of 10 and 20 hours in 5 hours a week, which is 126,000 ticks.
  const Day first = std::chrono::sys_days{std::chrono::year{2026} / 12 / 1};
  const auto jobs_of = [&](const SeasonChange& change, const std::vector<std::optional<Day>>& due) {
    const KnittingTime time(
        first, {{first, first + std::chrono::days{longest_season}, change.hours_per_week.value_or(5)}}, {});
    std::vector<Job> jobs;
    for (std::size_t i = 0; i < due.size(); ++i) {
      if (change.without == i) continue;
      const Day by = change.moved && change.moved->first == i ? change.moved->second : *due[i];
      jobs.push_back({ticks_of((i == 0 ? 10 : 20) / change.pace_factor), 0, time.after(by)});
    }
    return jobs;
  };
  // 28 days are 20 hours: 10 short.
  const std::vector<std::optional<Day>> due{first + std::chrono::days{20}, first + std::chrono::days{27}};
  const Feasible feasible = [&](const SeasonChange& change) { return can_be_done(jobs_of(change, due)); };
  CHECK(!feasible({}));
  const SeasonAdvice advice = advise(due, 1000, 5, first + std::chrono::days{longest_season - 1}, feasible);
  CHECK(advice.leave_out == std::vector<std::size_t>{0, 1});
  // 30 hours take 42 days. Moved far enough, the first one is knitted after the second: that still ends in
  // time.
  REQUIRE(advice.move.size() == 2);
  CHECK(advice.move[0].second == first + std::chrono::days{41});
  CHECK(advice.move[1].second == first + std::chrono::days{41});
  CHECK(*advice.pace == 1500);
  CHECK(*advice.hours_per_week == 7.5);
  for (const auto& [project, day] : advice.move) {
    SeasonChange moved;
    moved.moved = {project, day - std::chrono::days{1}};
    CHECK(!feasible(moved));
  }
}
