#include "compiler/help_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "render/text.hpp"

namespace wale {

namespace {

/// Two columns are read more quickly than one, where there is room for the second.
constexpr int widest_lead = 24, least_beside = 34;

using Entries = std::vector<std::pair<std::string, std::string>>;

/// Each lead with its text beside it, or below it where the lead is long or the terminal narrow.
std::string table(const Entries& entries, int columns, int lead_limit = widest_lead) {
  int widest = 0;
  for (const auto& [lead, text] : entries)
    if (const int cells = render::text_columns(lead); cells <= lead_limit) widest = std::max(widest, cells);
  int beside = widest + 4;
  const bool stacked = columns - beside < least_beside;
  if (stacked) beside = 6;
  std::string out;
  for (const auto& [lead, text] : entries) {
    std::string line = "  " + lead;
    const bool below = stacked || render::text_columns(lead) > widest;
    if (below) out += std::exchange(line, "") + "\n";
    for (const std::string& part : render::wrap_columns(text, columns - beside, columns - beside)) {
      const int gap = beside - render::text_columns(line);
      out += line + std::string(static_cast<std::size_t>(std::max(gap, 0)), ' ') + part + "\n";
      line.clear();
    }
    if (!line.empty()) out += line + "\n";
  }
  return out;
}

std::string paragraph(const std::string& text, int columns) {
  std::string out;
  for (const std::string& line : render::wrap_columns(text, columns, columns)) out += line + "\n";
  return out;
}

std::string options(const CommandFacts& command, int columns) {
  std::string out;
  for (const std::string& group : command.groups()) {
    Entries entries;
    for (const OptionFacts& each : command.options)
      if (each.group == group) entries.emplace_back(written(each), each.does);
    out += fmt::format("\n{}\n{}", group, table(entries, columns));
  }
  return out;
}

std::string examples(const CommandFacts& command, int columns) {
  if (command.examples.empty()) return "";
  Entries entries;
  for (const Example& each : command.examples) entries.emplace_back(each.line, each.does);
  return fmt::format("\n{}\n{}", entries.size() == 1 ? "Example" : "Examples", table(entries, columns, 40));
}

}  // namespace

std::string written(const OptionFacts& option) {
  std::string out = fmt::format("{}", fmt::join(option.names, ", "));
  if (!option.names.empty() && !option.value.empty()) out += ' ';
  out += option.value;
  if (option.names.empty() && option.repeated) out += "...";
  return out;
}

std::string usage(const CommandFacts& command) {
  std::string out = fmt::format("wale {} [OPTIONS]", command.name);
  for (const OptionFacts& each : command.arguments)
    out += each.required ? " " + written(each) : fmt::format(" [{}]", written(each));
  return out;
}

std::string command_help(const CommandFacts& command, int columns) {
  std::string out = paragraph(command.does + ".", columns);
  out += fmt::format("\n  {}\n", usage(command));
  Entries arguments;
  for (const OptionFacts& each : command.arguments) arguments.emplace_back(written(each), each.does);
  if (!arguments.empty()) out += "\n" + table(arguments, columns);
  return out + examples(command, columns) + options(command, columns);
}

std::string program_help(const ProgramFacts& program, int columns) {
  std::string out = paragraph(program.itself.does + ".", columns);
  out += "\n  wale COMMAND ...\n\nCommands\n";
  Entries entries;
  for (const CommandFacts& each : program.commands) entries.emplace_back(each.name, each.does);
  out += table(entries, columns);
  out += examples(program.itself, columns) + options(program.itself, columns);
  out += "\nExit status\n";
  entries.clear();
  for (const ExitStatus& each : exit_statuses())
    entries.emplace_back(std::to_string(each.status), each.means);
  out += table(entries, columns);
  return out + "\n" + paragraph("`wale help COMMAND` tells more of one of them.", columns);
}

}  // namespace wale
