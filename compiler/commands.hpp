/// The commands of the program. Each has a file of its own, `command_NAME.cpp`, that adds it to the command
/// line and says what it does when it is the one asked for.
///
///     wale build patterns --to out    `add_patterns` has added `build`; reading the line makes it `chosen`
///
/// The program's edge: only here and in files.cpp are files touched and is anything printed.
#pragma once

#include <CLI/CLI.hpp>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "compiler/document_settings.hpp"

namespace wale {

/// Of the program: fine, a pattern has errors, it was called wrongly, a file cannot be read or written.
inline constexpr int fine = 0, pattern_errors = 1, wrong_use = 2, file_trouble = 3;

/// What the command line asks for, to be run when it has been read; returns the exit status.
using Command = std::function<int()>;

void add_patterns(CLI::App& app, Command& chosen);  ///< `check` and `build`
void add_graph(CLI::App& app, Command& chosen);
void add_match(CLI::App& app, Command& chosen);
void add_format(CLI::App& app, Command& chosen);
void add_new(CLI::App& app, Command& chosen);
void add_explain(CLI::App& app, Command& chosen);
void add_swatch(CLI::App& app, Command& chosen);
void add_help(CLI::App& app, Command& chosen);
void add_watch(CLI::App& app, Command& chosen);
void add_manual(CLI::App& app, Command& chosen);

/// The options of a document's pages: its paper, its type, its units.
std::vector<CLI::Option*> add_page_settings(CLI::App& command, DocumentSettings& settings);

/// A line to standard error.
void say(const std::string& line);

/// Seconds since 1970 from SOURCE_DATE_EPOCH (reproducible-builds.org), if it is set to a number.
std::optional<std::int64_t> source_date();

}  // namespace wale
