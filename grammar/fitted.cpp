#include "grammar/fitted.hpp"

#include <algorithm>

#include "grammar/cells.hpp"

namespace wale {

namespace {

/// Stands for a blank at which a line is not broken; no printed text holds it.
constexpr char kept_blank = '\x1f';

std::string without_breaks_in_commands(std::string line, std::size_t lead) {
  const std::size_t behind_colon = line.find(": wale ");
  const std::size_t begin = line.compare(lead, 5, "wale ") == 0 ? lead
                            : behind_colon != std::string::npos ? behind_colon + 2
                                                                : line.size();
  const std::size_t end = std::min(line.find(" (", begin), line.size());
  bool quoted = false;
  for (std::size_t i = lead; i < line.size(); ++i) {
    if (line[i] == '`') quoted = !quoted;
    if (line[i] == ' ' && (quoted || (i >= begin && i < end))) line[i] = kept_blank;
  }
  return line;
}

}  // namespace

std::string fitted(std::string_view lines, const Look& look) {
  if (look.columns == 0) return std::string(lines);
  std::string out;
  while (!lines.empty()) {
    const std::size_t length = std::min(lines.find('\n'), lines.size());
    const std::string_view line = lines.substr(0, length);
    lines.remove_prefix(std::min(length + 1, lines.size()));
    std::size_t lead = std::min(line.find_first_not_of(' '), line.size());
    std::size_t hanging = lead + 2;
    for (const std::string_view word : {"try   ", "note  "})
      if (line.substr(lead).starts_with(word)) hanging = lead += word.size();
    if (cells(line) <= look.columns) {
      out += line;
      out += '\n';
      continue;
    }
    out += line.substr(0, lead);
    const std::string kept = without_breaks_in_commands(std::string(line), lead);
    std::string flown = flowing(std::string_view(kept).substr(lead), lead, hanging, look);
    std::replace(flown.begin(), flown.end(), kept_blank, ' ');
    out += flown;
  }
  return out;
}

}  // namespace wale
