#include "tests/unit/pattern_files.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace wale {
namespace fs = std::filesystem;

namespace {

std::string read(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

/// `[@line] slug[: part]`
Expectation expectation(std::string text, std::size_t line) {
  text = trimmed(text);
  if (text.starts_with('@')) {
    line = std::stoul(text.substr(1));
    text = trimmed(text.substr(std::min(text.find(' '), text.size())));
  }
  const std::size_t colon = text.find(": ");
  if (colon == std::string::npos) return {line, text, ""};
  return {line, text.substr(0, colon), trimmed(text.substr(colon + 2))};
}

void read_expectations(const std::string& text, std::vector<Expectation>& out) {
  std::istringstream lines(text);
  std::size_t number = 0;
  for (std::string line; std::getline(lines, line);) {
    ++number;
    const std::string sign = "--! ";
    for (std::size_t at = line.find(sign); at != std::string::npos;) {
      const std::size_t next = line.find(sign, at + 1);
      const std::size_t length = next == std::string::npos ? next : next - at - sign.size();
      out.push_back(expectation(line.substr(at + sign.size(), length), number));
      at = next;
    }
  }
}

/// Files below a folder of the tests, by their paths from there.
FileAccess files_of(const std::string& folder) {
  FileAccess out = files_in_memory({});
  if (folder.empty()) return out;
  out.read = [folder](const std::string& path) -> std::variant<std::string, Unreadable> {
    const fs::path file = fs::path(WALE_SOURCE_DIR) / "tests" / folder / path;
    if (!fs::is_regular_file(file)) return Unreadable{"there is no such file"};
    return read(file);
  };
  return out;
}

bool matches(const Diagnostic& diagnostic, const Expectation& expected, const Source& source) {
  if (diagnostic.span.source != source.number() || facts(diagnostic.kind).slug != expected.slug ||
      source.place(diagnostic.span.begin).line != expected.line)
    return false;
  std::string words = diagnostic.message + "\n" + diagnostic.at;
  for (const auto* more : {&diagnostic.notes, &diagnostic.help})
    for (const std::string& each : *more) words += "\n" + each;
  return words.find(expected.part) != std::string::npos;
}

}  // namespace

std::string read_project_file(const std::string& path) {
  return read(fs::path(WALE_SOURCE_DIR) / path);
}

std::string trimmed(const std::string& text) {
  const std::size_t begin = text.find_first_not_of(" \t\r"), end = text.find_last_not_of(" \t\r");
  return begin == std::string::npos ? "" : text.substr(begin, end - begin + 1);
}

std::vector<PatternFile> pattern_files(const std::string& folder) {
  std::vector<PatternFile> out;
  for (const auto& entry : fs::directory_iterator(fs::path(WALE_SOURCE_DIR) / "tests" / folder)) {
    const fs::path& path = entry.path();
    PatternFile next{path.filename().string(), "", {}, folder};
    if (path.extension() == ".wale") {
      next.text = read(path);
      read_expectations(next.text, next.expected);
    } else if (path.extension() != ".expect" || fs::exists(fs::path(path).replace_extension(".wale"))) {
      continue;
    }
    std::istringstream sidecar(read(fs::path(path).replace_extension(".expect")));
    for (std::string line; std::getline(sidecar, line);) {
      if (line.starts_with("blanks "))
        next.text.assign(std::stoul(line.substr(7)), ' ');
      else if (!trimmed(line).empty())
        next.expected.push_back(expectation(line, 1));
    }
    out.push_back(std::move(next));
  }
  std::sort(out.begin(), out.end(),
            [](const PatternFile& a, const PatternFile& b) { return a.name < b.name; });
  return out;
}

Compiled compile(const PatternFile& file) {
  Compiled out{Source(file.name, file.text, 1), {}, {}, ""};
  out.loaded = load(out.source, files_of(file.folder));
  out.checked = check(out.loaded);
  out.shown = show(out.checked.diagnostics, sources_of(out.loaded));
  return out;
}

std::vector<std::string> disagreements(const Compiled& compiled, const PatternFile& file) {
  std::vector<std::string> out;
  std::vector<Expectation> open = file.expected;
  for (const Diagnostic& each : compiled.checked.diagnostics.all()) {
    const auto found = std::find_if(open.begin(), open.end(),
                                    [&](const Expectation& e) { return matches(each, e, compiled.source); });
    if (found == open.end())
      out.push_back("not expected: " + show(each, sources_of(compiled.loaded)));
    else
      open.erase(found);
  }
  for (const Expectation& each : open)
    out.push_back(fmt::format("not said: line {} {}: {}", each.line, each.slug, each.part));
  return out;
}

}  // namespace wale
