/// Options that several commands have.
#pragma once

#include <CLI/CLI.hpp>

#include "compiler/command_compile.hpp"

namespace wale {

/// Which patterns, and what to put in the place of what they say.
void add_pattern_options(CLI::App& command, Task& task);
/// What is written, and where.
void add_output_options(CLI::App& command, Task& task);
/// What is written alone.
void add_kinds_of_output(CLI::App& command, Task& task);

}  // namespace wale
