// What `wale new` writes must need no mending, whatever it is called.
#include "compiler/starter.hpp"

#include <doctest/doctest.h>

#include "compiler/check.hpp"
#include "grammar/formatter.hpp"

using namespace wale;

TEST_CASE("a new pattern compiles without a word, in the one layout, under any title") {
  for (const std::string title :
       {"Winter Hat", "", "a \"quoted\" one", "two\nlines", "<script>&amp;", "Vļņā šalle"}) {
    CAPTURE(title);
    const Source source("p.wale", starter(title), 1);
    const Checked checked = check(source);
    CAPTURE(show(checked.diagnostics, {vocabulary_source(), source}));
    CHECK(checked.diagnostics.all().empty());
    REQUIRE(checked.pattern.pieces.size() == 1);
    // 22 cm at 2 st to the cm are 44: the nearest 4n + 2 is 42 or 46, with 8 of garter in it 34 or 38 for the
    // rib.
    CHECK((checked.pattern.pieces[0].widest == 42 || checked.pattern.pieces[0].widest == 46));
    Diagnostics none;
    CHECK(format(source, none) == source.text());
  }
}

TEST_CASE("a title is made of the file's name") {
  CHECK(title_of("winter-hat") == "Winter Hat");
  CHECK(title_of("--moss__stitch ") == "Moss Stitch");
  CHECK(title_of("") == "");
}
