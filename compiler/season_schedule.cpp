#include "compiler/season_schedule.hpp"

#include <algorithm>

namespace wale {

long long Schedule::lateness(const std::vector<Job>& jobs) const {
  long long out = std::numeric_limits<long long>::min();
  for (std::size_t i = 0; i < jobs.size(); ++i)
    if (jobs[i].due != Job::never) out = std::max(out, ends[i] - jobs[i].due);
  return out;
}

Schedule schedule(const std::vector<Job>& jobs) {
  Schedule out;
  out.ends.assign(jobs.size(), 0);
  std::vector<long long> left;
  for (const Job& job : jobs) left.push_back(job.length);
  for (long long now = 0;;) {
    // The most urgent job that may be knitted now, and the next moment at which another may be.
    std::size_t most_urgent = jobs.size();
    long long next = Job::never;
    for (std::size_t i = 0; i < jobs.size(); ++i) {
      if (left[i] == 0) continue;
      if (jobs[i].release > now)
        next = std::min(next, jobs[i].release);
      else if (most_urgent == jobs.size() || jobs[i].due < jobs[most_urgent].due)
        most_urgent = i;
    }
    if (most_urgent == jobs.size()) {
      if (next == Job::never) return out;
      now = next;
      continue;
    }
    const long long end = std::min(now + left[most_urgent], next);
    left[most_urgent] -= end - now;
    if (left[most_urgent] == 0) out.ends[most_urgent] = end;
    if (!out.stints.empty() && out.stints.back().job == most_urgent && out.stints.back().end == now)
      out.stints.back().end = end;
    else
      out.stints.push_back({most_urgent, now, end});
    now = end;
  }
}

bool can_be_done(const std::vector<Job>& jobs) {
  return schedule(jobs).lateness(jobs) <= 0;
}

}  // namespace wale
