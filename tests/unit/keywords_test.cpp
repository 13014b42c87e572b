// The words of the language are known by their letters, and by nothing less.
#include "grammar/keywords.hpp"

#include <doctest/doctest.h>

#include <set>

using namespace wale;

TEST_CASE("each word of the language is found, once") {
  std::set<std::string_view> all;
  for (std::size_t i = 0; i < keyword_texts.size(); ++i) {
    CAPTURE(keyword_texts[i]);
    CHECK(all.insert(keyword_texts[i]).second);
    CHECK(find_keyword(keyword_texts[i]) == Keyword::at(i));
    CHECK(find_keyword(keyword_texts[i]).text() == keyword_texts[i]);
  }
  CHECK(find_keyword("rows") == Keyword("rows"));
  CHECK(find_keyword("rows") != Keyword("row"));
}

TEST_CASE("what is nearly a word of the language is none") {
  for (const std::string_view word : keyword_texts) {
    CAPTURE(word);
    for (std::size_t at = 0; at < word.size(); ++at)
      for (const char letter : std::string_view("aeknstwR-0")) {
        std::string other(word);
        other[at] = letter;
        const bool known =
            std::find(keyword_texts.begin(), keyword_texts.end(), other) != keyword_texts.end();
        CHECK(static_cast<bool>(find_keyword(other)) == known);
      }
  }
  CHECK_FALSE(find_keyword(""));
  CHECK_FALSE(find_keyword("kelp"));
  CHECK_FALSE(find_keyword("rowsrows"));
}
