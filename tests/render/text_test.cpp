// Plain text: no line too long, no word lost, tables straight.
#include "render/text.hpp"

#include <doctest/doctest.h>

#include <sstream>

#include "render/measure.hpp"
#include "tests/render/sample_charts.hpp"

using namespace wale::render;

TEST_CASE("a document reads as a page of text") {
  Document document{"Slipway Scarf", "Skerry Row", {}};
  document.blocks.emplace_back(Heading{2, "Materials"});
  document.blocks.emplace_back(Table{{"Strand", "Metres"}, {{"A", "424"}, {"L", "68"}}, {}, {false, true}});
  document.blocks.emplace_back(Heading{3, "Body"});
  document.blocks.emplace_back(Paragraph{
      "Row 1 (RS):", "K4, *p2, k2; rep from * to the last 6 sts, then p2 and k4 as before. (42 sts)", false});
  document.blocks.emplace_back(Paragraph{"Row 2:", "K4.", false});
  document.blocks.emplace_back(Paragraph{"Caution:", "Cords can hurt.", true});
  document.blocks.emplace_back(ChartBlock{sample::rib(4, 2)});
  CHECK(write_text(document) == R"(Slipway Scarf
=============

Skerry Row

Materials
---------

Strand  Metres
--------------
A          424
L           68

Body

Row 1 (RS): K4, *p2, k2; rep from * to the last 6 sts, then p2 and k4 as before.
            (42 sts)
Row 2: K4.

| Caution: Cords can hurt.

Chart: Slipway rib
Repeat the framed squares.
)");
}

TEST_CASE("wide letters count twice and combining marks not at all") {
  CHECK(text_columns("k2tog") == 5);
  CHECK(text_columns("漁師") == 4);
  CHECK(text_columns("e\xCC\x81") == 1);
}

TEST_CASE("an empty document is an empty line") {
  CHECK(write_text(Document{}) == "\n");
}

TEST_CASE("random documents keep to their columns and keep their words") {
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  sample::Random random(seed);
  for (int i = 0; i < 40; ++i) {
    const Document document = sample::document(random);
    const int columns = sample::pick(random, 20, 120);
    const std::string text = write_text(document, {.columns = columns});
    CHECK(text.back() == '\n');
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
      CHECK(text_columns(line) <= columns);
      CHECK_FALSE(line.ends_with(' '));
    }
    const auto bare = [](const std::string& source) {
      std::string result;
      for (const char c : source) {
        if (c != ' ' && c != '\n') result += c;
      }
      return result;
    };
    const std::string all = bare(text);
    for (const Block& block : document.blocks) {
      const auto* paragraph = std::get_if<Paragraph>(&block);
      if (paragraph == nullptr || paragraph->caution) continue;
      CHECK(all.find(bare(paragraph->lead + paragraph->text)) != std::string::npos);
    }
  }
}
