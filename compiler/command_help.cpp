// `wale help`: the same as `--help`, for those who ask in words.
#include <fmt/format.h>

#include <memory>

#include "compiler/command_line.hpp"
#include "compiler/command_terminal.hpp"
#include "compiler/commands.hpp"
#include "compiler/help_text.hpp"
#include "grammar/spelling.hpp"

namespace wale {

namespace {

int help(const ProgramFacts& program, const std::string& name) {
  if (name.empty()) {
    fmt::print("{}", program_help(program, help_columns()));
    return fine;
  }
  std::vector<std::string> names;
  for (const CommandFacts& each : program.commands) {
    if (each.name == name) {
      fmt::print("{}", command_help(each, help_columns()));
      return fine;
    }
    names.push_back(each.name);
  }
  say(fmt::format("wale: there is no command `{}`", name));
  for (const std::string& near : nearest_names(name, names))
    say(fmt::format("       try   wale help {}", near));
  say(fmt::format("       note  the commands are {}", fmt::join(names, ", ")));
  return wrong_use;
}

}  // namespace

void add_help(CLI::App& app, Command& chosen) {
  const auto name = std::make_shared<std::string>();
  CLI::App* command = app.add_subcommand("help", "Tell how a command is used; without a name, what there is");
  command->add_option("COMMAND", *name, "The command to tell about")->type_name("");
  show_examples(*command, {{"wale help build", "all that can be built, and how"}});
  command->callback([&app, &chosen, name] { chosen = [&app, name] { return help(facts_of(app), *name); }; });
}

}  // namespace wale
