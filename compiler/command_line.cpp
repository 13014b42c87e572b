#include "compiler/command_line.hpp"

#include <fmt/format.h>

#include <cctype>
#include <filesystem>
#include <iterator>
#include <memory>

#include "compiler/command_terminal.hpp"
#include "compiler/help_text.hpp"
#include "grammar/spelling.hpp"

namespace wale {

namespace {

/// Between an example and what it does, in the footer, where CLI11 keeps it for us.
constexpr char apart = '\t';

std::string one_line(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

OptionFacts facts_of(const CLI::Option& option) {
  OptionFacts out;
  for (const std::string& name : option.get_snames()) out.names.push_back("-" + name);
  for (const std::string& name : option.get_lnames()) out.names.push_back("--" + name);
  const bool argument = out.names.empty();
  if (argument)
    out.value =
        taken_by(option.get_type_name()) == Takes::choices ? option.get_type_name() : option.get_name(true);
  else if (option.get_items_expected_max() > 0)
    out.value = option.get_type_name();
  out.takes = taken_by(out.value);
  out.does = one_line(option.get_description());
  if (!option.get_default_str().empty())
    out.does += fmt::format(" ({}, unless you say)", option.get_default_str());
  out.group = option.get_group();
  out.required = option.get_required();
  out.repeated = option.get_items_expected_max() > 1;
  return out;
}

std::vector<Example> examples_of(const std::string& footer) {
  std::vector<Example> out;
  for (const std::string& line : CLI::detail::split(footer, '\n'))
    if (const std::size_t at = line.find(apart); at != std::string::npos)
      out.push_back({line.substr(0, at), line.substr(at + 1)});
  return out;
}

CommandFacts command_facts(const CLI::App& command) {
  CommandFacts out{
      command.get_name(), one_line(command.get_description()), {}, {}, examples_of(command.get_footer())};
  for (const CLI::Option* each : command.get_options()) {
    if (each->get_group().empty()) continue;  // hidden
    OptionFacts facts = facts_of(*each);
    (facts.names.empty() ? out.arguments : out.options).push_back(std::move(facts));
  }
  // Help, which CLI11 puts first, is wanted least.
  std::stable_partition(out.options.begin(), out.options.end(),
                        [](const OptionFacts& each) { return each.names.back() != "--help"; });
  return out;
}

std::string replaced(std::vector<std::string> words, const std::string& wrong, const std::string& right) {
  for (std::string& each : words) {
    if (each == wrong) each = right;
    if (each.find(' ') != std::string::npos) each = '"' + each + '"';
  }
  return fmt::format("wale {}", fmt::join(words, " "));
}

/// No command is called so: a slip of the fingers, or a file where a command should stand?
std::string no_command(const ProgramFacts& program, const std::vector<std::string>& words,
                       const std::string& word) {
  std::vector<std::string> names;
  for (const CommandFacts& each : program.commands) names.push_back(each.name);
  std::error_code ignored;
  if (word.ends_with(".wale") || std::filesystem::exists(word, ignored))
    return fmt::format(
        "wale: say what is to be done with {0}\n       try   wale check {0}\n       try   wale build {0}\n",
        word);
  std::string out = fmt::format("wale: there is no command `{}`\n", word);
  for (const std::string& near : nearest_names(word, names))
    out += fmt::format("       try   {}\n", replaced(words, word, near));
  return out +
         fmt::format("       note  the commands are {}; `wale help` tells of them\n", fmt::join(names, ", "));
}

/// The first word that looks like an option of the command and is none, and what it may stand for.
std::string unknown_option(const CommandFacts& command, const std::vector<std::string>& words) {
  std::vector<std::string> names;
  for (const OptionFacts& each : command.options)
    std::copy(each.names.begin(), each.names.end(), std::back_inserter(names));
  for (const std::string& word : words) {
    if (word == "--") break;
    const std::string name = word.substr(0, word.find('='));
    const bool letter = name.size() == 2 && std::isalpha(static_cast<unsigned char>(name[1])) != 0;
    if (!name.starts_with("--") && !(letter && name[0] == '-')) continue;
    if (std::find(names.begin(), names.end(), name) != names.end()) continue;
    std::string out = fmt::format("there is no option `{}` here\n", name);
    if (!letter)
      for (const std::string& near : nearest_names(name, names))
        out += fmt::format("       try   {}\n", near);
    return out;
  }
  return "";
}

/// What the library found wrong, in our words where it speaks as a library.
std::string said_by(const CLI::Error& error) {
  const std::string what = error.what();
  constexpr std::string_view converting = "Could not convert: ",
                             extra = "The following argument was not expected: ";
  if (error.get_name() == "ArgumentMismatch")
    return fmt::format("{} needs a value behind it\n", what.substr(0, what.find(':')));
  if (what.starts_with(converting)) return fmt::format("no number: {}\n", what.substr(converting.size()));
  if (what.starts_with(extra)) return fmt::format("one word too many: {}\n", what.substr(extra.size()));
  return what + "\n";
}

/// The command is known.
std::string mistake_in(const CommandFacts& command, const std::vector<std::string>& words, bool options_first,
                       const CLI::Error& error) {
  std::string out = fmt::format("wale {}: ", command.name);
  if (options_first)
    out += fmt::format("its options stand behind it: wale {} {}\n", command.name, words.front());
  else if (const std::string unknown = unknown_option(command, words); !unknown.empty())
    out += unknown;
  else
    out += said_by(error);
  if (error.get_name() == "RequiredError" && !options_first && !command.examples.empty())
    out += fmt::format("       try   {}\n", command.examples.front().line);
  return out + fmt::format("       note  `wale help {}` tells what there is\n", command.name);
}

}  // namespace

ProgramFacts facts_of(const CLI::App& app) {
  ProgramFacts out{command_facts(app), {}};
  for (const CLI::App* each : app.get_subcommands([](const CLI::App*) { return true; }))
    if (!each->get_group().empty()) out.commands.push_back(command_facts(*each));
  return out;
}

void show_examples(CLI::App& command, const std::vector<Example>& examples) {
  std::string lines;
  for (const Example& each : examples) lines += each.line + apart + each.does + "\n";
  command.footer(lines);
}

void set_up(CLI::App& app) {
  app.set_help_flag("-h,--help", "Show this help");
  app.option_defaults()->group("Options");
  app.formatter_fn([](const CLI::App* asked, const std::string&, CLI::AppFormatMode) {
    const int columns = help_columns();
    return asked->get_parent() ? command_help(command_facts(*asked), columns)
                               : program_help(facts_of(*asked), columns);
  });
}

std::string mistake_in(const CLI::App& app, const std::vector<std::string>& words, const CLI::Error& error) {
  const ProgramFacts program = facts_of(app);
  if (words.empty()) return program_help(program);
  const auto is_option = [](const std::string& each) { return each.starts_with('-'); };
  const auto word = std::find_if_not(words.begin(), words.end(), is_option);
  if (word == words.end()) {
    const std::string unknown = unknown_option(program.itself, words);
    return fmt::format("wale: {}       note  `wale help` tells what there is\n",
                       unknown.empty() ? said_by(error) : unknown);
  }
  const auto command = [&](const std::string& name) {
    return std::find_if(program.commands.begin(), program.commands.end(),
                        [&](const CommandFacts& each) { return each.name == name; });
  };
  const auto none = program.commands.end();
  const auto named =
      std::find_if(words.begin(), words.end(), [&](const auto& each) { return command(each) != none; });
  const bool options_first = word != words.begin() && named != words.end();
  if (!options_first && command(*word) == none) return no_command(program, words, *word);
  return mistake_in(*command(options_first ? *named : *word), words, options_first, error);
}

}  // namespace wale
