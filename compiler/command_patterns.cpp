// `wale check` and `wale build`: what is asked for on the command line.
#include <memory>

#include "compiler/command_collection.hpp"
#include "compiler/command_line.hpp"
#include "compiler/command_terminal.hpp"
#include "compiler/commands.hpp"

namespace wale {

namespace {

/// What both commands ask: which patterns, and what to put in the place of what they say.
void add_pattern_options(CLI::App& command, Run& run) {
  Task& task = run.task;
  command.add_option("PATH", task.paths, "Pattern files (*.wale), or folders to look for them in")
      ->required()
      ->type_name("");
  command.add_option("--size", task.settings.size, "Only this one of the pattern's sizes")
      ->type_name("NAME")
      ->group("Other numbers than the pattern's");
  command
      .add_option("--gauge", task.settings.gauge,
                  "Your gauge in the place of the pattern's first, such as \"18 st x 25 rows = 10 cm\"; its "
                  "other gauges keep their proportion to that one")
      ->type_name("GAUGE")
      ->group("Other numbers than the pattern's");
  command
      .add_option("--set", task.settings.measures,
                  "Another value for a measure, such as \"ease = 8 cm\"; may be given several times")
      ->type_name("MEASURE")
      ->allow_extra_args(false)
      ->group("Other numbers than the pattern's");
  command
      .add_flag("--listed", run.listed,
                "Of the patterns only those that standard input names, one a line, or that use a file which "
                "it names: git diff --name-only main | wale check --listed patterns")
      ->group("Which patterns, and how many at a time");
  command
      .add_option("--jobs", run.jobs,
                  "Patterns compiled at a time; as many as there are cores, unless you say")
      ->type_name("N")
      ->group("Which patterns, and how many at a time");
  add_choice<Report>(
      command, "--report", run.report,
      {{"text", Report::text}, {"json", Report::json}, {"sarif", Report::sarif}, {"junit", Report::junit}},
      "What standard output says: text for people, or for programs json, sarif (SARIF 2.1.0) or junit "
      "(test results); text, unless you say")
      ->group("What is said");
  command.add_flag("--strict", task.strict, "Warnings are errors")->group("What is said");
}

/// Sets what is run when the command was asked for.
void choose(CLI::App& command, const std::shared_ptr<Run>& asked, Command& chosen) {
  command.callback([&chosen, asked] {
    asked->task.findings = asked->report != Report::text;
    asked->task.look = look_of_errors();
    chosen = [asked] { return run_collection(*asked); };
  });
}

void add_check(CLI::App& app, Command& chosen) {
  const auto asked = std::make_shared<Run>();
  CLI::App* check = app.add_subcommand("check", "Check patterns and say what does not work out");
  add_pattern_options(*check, *asked);
  check
      ->add_flag(
          "--fix", asked->task.fix,
          "Mend in the files what is certain (a word with two letters exchanged, a capital in a stitch, a "
          "comma between stitches), say what was changed, and check what remains")
      ->group("Mending");
  show_examples(*check, {{"wale check scarf.wale", "does every row work out?"},
                         {"wale check --fix scarf.wale", "mend in the file what is certain"},
                         {"wale check --strict patterns", "all *.wale below a folder; warnings are errors"},
                         {"wale check --report sarif patterns",
                          "what was found, for code review to show at the line"}});
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
      ->capture_default_str()
      ->group("Files");
  build
      ->add_flag("--true-size", task.true_size,
                 "Write each chart also as a PDF to print, with squares as large as the gauge says that the "
                 "stitches will be, and a ruler on each page to check the printer by")
      ->group("Files");
  build
      ->add_flag("--png", task.document.png,
                 "Write each chart also as a PNG picture, of 300 dots to the inch, beside its SVG")
      ->group("Files");
  add_page_settings(*build, task.document);
  build->add_flag("--mirror", task.document.mirror, "Mirrored, for knitters who work from left to right")
      ->group("Pages");
  show_examples(
      *build,
      {{"wale build scarf.wale", "writes its charts, document, words and yarn amounts into out/"},
       {"wale build patterns --to print", "all *.wale below a folder, into another one"},
       {"wale build scarf.wale --paper Letter --units in", "pages for a printer in inches"},
       {"wale build scarf.wale --gauge \"18 st x 25 rows = 10 cm\"", "every count for your own gauge"}});
  choose(*build, asked, chosen);
}

}  // namespace

void add_page_settings(CLI::App& command, DocumentSettings& settings) {
  add_choice<Paper>(command, "--paper", settings.paper, {{"A4", Paper::a4}, {"Letter", Paper::letter}},
                    "The paper to print on; A4, unless you say")
      ->group("Pages");
  command.add_flag("--large-print", settings.large_print, "Type of 16 points, and larger squares")
      ->group("Pages");
  add_choice<Units>(command, "--units", settings.units, {{"cm", Units::metric}, {"in", Units::inches}},
                    "The unit that stands first in measures")
      ->group("Pages");
}

void add_patterns(CLI::App& app, Command& chosen) {
  add_check(app, chosen);
  add_build(app, chosen);
}

}  // namespace wale
