// `wale new`: a first pattern to change.
#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <system_error>

#include "compiler/build_graph.hpp"
#include "compiler/command_line.hpp"
#include "compiler/command_terminal.hpp"
#include "compiler/commands.hpp"
#include "compiler/files.hpp"
#include "compiler/starter.hpp"
#include "grammar/fitted.hpp"
#include "grammar/visible.hpp"

namespace wale {

namespace {

int make_new(const std::string& name) {
  namespace fs = std::filesystem;
  fs::path path(name);
  if (path.extension() != ".wale") path += ".wale";
  const std::string stem = path.stem().string();
  if (stem.empty() || stem.front() == '.') {
    say(fmt::format("wale: `{}` is no name for a pattern", name));
    say("       try   wale new winter-hat");
    return wrong_use;
  }
  std::error_code error;
  const fs::file_type there = fs::symlink_status(path, error).type();
  if (there == fs::file_type::none) {
    say(fmt::format("{}: cannot be written: {}", path.string(), error.message()));
    return file_trouble;
  }
  if (there != fs::file_type::not_found) {
    say(fmt::format("wale: {} is there already, and is left as it is", path.string()));
    return file_trouble;
  }
  const std::string folder = path.has_parent_path() ? path.parent_path().string() : ".";
  if (const auto failure =
          write_files(folder, {{path.filename().string(), starter(title_of(stem))}}).failure) {
    say(*failure);
    return file_trouble;
  }
  fmt::print(
      "{}",
      fitted(fmt::format("{0} is written; it compiles as it stands:\n\n  wale check {1}\n  wale build {1}\n",
                         visible(path.string()), visible(shell_quoted(path.string()))),
             look_of_output()));
  return fine;
}

}  // namespace

void add_new(CLI::App& app, Command& chosen) {
  const auto name = std::make_shared<std::string>();
  CLI::App* command =
      app.add_subcommand("new", "Start a pattern: a file that compiles, with comments that teach");
  command->add_option("NAME", *name, "Of the pattern and its file, such as winter-hat")
      ->required()
      ->type_name("");
  show_examples(*command, {{"wale new winter-hat", "writes winter-hat.wale, to be changed"}});
  command->callback([&chosen, name] { chosen = [name] { return make_new(*name); }; });
}

}  // namespace wale
