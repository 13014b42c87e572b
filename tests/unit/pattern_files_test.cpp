// Patterns in files, with what Wale must say about them written in the files themselves.
//
//     2: <p2 k2> p3  --! row-leaves-stitches: part of the message
//
// stands on the line at which the diagnostic must show; `--! @3 slug: part` speaks of line 3, and so do the
// lines of `name.expect` beside files that can hold no comment. Nothing may be said that is not expected.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "compiler/check.hpp"
#include "grammar/parser.hpp"

using namespace wale;
namespace fs = std::filesystem;

namespace {

struct Expectation {
  std::size_t line = 0;
  std::string slug, part;
};

struct Case {
  std::string name, text;
  std::vector<Expectation> expected;
};

std::string read(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

std::string trimmed(const std::string& text) {
  const std::size_t begin = text.find_first_not_of(" \t\r"), end = text.find_last_not_of(" \t\r");
  return begin == std::string::npos ? "" : text.substr(begin, end - begin + 1);
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

/// A file, or an `.expect` that says of how many blanks a file too large to keep is made.
std::vector<Case> cases_in(const std::string& folder) {
  std::vector<Case> out;
  for (const auto& entry : fs::directory_iterator(fs::path(WALE_SOURCE_DIR) / "tests" / folder)) {
    const fs::path& path = entry.path();
    Case next{path.filename().string(), "", {}};
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
  std::sort(out.begin(), out.end(), [](const Case& a, const Case& b) { return a.name < b.name; });
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

struct Compiled {
  Source source;
  Checked checked;
  std::string shown;
};

Compiled compile(const Case& file) {
  Compiled out{Source(file.name, file.text, 1), {}, ""};
  out.checked = check(out.source);
  out.shown = show(out.checked.diagnostics, {vocabulary_source(), out.source});
  return out;
}

}  // namespace

TEST_CASE("every file under tests/diagnostics is told what it expects, and nothing else") {
  for (const Case& file : cases_in("diagnostics")) {
    const Compiled compiled = compile(file);
    INFO(file.name, "\n", compiled.shown);
    std::vector<Expectation> open = file.expected;
    CHECK(!open.empty());
    for (const Diagnostic& each : compiled.checked.diagnostics.all()) {
      const auto found = std::find_if(
          open.begin(), open.end(), [&](const Expectation& e) { return matches(each, e, compiled.source); });
      if (found == open.end())
        FAIL_CHECK("not expected: ", show(each, {vocabulary_source(), compiled.source}));
      else
        open.erase(found);
    }
    for (const Expectation& each : open)
      FAIL_CHECK("not said: line ", each.line, " ", each.slug, ": ", each.part);
  }
}

TEST_CASE("every kind of diagnostic is shown by a file") {
  std::set<std::string> shown;
  for (const Case& file : cases_in("diagnostics"))
    for (const Expectation& each : file.expected) shown.insert(each.slug);
  for (const Kind kind : all_kinds()) {
    INFO("no file under tests/diagnostics shows ", facts(kind).slug);
    CHECK(shown.count(std::string(facts(kind).slug)) == 1);
  }
}

TEST_CASE("the patterns under tests/patterns compile without a word") {
  const std::vector<Case> files = cases_in("patterns");
  CHECK(files.size() > 10);
  for (const Case& file : files) {
    const Compiled compiled = compile(file);
    INFO(file.name, "\n", compiled.shown);
    CHECK(compiled.checked.diagnostics.all().empty());
    for (const Fabric& fabric : compiled.checked.pattern.fabrics) CHECK(fabric.good);
    for (const Piece& piece : compiled.checked.pattern.pieces) CHECK(piece.good);
  }
}

TEST_CASE("the settled core of the language is read whole") {
  const std::vector<Case> files = cases_in("core");
  CHECK(files.size() >= 3);
  for (const Case& file : files) {
    const Compiled compiled = compile(file);
    INFO(file.name, "\n", compiled.shown);
    for (const Diagnostic& each : compiled.checked.diagnostics.all()) {
      const bool allowed = each.kind == Kind::not_yet || each.kind == Kind::not_yet_used ||
                           each.kind == Kind::undeclared_strand;
      CAPTURE(each.message);
      CHECK(allowed);
    }
  }
}

TEST_CASE("a file cut off anywhere is read to its end, and every place that is named lies in it") {
  for (const std::string folder : {"patterns", "diagnostics", "core"})
    for (const Case& file : cases_in(folder)) {
      if (file.text.size() > 100'000 || file.name == "too-much-work.wale") continue;
      for (std::size_t part = 1; part <= 12; ++part) {
        Case cut = file;
        cut.text.resize(file.text.size() * part / 13);
        const Compiled compiled = compile(cut);
        for (const Diagnostic& each : compiled.checked.diagnostics.all()) {
          CHECK(each.span.begin <= each.span.end);
          CHECK(each.span.end <=
                (each.span.source == 0 ? vocabulary_source() : compiled.source).text().size());
        }
      }
    }
}
