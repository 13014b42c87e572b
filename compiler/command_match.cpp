// `wale match`: which of my yarns could knit this?
#include <fmt/format.h>

#include <memory>

#include "compiler/command_line.hpp"
#include "compiler/command_terminal.hpp"
#include "compiler/commands.hpp"
#include "compiler/files.hpp"
#include "compiler/match.hpp"

namespace wale {

namespace {

struct Task {
  std::string pattern, stash;
  Settings settings;
  ReportForm form = ReportForm::text;
};

/// A checked file; nothing where it cannot be read (`status` says so) or has mistakes. That the pattern's own
/// stash does not suffice is no mistake here: another one is asked about.
std::optional<Checked> checked_file(const std::string& path, const Settings& settings, int& status) {
  std::string reason;
  const auto loaded = load_file(path, reason);
  if (!loaded) {
    say(fmt::format("{}: cannot be read: {}", path, reason));
    status = file_trouble;
    return {};
  }
  Checked out = check(*loaded, settings);
  Diagnostics told;
  for (const Diagnostic& each : out.diagnostics.all()) {
    if (facts(each.kind).severity != Severity::error || each.kind == Kind::yarn_runs_short) continue;
    Diagnostic& added = told.add(each.kind, each.span, each.message);
    added = each;
  }
  if (!told.has_errors()) return out;
  fmt::print(stderr, "{}",
             show(told, sources_of(*loaded, settings_sources(settings, loaded->files.size() + 1)), false,
                  look_of_errors()));
  if (status == fine) status = pattern_errors;
  return {};
}

int match_yarns(const Task& task) {
  int status = fine;
  const auto pattern = checked_file(task.pattern, task.settings, status);
  const auto stash = checked_file(task.stash, {}, status);
  if (!pattern || !stash) return status;
  fmt::print("{}", match_report(match(*pattern, *stash), *pattern, *stash, task.form));
  return fine;
}

}  // namespace

void add_match(CLI::App& app, Command& chosen) {
  const auto task = std::make_shared<Task>();
  CLI::App* command = app.add_subcommand("match", "Which yarns of a stash could knit a pattern, and why");
  command->add_option("PATTERN", task->pattern, "The pattern (*.wale)")->required()->type_name("");
  command->add_option("STASH", task->stash, "A file (*.wale) with yarns and a stash")
      ->required()
      ->type_name("");
  command->add_option("--size", task->settings.size, "Only this one of the pattern's sizes")
      ->type_name("NAME");
  command->add_option("--gauge", task->settings.gauge, "Your gauge in the place of the pattern's first")
      ->type_name("GAUGE");
  command
      ->add_option("--set", task->settings.measures,
                   "Another value for a measure, such as \"ease = 8 cm\"; may be given several times")
      ->type_name("MEASURE")
      ->allow_extra_args(false);
  add_choice<ReportForm>(
      *command, "--report", task->form,
      {{"text", ReportForm::text}, {"markdown", ReportForm::markdown}, {"json", ReportForm::json}},
      "How it is told; text, unless you say");
  show_examples(*command,
                {{"wale match scarf.wale locker.wale", "ranked, with reasons"},
                 {"wale match scarf.wale locker.wale --report markdown", "the same as a page to keep"}});
  command->callback([&chosen, task] { chosen = [task] { return match_yarns(*task); }; });
}

}  // namespace wale
