// `wale check` and `wale build`: patterns looked through, and written up as charts, documents and reports.
#include <fmt/format.h>

#include <filesystem>
#include <map>
#include <memory>

#include "compiler/check.hpp"
#include "compiler/commands.hpp"
#include "compiler/explain.hpp"
#include "compiler/files.hpp"
#include "compiler/mend.hpp"
#include "compiler/outputs.hpp"
#include "compiler/true_size.hpp"

namespace wale {

namespace {

/// What is asked for: to write the outputs below `to`, charts at their true size among them; to mend what is
/// certain; to put other values in.
struct Task {
  std::vector<std::string> paths;
  std::optional<std::string> to;
  bool fix = false;
  bool true_size = false;
  Settings settings = {};
  DocumentSettings document = {};
};

struct Tally {
  std::size_t patterns = 0, failed = 0, warnings = 0, unreadable = 0, changes = 0, certain = 0;
  std::vector<Kind> told;
};

/// Checks one text; with `fix` its file is mended first, and says what is not certain.
Mended look_at(const Found& found, std::string text, const Task& task, Tally& tally) {
  Source source(found.path, std::move(text), 1);
  if (!task.fix) {
    Checked checked = check(source, task.settings);
    return {std::move(source), {}, std::move(checked)};
  }
  Mended mended = mend(source);
  if (mended.changes.empty()) return mended;
  if (const auto failure = replace_file(found.path, source.text(), mended.source.text())) {
    say(*failure);
    ++tally.unreadable;
    Checked checked = check(source);
    return {std::move(source), {}, std::move(checked)};
  }
  fmt::print("{}", show(mended.changes, found.path));
  std::fflush(stdout);
  tally.changes += mended.changes.size();
  return mended;
}

/// One file from its name to what is said about it, or to its outputs.
void compile(const Found& found, const Task& task, Tally& tally) {
  std::string reason;
  auto text = read_file(found.path, reason);
  if (!text) {
    say(fmt::format("{}: cannot be read: {}", found.path, reason));
    ++tally.unreadable;
    return;
  }
  ++tally.patterns;
  Mended looked_at = look_at(found, std::move(*text), task, tally);
  if (task.true_size) require_gauge(looked_at.checked);
  const Checked& checked = looked_at.checked;
  Sources sources{vocabulary_source(), std::move(looked_at.source)};
  for (Source& each : settings_sources(task.settings)) sources.push_back(std::move(each));
  fmt::print(stderr, "{}", show(checked.diagnostics, sources));
  for (const Diagnostic& each : checked.diagnostics.all()) tally.told.push_back(each.kind);
  tally.warnings += checked.diagnostics.warnings();
  tally.certain += checked.diagnostics.certain();
  if (checked.diagnostics.has_errors()) {
    ++tally.failed;
    return;
  }
  if (!task.to) return;
  // For those who have a printed copy the document compares itself with the pattern as it is written.
  const auto original = [&](bool as_written) -> std::optional<Checked> {
    Settings settings = task.settings;
    settings.gauge.reset();
    if (as_written) settings.measures.clear();
    std::optional<Checked> out = check(sources[1], settings);
    if (out->diagnostics.has_errors()) out.reset();
    return out;
  };
  std::optional<Checked> at_written_gauge, as_written;
  if (task.settings.gauge) at_written_gauge = original(false);
  if (task.settings.gauge || !task.settings.measures.empty()) as_written = original(true);
  const std::string stem = std::filesystem::path(found.path).stem().string();
  Outputs outputs =
      make_outputs(checked, stem, source_date(), task.document,
                   {at_written_gauge ? &*at_written_gauge : nullptr, as_written ? &*as_written : nullptr});
  if (task.true_size && outputs.failure.empty()) {
    Outputs more = make_true_size(checked, stem, source_date());
    outputs.failure = std::move(more.failure);
    for (OutputFile& file : more.files) outputs.files.push_back(std::move(file));
  }
  std::optional<std::string> failure;
  if (!outputs.failure.empty())
    failure = fmt::format("{}: cannot be drawn: {}", found.path, outputs.failure);
  else
    failure = write_files((std::filesystem::path(*task.to) / found.folder).lexically_normal().string(),
                          outputs.files);
  if (!failure) return;
  say(*failure);
  ++tally.unreadable;
}

int run(const Task& task) {
  if (task.fix && task.settings.any()) {
    say("wale: --fix mends the pattern as it is written: leave out --size, --gauge and --set");
    return wrong_use;
  }
  std::vector<std::string> problems;
  const std::vector<Found> found = find_patterns(task.paths, problems);
  Tally tally;
  for (const std::string& problem : problems) say(problem);
  tally.unreadable = problems.size();
  for (const Found& each : found) compile(each, task, tally);
  fmt::print(stderr, "{}", explain_hint(tally.told));
  if (tally.certain > 0) say(fmt::format("{} of these can be mended by `wale check --fix`", tally.certain));
  std::string summary = count_of(static_cast<long long>(tally.patterns), "pattern", "patterns");
  summary += tally.failed == 0 ? (task.to ? " compiled" : " checked")
                               : fmt::format(", {} with errors", tally.failed);
  if (tally.warnings > 0)
    summary += ", " + count_of(static_cast<long long>(tally.warnings), "warning", "warnings");
  if (tally.changes > 0)
    summary += ", " + count_of(static_cast<long long>(tally.changes), "change", "changes") + " made";
  if (tally.unreadable > 0)
    summary += fmt::format(", {} that could not be read or written", tally.unreadable);
  fmt::print("{}\n", summary);
  return tally.unreadable > 0 ? file_trouble : tally.failed > 0 ? pattern_errors : fine;
}

void add_document_settings(CLI::App& build, DocumentSettings& settings) {
  static const std::map<std::string, Paper> papers{{"A4", Paper::a4}, {"Letter", Paper::letter}};
  static const std::map<std::string, Units> units{{"cm", Units::metric}, {"in", Units::inches}};
  build
      .add_option("--paper", settings.paper, "The paper to print on: A4 (unless you say otherwise) or Letter")
      ->transform(CLI::CheckedTransformer(papers, CLI::ignore_case))
      ->type_name("PAPER");
  build.add_flag("--large-print", settings.large_print, "Type of 16 points, and larger squares");
  build.add_option("--units", settings.units, "The unit that stands first in measures: cm or in")
      ->transform(CLI::CheckedTransformer(units, CLI::ignore_case))
      ->type_name("UNIT");
  build.add_flag("--png", settings.png,
                 "Write each chart also as a PNG picture, of 300 dots to the inch, beside its SVG");
  build.add_flag("--mirror", settings.mirror, "Mirrored, for knitters who work from left to right");
}

/// What both commands ask: which patterns, and what to put in the place of what they say.
void add_pattern_options(CLI::App& command, Task& task) {
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
}

void add_check(CLI::App& app, Command& chosen) {
  const auto task = std::make_shared<Task>();
  CLI::App* check = app.add_subcommand("check", "Check patterns and say what does not work out");
  add_pattern_options(*check, *task);
  check->add_flag(
      "--fix", task->fix,
      "Mend in the files what is certain (a word with two letters exchanged, a capital in a stitch, a\n"
      "comma between stitches), say what was changed, and check what remains");
  check->callback([&chosen, task] { chosen = [task] { return run(*task); }; });
}

void add_build(CLI::App& app, Command& chosen) {
  const auto task = std::make_shared<Task>();
  task->to = "out";
  CLI::App* build =
      app.add_subcommand("build", "Check patterns and write their charts, documents and reports");
  add_pattern_options(*build, *task);
  build->add_option("--to", *task->to, "The folder to write into; it is made if need be")
      ->type_name("DIR")
      ->capture_default_str();
  build->add_flag(
      "--true-size", task->true_size,
      "Write each chart also as a PDF to print, with squares as large as the gauge says that the\n"
      "stitches will be, and a ruler on each page to check the printer by");
  add_document_settings(*build, task->document);
  build->callback([&chosen, task] { chosen = [task] { return run(*task); }; });
}

}  // namespace

void add_patterns(CLI::App& app, Command& chosen) {
  add_check(app, chosen);
  add_build(app, chosen);
}

}  // namespace wale
