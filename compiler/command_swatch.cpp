// `wale swatch`: a page for each fabric that has no swatch yet, to knit it, measure it and write it down.
#include <fmt/format.h>

#include <filesystem>
#include <memory>

#include "compiler/command_line.hpp"
#include "compiler/command_terminal.hpp"
#include "compiler/commands.hpp"
#include "compiler/files.hpp"
#include "compiler/swatch_page.hpp"
#include "grammar/fitted.hpp"

namespace wale {

namespace {

struct Task {
  std::vector<std::string> paths;
  std::string to = "out";
  DocumentSettings document = {};
};

struct Sums {
  std::size_t patterns = 0, pages = 0, failed = 0, unreadable = 0;
};

void prepare(const Found& found, const Task& task, Sums& sums) {
  std::string reason;
  const auto loaded = load_file(found.path, reason);
  if (!loaded) {
    say(fmt::format("{}: cannot be read: {}", found.path, reason));
    ++sums.unreadable;
    return;
  }
  ++sums.patterns;
  const Checked checked = check(*loaded);
  if (checked.diagnostics.has_errors()) {
    fmt::print(stderr, "{}", show(checked.diagnostics, sources_of(*loaded), false, look_of_errors()));
    ++sums.failed;
    return;
  }
  const std::size_t wanted = plan_swatches(checked.pattern).size();
  if (wanted == 0) {
    say(fmt::format("{}: {}", found.path,
                    checked.pattern.fabrics.empty() ? "has no fabric to swatch"
                                                    : "every fabric that is worked has its swatch"));
    return;
  }
  const Outputs outputs = make_swatch_pages(checked, std::filesystem::path(found.path).stem().string(),
                                            source_date(), task.document);
  std::optional<std::string> failure;
  if (!outputs.failure.empty())
    failure = fmt::format("{}: cannot be drawn: {}", found.path, outputs.failure);
  else
    failure = write_files((std::filesystem::path(task.to) / found.folder).lexically_normal().string(),
                          outputs.files)
                  .failure;
  if (!failure) {
    sums.pages += wanted;
    return;
  }
  say(*failure);
  ++sums.unreadable;
}

int run(const Task& task) {
  std::vector<Problem> problems;
  const std::vector<Found> found = find_patterns(task.paths, problems);
  Sums sums;
  for (const Problem& problem : problems) say(problem.words());
  sums.unreadable = problems.size();
  for (const Found& each : found) prepare(each, task, sums);
  const std::string summary =
      fmt::format("{} for {}{}\n", count_of(static_cast<long long>(sums.pages), "swatch", "swatches"),
                  count_of(static_cast<long long>(sums.patterns), "pattern", "patterns"),
                  sums.failed > 0 ? fmt::format(", {} with errors", sums.failed) : "");
  fmt::print("{}", fitted(summary, look_of_output()));
  return sums.unreadable > 0 ? file_trouble : sums.failed > 0 ? pattern_errors : fine;
}

}  // namespace

void add_swatch(CLI::App& app, Command& chosen) {
  const auto task = std::make_shared<Task>();
  CLI::App* command = app.add_subcommand(
      "swatch", "Write a page for each fabric that has no swatch yet: what to knit, what to measure");
  command->add_option("PATH", task->paths, "Pattern files (*.wale), or folders to look for them in")
      ->required()
      ->type_name("");
  command->add_option("--to", task->to, "The folder to write into; it is made if need be")
      ->type_name("DIR")
      ->capture_default_str();
  add_page_settings(*command, task->document);
  show_examples(*command,
                {{"wale swatch scarf.wale", "writes out/scarf.swatch.pdf, to print"},
                 {"wale swatch patterns --paper Letter", "a page for each fabric of a collection"}});
  command->callback([&chosen, task] { chosen = [task] { return run(*task); }; });
}

}  // namespace wale
