// Edits made in a text: which of them can stand together, and that nothing else in it changes.
#include "grammar/edits.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

using namespace wale;

namespace {

Edit edit(std::uint32_t begin, std::uint32_t end, std::string replacement) {
  return {{begin, end, 1}, std::move(replacement)};
}

using Made = std::vector<std::size_t>;

}  // namespace

TEST_CASE("edits are made where they stand, in whatever order they come") {
  const Edited out = apply_mends("k2tgo, p2", {{edit(5, 6, "")}, {edit(0, 5, "k2tog")}, {edit(9, 9, " yo")}});
  CHECK(out.text == "k2tog p2 yo");
  CHECK(out.made == Made{0, 1, 2});
  CHECK(apply_mends("", {{edit(0, 0, "}")}}).text == "}");
  CHECK(apply_mends("k p", {}).text == "k p");
}

TEST_CASE("of two edits of one place the first is made") {
  CHECK(apply_mends("abcdef", {{edit(1, 4, "X")}, {edit(3, 5, "Y")}}).made == Made{0});
  CHECK(apply_mends("abcdef", {{edit(3, 5, "Y")}, {edit(1, 4, "X")}}).text == "abcYf");
  CHECK(apply_mends("abcdef", {{edit(1, 5, "X")}, {edit(2, 3, "Y")}}).text == "aXf");
  CHECK(apply_mends("abcdef", {{edit(1, 5, "X")}, {edit(3, 3, "Y")}}).made == Made{0});
  CHECK(apply_mends("abcdef", {{edit(2, 2, "X")}, {edit(2, 2, "Y")}}).text == "abXcdef");
  CHECK(apply_mends("abcdef", {{edit(1, 3, "X")}, {edit(1, 3, "X")}}).made == Made{0});
}

TEST_CASE("edits that only meet are all made, insertions before and behind what is replaced") {
  const Edited out = apply_mends(
      "abcdef",
      {{edit(2, 4, "X")}, {edit(4, 6, "Y")}, {edit(2, 2, "<")}, {edit(4, 4, ">")}, {edit(0, 2, "")}});
  CHECK(out.text == "<X>Y");
  CHECK(out.made.size() == 5);
}

TEST_CASE("edits that belong together are made together or not at all") {
  const std::vector<Mend> quotes{{edit(0, 1, "X")}, {edit(0, 1, "\""), edit(4, 5, "\"")}, {edit(4, 5, "Y")}};
  const Edited out = apply_mends("abcde", quotes);
  CHECK(out.text == "XbcdY");
  CHECK(out.made == Made{0, 2});
  CHECK(apply_mends("abcde", {{edit(0, 2, "X"), edit(1, 3, "Y")}}).text == "abcde");
  CHECK(apply_mends("abcde", {Mend{}}).made.empty());
}

TEST_CASE("what lies outside the text, runs backwards or cuts a character is left out") {
  const std::string text = "aäb";  // the ä is bytes 1 and 2
  for (const Edit& bad : {edit(4, 5, "X"), edit(0, 9, "X"), edit(3, 1, "X"), edit(2, 3, "X"), edit(0, 2, "X"),
                          edit(2, 2, "X"), edit(4294967295U, 4294967295U, "X")}) {
    CAPTURE(bad.span.begin);
    CHECK(apply_mends(text, {{bad}}).text == text);
  }
  CHECK(apply_mends(text, {{edit(1, 3, "ö→")}}).text == "aö→b");
  CHECK(apply_mends(text, {{edit(4, 4, "\r\n")}}).text == "aäb\r\n");
}

TEST_CASE("whatever the edits, the text between them stays, and what is made can be read off") {
  std::mt19937 random(11);
  for (int round = 0; round < 3000; ++round) {
    std::string text;
    for (std::size_t i = random() % 30; i > 0; --i)
      text += std::vector<std::string>{"k", " ", "ä", "→"}[random() % 4];
    std::vector<Mend> mends(random() % 6);
    for (Mend& mend : mends)
      for (std::size_t i = random() % 3; i > 0; --i) {
        const auto begin = static_cast<std::uint32_t>(random() % 40);
        mend.push_back(
            edit(begin, begin + static_cast<std::uint32_t>(random() % 5), std::string(random() % 3, '#')));
      }
    const Edited out = apply_mends(text, mends);
    // The same worked from the back, one edit at a time.
    std::vector<Edit> made;
    for (const std::size_t i : out.made) made.insert(made.end(), mends[i].begin(), mends[i].end());
    std::sort(made.begin(), made.end(), [](const Edit& a, const Edit& b) {
      return std::pair(a.span.begin, a.span.end) > std::pair(b.span.begin, b.span.end);
    });
    std::string expected = text;
    for (const Edit& each : made)
      expected.replace(each.span.begin, each.span.end - each.span.begin, each.replacement);
    CHECK(out.text == expected);
    CHECK(find_invalid_utf8(out.text) == std::string::npos);
  }
}
