// Any bytes cut into tokens: they lie in the source in order, and the last one is its end.
#include "grammar/tokens.hpp"

#include <cstdint>
#include <cstdlib>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const wale::Source source("f.wale", std::string(reinterpret_cast<const char*>(data), size), 1);
  wale::Diagnostics diagnostics;
  std::uint32_t reached = 0;
  const std::vector<wale::Token> tokens = wale::read_tokens(source, diagnostics);
  for (const wale::Token& token : tokens) {
    if (token.begin < reached || token.end < token.begin || token.end > source.text().size()) std::abort();
    reached = token.end;
  }
  if (tokens.empty() || tokens.back().kind != wale::TokenKind::end) std::abort();
  wale::show(diagnostics, {source, source});
  return 0;
}
