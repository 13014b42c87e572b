/// What tests need that touch the disk or look at text: a folder of their own, and lines.
#pragma once

#include <doctest/doctest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace wale {

/// An empty folder, gone at the end.
class Scratch {
 public:
  Scratch() {
    // mkdtemp puts letters of its own in place of the last six.
    std::string name = (std::filesystem::temp_directory_path() / ("wale-" + std::string(6, 'X'))).string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    path = name;
  }
  ~Scratch() { std::filesystem::remove_all(path); }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;

  std::string operator/(const std::string& name) const { return (path / name).string(); }
  /// Writes a file, whose folders are made; returns its path.
  std::string write(const std::string& name, const std::string& text) const {
    std::filesystem::create_directories((path / name).parent_path());
    std::ofstream(path / name, std::ios::binary) << text;
    return *this / name;
  }
  /// Names in it, sorted, hidden ones among them.
  std::vector<std::string> names() const {
    std::vector<std::string> out;
    for (const auto& entry : std::filesystem::directory_iterator(path))
      out.push_back(entry.path().filename().string());
    std::sort(out.begin(), out.end());
    return out;
  }

  std::filesystem::path path;
};

/// Without their ends; behind the last end there is no line.
inline std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    out.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return out;
}

}  // namespace wale
