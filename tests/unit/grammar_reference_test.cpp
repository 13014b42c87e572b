// The reference of the language, kept true: what grammar/README.md and README.md say is tried here.
//
// The EBNF is read and used twice. Every example must be derivable from it, and every rule must be needed by
// some example; and sentences made from it by chance must be read by the parser without a complaint. A rule
// that is wider than the parser fails the second, one that is too narrow for an example the first.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

#include "compiler/check.hpp"
#include "compiler/explain.hpp"
#include "grammar/parser.hpp"
#include "tests/unit/ebnf.hpp"

using namespace wale;
using namespace wale::ebnf;

namespace {

// --- the pages

struct Fence {
  std::string mark, text;  ///< what stands behind the three backticks, and the lines between
};

std::string read_page(const std::string& path) {
  std::ifstream in(std::string(WALE_SOURCE_DIR) + "/" + path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  REQUIRE(!out.str().empty());
  return out.str();
}

std::vector<Fence> fences(const std::string& page) {
  std::vector<Fence> out;
  std::istringstream lines(page);
  bool inside = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("```")) {
      if (!inside) out.push_back({line.substr(3), ""});
      inside = !inside;
    } else if (inside) {
      out.back().text += line + "\n";
    }
  }
  CHECK(!inside);
  return out;
}

/// An example as a whole file; a part is put into a small pattern that makes it whole.
std::string whole(const Fence& fence) {
  if (fence.mark != "wale-part step") return fence.text;
  return "gauge 20 st x 28 rows = 10 cm\n"
         "fabric garter flat n st { every: <k> }\n"
         "fabric rib flat 4n + 2 st {\n 1: <k2 p2> k2\n 2: <p2 k2> p2\n}\n"
         "piece part flat {\n cast on 42 with A\n" +
         fence.text + " bind off\n}\n";
}

std::vector<Fence> examples() {
  std::vector<Fence> out;
  for (const Fence& fence : fences(read_page("grammar/README.md")))
    if (fence.mark.starts_with("wale")) out.push_back(fence);
  REQUIRE(out.size() > 20);
  return out;
}

/// Examples that others use: `wale-file NAME`.
FileAccess example_files() {
  const std::string mark = "wale-file ";
  std::map<std::string, std::string> out;
  for (const Fence& fence : examples())
    if (fence.mark.starts_with(mark)) out[fence.mark.substr(mark.size())] = fence.text;
  return files_in_memory(out);
}

// --- the grammar

Grammar reference() {
  Grammar out;
  for (const Fence& fence : fences(read_page("grammar/README.md")))
    if (fence.mark.starts_with("ebnf")) EbnfReader(fence.text).rules(out, fence.mark == "ebnf tokens");
  REQUIRE(out.size() > 40);
  return out;
}

std::string shown(const Diagnostics& diagnostics, const Source& source) {
  return show(diagnostics, {vocabulary_source(), source});
}

// --- tables

std::vector<std::vector<std::string>> table_rows(const std::string& page, const std::string& head) {
  std::vector<std::vector<std::string>> out;
  std::istringstream lines(page.substr(std::min(page.find(head), page.size())));
  std::string line;
  std::getline(lines, line);
  std::getline(lines, line);
  while (std::getline(lines, line) && line.starts_with("| ")) {
    std::vector<std::string> cells;
    for (std::size_t at = 2; at < line.size();) {
      const std::size_t end = line.find(" |", at);
      std::string cell = line.substr(at, end - at);
      std::erase(cell, '`');
      cells.push_back(std::move(cell));
      at = end == std::string::npos ? line.size() : end + 3;
    }
    out.push_back(std::move(cells));
  }
  return out;
}

std::string loop_words(const std::vector<LoopType>& loops) {
  if (std::all_of(loops.begin(), loops.end(), [](LoopType t) { return t == LoopType::plain; }))
    return fmt::format("{}", loops.size());
  static const std::map<LoopType, std::string> names{{LoopType::plain, "plain"},
                                                     {LoopType::veiled, "veiled"},
                                                     {LoopType::front, "front"},
                                                     {LoopType::back, "back"},
                                                     {LoopType::any, "any"}};
  std::string out;
  for (const LoopType loop : loops) out += (out.empty() ? "" : " ") + names.at(loop);
  return out;
}

}  // namespace

TEST_CASE("every rule of the grammar is defined, used, and shown by an example") {
  const Grammar grammar = reference();
  std::set<std::string> used{"pattern"};
  for (const auto& [name, rule] : grammar) names_in(rule.body, used);
  for (const std::string& name : used) {
    CAPTURE(name);
    CHECK(grammar.count(name) == 1);
  }
  std::set<std::string> shown_by_example;
  for (const Fence& fence : examples()) {
    const std::string text = whole(fence);
    Derivation derivation(grammar, text);
    const bool derived = derivation.run("pattern");
    INFO(text, "\nnot derivable from: ", text.substr(std::min(derivation.furthest, text.size()), 60));
    CHECK(derived);
    shown_by_example.insert(derivation.used.begin(), derivation.used.end());
  }
  for (const auto& [name, rule] : grammar) {
    CAPTURE(name);
    CHECK(used.count(name) == 1);
    if (!rule.token) CHECK(shown_by_example.count(name) == 1);
  }
}

TEST_CASE("what the grammar does not allow is not derivable from it") {
  const Grammar grammar = reference();
  for (const char* text :
       {"pattern Scarf\n", "fabric f flat 4n {\n}\n", "by \"a\" by \"b\"\n", "fabric f flat n st { 1: <k }\n",
        "piece p flat { cast 42 }\n", "strand a = kelp\n"}) {
    CAPTURE(text);
    CHECK(!Derivation(grammar, text).run("pattern"));
  }
}

