#include "compiler/program_facts.hpp"

#include <algorithm>
#include <map>

namespace wale {

Takes taken_by(const std::string& placeholder) {
  static const std::map<std::string, Takes> known{{"", Takes::nothing},       {"DIR", Takes::folder},
                                                  {"PATH", Takes::patterns},  {"PATTERN", Takes::patterns},
                                                  {"STASH", Takes::patterns}, {"MISTAKE", Takes::mistake},
                                                  {"COMMAND", Takes::command}};
  if (placeholder.find('|') != std::string::npos) return Takes::choices;
  const auto found = known.find(placeholder);
  return found == known.end() ? Takes::words : found->second;
}

std::vector<std::string> OptionFacts::choices() const {
  std::vector<std::string> out;
  if (takes != Takes::choices) return out;
  for (std::size_t at = 0; at <= value.size();) {
    const std::size_t end = std::min(value.find('|', at), value.size());
    out.push_back(value.substr(at, end - at));
    at = end + 1;
  }
  return out;
}

std::vector<std::string> CommandFacts::groups() const {
  std::vector<std::string> out;
  for (const OptionFacts& each : options)
    if (std::find(out.begin(), out.end(), each.group) == out.end()) out.push_back(each.group);
  return out;
}

const std::vector<ExitStatus>& exit_statuses() {
  static const std::vector<ExitStatus> all{{0, "fine; there may be warnings"},
                                           {1, "a pattern has errors"},
                                           {2, "the command was not understood"},
                                           {3, "a file could not be read or written"}};
  return all;
}

}  // namespace wale
