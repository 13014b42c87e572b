// How a diagnostic looks, and that no input can make it go wrong.
#include "grammar/diagnostics.hpp"

#include <doctest/doctest.h>

#include <random>
#include <set>

using namespace wale;

namespace {

Sources with(const std::string& text) {
  Sources out;
  out.emplace_back("vocabulary.wale", "stitch k { takes 1 gives 1 }\n", 0);
  out.emplace_back("rib.wale", text, 1);
  return out;
}

}  // namespace

TEST_CASE("a diagnostic names the place, quotes the line and marks the span") {
  const Sources sources = with("fabric rib flat 4n + 2 st {\n  1: <k2 p2> k2\n  2: <p2 k2> p2\n}\n");
  Diagnostic diagnostic(Kind::row_leaves_stitches, {49, 59, 1}, "row 2 leaves 1 stitch");
  diagnostic.under("4 x 10 + 2 = 42, on the needle 43").note("a note").try_this("cast on 42 or 46");
  diagnostic.label({0, 6, 1}, "declared here");
  CHECK(show(diagnostic, sources) ==
        "rib.wale:3:6: error: row 2 leaves 1 stitch [row-leaves-stitches]\n"
        "     3 |   2: <p2 k2> p2\n"
        "       |      ^^^^^^^^^^ 4 x 10 + 2 = 42, on the needle 43\n"
        "     1 | fabric rib flat 4n + 2 st {\n"
        "       | ------ declared here\n"
        "       note  a note\n"
        "       try   cast on 42 or 46\n");
}

TEST_CASE("columns count characters, and marks stand under them") {
  const Sources sources = with("by \"Ägir Ó\" x\n");
  const Diagnostic diagnostic(Kind::expected, {14, 15, 1}, "what");
  CHECK(show(diagnostic, sources) ==
        "rib.wale:1:13: error: what [expected]\n"
        "     1 | by \"Ägir Ó\" x\n"
        "       |             ^\n");
}

TEST_CASE("a long line is cut around the place, and control characters do not reach the terminal") {
  const Sources sources = with(std::string(500, 'k') + "\x1b[31m!" + std::string(500, 'p') + "\n");
  const std::string shown = show(Diagnostic(Kind::unexpected_character, {505, 506, 1}, "what"), sources);
  CHECK(shown.find('\x1b') == std::string::npos);
  std::size_t longest = 0;
  for (std::size_t at = 0; at < shown.size();) {
    const std::size_t end = std::min(shown.find('\n', at), shown.size());
    longest = std::max(longest, end - at);
    at = end + 1;
  }
  CHECK(longest < 130);
  CHECK(shown.find('!') != std::string::npos);
}

TEST_CASE("no span makes the quoting go wrong") {
  std::mt19937 random(7);
  const std::string alphabet = "k p\n\t\xC3\x84\xE2\x86\x92\r\"";
  for (int i = 0; i < 2000; ++i) {
    std::string text;
    for (std::size_t length = random() % 300; length > 0; --length)
      text += alphabet[random() % alphabet.size()];
    const Sources sources = with(text);
    const auto begin = static_cast<std::uint32_t>(random() % 320),
               end = static_cast<std::uint32_t>(random() % 320);
    const std::string shown =
        show(Diagnostic(Kind::expected, {begin, end, static_cast<std::uint32_t>(i % 3)}, "what"), sources);
    CHECK(shown.find("error: what [expected]\n") != std::string::npos);
  }
}

TEST_CASE("of very many diagnostics some are kept and all are counted") {
  Diagnostics diagnostics;
  for (int i = 0; i < 100'000; ++i) diagnostics.add(Kind::expected, {0, 1, 1}, "what").try_this("this");
  diagnostics.add(Kind::left_on_needle, {0, 1, 1}, "what");
  CHECK(diagnostics.all().size() == Diagnostics::most);
  CHECK(diagnostics.errors() == 100'000);
  CHECK(diagnostics.warnings() == 1);
  CHECK(diagnostics.dropped() == 100'001 - Diagnostics::most);
  const std::string shown = show(diagnostics, with("k"));
  CHECK(shown.find("and 99901 more") != std::string::npos);

  Diagnostics sum;
  sum.append(diagnostics);
  sum.append(diagnostics);
  CHECK(sum.errors() == 200'000);
  CHECK(sum.warnings() == 2);
  CHECK(sum.all().size() + sum.dropped() == 200'002);
}

TEST_CASE("diagnostics are sorted by place") {
  Diagnostics diagnostics;
  diagnostics.add(Kind::expected, {9, 10, 1}, "third");
  diagnostics.add(Kind::expected, {3, 4, 1}, "second");
  diagnostics.add(Kind::expected, {5, 6, 0}, "first");
  diagnostics.sort();
  CHECK(diagnostics.all()[0].message == "first");
  CHECK(diagnostics.all()[2].message == "third");
}

TEST_CASE("every kind has a slug of its own and says what it means") {
  std::set<std::string_view> slugs;
  for (const Kind kind : all_kinds()) {
    CHECK(slugs.insert(facts(kind).slug).second);
    CHECK(facts(kind).slug.find_first_not_of("abcdefghijklmnopqrstuvwxyz-") == std::string_view::npos);
    CHECK(facts(kind).summary.ends_with('.'));
  }
}

TEST_CASE("UTF-8 is told from what is not") {
  // RFC 3629, section 4: the ranges of well-formed sequences.
  CHECK(find_invalid_utf8("plain ä → 𝄞") == std::string_view::npos);
  CHECK(find_invalid_utf8("a\xFF") == 1);
  CHECK(find_invalid_utf8("\xC0\xAF") == 0);          // overlong
  CHECK(find_invalid_utf8("\xE0\x80\xAF") == 0);      // overlong
  CHECK(find_invalid_utf8("\xED\xA0\x80") == 0);      // a surrogate
  CHECK(find_invalid_utf8("\xF4\x90\x80\x80") == 0);  // beyond U+10FFFF
  CHECK(find_invalid_utf8("ab\xE2\x86") == 2);        // cut off
  CHECK(find_invalid_utf8("\xF4\x8F\xBF\xBF") == std::string_view::npos);
}
