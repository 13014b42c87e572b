// Any bytes laid out, twice alike, and compiled, as a file that may use or knit itself and a twin under
// another name: checked, told what is wrong with them, and, where nothing is, made into every file that the
// program would write, in memory.
#include <algorithm>
#include <cstdint>
#include <cstdlib>

#include "compiler/outputs.hpp"
#include "compiler/season_outputs.hpp"
#include "grammar/formatter.hpp"

/// Fontconfig keeps what it has read of the fonts until the process ends.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() {
  return "leak:libfontconfig\n";
}

/// A fortieth of what the program as shipped allows: the sanitizer makes it slower (see README.md).
constexpr long long most_work = wale::Effort{}.most / 40;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  const wale::Source source("f.wale", text, 1);
  wale::Diagnostics unread;
  if (const auto laid_out = wale::format(source, unread)) {
    wale::Diagnostics none;
    if (wale::format(wale::Source("f.wale", *laid_out, 1), none) != laid_out) std::abort();
  }
  const wale::Loaded loaded =
      wale::load(source, wale::files_in_memory({{"f.wale", text}, {"yarns.wale", text}}));
  const wale::Checked checked = wale::check(loaded, {}, {most_work});
  if (checked.effort.work() > 2 * checked.effort.most) std::abort();
  wale::show(checked.diagnostics, wale::sources_of(loaded));
  if (checked.diagnostics.has_errors()) return 0;
  if (checked.season && wale::make_season_outputs(*checked.season, "f", {}).files.empty()) std::abort();
  const wale::Outputs outputs = wale::make_outputs(checked, "f", {});
  if (outputs.files.empty() && outputs.failure.empty()) std::abort();
  const std::vector<std::string> names = wale::output_names(checked, "f");
  for (std::size_t i = 0; outputs.failure.empty() && i < std::max(names.size(), outputs.files.size()); ++i)
    if (names.at(i) != outputs.files.at(i).name) std::abort();
  return 0;
}
