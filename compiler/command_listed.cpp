#include "compiler/command_listed.hpp"

#include <algorithm>
#include <iterator>
#include <set>
#include <string_view>

namespace wale {

namespace {

/// A name within quotes, with `\\` before quotes, backslashes, letters for control characters, and three
/// octal digits (git-config(1), core.quotePath).
std::string unquoted(std::string_view name) {
  constexpr std::string_view letters = "abtnvfr\"\\", meant = "\a\b\t\n\v\f\r\"\\";
  std::string out;
  for (std::size_t i = 0; i < name.size(); ++i) {
    if (name[i] != '\\' || i + 1 == name.size()) {
      out += name[i];
      continue;
    }
    const std::size_t letter = letters.find(name[++i]);
    if (letter != std::string_view::npos) {
      out += meant[letter];
      continue;
    }
    int byte = 0;
    for (int digit = 0; digit < 3 && i < name.size() && name[i] >= '0' && name[i] <= '7'; ++digit)
      byte = byte * 8 + name[i++] - '0';
    --i;
    out += static_cast<char>(byte);
  }
  return out;
}

bool concerns(const std::set<std::string>& named, const Loaded& loaded, const FileAccess& disk) {
  const auto is_named = [&](const std::string& path) { return named.count(disk.look(path).identity) > 0; };
  const auto read = [&](const LoadedFile& file) { return is_named(file.source.name()); };
  return std::any_of(loaded.files.begin(), loaded.files.end(), read) ||
         std::any_of(loaded.missing.begin(), loaded.missing.end(), is_named) ||
         std::any_of(loaded.projects.begin(), loaded.projects.end(),
                     [&](const auto& project) { return project && concerns(named, *project, disk); });
}

}  // namespace

std::vector<std::string> read_list(std::istream& list) {
  const std::string all{std::istreambuf_iterator<char>(list), {}};
  const char end = all.find('\0') == std::string::npos ? '\n' : '\0';
  std::vector<std::string> out;
  for (std::size_t at = 0; at < all.size();) {
    const std::size_t to = std::min(all.find(end, at), all.size());
    std::string name = all.substr(at, to - at);
    at = to + 1;
    if (end == '\n' && name.ends_with('\r')) name.pop_back();
    if (end == '\n' && name.size() > 1 && name.front() == '"' && name.back() == '"')
      name = unquoted(std::string_view(name).substr(1, name.size() - 2));
    if (!name.empty()) out.push_back(std::move(name));
  }
  return out;
}

std::vector<Found> listed(std::vector<Found> files, std::istream& list, const FileAccess& disk) {
  std::set<std::string> named;
  for (const std::string& name : read_list(list)) named.insert(disk.look(name).identity);
  if (named.empty()) return {};
  std::erase_if(files, [&](const Found& each) {
    std::string reason;
    const auto loaded = load_file(each.path, reason);
    return named.count(disk.look(each.path).identity) == 0 && loaded && !concerns(named, *loaded, disk);
  });
  return files;
}

}  // namespace wale
