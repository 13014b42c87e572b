// Any bytes cut into tokens: they lie in the source in order, and the last one is its end.
#include "grammar/tokens.hpp"

#include "tests/fuzz/target.hpp"

using namespace wale;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Source source("f.wale", fuzz::text_of(data, size), 1);
  Diagnostics diagnostics;
  std::uint32_t reached = 0;
  const std::vector<Token> tokens = read_tokens(source, diagnostics);
  for (const Token& token : tokens) {
    fuzz::must(token.begin >= reached && token.end >= token.begin && token.end <= source.text().size(),
               "tokens do not follow each other");
    reached = token.end;
  }
  fuzz::must(!tokens.empty() && tokens.back().kind == TokenKind::end, "the last token is not the end");
  show(diagnostics, {source, source});
  return 0;
}
