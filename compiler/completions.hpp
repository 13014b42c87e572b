/// What a shell needs to complete the program's words: commands, options, the words of a choice, patterns and
/// folders of them, names of mistakes.
///
/// Each script is a table of what there is and a few lines that look words up in it, so that a command or an
/// option more is a line more.
///
///     wale build --paper <Tab>       A4  Letter
#pragma once

#include <string>
#include <vector>

#include "compiler/program_facts.hpp"

namespace wale {

/// `mistakes` are the names that `wale explain` knows.
std::string bash_completion(const ProgramFacts& program, const std::vector<std::string>& mistakes);
std::string zsh_completion(const ProgramFacts& program, const std::vector<std::string>& mistakes);
std::string fish_completion(const ProgramFacts& program, const std::vector<std::string>& mistakes);

}  // namespace wale
