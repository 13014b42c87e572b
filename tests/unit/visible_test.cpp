// What others wrote reaches a terminal as something to read, and not as something to obey.
#include "grammar/visible.hpp"

#include <doctest/doctest.h>

#include "grammar/diagnostics.hpp"

using namespace wale;

TEST_CASE("what a terminal would obey is shown by its number, and all else as it is") {
  CHECK(visible("räv 編み \xF0\x9F\xA7\xB6 <&>") == "räv 編み \xF0\x9F\xA7\xB6 <&>");
  CHECK(visible("a\x1B[31mb\x7F\t\r\n") == "a(U+001B)[31mb(U+007F)(U+0009)(U+000D)(U+000A)");
  CHECK(visible(std::string_view("a\0b", 3)) == "a(U+0000)b");
  CHECK(visible("\xC2\x9B"
                "2J") == "(U+009B)2J");
  CHECK(visible("\xE2\x80\xAE"
                "elaw.\xE2\x81\xA9") == "(U+202E)elaw.(U+2069)");
  CHECK(visible("\xE2\x80\xA8") == "(U+2028)");
  CHECK(visible("fog\x9B\xFF.wale\xE2\x80") == "fog(0x9B)(0xFF).wale(0xE2)(0x80)");
  CHECK(visible("").empty());
  CHECK(visible_lines("one\x1B\ntwo\n\nthree") == "one(U+001B)\ntwo\n\nthree");
}

TEST_CASE("a diagnostic shows no control character of a path, a message or the source") {
  const Source source("a\x1B[2J\n.wale",
                      "\"k\x1B[31m\xC2\x9B"
                      "2K\xE2\x80\xAE p\"",
                      1);
  Diagnostics found;
  found.add(Kind::expected, {1, 4, 1}, "expected \x1B[0m")
      .under("here\x07")
      .label({0, 1, 1}, "\x1B]0;title\x07")
      .note("\xC2\x9D")
      .try_this("\x08\x08");
  const std::string shown = show(found, {source, source});
  for (const char c : shown) CHECK((static_cast<unsigned char>(c) >= 0x20 || c == '\n'));
  for (const char* obeyed : {"\x7F", "\xC2\x9B", "\xC2\x9D", "\xE2\x80\xAE"})
    CHECK(shown.find(obeyed) == std::string::npos);
  CHECK(shown.starts_with("a(U+001B)[2J(U+000A).wale:1:2: error: expected (U+001B)[0m ["));
  // The mark stands below what it marks.
  CHECK(shown.find("     1 | \"k [31m\xEF\xBF\xBD"
                   "2K\xEF\xBF\xBD p\"\n       |  ^^^ here(U+0007)\n") != std::string::npos);
}
