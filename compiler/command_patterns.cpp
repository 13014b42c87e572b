// `wale check` and `wale build`: a collection of patterns looked through, and written up as charts, documents
// and reports.
//
// Files are compiled side by side, on as many cores as are wanted, and told one after another in their order:
// what is printed does not hang on which was ready first. Few are on their way at a time, so a collection of
// any size takes the memory of those few.
#include <fmt/format.h>
#include <tbb/global_control.h>
#include <tbb/parallel_pipeline.h>
#include <unistd.h>

#include <algorithm>
#include <functional>
#include <iostream>
#include <map>
#include <memory>
#include <set>
#include <thread>

#include "compiler/command_compile.hpp"
#include "compiler/commands.hpp"
#include "compiler/explain.hpp"

namespace wale {

namespace {

enum class Report { text, json, sarif, junit };

/// What is done with the whole collection.
struct Run {
  Task task;
  Report report = Report::text;
  std::size_t jobs = 0;  ///< files at a time; 0: as many as there are cores
  bool listed = false;   ///< only files named on standard input
};

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
    if (!shown_) return;
    const std::string line = fmt::format("{} of {}", done_, all_);
    width_ = line.size();
    fmt::print(stderr, "\r{}", line);
    std::fflush(stderr);
  }

 private:
  std::size_t all_, done_ = 0, width_ = 0;
  bool shown_;
};

/// Compiles all, calling `tell` with each in the order of the files.
void compile_all(const std::vector<Found>& files, const Run& run, const std::function<void(Told)>& tell) {
  const std::size_t cores = std::max(1U, std::thread::hardware_concurrency());
  // Mending changes files that others may use: one after another.
  const std::size_t jobs = run.task.fix ? 1 : std::min(run.jobs > 0 ? run.jobs : cores, files.size());
  if (jobs <= 1) {
    for (const Found& each : files) tell(compile_file(each, run.task));
    return;
  }
  const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, jobs);
  constexpr std::size_t waiting = 4;  // for each core, behind one that takes long
  constexpr auto in_order = tbb::filter_mode::serial_in_order;
  std::size_t next = 0;
  const auto take = [&](tbb::flow_control& flow) {
    if (next == files.size()) flow.stop();
    return std::min(next++, files.size() - 1);
  };
  const auto compile = [&](std::size_t file) {
    return std::make_shared<Told>(compile_file(files[file], run.task));
  };
  const auto say_it = [&](const std::shared_ptr<Told>& told) { tell(std::move(*told)); };
  using Answer = std::shared_ptr<Told>;
  tbb::parallel_pipeline(jobs * waiting,
                         tbb::make_filter<void, std::size_t>(in_order, take) &
                             tbb::make_filter<std::size_t, Answer>(tbb::filter_mode::parallel, compile) &
                             tbb::make_filter<Answer, void>(in_order, say_it));
}

std::string summary(const Sums& sums, const Task& task) {
  const auto count = [](std::size_t number, std::string_view one, std::string_view many) {
    return count_of(static_cast<long long>(number), one, many);
  };
  std::string out = count(sums.patterns, "pattern", "patterns");
  out +=
      sums.failed == 0 ? (task.to ? " compiled" : " checked") : fmt::format(", {} with errors", sums.failed);
  if (sums.warnings > 0) out += ", " + count(sums.warnings, "warning", "warnings");
  if (sums.changes > 0) out += ", " + count(sums.changes, "change", "changes") + " made";
  if (sums.unreadable > 0) out += fmt::format(", {} that could not be read or written", sums.unreadable);
  return out + "\n";
}

/// Of the files found those that a list names, or that use a file which it names. One name a line.
std::vector<Found> listed(std::vector<Found> files, std::istream& list) {
  const FileAccess disk = files_on_disk();
  std::set<std::string> named;
  for (std::string line; std::getline(list, line);)
    if (!line.empty()) named.insert(disk.identity(line));
  std::erase_if(files, [&](const Found& each) {
    if (named.count(disk.identity(each.path)) > 0) return false;
    std::string reason;
    const auto loaded = load_file(each.path, reason);
    return !loaded || std::none_of(loaded->files.begin(), loaded->files.end(), [&](const LoadedFile& file) {
      return named.count(disk.identity(file.source.name())) > 0;
    });
  });
  return files;
}

int run(const Run& run) {
  const Task& task = run.task;
  if (task.fix && task.settings.any()) {
    say("wale: --fix mends the pattern as it is written: leave out --size, --gauge and --set");
    return wrong_use;
  }
  std::vector<Problem> problems;
  std::vector<Found> found = find_patterns(task.paths, problems);
  if (run.listed) found = listed(std::move(found), std::cin);
  Sums sums;
  CheckRun report{WALE_VERSION, {}};
  for (const Problem& problem : problems) {
    say(problem.words());
    if (task.findings) report.files.push_back({problem.path, problem.reason, {}});
  }
  sums.unreadable = problems.size();
  {
    Progress progress(found.size());
    compile_all(found, run, [&](Told told) {
      if (!told.out.empty() || !told.err.empty()) progress.clear();
      // A report to programs has standard output to itself.
      fmt::print(task.findings ? stderr : stdout, "{}", told.out);
      std::fflush(stdout);
      fmt::print(stderr, "{}", told.err);
      sums.add(told.sums);
      if (task.findings) report.files.push_back(std::move(told.findings));
      progress.step();
    });
  }
  const bool failed = sums.unreadable > 0 || sums.failed > 0;
  fmt::print(stderr, "{}", explain_hint(sums.told));
  if (sums.certain > 0) say(fmt::format("{} of these can be mended by `wale check --fix`", sums.certain));
  fmt::print(task.findings ? stderr : stdout, "{}", summary(sums, task));
  if (run.report == Report::json) fmt::print("{}", check_report_json(report));
  if (run.report == Report::sarif) fmt::print("{}", check_report_sarif(report, failed));
  if (run.report == Report::junit) fmt::print("{}", check_report_junit(report));
  return sums.unreadable > 0 ? file_trouble : sums.failed > 0 ? pattern_errors : fine;
}

