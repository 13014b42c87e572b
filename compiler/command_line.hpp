/// The command line's definition read back as values, and what its commands need to define themselves.
///
///     add_choice(command, "--paper", paper, {{"A4", Paper::a4}, {"Letter", Paper::letter}}, "The paper")
///     show_examples(command, {{"wale build scarf.wale", "writes its files into out/"}})
///     facts_of(app).commands        build: --paper A4|Letter, an example, ...
#pragma once

#include <CLI/CLI.hpp>
#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "compiler/program_facts.hpp"

namespace wale {

ProgramFacts facts_of(const CLI::App& app);

/// Lines for the command's help. Each must work where there are `scarf.wale`, `locker.wale` and `patterns/`:
/// tests/pages/shell runs them all.
void show_examples(CLI::App& command, const std::vector<Example>& examples);

/// An option that takes one of the words, in capitals or not; its help lists them in this order.
template <class Value>
CLI::Option* add_choice(CLI::App& command, const std::string& name, Value& value,
                        const std::vector<std::pair<std::string, Value>>& choices, const std::string& does) {
  std::string words;
  for (const auto& [word, meant] : choices) words += (words.empty() ? "" : "|") + word;
  const auto choose = [&value, choices, name, words](const std::string& said) {
    const auto found = std::find_if(choices.begin(), choices.end(), [&](const auto& each) {
      return CLI::detail::to_lower(each.first) == CLI::detail::to_lower(said);
    });
    if (found == choices.end()) throw CLI::ValidationError(name, "`" + said + "` is none of " + words);
    value = found->second;
  };
  return command.add_option_function<std::string>(name, choose, does)->type_name(words);
}

/// Sets how help looks and what is said where a line was not understood; before any command is added.
void set_up(CLI::App& app);

/// Of a line that could not be read: what was not understood, and what may have been meant.
std::string mistake_in(const CLI::App& app, const std::vector<std::string>& words, const CLI::Error& error);

}  // namespace wale
