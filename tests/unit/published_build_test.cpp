// Every published pattern that comes out is also built, as a knitter would build it: charts, instructions,
// yarn.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

#include "compiler/outputs.hpp"
#include "tests/unit/published.hpp"

using namespace wale;

namespace {

const OutputFile* file_ending(const Outputs& outputs, const std::string& end) {
  const auto found = std::find_if(outputs.files.begin(), outputs.files.end(),
                                  [&](const OutputFile& each) { return each.name.ends_with(end); });
  return found == outputs.files.end() ? nullptr : &*found;
}

std::size_t charts_in(const Outputs& outputs) {
  return static_cast<std::size_t>(
      std::count_if(outputs.files.begin(), outputs.files.end(), [](const OutputFile& each) {
        return each.name.ends_with(".svg") && each.name.find(".view.") == std::string::npos;
      }));
}

/// What is missing of the files that a pattern is built to, or empty in them.
std::vector<std::string> shortcomings(const Compiled& compiled, const std::string& stem) {
  const Outputs outputs = make_outputs(compiled.checked, stem, {});
  std::vector<std::string> names;
  for (const OutputFile& each : outputs.files) names.push_back(each.name);
  CHECK(names == output_names(compiled.checked, stem));
  std::vector<std::string> out;
  if (!outputs.failure.empty()) out.push_back(outputs.failure);
  for (const std::string end : {".pdf", ".txt", ".json"})
    if (!file_ending(outputs, end)) out.push_back("no file " + stem + end);
  for (const OutputFile& each : outputs.files)
    if (each.bytes.empty()) out.push_back(each.name + " is empty");
  const Pattern& pattern = compiled.checked.pattern;
  if (charts_in(outputs) < pattern.fabrics.size()) out.push_back("a fabric has no chart");
  const OutputFile* words = file_ending(outputs, ".txt");
  for (const Piece& piece : pattern.pieces) {
    std::string title = piece.name;
    title[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(title[0])));
    if (words && words->bytes.find("\n" + title) == std::string::npos)
      out.push_back("no instructions for " + piece.name);
  }
  if (words && words->bytes.find(": 0 cm") != std::string::npos) out.push_back("a piece without a size");
  const OutputFile* yarn = file_ending(outputs, ".json");
  const bool knitted = std::any_of(pattern.pieces.begin(), pattern.pieces.end(),
                                   [](const Piece& piece) { return piece.widest > 0; });
  if (yarn && knitted && yarn->bytes.find("\"stitches_worked\"") == std::string::npos)
    out.push_back("no stitches are reckoned with");
  return out;
}

}  // namespace

TEST_CASE("the published patterns are built to charts, instructions and yarn, and nothing is warned of") {
  int built = 0;
  for (const PatternFile& file : published::files()) {
    if (published::is_printed(file)) continue;
    const Compiled compiled = compile(file);
    INFO(file.name, "\n", compiled.shown);
    CHECK(compiled.checked.diagnostics.all().empty());
    for (const std::string& each : shortcomings(compiled, published::pattern_name(file))) FAIL_CHECK(each);
    ++built;
  }
  CHECK(built >= 80);
}
