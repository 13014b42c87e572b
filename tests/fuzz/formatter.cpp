// Any bytes laid out. What comes of it is the same but for blanks and line ends, holds the same comments, and
// is left as it is the second time.
#include "grammar/formatter.hpp"

#include "tests/fuzz/target.hpp"

using namespace wale;

namespace {

/// The tokens but for the line ends: their kinds would do, their texts say more.
std::vector<std::string> words_of(const Source& source) {
  std::vector<std::string> out;
  Diagnostics none;
  for (const Token& token : read_tokens(source, none))
    if (token.kind != TokenKind::newline)
      out.emplace_back(source.text({token.begin, token.end, source.number()}));
  return out;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Source before("f.wale", fuzz::text_of(data, size), 1);
  Diagnostics found;
  const auto laid_out = format(before, found);
  show(found, {before, before});
  fuzz::must(laid_out.has_value() != found.has_errors(), "it is laid out with errors, or not without");
  if (!laid_out) return 0;
  const Source after("f.wale", *laid_out, 1);
  fuzz::must(words_of(after) == words_of(before), "there are other words in it");
  fuzz::must(fuzz::comments_of(after) == fuzz::comments_of(before), "there are other comments in it");
  Diagnostics none;
  fuzz::must(format(after, none) == laid_out, "it is laid out otherwise the second time");
  return 0;
}
