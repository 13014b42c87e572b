#include "compiler/command_collection.hpp"

#include <fmt/format.h>
#include <tbb/enumerable_thread_specific.h>
#include <tbb/global_control.h>
#include <tbb/parallel_pipeline.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <iostream>
#include <map>
#include <memory>
#include <set>
#include <thread>

#include "compiler/build_graph.hpp"
#include "compiler/command_fresh.hpp"
#include "compiler/command_listed.hpp"
#include "compiler/command_terminal.hpp"
#include "compiler/commands.hpp"
#include "compiler/explain.hpp"
#include "compiler/scratch_folder.hpp"
#include "grammar/fitted.hpp"

namespace wale {

namespace {

/// A line on the terminal that says how far it has come, and is gone when there is something else to say.
class Progress {
 public:
  explicit Progress(std::size_t all) : all_(all), shown_(all > 1 && isatty(STDERR_FILENO) == 1) {}
  ~Progress() { clear(); }
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  void clear() {
    if (width_ > 0) fmt::print(stderr, "\r{:{}}\r", "", width_);
    width_ = 0;
  }
  void step() {
    ++done_;
    const auto now = std::chrono::steady_clock::now();
    if (!shown_ || now < next_) return;
    next_ = now + std::chrono::milliseconds(50);
    const std::string line = fmt::format("{} of {}", done_, all_);
    width_ = line.size();
    fmt::print(stderr, "\r{}", line);
    std::fflush(stderr);
  }

 private:
  std::size_t all_, done_ = 0, width_ = 0;
  bool shown_;
  std::chrono::steady_clock::time_point next_;
};

}  // namespace

std::string summary(const Sums& sums, const Task& task) {
  const auto count = [](std::size_t number, std::string_view one, std::string_view many) {
    return count_of(static_cast<long long>(number), one, many);
  };
  std::string out = count(sums.patterns - sums.fresh, "pattern", "patterns");
  if (sums.fresh > 0 && sums.fresh == sums.patterns)
    out = count(sums.fresh, "pattern", "patterns") + " up to date";
  else if (sums.failed == 0)
    out += task.to ? " compiled" : " checked";
  else
    out += fmt::format(", {} with errors", sums.failed);
  if (sums.fresh > 0 && sums.fresh < sums.patterns) out += fmt::format(", {} up to date", sums.fresh);
  if (sums.warnings > 0) out += ", " + count(sums.warnings, "warning", "warnings");
  if (sums.changes > 0) out += ", " + count(sums.changes, "change", "changes") + " made";
  if (sums.unreadable > 0) out += fmt::format(", {} that could not be read or written", sums.unreadable);
  return out + "\n";
}

namespace {

std::size_t jobs_for(std::size_t wanted) {
  return wanted > 0 ? wanted : std::max(1U, std::thread::hardware_concurrency());
}

}  // namespace

void compile_all(const std::vector<Found>& files, std::size_t wanted,
                 const std::function<Told(const Found&)>& work,
                 const std::function<void(const Found&, Told)>& tell) {
  const std::size_t jobs = jobs_for(wanted);
  // A pattern's own files are made side by side as well, where cores are free: the last pattern has them all.
  const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, jobs);
  if (jobs == 1 || files.size() <= 1) {
    for (const Found& each : files) tell(each, work(each));
    return;
  }
  constexpr std::size_t waiting = 4;  // for each core, behind one that takes long
  constexpr auto in_order = tbb::filter_mode::serial_in_order;
  using Answer = std::shared_ptr<std::pair<const Found&, Told>>;
  std::size_t next = 0;
  const auto take = [&](tbb::flow_control& flow) {
    if (next == files.size()) flow.stop();
    return std::min(next++, files.size() - 1);
  };
  const auto compile = [&](std::size_t file) {
    return Answer(new std::pair<const Found&, Told>(files[file], work(files[file])));
  };
  const auto say_it = [&](const Answer& answer) { tell(answer->first, std::move(answer->second)); };
  tbb::parallel_pipeline(jobs * waiting,
                         tbb::make_filter<void, std::size_t>(in_order, take) &
                             tbb::make_filter<std::size_t, Answer>(tbb::filter_mode::parallel, compile) &
                             tbb::make_filter<Answer, void>(in_order, say_it));
}

void part_clashing(std::vector<Found>& files, const Task& task, std::vector<Problem>& problems) {
  std::map<std::string, std::string> taken;
  std::erase_if(files, [&](const Found& each) {
    const auto [first, is_new] = taken.emplace(output_key(each), each.path);
    if (is_new) return false;
    const auto one = facts_of(first->second), other = facts_of(each.path);
    if (!one || !other || one->stamp != other->stamp)
      problems.push_back(
          {each.path,
           fmt::format("not built: its files would lie over those of {}, as {} and so on; build them "
                       "into two folders, or name the folder in which both lie",
                       first->second, output_folder(each, task) + "/" + output_stem(each) + ".pdf")});
    return true;
  });
}

