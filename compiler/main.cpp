// The program: `wale check`, `wale build` and `wale explain`. Everything that touches files or prints is here
// and in files.cpp.

#include <fmt/format.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <charconv>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <map>

#include "compiler/check.hpp"
#include "compiler/explain.hpp"
#include "compiler/files.hpp"
#include "compiler/mend.hpp"
#include "compiler/outputs.hpp"
#include "compiler/true_size.hpp"

namespace {

constexpr int fine = 0, pattern_errors = 1, wrong_use = 2, file_trouble = 3;

/// What is asked for: to write the outputs below `to`, charts at their true size among them; to mend what is
/// certain; to put other values in.
struct Task {
  std::optional<std::string> to;
  bool fix = false;
  bool true_size = false;
  wale::Settings settings;
  wale::DocumentSettings document = {};
};

struct Tally {
  std::size_t patterns = 0, failed = 0, warnings = 0, unreadable = 0, changes = 0, certain = 0;
  std::vector<wale::Kind> told;
};

/// Seconds since 1970 from SOURCE_DATE_EPOCH (reproducible-builds.org), if it is set to a number.
std::optional<std::int64_t> source_date() {
  const char* text = std::getenv("SOURCE_DATE_EPOCH");
  if (!text) return {};
  std::int64_t seconds = 0;
  const char* end = text + std::strlen(text);
  const auto [rest, error] = std::from_chars(text, end, seconds);
  if (error != std::errc() || rest != end || seconds < 0) return {};
  return seconds;
}

void say(const std::string& line) {
  fmt::print(stderr, "{}\n", line);
}

/// Checks one text; with `fix` its file is mended first, and says what is not certain.
wale::Mended look_at(const wale::Found& found, std::string text, const Task& task, Tally& tally) {
  wale::Source source(found.path, std::move(text), 1);
  if (!task.fix) {
    wale::Checked checked = wale::check(source, task.settings);
    return {std::move(source), {}, std::move(checked)};
  }
  wale::Mended mended = wale::mend(source);
  if (mended.changes.empty()) return mended;
  if (const auto failure = wale::replace_file(found.path, source.text(), mended.source.text())) {
    say(*failure);
    ++tally.unreadable;
    wale::Checked checked = wale::check(source);
    return {std::move(source), {}, std::move(checked)};
  }
  fmt::print("{}", wale::show(mended.changes, found.path));
  std::fflush(stdout);
  tally.changes += mended.changes.size();
  return mended;
}

/// One file from its name to what is said about it, or to its outputs.
void compile(const wale::Found& found, const Task& task, Tally& tally) {
  std::string reason;
  auto text = wale::read_file(found.path, reason);
  if (!text) {
    say(fmt::format("{}: cannot be read: {}", found.path, reason));
    ++tally.unreadable;
    return;
  }
  ++tally.patterns;
  wale::Mended looked_at = look_at(found, std::move(*text), task, tally);
  if (task.true_size) wale::require_gauge(looked_at.checked);
  const wale::Checked& checked = looked_at.checked;
  wale::Sources sources{wale::vocabulary_source(), std::move(looked_at.source)};
  for (wale::Source& each : wale::settings_sources(task.settings)) sources.push_back(std::move(each));
  fmt::print(stderr, "{}", wale::show(checked.diagnostics, sources));
  for (const wale::Diagnostic& each : checked.diagnostics.all()) tally.told.push_back(each.kind);
  tally.warnings += checked.diagnostics.warnings();
  tally.certain += checked.diagnostics.certain();
  if (checked.diagnostics.has_errors()) {
    ++tally.failed;
    return;
  }
  if (!task.to) return;
  // At another gauge the document says whose numbers come out right, for those who have a printed copy.
  std::optional<wale::Checked> written;
  if (task.settings.gauge) {
    wale::Settings settings = task.settings;
    settings.gauge.reset();
    written = wale::check(sources[1], settings);
    if (written->diagnostics.has_errors()) written.reset();
  }
  const std::string stem = std::filesystem::path(found.path).stem().string();
  wale::Outputs outputs =
      wale::make_outputs(checked, stem, source_date(), task.document, written ? &*written : nullptr);
  if (task.true_size && outputs.failure.empty()) {
    wale::Outputs more = wale::make_true_size(checked, stem, source_date());
    outputs.failure = std::move(more.failure);
    for (wale::OutputFile& file : more.files) outputs.files.push_back(std::move(file));
  }
  std::optional<std::string> failure;
  if (!outputs.failure.empty())
    failure = fmt::format("{}: cannot be drawn: {}", found.path, outputs.failure);
  else
    failure = wale::write_files((std::filesystem::path(*task.to) / found.folder).lexically_normal().string(),
                                outputs.files);
  if (!failure) return;
  say(*failure);
  ++tally.unreadable;
}

int run(const std::vector<std::string>& paths, const Task& task) {
  std::vector<std::string> problems;
  const std::vector<wale::Found> found = wale::find_patterns(paths, problems);
  Tally tally;
  for (const std::string& problem : problems) say(problem);
  tally.unreadable = problems.size();
  for (const wale::Found& each : found) compile(each, task, tally);
  fmt::print(stderr, "{}", wale::explain_hint(tally.told));
  if (tally.certain > 0) say(fmt::format("{} of these can be mended by `wale check --fix`", tally.certain));
  std::string summary = wale::count_of(static_cast<long long>(tally.patterns), "pattern", "patterns");
  summary += tally.failed == 0 ? (task.to ? " compiled" : " checked")
                               : fmt::format(", {} with errors", tally.failed);
  if (tally.warnings > 0)
    summary += ", " + wale::count_of(static_cast<long long>(tally.warnings), "warning", "warnings");
  if (tally.changes > 0)
    summary += ", " + wale::count_of(static_cast<long long>(tally.changes), "change", "changes") + " made";
  if (tally.unreadable > 0)
    summary += fmt::format(", {} that could not be read or written", tally.unreadable);
  fmt::print("{}\n", summary);
  return tally.unreadable > 0 ? file_trouble : tally.failed > 0 ? pattern_errors : fine;
}

void add_settings(CLI::App& build, wale::DocumentSettings& settings) {
  static const std::map<std::string, wale::Paper> papers{{"A4", wale::Paper::a4},
                                                         {"Letter", wale::Paper::letter}};
  static const std::map<std::string, wale::Units> units{{"cm", wale::Units::metric},
                                                        {"in", wale::Units::inches}};
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

/// Without a name, the list of them all.
int explain(const std::string& slug) {
  if (slug.empty()) {
    fmt::print("{}", wale::list_kinds());
    return fine;
  }
  if (const auto kind = wale::find_kind(slug)) {
    fmt::print("{}", wale::explain(*kind));
    return fine;
  }
  std::vector<std::string> slugs;
  for (const wale::Kind kind : wale::all_kinds()) slugs.emplace_back(wale::facts(kind).slug);
  const auto near = wale::nearest_name(slug, slugs);
  say(fmt::format("wale: nothing is called `{}` that could be explained", slug));
  say(fmt::format("       try   wale explain{}", near ? fmt::format(" {}", *near) : ""));
  return wrong_use;
}

}  // namespace

int main(int count, char** words) {
  CLI::App app{
      "Wale compiles hand-knitting patterns: plain text in; checked stitch counts, charts, written\n"
      "instructions and yarn amounts out.\n\n"
      "  wale check scarf.wale            does every row work out?\n"
      "  wale check --fix scarf.wale      and mend in the file what is certain\n"
      "  wale build patterns --to out     charts (SVG), document (PDF), words (text), yarn (JSON)\n"
      "  wale explain unknown-stitch      why that is a mistake, and an example\n\n"
      "Exit status: 0 fine, 1 a pattern has errors, 2 wrong use, 3 a file cannot be read or written.",
      "wale"};
  app.set_version_flag("--version", std::string("wale ") + WALE_VERSION, "Show the version");
  app.require_subcommand(1);
  std::vector<std::string> paths;
  std::string to = "out";
  CLI::App* check = app.add_subcommand("check", "Check patterns and say what does not work out");
  CLI::App* build =
      app.add_subcommand("build", "Check patterns and write their charts, documents and reports");
  for (CLI::App* each : {check, build})
    each->add_option("PATH", paths, "Pattern files (*.wale), or folders to look for them in")
        ->required()
        ->type_name("");
  build->add_option("--to", to, "The folder to write into; it is made if need be")
      ->type_name("DIR")
      ->capture_default_str();
  bool true_size = false;
  build->add_flag(
      "--true-size", true_size,
      "Write each chart also as a PDF to print, with squares as large as the gauge says that the\n"
      "stitches will be, and a ruler on each page to check the printer by");
  wale::DocumentSettings document;
  add_settings(*build, document);
  bool fix = false;
  check->add_flag(
      "--fix", fix,
      "Mend in the files what is certain (a word with two letters exchanged, a capital in a stitch, a\n"
      "comma between stitches), say what was changed, and check what remains");
  wale::Settings settings;
  for (CLI::App* each : {check, build}) {
    each->add_option("--size", settings.size, "Only this one of the pattern's sizes")->type_name("NAME");
    each->add_option(
            "--gauge", settings.gauge,
            "Your gauge in the place of the pattern's first, such as \"18 st x 25 rows = 10 cm\"; its\n"
            "other gauges keep their proportion to that one")
        ->type_name("GAUGE");
    each->add_option("--set", settings.measures,
                     "Another value for a measure, such as \"ease = 8 cm\"; may be given several times")
        ->type_name("MEASURE")
        ->allow_extra_args(false);
  }
  std::string slug;
  CLI::App* explained =
      app.add_subcommand("explain", "Say at length what a mistake means; without a name, list them all");
  explained->add_option("NAME", slug, "The word in brackets behind a message, such as unknown-stitch")
      ->type_name("");
  try {
    app.parse(count, words);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? fine : wrong_use;
  }
  try {
    if (explained->parsed()) return explain(slug);
    if (fix && settings.any()) {
      say("wale: --fix mends the pattern as it is written: leave out --size, --gauge and --set");
      return wrong_use;
    }
    return run(paths,
               {build->parsed() ? std::optional(to) : std::nullopt, fix, true_size, settings, document});
  } catch (const std::exception& error) {
    say(fmt::format("wale: {}", error.what()));
    return file_trouble;
  }
}