/// What both commands ask: which patterns, and what to put in the place of what they say.
void add_pattern_options(CLI::App& command, Run& run) {
  Task& task = run.task;
  command.add_option("PATH", task.paths, "Pattern files (*.wale), or folders to look for them in")
      ->required()
      ->type_name("");
  command.add_option("--size", task.settings.size, "Only this one of the pattern's sizes")->type_name("NAME");
  command
      .add_option("--gauge", task.settings.gauge,
                  "Your gauge in the place of the pattern's first, such as \"18 st x 25 rows = 10 cm\"; its\n"
                  "other gauges keep their proportion to that one")
      ->type_name("GAUGE");
  command
      .add_option("--set", task.settings.measures,
                  "Another value for a measure, such as \"ease = 8 cm\"; may be given several times")
      ->type_name("MEASURE")
      ->allow_extra_args(false);
  static const std::map<std::string, Report> reports{
      {"text", Report::text}, {"json", Report::json}, {"sarif", Report::sarif}, {"junit", Report::junit}};
  command
      .add_option(
          "--report", run.report,
          "What standard output says, for programs: json, sarif (SARIF 2.1.0) or junit (test results);\n"
          "text, unless you say otherwise")
      ->transform(CLI::CheckedTransformer(reports, CLI::ignore_case))
      ->type_name("FORM");
  command.add_flag("--strict", task.strict, "Warnings are errors");
  command.add_flag(
      "--listed", run.listed,
      "Of the patterns only those that standard input names, one a line, or that use a file which\n"
      "it names: git diff --name-only main | wale check --listed patterns");
  command
      .add_option("--jobs", run.jobs,
                  "Patterns compiled at a time; as many as there are cores, unless you say")
      ->type_name("N");
}

/// Sets what is run when the command was asked for.
void choose(CLI::App& command, const std::shared_ptr<Run>& asked, Command& chosen) {
  command.callback([&chosen, asked] {
    asked->task.findings = asked->report != Report::text;
    chosen = [asked] { return run(*asked); };
  });
}

void add_check(CLI::App& app, Command& chosen) {
  const auto asked = std::make_shared<Run>();
  CLI::App* check = app.add_subcommand("check", "Check patterns and say what does not work out");
  add_pattern_options(*check, *asked);
  check->add_flag(
      "--fix", asked->task.fix,
      "Mend in the files what is certain (a word with two letters exchanged, a capital in a stitch, a\n"
      "comma between stitches), say what was changed, and check what remains");
  choose(*check, asked, chosen);
}

void add_build(CLI::App& app, Command& chosen) {
  const auto asked = std::make_shared<Run>();
  Task& task = asked->task;
  task.to = "out";
  CLI::App* build =
      app.add_subcommand("build", "Check patterns and write their charts, documents and reports");
  add_pattern_options(*build, *asked);
  build->add_option("--to", *task.to, "The folder to write into; it is made if need be")
      ->type_name("DIR")
      ->capture_default_str();
  build->add_flag(
      "--true-size", task.true_size,
      "Write each chart also as a PDF to print, with squares as large as the gauge says that the\n"
      "stitches will be, and a ruler on each page to check the printer by");
  add_page_settings(*build, task.document);
  build->add_flag("--png", task.document.png,
                  "Write each chart also as a PNG picture, of 300 dots to the inch, beside its SVG");
  build->add_flag("--mirror", task.document.mirror, "Mirrored, for knitters who work from left to right");
  choose(*build, asked, chosen);
}

}  // namespace

void add_page_settings(CLI::App& command, DocumentSettings& settings) {
  static const std::map<std::string, Paper> papers{{"A4", Paper::a4}, {"Letter", Paper::letter}};
  static const std::map<std::string, Units> units{{"cm", Units::metric}, {"in", Units::inches}};
  command
      .add_option("--paper", settings.paper, "The paper to print on: A4 (unless you say otherwise) or Letter")
      ->transform(CLI::CheckedTransformer(papers, CLI::ignore_case))
      ->type_name("PAPER");
  command.add_flag("--large-print", settings.large_print, "Type of 16 points, and larger squares");
  command.add_option("--units", settings.units, "The unit that stands first in measures: cm or in")
      ->transform(CLI::CheckedTransformer(units, CLI::ignore_case))
      ->type_name("UNIT");
}

void add_patterns(CLI::App& app, Command& chosen) {
  add_check(app, chosen);
  add_build(app, chosen);
}

}  // namespace wale
