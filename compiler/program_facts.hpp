/// What the program can be asked, as values: its commands, their options and examples.
///
/// They are read once from the command line's definition (`command_line.hpp`), and everything that tells of
/// them is made from these values: the help, the manual page and the shells' completions. So a command that
/// is added tells of itself in all of them.
///
///     build                         a command
///       --paper A4|Letter           an option of the group "Pages" with two choices
///       PATH...                     an argument, repeated, that takes patterns
///       wale build patterns         an example
#pragma once

#include <string>
#include <vector>

namespace wale {

/// What can stand behind an option or as an argument. A value's placeholder says it: see `taken_by`.
enum class Takes { nothing, words, choices, patterns, folder, mistake, command };

/// What a placeholder stands for: "DIR" a folder, "PATH", "PATTERN" and "STASH" patterns and folders of them,
/// "MISTAKE" the name of one, "COMMAND" one of the program's, "a|b" a choice, "" nothing, all others words.
Takes taken_by(const std::string& placeholder);

struct OptionFacts {
  std::vector<std::string> names;  ///< "-h", "--help"; none for an argument
  std::string value;               ///< the placeholder: "DIR", "A4|Letter"; empty for a flag
  Takes takes = Takes::nothing;
  std::string does;   ///< in a sentence without its full stop
  std::string group;  ///< the heading under which it is told
  bool required = false, repeated = false;

  /// "A4", "Letter": of a value that is a choice.
  std::vector<std::string> choices() const;
};

/// A line to type and what it is good for.
struct Example {
  std::string line, does;
};

struct CommandFacts {
  std::string name;  ///< "build"; of the program itself "wale"
  std::string does;  ///< in a sentence without its full stop
  std::vector<OptionFacts> options, arguments;
  std::vector<Example> examples;

  /// Its options' headings, each once, in the order in which they come.
  std::vector<std::string> groups() const;
};

struct ProgramFacts {
  CommandFacts itself;
  std::vector<CommandFacts> commands;
};

/// What the program tells the shell when it ends.
struct ExitStatus {
  int status;
  std::string means;
};
const std::vector<ExitStatus>& exit_statuses();

}  // namespace wale
