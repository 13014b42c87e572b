// `wale check` and `wale build`: what is asked for on the command line.
#include <map>
#include <memory>

#include "compiler/command_collection.hpp"
#include "compiler/command_options.hpp"
#include "compiler/commands.hpp"

namespace wale {

namespace {

/// How a collection is gone through, and what is said of it.
void add_run_options(CLI::App& command, Run& run) {
  static const std::map<std::string, Report> reports{
      {"text", Report::text}, {"json", Report::json}, {"sarif", Report::sarif}, {"junit", Report::junit}};
  command
      .add_option(
          "--report", run.report,
          "What standard output says, for programs: json, sarif (SARIF 2.1.0) or junit (test results);\n"
          "text, unless you say otherwise")
      ->transform(CLI::CheckedTransformer(reports, CLI::ignore_case))
      ->type_name("FORM");
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
    chosen = [asked] { return run_collection(*asked); };
  });
}

void add_check(CLI::App& app, Command& chosen) {
  const auto asked = std::make_shared<Run>();
  CLI::App* check = app.add_subcommand("check", "Check patterns and say what does not work out");
  add_pattern_options(*check, asked->task);
  add_run_options(*check, *asked);
  check->add_flag(
      "--fix", asked->task.fix,
      "Mend in the files what is certain (a word with two letters exchanged, a capital in a stitch, a\n"
      "comma between stitches), say what was changed, and check what remains");
  choose(*check, asked, chosen);
}

void add_build(CLI::App& app, Command& chosen) {
  const auto asked = std::make_shared<Run>();
  Task& task = asked->task;
  CLI::App* build =
      app.add_subcommand("build", "Check patterns and write their charts, documents and reports");
  add_pattern_options(*build, task);
  add_output_options(*build, task);
  add_run_options(*build, *asked);
  build->add_flag("--anew", asked->anew, "Everything, also what is up to date");
  build
      ->add_option("--depfile", asked->depfile,
                   "For another program that decides what to build: writes into FILE, in the language of\n"
                   "Make, which files each pattern was made from; everything named is built")
      ->type_name("FILE");
  choose(*build, asked, chosen);
}

}  // namespace

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
  command.add_flag("--strict", task.strict, "Warnings are errors");
}

void add_output_options(CLI::App& command, Task& task) {
  task.to = "out";
  command.add_option("--to", *task.to, "The folder to write into; it is made if need be")
      ->type_name("DIR")
      ->capture_default_str();
  add_kinds_of_output(command, task);
}

void add_kinds_of_output(CLI::App& command, Task& task) {
  command.add_flag(
      "--true-size", task.true_size,
      "Write each chart also as a PDF to print, with squares as large as the gauge says that the\n"
      "stitches will be, and a ruler on each page to check the printer by");
  add_page_settings(command, task.document);
  command.add_flag("--png", task.document.png,
                   "Write each chart also as a PNG picture, of 300 dots to the inch, beside its SVG");
  command.add_flag("--mirror", task.document.mirror, "Mirrored, for knitters who work from left to right");
}

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
