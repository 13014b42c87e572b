// Each kind of diagnostic shown by a file, and patterns that compile without one. How a file says what it
// expects is told in `pattern_files.hpp`.
#include "tests/unit/pattern_files.hpp"

#include <doctest/doctest.h>

#include <set>

using namespace wale;

TEST_CASE("every file under tests/diagnostics is told what it expects, and nothing else") {
  for (const PatternFile& file : pattern_files("diagnostics")) {
    const Compiled compiled = compile(file);
    INFO(file.name, "\n", compiled.shown);
    CHECK(!file.expected.empty());
    for (const std::string& each : disagreements(compiled, file)) FAIL_CHECK(each);
  }
}

TEST_CASE("every kind of diagnostic is shown by a file") {
  std::set<std::string> shown;
  for (const PatternFile& file : pattern_files("diagnostics"))
    for (const Expectation& each : file.expected) shown.insert(each.slug);
  for (const Kind kind : all_kinds()) {
    INFO("no file under tests/diagnostics shows ", facts(kind).slug);
    CHECK(shown.count(std::string(facts(kind).slug)) == 1);
  }
}

TEST_CASE("the patterns under tests/patterns compile without a word") {
  const std::vector<PatternFile> files = pattern_files("patterns");
  CHECK(files.size() > 10);
  for (const PatternFile& file : files) {
    const Compiled compiled = compile(file);
    INFO(file.name, "\n", compiled.shown);
    CHECK(compiled.checked.diagnostics.all().empty());
    for (const Fabric& fabric : compiled.checked.pattern.fabrics) CHECK(fabric.good);
    for (const Piece& piece : compiled.checked.pattern.pieces) CHECK(piece.good);
  }
}

TEST_CASE("the settled core of the language is read whole") {
  const std::vector<PatternFile> files = pattern_files("core");
  CHECK(files.size() >= 3);
  for (const PatternFile& file : files) {
    const Compiled compiled = compile(file);
    INFO(file.name, "\n", compiled.shown);
    for (const Diagnostic& each : compiled.checked.diagnostics.all()) {
      const bool allowed = each.kind == Kind::not_yet || facts(each.kind).severity == Severity::warning;
      CAPTURE(each.message);
      CHECK(allowed);
    }
  }
}

TEST_CASE("a file cut off anywhere is read to its end, and every place that is named lies in it") {
  for (const std::string folder : {"patterns", "diagnostics", "core", "published"})
    for (const PatternFile& file : pattern_files(folder)) {
      if (file.text.size() > 100'000 || file.name == "too-much-work.wale") continue;
      for (std::size_t part = 1; part <= 12; ++part) {
        PatternFile cut = file;
        cut.text.resize(file.text.size() * part / 13);
        const Compiled compiled = compile(cut);
        const Sources sources = sources_of(compiled.loaded);
        for (const Diagnostic& each : compiled.checked.diagnostics.all()) {
          CHECK(each.span.begin <= each.span.end);
          REQUIRE(each.span.source < sources.size());
          CHECK(each.span.end <= sources[each.span.source].text().size());
        }
      }
    }
}
