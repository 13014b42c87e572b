/// The help as text for a terminal of any width: `wale --help`, `wale help check`.
#pragma once

#include <string>

#include "compiler/program_facts.hpp"

namespace wale {

/// Help for the program. No line is longer than `columns` cells but for lines to type, which stay whole.
std::string program_help(const ProgramFacts& program, int columns = 80);

/// Help for one command.
std::string command_help(const CommandFacts& command, int columns = 80);

/// "--to DIR", "-h, --help", "PATH...".
std::string written(const OptionFacts& option);

/// "wale build [OPTIONS] PATH..."
std::string usage(const CommandFacts& command);

}  // namespace wale
