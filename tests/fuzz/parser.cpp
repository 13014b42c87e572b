// Any bytes put together into a tree: what is wrong with them stands inside them, and can be shown.
#include "grammar/parser.hpp"

#include "tests/fuzz/target.hpp"

using namespace wale;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Source source("f.wale", fuzz::text_of(data, size), 1);
  Diagnostics diagnostics;
  parse(source, diagnostics);
  const Sources sources{source, source};
  fuzz::must_lie_inside(diagnostics, sources);
  show(diagnostics, sources);
  return 0;
}
