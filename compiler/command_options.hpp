/// Options that several commands have.
#pragma once

#include <CLI/CLI.hpp>
#include <vector>

#include "compiler/command_compile.hpp"

namespace wale {

/// Which patterns, and what to put in the place of what they say.
void add_pattern_options(CLI::App& command, Task& task);
void add_jobs_option(CLI::App& command, std::size_t& jobs);
/// The folder for what is written: `out`, unless it is said.
void add_folder_option(CLI::App& command, Task& task);
/// What is written, and its pages.
std::vector<CLI::Option*> add_output_options(CLI::App& command, Task& task);

}  // namespace wale
