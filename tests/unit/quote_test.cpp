// How wide letters are, and what a quoted line looks like on a terminal.
#include "grammar/quote.hpp"

#include <doctest/doctest.h>

#include <random>

#include "grammar/cells.hpp"
#include "grammar/diagnostics.hpp"
#include "grammar/fitted.hpp"
#include "scratch.hpp"

using namespace wale;

namespace {

Sources with(const std::string& text) {
  Sources out;
  out.emplace_back("vocabulary.wale", "", 0);
  out.emplace_back("rib.wale", text, 1);
  return out;
}

}  // namespace

TEST_CASE("letters take the cells that Unicode gives them") {
  // Unicode Standard Annex 11, East Asian Width: wide, halfwidth, ambiguous and neutral; combining marks of
  // UnicodeData.txt.
  CHECK(cells("wale") == 4);
  CHECK(cells("\xE9\xAF\xA8\xE6\xAF\x9B") == 4);  // U+9BE8, U+6BDB
  CHECK(cells("\xEF\xBD\xB1") == 1);              // U+FF71, halfwidth katakana
  CHECK(cells("o\xCC\x88") == 1);                 // U+0308, combining diaeresis
  CHECK(cells("\xC3\xA4\xC3\x97\xE2\x86\x92") == 3);
  CHECK(cells("a\xFF\xE2\x86") == 4);  // stray bytes
  CHECK(cells("\t\x1B\xC2\x9B") == 3);
}

TEST_CASE("texts are cut between characters, never before a mark that belongs to one") {
  const std::string text = "ko\xCC\x88\xE9\xAF\xA8z";
  CHECK(text.substr(0, head_within(text, 1)) == "k");
  CHECK(text.substr(0, head_within(text, 2)) == "ko\xCC\x88");
  CHECK(text.substr(0, head_within(text, 3)) == "ko\xCC\x88");
  CHECK(text.substr(0, head_within(text, 4)) == "ko\xCC\x88\xE9\xAF\xA8");
  CHECK(text.substr(tail_within(text, 1)) == "z");
  CHECK(text.substr(tail_within(text, 2)) == "z");
  CHECK(text.substr(tail_within(text, 3)) == "\xE9\xAF\xA8z");
  CHECK(text.substr(tail_within(text, 99)) == text);
}

TEST_CASE("words are broken at blanks, and none is lost") {
  CHECK(wrap("cast on 42 or 46", 7, 5) == std::vector<std::string>{"cast on", "42 or", "46"});
  CHECK(wrap("slipway", 3, 3) == std::vector<std::string>{"slipway"});
  CHECK(wrap("", 3, 3) == std::vector<std::string>{""});
}

TEST_CASE("a mark stands under what it means behind wide letters") {
  const Sources sources = with("by \"\xE9\xAF\xA8\" x\n");
  CHECK(show(Diagnostic(Kind::expected, {9, 10, 1}, "what"), sources) ==
        "rib.wale:1:8: error: what [expected]\n"
        "     1 | by \"\xE9\xAF\xA8\" x\n"
        "       |         ^\n");
}

TEST_CASE("on a terminal the severity and the mark are coloured, and nothing else changes") {
  const Sources sources = with("k p k\n");
  Diagnostic diagnostic(Kind::row_leaves_stitches, {2, 3, 1}, "row 2 leaves 1 stitch");
  diagnostic.under("here").try_this("k");
  const std::string plain = show(diagnostic, sources);
  const std::string coloured = show(diagnostic, sources, false, {true, 0});
  CHECK(coloured ==
        "rib.wale:1:3: \x1b[1;31merror\x1b[0m: row 2 leaves 1 stitch [row-leaves-stitches]\n"
        "     1 | k p k\n"
        "       |   \x1b[1;31m^\x1b[0m here\n"
        "       \x1b[1mtry\x1b[0m   k\n");
  CHECK(show(Diagnostic(Kind::left_on_needle, {0, 1, 1}, "what"), sources, false, {true, 0})
            .find("\x1b[1;35mwarning\x1b[0m") != std::string::npos);
  CHECK(plain.find('\x1b') == std::string::npos);
}

TEST_CASE("on a terminal a line is cut round its mark, and words go below it where they do not fit") {
  const Sources sources = with(std::string(200, 'k') + " p " + std::string(200, 'k') + "\n");
  Diagnostic diagnostic(Kind::row_leaves_stitches, {201, 202, 1},
                        "row 2 leaves 1 stitch of all that there are");
  diagnostic.under("some words that are not short").note("and a note of some length, too");
  CHECK(show(diagnostic, sources, false, {false, 40}) ==
        "rib.wale:1:202: error: row 2 leaves 1\n"
        "       stitch of all that there are\n"
        "       [row-leaves-stitches]\n"
        "     1 | ...kkkkkkkkk p kkkkkkkkkkkkk...\n"
        "       |              ^\n"
        "       |   some words that are not short\n"
        "       note  and a note of some length,\n"
        "             too\n");
}

TEST_CASE("whatever is marked on whatever terminal, the quote fits and has a mark") {
  std::mt19937 random(11);
  const std::vector<std::string> letters{"k",         " ",    "\t",      "\xC3\x84", "\xE9\xAF\xA8",
                                         "o\xCC\x88", "\xFF", "\xC2\x9B"};
  for (int i = 0; i < 3000; ++i) {
    std::string text;
    for (std::size_t length = random() % 200; length > 0; --length)
      text += letters[random() % letters.size()];
    const Sources sources = with(text);
    const auto begin = static_cast<std::uint32_t>(random() % 220),
               end = static_cast<std::uint32_t>(random() % 220);
    // Places are between characters.
    if (begin < text.size() && (text[begin] & 0xC0) == 0x80) continue;
    const std::size_t columns = 30 + random() % 80;
    const auto lines = lines_of(quote(sources[1], {{begin, end, 1}, '^', "words"}, {false, columns}));
    INFO(text, " at ", begin, " in ", columns);
    REQUIRE(lines.size() >= 2);
    for (const std::string& line : lines) CHECK(cells(line) <= columns);
    CHECK(lines[1].find('^') != std::string::npos);
  }
}

TEST_CASE("lines beside mistakes fit the terminal, and what is to be typed stays whole") {
  const std::string text =
      "3 patterns compiled, 12 up to date, 1 warning\n"
      "why, and an example: wale explain layout-does-not-fit (or another name in brackets)\n"
      "wale: `a name of several words` is there already, and is left as it is\n"
      "       try   wale build patterns --to a-folder-with-a-long-name --paper Letter\n"
      "       note  the commands are check, build, watch, swatch and match\n"
      "short\n";
  CHECK(fitted(text, {}) == text);
  CHECK(fitted(text, {false, 100}) == text);
  CHECK(fitted(text, {false, 40}) ==
        "3 patterns compiled, 12 up to date, 1\n"
        "  warning\n"
        "why, and an example:\n"
        "  wale explain layout-does-not-fit (or\n"
        "  another name in brackets)\n"
        "wale: `a name of several words` is there\n"
        "  already, and is left as it is\n"
        "       try   wale build patterns --to a-folder-with-a-long-name --paper Letter\n"
        "       note  the commands are check,\n"
        "             build, watch, swatch and\n"
        "             match\n"
        "short\n");
}
