// Any bytes put together into a tree: what is wrong with them stands inside them, and can be shown.
#include "grammar/parser.hpp"

#include <cstdint>
#include <cstdlib>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const wale::Source source("f.wale", std::string(reinterpret_cast<const char*>(data), size), 1);
  wale::Diagnostics diagnostics;
  wale::parse(source, diagnostics);
  for (const wale::Diagnostic& each : diagnostics.all())
    if (each.span.begin > each.span.end || each.span.end > source.text().size()) std::abort();
  wale::show(diagnostics, {source, source});
  return 0;
}