TEST_CASE("the examples compile; what is not worked out yet says so and nothing else") {
  const FileAccess files = example_files();
  for (const Fence& fence : examples()) {
    const Source source("example.wale", whole(fence), 1);
    const Checked checked = check(load(source, files));
    INFO(source.text(), "\n", shown(checked.diagnostics, source));
    if (fence.mark == "wale-not-yet") {
      CHECK(!checked.diagnostics.all().empty());
      for (const Diagnostic& each : checked.diagnostics.all()) {
        CHECK(each.kind == Kind::not_yet);
      }
    } else {
      const bool known =
          fence.mark == "wale" || fence.mark == "wale-part step" || fence.mark.starts_with("wale-file ");
      CHECK(known);
      CHECK(checked.diagnostics.all().empty());
    }
  }
}

TEST_CASE("sentences made from the grammar by chance are read without a complaint") {
  const Grammar grammar = reference();
  std::set<std::string> made;
  std::size_t length = 0;
  for (unsigned seed = 0; seed < 4000; ++seed) {
    Chance chance(grammar, seed);
    const Source source("chance.wale", chance.sentence("pattern"), 1);
    made.insert(chance.made.begin(), chance.made.end());
    length += source.text().size();
    Diagnostics diagnostics;
    parse(source, diagnostics);
    INFO("seed ", seed, "\n", source.text(), "\n", shown(diagnostics, source));
    // The grammar cannot say that rows count from 1 and ranges run upwards.
    const bool rows_only = std::all_of(diagnostics.all().begin(), diagnostics.all().end(),
                                       [](const Diagnostic& each) { return each.kind == Kind::bad_measure; });
    REQUIRE(rows_only);
  }
  CHECK(length > 200'000);
  for (const auto& [name, rule] : grammar) {
    CAPTURE(name);
    if (!rule.token) CHECK(made.count(name) == 1);
  }
}

TEST_CASE("the table of the vocabulary is the vocabulary") {
  Diagnostics diagnostics;
  Stitches stitches(parse(vocabulary_source(), diagnostics), diagnostics);
  stitches.complete(diagnostics);
  const auto rows = table_rows(read_page("grammar/README.md"), "| word | takes | gives | twin | says |");
  CHECK(rows.size() == stitches.size());
  for (const auto& row : rows) {
    REQUIRE(row.size() == 5);
    CAPTURE(row[0]);
    const auto id = stitches.find(row[0]);
    REQUIRE(id);
    const Stitch& stitch = stitches[*id];
    CHECK(row[1] == loop_words(stitch.takes));
    CHECK(row[2] == (stitch.passes_on ? "same" : loop_words(stitch.gives)));
    CHECK(row[3] == stitches[stitch.twin].name);
    CHECK(row[4] == stitch.says);
  }
  const auto crossings = table_rows(read_page("grammar/README.md"), "| crossing | takes | gives | says |");
  CHECK(crossings.size() >= 4);
  for (const auto& row : crossings) {
    REQUIRE(row.size() == 4);
    CAPTURE(row[0]);
    const auto word = stitches.lookup(row[0]);
    REQUIRE(word);
    const Stitch& stitch = stitches[word->stitch];
    CHECK(stitch.crossing);
    CHECK(row[1] == loop_words(stitch.takes));
    CHECK(row[2] == loop_words(stitch.gives));
    CHECK(row[3] == stitch.says);
  }
}

TEST_CASE("the front page shows what the program says") {
  const std::vector<Fence> found = fences(read_page("README.md"));
  int tried = 0;
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (found[i].mark != "wale") continue;
    REQUIRE(i + 1 < found.size());
    REQUIRE(found[i + 1].mark == "text");
    const std::string& said = found[i + 1].text;
    const Source source(said.substr(0, said.find(':')), found[i].text, 1);
    const Checked checked = check(source);
    std::vector<Kind> told;
    for (const Diagnostic& each : checked.diagnostics.all()) told.push_back(each.kind);
    CHECK(shown(checked.diagnostics, source) + explain_hint(told) +
              (checked.diagnostics.has_errors() ? "1 pattern, 1 with errors\n" : "1 pattern checked\n") ==
          said);
    ++tried;
  }
  CHECK(tried >= 1);
}

TEST_CASE("links between the pages lead somewhere") {
  namespace fs = std::filesystem;
  const auto anchors = [](const std::string& page) {
    std::set<std::string> out;
    std::istringstream lines(page);
    for (std::string line; std::getline(lines, line);) {
      if (!line.starts_with("#")) continue;
      std::string anchor;
      for (const char c : line.substr(std::min(line.find(' ') + 1, line.size())))
        if (std::isalnum(static_cast<unsigned char>(c)))
          anchor += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        else if (c == ' ' || c == '-')
          anchor += '-';
      out.insert(anchor);
    }
    return out;
  };
  int links = 0;
  for (const std::string name :
       {"README.md", "DEVELOPERS.md", "grammar/README.md", "tests/published/README.md"}) {
    const std::string page = read_page(name);
    for (std::size_t at = 0; (at = page.find("](", at)) != std::string::npos; ++at) {
      const std::string link = page.substr(at + 2, page.find(')', at) - at - 2);
      const std::string path = link.substr(0, link.find('#'));
      CAPTURE(name);
      CAPTURE(link);
      const fs::path target = (fs::path(name).parent_path() / path).lexically_normal();
      CHECK((path.empty() || fs::exists(fs::path(WALE_SOURCE_DIR) / target)));
      if (const std::size_t hash = link.find('#'); hash != std::string::npos)
        CHECK(anchors(read_page(path.empty() ? name : target.string())).count(link.substr(hash + 1)) == 1);
      ++links;
    }
  }
  CHECK(links > 20);
}
