// `wale check` and `wale build`: what is asked for on the command line.
#include <fmt/format.h>

#include <charconv>
#include <memory>
#include <system_error>

#include "compiler/command_collection.hpp"
#include "compiler/command_line.hpp"
#include "compiler/command_options.hpp"
#include "compiler/command_terminal.hpp"
#include "compiler/commands.hpp"

namespace wale {

namespace {

constexpr const char* other_numbers = "Other numbers than the pattern's";
constexpr const char* which = "Which patterns, and how many at a time";
constexpr const char* said = "What is said";
constexpr const char* files = "Files";
constexpr const char* pages = "Pages";

/// How a collection is gone through, and what is said of it.
void add_run_options(CLI::App& command, Run& run) {
  command
      .add_flag("--listed", run.listed,
                "Of the patterns only those that standard input names, one a line, or that use a file which "
                "it names: git diff --name-only --no-renames main | wale check --listed patterns")
      ->group(which);
  add_jobs_option(command, run.jobs);
  add_choice<Report>(
      command, "--report", run.report,
      {{"text", Report::text}, {"json", Report::json}, {"sarif", Report::sarif}, {"junit", Report::junit}},
      "What standard output says: text for people, or for programs json, sarif (SARIF 2.1.0) or junit "
      "(test results); text, unless you say")
      ->group(said);
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
  add_pattern_options(*check, asked->task);
  add_run_options(*check, *asked);
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
  CLI::App* build =
      app.add_subcommand("build", "Check patterns and write their charts, documents and reports");
  add_pattern_options(*build, task);
  add_run_options(*build, *asked);
  add_folder_option(*build, task);
  build->add_flag("--anew", asked->anew, "Everything, also what is up to date")->group(files);
  build
      ->add_option("--depfile", asked->depfile,
                   "For another program that decides what to build: writes into FILE, in the language of "
                   "Make, which files each pattern was made from; everything named is built")
      ->type_name("FILE")
      ->group(files);
  add_output_options(*build, task);
  show_examples(
      *build,
      {{"wale build scarf.wale", "writes its charts, document, words and yarn amounts into out/"},
       {"wale build patterns --to print", "all *.wale below a folder, into another one"},
       {"wale build scarf.wale --paper Letter --units in", "pages for a printer in inches"},
       {"wale build scarf.wale --gauge \"18 st x 25 rows = 10 cm\"", "every count for your own gauge"}});
  choose(*build, asked, chosen);
}

}  // namespace

void add_pattern_options(CLI::App& command, Task& task) {
  command.add_option("PATH", task.paths, "Pattern files (*.wale), or folders to look for them in")
      ->required()
      ->type_name("");
  command.add_option("--size", task.settings.size, "Only this one of the pattern's sizes")
      ->type_name("NAME")
      ->group(other_numbers);
  command
      .add_option("--gauge", task.settings.gauge,
                  "Your gauge in the place of the pattern's first, such as \"18 st x 25 rows = 10 cm\"; its "
                  "other gauges keep their proportion to that one")
      ->type_name("GAUGE")
      ->group(other_numbers);
  command
      .add_option("--set", task.settings.measures,
                  "Another value for a measure, such as \"ease = 8 cm\"; may be given several times")
      ->type_name("MEASURE")
      ->allow_extra_args(false)
      ->group(other_numbers);
  command.add_flag("--strict", task.strict, "Warnings are errors")->group(said);
}

void add_jobs_option(CLI::App& command, std::size_t& jobs) {
  // What is no number at all the library tells itself.
  const auto some = [](const std::string& word) -> std::string {
    constexpr long most = 1000;
    long number = 0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), number);
    const bool no_number = error == std::errc::invalid_argument || end != word.data() + word.size();
    if (no_number || (error == std::errc() && number >= 1 && number <= most)) return "";
    return fmt::format("from 1 to {} patterns can be compiled at a time, and not {}", most, word);
  };
  command
      .add_option("--jobs", jobs, "Patterns compiled at a time; as many as there are cores, unless you say")
      ->check(some)
      ->type_name("N")
      ->group(which);
}

void add_folder_option(CLI::App& command, Task& task) {
  task.to = "out";
  command.add_option("--to", *task.to, "The folder to write into; it is made if need be")
      ->type_name("DIR")
      ->capture_default_str()
      ->group(files);
}

std::vector<CLI::Option*> add_output_options(CLI::App& command, Task& task) {
  std::vector<CLI::Option*> out = add_page_settings(command, task.document);
  out.push_back(command.add_flag("--mirror", task.document.mirror,
                                 "Mirrored, for knitters who work from left to right"));
  out.back()->group(pages);
  out.push_back(command.add_flag(
      "--true-size", task.true_size,
      "Write each chart also as a PDF to print, with squares as large as the gauge says that the "
      "stitches will be, and a ruler on each page to check the printer by"));
  out.back()->group(files);
  out.push_back(
      command.add_flag("--png", task.document.png,
                       "Write each chart also as a PNG picture, of 300 dots to the inch, beside its SVG"));
  out.back()->group(files);
  return out;
}

std::vector<CLI::Option*> add_page_settings(CLI::App& command, DocumentSettings& settings) {
  std::vector<CLI::Option*> out{
      add_choice<Paper>(command, "--paper", settings.paper, {{"A4", Paper::a4}, {"Letter", Paper::letter}},
                        "The paper to print on; A4, unless you say"),
      command.add_flag("--large-print", settings.large_print, "Type of 16 points, and larger squares"),
      add_choice<Units>(command, "--units", settings.units, {{"cm", Units::metric}, {"in", Units::inches}},
                        "The unit that stands first in measures")};
  for (CLI::Option* option : out) option->group(pages);
  return out;
}

void add_patterns(CLI::App& app, Command& chosen) {
  add_check(app, chosen);
  add_build(app, chosen);
}

}  // namespace wale
