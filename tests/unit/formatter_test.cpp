// The one layout: blanks move, and nothing else does.
#include "grammar/formatter.hpp"

#include <doctest/doctest.h>

#include <random>

#include "compiler/pattern_document.hpp"
#include "pattern_files.hpp"
#include "render/text.hpp"

using namespace wale;

namespace {

std::string laid_out(const std::string& text) {
  Diagnostics diagnostics;
  const auto out = format(Source("p.wale", text, 1), diagnostics);
  CAPTURE(text);
  REQUIRE(out);
  return *out;
}

/// All pattern files of the tree that can be read.
std::vector<PatternFile> all_files() {
  std::vector<PatternFile> out{{"vocabulary", read_project_file("grammar/vocabulary.wale"), {}}};
  for (const char* folder : {"patterns", "core", "published", "diagnostics", "../examples"})
    for (PatternFile& file : pattern_files(folder)) {
      Diagnostics diagnostics;
      if (format(Source(file.name, file.text, 1), diagnostics)) out.push_back(std::move(file));
    }
  return out;
}

std::string without_blanks(const std::string& text) {
  std::string out;
  for (const char c : text.starts_with("\xEF\xBB\xBF") ? text.substr(3) : text)
    if (c != ' ' && c != '\t' && c != '\r' && c != '\n') out += c;
  return out;
}

}  // namespace

TEST_CASE("a layout is its own layout, and has every sign of the file in its order") {
  const std::vector<PatternFile> files = all_files();
  CHECK(files.size() > 150);
  for (const PatternFile& file : files) {
    CAPTURE(file.name);
    const std::string once = laid_out(file.text);
    CHECK(without_blanks(once) == without_blanks(file.text));
    CHECK(laid_out(once) == once);
  }
}

TEST_CASE("a layout means what the file means") {
  std::size_t compared = 0;
  for (const PatternFile& file : all_files()) {
    CAPTURE(file.name);
    PatternFile anew = file;
    anew.text = laid_out(file.text);
    const Checked before = std::move(compile(file).checked), after = std::move(compile(anew).checked);
    const auto kinds = [](const Checked& checked) {
      std::vector<Kind> out;
      for (const Diagnostic& each : checked.diagnostics.all()) out.push_back(each.kind);
      return out;
    };
    CHECK(kinds(before) == kinds(after));
    if (before.diagnostics.has_errors() || before.pattern.pieces.size() + before.pattern.fabrics.size() == 0)
      continue;
    const auto words = [](const Checked& checked) {
      const Estimate estimate = estimate_yarn(checked.pattern, *checked.stitches);
      return render::write_text(make_document(checked.pattern, *checked.stitches, estimate, "p"));
    };
    CHECK(words(before) == words(after));
    ++compared;
  }
  CHECK(compared > 80);
}

TEST_CASE("the layout does not hang on how a file was typed") {
  std::mt19937 dice(2026);
  for (const PatternFile& file : all_files()) {
    if (file.text.find("draw") != std::string::npos) continue;
    CAPTURE(file.name);
    // Blanks at the beginning and end of lines, tabs and carriage returns, more empty lines where one is.
    std::string typed;
    const std::string once = laid_out(file.text);
    for (std::size_t at = 0; at < once.size();) {
      const std::size_t end = once.find('\n', at);
      std::string line = once.substr(at, end - at);
      line.erase(
          0, line.find_first_not_of(' ') == std::string::npos ? line.size() : line.find_first_not_of(' '));
      typed += std::string(dice() % 7, dice() % 3 == 0 ? '\t' : ' ') + line;
      if (dice() % 3 == 0) typed += "  ";
      if (dice() % 5 == 0) typed += '\r';
      typed += '\n';
      if (line.empty() && dice() % 2 == 0) typed += "  \n";
      at = end + 1;
    }
    CHECK(laid_out(typed) == once);
  }
}

TEST_CASE("rows, passes, columns and comments stand where they should") {
  CHECK(laid_out("fabric rib flat 4n+2 st {\n1:<k2 p2>k2\n   2:   <p2 k2> p2 }\n") ==
        "fabric rib flat 4n + 2 st {\n  1: <k2 p2> k2\n  2: <p2 k2> p2\n}\n");
  CHECK(
      laid_out("fabric tide flat 2n + 3 st {\n 1 M: k <sl1yo brk> sl1yo k\n 1 C: sl <brp sl1yo> brp sl\n}") ==
      "fabric tide flat 2n + 3 st {\n  1 M: k  <sl1yo brk> sl1yo k\n  1 C: sl <brp sl1yo> brp   sl\n}\n");
  CHECK(
      laid_out(
          "yarn kelp \"Kelp, a long name\" 100g=200m #2f5d50\nyarn lamp \"Lamp\" 100 g = 420 m #e9b44c\n") ==
      "yarn kelp \"Kelp, a long name\"  100 g = 200 m  #2f5d50\n"
      "yarn lamp \"Lamp\"               100 g = 420 m  #e9b44c\n");
  CHECK(laid_out("measure a=[10 12]cm --short\nmeasure longer = near( a -2 cm,4n )--- why\n") ==
        "measure a      = [10 12] cm          -- short\n"
        "measure longer = near(a - 2 cm, 4n)  --- why\n");
  // One line stays one line, its rows two blanks apart, as long as it is not too long.
  CHECK(laid_out("fabric p flat n st {rs:<k> ws:<p>}\n") == "fabric p flat n st { rs: <k>  ws: <p> }\n");
  const std::string row(60, 'k');
  CHECK(laid_out("fabric p flat n st { rs: " + row + " ws: " + row + " }\n") ==
        "fabric p flat n st {\n  rs: " + row + "\n  ws: " + row + "\n}\n");
}

TEST_CASE("a word that begins rows is a strand's name behind a row's number, and stays in its line") {
  for (const std::string label : {"3 every:", "rs ws:", "3 every M:", "2..4 rs:"}) {
    CAPTURE(label);
    const std::string once = laid_out("fabric f flat n st {\n  1: <k>\n  " + label + " <p>\n}\n");
    CHECK(once.find(label) != std::string::npos);
    CHECK(laid_out(once) == once);
  }
}

TEST_CASE("what cannot be read is left alone, and said") {
  Diagnostics diagnostics;
  CHECK(!format(Source("p.wale", "fabric rib flat 4n st { 1: <k2 p2 }\n", 1), diagnostics));
  CHECK(diagnostics.has_errors());
}
