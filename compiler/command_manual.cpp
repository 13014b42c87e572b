// `wale manual`: the manual page and the shells' completions, which the build asks for to install them. No
// user needs it, so the help does not list it.
#include <fmt/format.h>

#include <memory>

#include "compiler/command_line.hpp"
#include "compiler/commands.hpp"
#include "compiler/completions.hpp"
#include "compiler/manual_page.hpp"
#include "grammar/diagnostics.hpp"

namespace wale {

namespace {

enum class Form { page, bash, zsh, fish };

int write(const CLI::App& app, Form form) {
  const ProgramFacts program = facts_of(app);
  std::vector<std::string> mistakes;
  for (const Kind kind : all_kinds()) mistakes.emplace_back(facts(kind).slug);
  const auto text = [&] {
    switch (form) {
      case Form::page:
        return manual_page(program, {WALE_VERSION, WALE_RELEASED});
      case Form::bash:
        return bash_completion(program, mistakes);
      case Form::zsh:
        return zsh_completion(program, mistakes);
      case Form::fish:
        return fish_completion(program, mistakes);
    }
    return std::string();
  };
  fmt::print("{}", text());
  return fine;
}

}  // namespace

void add_manual(CLI::App& app, Command& chosen) {
  const auto form = std::make_shared<Form>(Form::page);
  CLI::App* command = app.add_subcommand("manual", "Write what the program tells of itself")->group("");
  add_choice<Form>(*command, "FORM", *form,
                   {{"page", Form::page}, {"bash", Form::bash}, {"zsh", Form::zsh}, {"fish", Form::fish}},
                   "Which")
      ->required();
  command->callback([&app, &chosen, form] { chosen = [&app, form] { return write(app, *form); }; });
}

}  // namespace wale
