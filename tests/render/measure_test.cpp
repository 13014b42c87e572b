// Words on a line: clean, inside the width, and all there.
#include "render/measure.hpp"

#include <doctest/doctest.h>

#include <random>

#include "tests/render/sample_charts.hpp"

using namespace wale::render;

namespace {

std::string without_spaces(const std::string& text) {
  std::string result;
  for (const char c : text) {
    if (c != ' ') result += c;
  }
  return result;
}

}  // namespace

TEST_CASE("clean text holds nothing that XML forbids") {
  CHECK(clean_text("  two\t\nwords ") == "two words");
  CHECK(clean_text("a\x01"
                   "b") == "a" + sample::replaced + "b");
  CHECK(clean_text("\xEF\xBF\xBE") == sample::replaced);                // U+FFFE
  CHECK(clean_text("\xED\xA0\x80").find('\xED') == std::string::npos);  // a surrogate
  CHECK(clean_text("\xC3") == sample::replaced);                        // cut off
  CHECK(clean_text(std::string("a\0b", 3)) == "a" + sample::replaced + "b");
  CHECK(clean_text("\xC2\x85") == sample::replaced);                                     // a C1 control
  CHECK(clean_text("\xE2\x80\xAE\xE2\x81\xA6") == sample::replaced + sample::replaced);  // turn what follows
  CHECK(clean_text("\xE2\x80\xA8"
                   "x") == "x");  // a line separator
  CHECK(clean_text("e\xCC\x81 漁師") == "e\xCC\x81 漁師");
  const std::string once = clean_text(sample::hostile);
  CHECK(clean_text(once) == once);
}

TEST_CASE("widths scale with the size") {
  const double nine = text_width("knit 2 together", 9), ninety = text_width("knit 2 together", 90);
  CHECK(nine > 50);
  CHECK(ninety == doctest::Approx(10 * nine).epsilon(0.002));
  CHECK(text_width("k2tog", 9, true) > text_width("k2tog", 9));
  CHECK(text_width("", 9) == 0);
}

TEST_CASE("every line fits and no word is lost") {
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  sample::Random random(seed);
  for (int i = 0; i < 150; ++i) {
    const std::string text = sample::words(random, 60), lead = sample::words(random, 5);
    const double width = sample::pick(random, 40, 400), hanging = sample::pick(random, 0, 20);
    std::string all;
    bool first = true;
    for (const TextLine& line : wrap_runs({{lead, true}, {text, false}}, 9, width, hanging)) {
      REQUIRE_FALSE(line.empty());
      CHECK(line.front().x == (first ? 0 : hanging));
      CHECK(line.back().x + line.back().width <= width + 0.2);
      for (const PlacedRun& run : line) all += run.text;
      first = false;
    }
    CHECK(without_spaces(all) == without_spaces(lead + text));
  }
}

TEST_CASE("lines break at spaces where a word fits on a line") {
  const auto lines = wrap_text("knit to the last two stitches", 9, 80);
  REQUIRE(lines.size() == 2);
  CHECK(lines[0] + " " + lines[1] == "knit to the last two stitches");
  CHECK(wrap_text("", 9, 80).empty());
  CHECK(wrap_text(" \n ", 9, 80).empty());
}

TEST_CASE("a text longer than pango can measure at once is measured and wrapped all the same") {
  const std::string word(400000, 'm');
  CHECK(text_width(word, 9) == doctest::Approx(400000 * text_width("m", 9)).epsilon(0.01));
  std::size_t letters = 0;
  for (const std::string& line : wrap_text(word, 9, 300)) letters += line.size();
  CHECK(letters == word.size());
}

TEST_CASE("what does not fit is cut with an ellipsis") {
  CHECK(fit_text("Slipway Scarf", 9, 200) == "Slipway Scarf");
  const std::string cut = fit_text("Slipway Scarf with a very long name", 9, 80);
  CHECK(text_width(cut, 9) <= 80.2);
  CHECK(cut.starts_with("Slipway"));
  CHECK(cut.ends_with("\xE2\x80\xA6"));
}
