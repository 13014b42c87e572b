// Any bytes compiled, as a file that may use or knit itself and a twin under another name: checked, told what
// is wrong with them, and, where nothing is, made into every file that the program would write, in memory. A
// quick look, which knows the fabrics of the inputs before, sees that something is wrong where something is.
#include <algorithm>

#include "compiler/outputs.hpp"
#include "compiler/season_outputs.hpp"
#include "compiler/swatch_page.hpp"
#include "tests/fuzz/target.hpp"

using namespace wale;

/// Fontconfig keeps what it has read of the fonts until the process ends.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() {
  return "leak:libfontconfig\n";
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text = fuzz::text_of(data, size);
  const Loaded loaded =
      load(Source("f.wale", text, 1), files_in_memory({{"f.wale", text}, {"yarns.wale", text}}));
  const Checked checked = check(loaded, {}, fuzz::effort);
  fuzz::must(checked.effort.work() <= 2 * checked.effort.most, "it took more work than may be done");
  static KnownFabrics known;
  const auto& told = checked.diagnostics.all();
  // It works less, so it may come to the end where the check gives up.
  const bool gave_up = std::all_of(told.begin(), told.end(),
                                   [](const Diagnostic& each) { return each.kind == Kind::too_much_work; });
  const bool nothing_found = finds_nothing(loaded, {}, known);
  fuzz::must(gave_up || !nothing_found, "a quick look overlooks what is wrong");
  const Sources sources = sources_of(loaded);
  fuzz::must_lie_inside(checked.diagnostics, sources);
  show(checked.diagnostics, sources);
  if (checked.diagnostics.has_errors()) return 0;
  if (checked.season)
    fuzz::must(!make_season_outputs(*checked.season, "f", {}).files.empty(), "a season has no files");
  const Outputs outputs = make_outputs(checked, "f", {});
  fuzz::must(!outputs.files.empty() || !outputs.failure.empty(), "there are no files, and no reason");
  make_swatch_pages(checked, "f", {}, {});
  const std::vector<std::string> names = output_names(checked, "f");
  const bool as_told =
      std::equal(names.begin(), names.end(), outputs.files.begin(), outputs.files.end(),
                 [](const std::string& name, const OutputFile& file) { return name == file.name; });
  fuzz::must(as_told || !outputs.failure.empty(), "files are called other than was told");
  return 0;
}
