// Any bytes as what the command line asks for. Lines that begin with `--size `, `--gauge ` or `--set ` are
// the options (to the language they are comments); the whole is the pattern that they are asked of.
//
//     --size M
//     --set ease = 8 cm
//     sizes S, M, L
//     ...
#include "compiler/check.hpp"
#include "tests/fuzz/target.hpp"

using namespace wale;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text = fuzz::text_of(data, size);
  Settings settings;
  constexpr std::size_t most_measures = 8;
  for (const std::string& line : fuzz::lines_of(text)) {
    if (line.starts_with("--size ")) settings.size = line.substr(7);
    if (line.starts_with("--gauge ")) settings.gauge = line.substr(8);
    if (line.starts_with("--set ") && settings.measures.size() < most_measures)
      settings.measures.push_back(line.substr(6));
  }
  const Loaded loaded = load(Source("f.wale", text, 1));
  const Checked checked = check(loaded, settings, fuzz::effort);
  const Sources sources = sources_of(loaded, settings_sources(settings, loaded.files.size() + 1));
  fuzz::must_lie_inside(checked.diagnostics, sources);
  show(checked.diagnostics, sources);
  // And on their own, where no mistake of the pattern stands before them.
  Diagnostics found;
  const Asked asked = read_settings(settings, 1, found);
  fuzz::must(found.has_errors() || asked.measures.size() == settings.measures.size(), "an option is lost");
  fuzz::must(found.has_errors() || asked.gauge.has_value() == settings.gauge.has_value(), "a gauge is lost");
  return 0;
}
