// `wale format`: pattern files in the one layout, or which of them are not.
#include <fmt/format.h>

#include <memory>

#include "compiler/check.hpp"
#include "compiler/command_line.hpp"
#include "compiler/command_terminal.hpp"
#include "compiler/commands.hpp"
#include "compiler/files.hpp"
#include "compiler/instruction_words.hpp"
#include "grammar/fitted.hpp"
#include "grammar/formatter.hpp"
#include "grammar/visible.hpp"

namespace wale {

namespace {

struct Task {
  std::vector<std::string> paths;
  bool check = false;
};

struct Tally {
  std::size_t patterns = 0, changed = 0, failed = 0, unreadable = 0;
};

void format_file(const std::string& path, const Task& task, Tally& tally) {
  std::string reason;
  auto text = read_file(path, reason);
  if (!text) {
    say(fmt::format("{}: cannot be read: {}", path, reason));
    ++tally.unreadable;
    return;
  }
  ++tally.patterns;
  const Source source(path, std::move(*text), 1);
  Diagnostics diagnostics;
  const std::optional<std::string> laid_out = format(source, diagnostics);
  fmt::print(stderr, "{}", show(diagnostics, {vocabulary_source(), source}, false, look_of_errors()));
  if (!laid_out) {
    ++tally.failed;
    return;
  }
  if (*laid_out == source.text()) return;
  if (!task.check)
    if (const auto failure = replace_file(path, source.text(), *laid_out)) {
      say(*failure);
      ++tally.unreadable;
      return;
    }
  ++tally.changed;
  fmt::print("{}\n", visible(path));
}

int run(const Task& task) {
  std::vector<Problem> problems;
  const std::vector<Found> found = find_patterns(task.paths, problems);
  Tally tally;
  for (const Problem& problem : problems) say(problem.words());
  tally.unreadable = problems.size();
  for (const Found& each : found) format_file(each.path, task, tally);
  const auto count = [](std::size_t number) {
    return count_of(static_cast<long long>(number), "pattern", "patterns");
  };
  std::string summary = count(tally.patterns);
  summary += task.check ? fmt::format(", {} not in the one layout", tally.changed)
                        : fmt::format(", {} laid out anew", tally.changed);
  if (tally.failed > 0) summary += fmt::format(", {} left alone because of errors", tally.failed);
  if (tally.unreadable > 0)
    summary += fmt::format(", {} that could not be read or written", tally.unreadable);
  fmt::print("{}", fitted(summary + "\n", look_of_output()));
  if (tally.unreadable > 0) return file_trouble;
  return tally.failed > 0 || (task.check && tally.changed > 0) ? pattern_errors : fine;
}

}  // namespace

void add_format(CLI::App& app, Command& chosen) {
  const auto task = std::make_shared<Task>();
  CLI::App* command = app.add_subcommand(
      "format", "Lay pattern files out in the one way: blanks, line ends, columns, and nothing else");
  command->add_option("PATH", task->paths, "Pattern files (*.wale), or folders to look for them in")
      ->required()
      ->type_name("");
  command->add_flag("--check", task->check,
                    "Change nothing; list the files that are not laid out so, with exit status 1 if any is");
  show_examples(*command,
                {{"wale format patterns", "all *.wale below a folder"},
                 {"wale format --check patterns", "say which are not laid out so, and change none"}});
  command->callback([&chosen, task] { chosen = [task] { return run(*task); }; });
}

}  // namespace wale
