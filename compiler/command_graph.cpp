// `wale graph`: a collection as a Ninja file, for collections too large for one machine, and for builds that
// a collection is only a part of.
#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <set>

#include "compiler/build_graph.hpp"
#include "compiler/command_collection.hpp"
#include "compiler/command_line.hpp"
#include "compiler/command_options.hpp"
#include "compiler/commands.hpp"

namespace wale {

namespace fs = std::filesystem;

namespace {

struct Wanted {
  Task task;
  std::optional<std::string> file;  ///< standard output otherwise
};

/// The options of the task as words, as they were given.
std::vector<std::string> check_options(const Task& task) {
  std::vector<std::string> out;
  const auto add = [&](std::string_view option, const std::string& value) {
    out.insert(out.end(), {std::string(option), value});
  };
  if (task.settings.size) add("--size", *task.settings.size);
  if (task.settings.gauge) add("--gauge", *task.settings.gauge);
  for (const std::string& measure : task.settings.measures) add("--set", measure);
  if (task.strict) out.emplace_back("--strict");
  return out;
}

std::vector<std::string> build_options(const Task& task) {
  std::vector<std::string> out = check_options(task);
  const auto flag = [&](bool given, std::string_view option) {
    if (given) out.emplace_back(option);
  };
  if (task.document.paper == Paper::letter) out.insert(out.end(), {"--paper", "Letter"});
  if (task.document.units == Units::inches) out.insert(out.end(), {"--units", "in"});
  flag(task.true_size, "--true-size");
  flag(task.document.large_print, "--large-print");
  flag(task.document.png, "--png");
  flag(task.document.mirror, "--mirror");
  return out;
}

/// The folders in which a pattern may come or go.
std::vector<std::string> folders_below(const std::vector<std::string>& paths) {
  std::vector<std::string> out;
  for (const std::string& path : paths) {
    std::error_code error;
    if (!fs::is_directory(path, error)) continue;
    out.push_back(path);
    fs::recursive_directory_iterator walk(path, fs::directory_options::skip_permission_denied, error), end;
    for (; !error && walk != end; walk.increment(error)) {
      std::error_code ignored;
      if (walk->is_directory(ignored) && !walk->is_symlink(ignored)) out.push_back(walk->path().string());
    }
  }
  return out;
}

GraphEdge edge_of(const Found& file, const Task& task, const Told& told) {
  GraphEdge out;
  out.source = file.path;
  out.folder = output_folder(file, task);
  out.stem = output_stem(file);
  out.good = told.sums.failed == 0;
  for (const FileRead& each : told.read)
    if (each.path != file.path) out.used.push_back(each.path);
  for (const LedgerFile& each : told.written.files) out.names.push_back(each.name);
  return out;
}

std::optional<std::string> write_graph(const BuildGraph& graph, const std::string& text) {
  const fs::path at(graph.file);
  const std::string name = at.filename().string();
  return write_files(at.has_parent_path() ? at.parent_path().string() : ".",
                     {{name, text}, {name + ".d", dependency_rule(graph.file, graph.sources)}})
      .failure;
}

int run(const Wanted& asked) {
  const Task& task = asked.task;
  std::vector<Problem> problems;
  std::vector<Found> found = find_patterns(task.paths, problems);
  part_clashing(found, task, problems);
  BuildGraph graph;
  std::error_code error;
  graph.program = fs::read_symlink("/proc/self/exe", error).string();
  graph.options = build_options(task);
  graph.check_options = check_options(task);
  std::set<std::string> sources;
  for (std::string& folder : folders_below(task.paths)) sources.insert(std::move(folder));
  const FileAccess disk = files_on_disk();
  std::size_t failed = 0;
  compile_all(
      found, 0, [&](const Found& file) { return compile_file(file, task, disk); },
      [&](const Found& file, const Told& told) {
        if (told.sums.unreadable > 0) {
          problems.push_back({file.path, told.findings.unreadable});
          return;
        }
        failed += told.sums.failed;
        for (const FileRead& each : told.read) sources.insert(each.path);
        graph.edges.push_back(edge_of(file, task, told));
      });
  graph.sources.assign(sources.begin(), sources.end());
  if (asked.file) {
    graph.file = *asked.file;
    graph.renew = build_options(task);
    graph.renew.insert(graph.renew.end(), {"--to", *task.to, "--as", graph.file, "--"});
    graph.renew.insert(graph.renew.end(), task.paths.begin(), task.paths.end());
  }
  std::vector<std::string> unnamed;
  const std::string text = ninja_file(graph, unnamed);
  for (const std::string& path : unnamed)
    problems.push_back(
        {path, "a Ninja file cannot name it: rename what has a line break or `|` in its name"});
  for (const Problem& problem : problems) say(problem.words());
  if (!asked.file) {
    fmt::print("{}", text);
  } else if (const auto failure = write_graph(graph, text)) {
    say(*failure);
    return file_trouble;
  }
  say(count_of(static_cast<long long>(graph.edges.size() - unnamed.size()), "pattern", "patterns") +
      (failed > 0 ? fmt::format(", {} with errors, which the build will tell", failed) : ""));
  return problems.empty() ? fine : file_trouble;
}

}  // namespace

void add_graph(CLI::App& app, Command& chosen) {
  const auto asked = std::make_shared<Wanted>();
  CLI::App* graph = app.add_subcommand(
      "graph", "Write what `wale build` would do as a Ninja file, for large collections and larger builds");
  asked->task.only_names = true;
  add_pattern_options(*graph, asked->task);
  add_folder_option(*graph, asked->task);
  add_output_options(*graph, asked->task);
  graph
      ->add_option("--as", asked->file,
                   "Write it into FILE, so that Ninja writes it anew when patterns have changed, come or "
                   "gone; otherwise it is printed, and keeps to the patterns that there are now")
      ->type_name("FILE")
      ->group("Files");
  show_examples(*graph,
                {{"wale graph patterns --to out --as out/build.ninja", "then: ninja -f out/build.ninja"},
                 {"wale graph patterns", "shows it"}});
  graph->callback([&chosen, asked] { chosen = [asked] { return run(*asked); }; });
}

}  // namespace wale