namespace {

/// Rules for all patterns, one below the other.
std::optional<std::string> write_depfile(const std::string& path, const std::string& rules) {
  if (path == "/dev/null") return {};
  const std::filesystem::path at(path);
  return write_files(at.has_parent_path() ? at.parent_path().string() : ".",
                     {{at.filename().string(), rules}})
      .failure;
}

/// What the pattern's files have to be made again for. One that makes none is known by a file of no bytes
/// that says that it was checked.
std::string rule_for(const Found& file, const Task& task, const Told& told) {
  std::vector<std::string> sources;
  for (const FileRead& each : told.read) sources.push_back(each.path);
  const std::string name =
      told.written.files.empty() ? "." + output_stem(file) + ".checked" : told.written.files.front().name;
  return dependency_rule((std::filesystem::path(output_folder(file, task)) / name).string(), sources);
}

/// Where everything is up to date nobody else looks for what a killed build has left.
void clear_scratch(const std::vector<Found>& found, const Task& task) {
  std::set<std::string> folders;
  for (const Found& each : found) folders.insert(output_folder(each, task));
  for (const std::string& folder : folders) remove_abandoned(folder);
}

}  // namespace

int run_collection(const Run& run) {
  const Task& task = run.task;
  if (task.fix && task.settings.any()) {
    say("wale: --fix mends the pattern as it is written: leave out --size, --gauge and --set");
    return wrong_use;
  }
  const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, jobs_for(run.jobs));
  std::vector<Problem> problems;
  const FileAccess disk = files_on_disk();
  std::vector<Found> found = find_patterns(task.paths, problems);
  if (run.listed) found = listed(std::move(found), std::cin, disk);
  if (task.to) part_clashing(found, task, problems);
  Sums sums;
  CheckRun report{WALE_VERSION, {}};
  for (const Problem& problem : problems) {
    say(problem.words());
    if (task.findings) report.files.push_back({problem.path, problem.reason, {}});
  }
  sums.unreadable = problems.size();
  std::optional<Freshness> fresh;
  if (task.to && !run.depfile) fresh.emplace(task, run.anew);
  std::string rules;
  std::size_t earlier = 0;
  {
    // Each thread knows its own, and waits for none.
    tbb::enumerable_thread_specific<KnownFabrics> known;
    const auto work = [&](const Found& file) {
      if (fresh)
        if (auto told = fresh->still(file)) return std::move(*told);
      Told told = compile_file(file, task, disk, nullptr, &known.local());
      if (fresh && told.sums.failed + told.sums.unreadable == 0) fresh->enter(file, told);
      return told;
    };
    Progress progress(found.size());
    // Mending changes files that others may use: one after another.
    compile_all(found, task.fix ? 1 : run.jobs, work, [&](const Found& file, Told told) {
      if (!told.out.empty() || !told.err.empty()) progress.clear();
      // A report to programs has standard output to itself.
      fmt::print(task.findings ? stderr : stdout, "{}", told.out);
      std::fflush(stdout);
      fmt::print(stderr, "{}", told.err);
      sums.add(told.sums);
      if (run.depfile) rules += rule_for(file, task, told);
      if (fresh && told.sums.failed > 0 && fresh->has_earlier(file)) ++earlier;
      if (task.findings) report.files.push_back(std::move(told.findings));
      progress.step();
    });
  }
  if (run.depfile) {
    if (const auto failure = write_depfile(*run.depfile, rules)) {
      say(*failure);
      ++sums.unreadable;
    }
  }
  if (sums.fresh > 0) clear_scratch(found, task);
  if (fresh) {
    for (const std::string& line : fresh->clear_away(found)) say(line);
    if (!fresh->failure().empty()) say(fresh->failure() + "; the next build makes everything again");
    if (earlier > 0)
      say(fmt::format("{} with errors {} files in {} from an earlier build",
                      count_of(static_cast<long long>(earlier), "pattern", "patterns"),
                      earlier == 1 ? "has" : "have", *task.to));
  }
  const bool failed = sums.unreadable > 0 || sums.failed > 0;
  fmt::print(stderr, "{}", fitted(explain_hint(sums.told), look_of_errors()));
  if (sums.certain > 0) say(fmt::format("{} of these can be mended by `wale check --fix`", sums.certain));
  // Whoever builds by depfiles says himself how far he has come.
  if (!run.depfile || failed) {
    if (task.findings)
      fmt::print(stderr, "{}", fitted(summary(sums, task), look_of_errors()));
    else
      fmt::print("{}", fitted(summary(sums, task), look_of_output()));
  }
  if (run.report == Report::json) fmt::print("{}", check_report_json(report));
  if (run.report == Report::sarif) fmt::print("{}", check_report_sarif(report, failed));
  if (run.report == Report::junit) fmt::print("{}", check_report_junit(report));
  return sums.unreadable > 0 ? file_trouble : sums.failed > 0 ? pattern_errors : fine;
}

}  // namespace wale
