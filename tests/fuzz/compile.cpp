// Any bytes laid out, twice alike, and compiled: checked, told what is wrong with them, and, where
// nothing is, made into every file that the program would write, in memory.
#include <cstdint>
#include <cstdlib>

#include "compiler/outputs.hpp"
#include "grammar/formatter.hpp"

/// Fontconfig keeps what it has read of the fonts until the process ends.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() {
  return "leak:libfontconfig\n";
}

/// A fortieth of what the program as shipped allows: the sanitizer makes it slower (see README.md).
constexpr long long most_work = wale::Effort{}.most / 40;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const wale::Source vocabulary = wale::vocabulary_source();
  const wale::Source source("f.wale", std::string(reinterpret_cast<const char*>(data), size), 1);
  wale::Diagnostics unread;
  if (const auto laid_out = wale::format(source, unread)) {
    wale::Diagnostics none;
    if (wale::format(wale::Source("f.wale", *laid_out, 1), none) != laid_out) std::abort();
  }
  const wale::Checked checked = wale::check(source, {}, {most_work});
  if (checked.effort.work() > 2 * checked.effort.most) std::abort();
  wale::show(checked.diagnostics, {vocabulary, source});
  if (checked.diagnostics.has_errors()) return 0;
  const wale::Outputs outputs = wale::make_outputs(checked, "f", {});
  if (outputs.files.empty() && outputs.failure.empty()) std::abort();
  return 0;
}
