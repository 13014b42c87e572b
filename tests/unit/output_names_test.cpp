// The names of what a pattern makes are those that are told without drawing anything: a build graph relies on
// it.
#include <doctest/doctest.h>

#include "compiler/outputs.hpp"
#include "compiler/season_outputs.hpp"
#include "compiler/true_size.hpp"
#include "pattern_files.hpp"

using namespace wale;

namespace {

std::vector<std::string> names(const Outputs& outputs) {
  REQUIRE(outputs.failure.empty());
  std::vector<std::string> out;
  for (const OutputFile& each : outputs.files) out.push_back(each.name);
  return out;
}

}  // namespace

TEST_CASE("files are called what is told of them") {
  std::size_t seen = 0, seasons = 0, printed = 0;
  for (const PatternFile& file : pattern_files("core")) {
    const Compiled compiled = compile(file);
    if (compiled.checked.diagnostics.has_errors()) continue;
    CAPTURE(file.name);
    for (const bool png : {false, true}) {
      DocumentSettings settings;
      settings.png = settings.mirror = png;
      CHECK(output_names(compiled.checked, "s", settings) ==
            names(make_outputs(compiled.checked, "s", {}, settings)));
    }
    if (!compiled.checked.pattern.gauges.empty()) {
      CHECK(true_size_names(compiled.checked, "s") == names(make_true_size(compiled.checked, "s", {})));
      ++printed;
    }
    if (compiled.checked.season) {
      CHECK(season_output_names("s") == names(make_season_outputs(*compiled.checked.season, "s", {})));
      ++seasons;
    }
    ++seen;
  }
  CHECK(seen > 4);
  CHECK(printed > 2);
  CHECK(seasons > 0);
}
