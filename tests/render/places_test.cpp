// Where a reader can go in a document: from the outline, from words to the chart, and back.
#include <doctest/doctest.h>

#include <algorithm>
#include <map>

#include "render/chart_pages.hpp"
#include "render/document_layout.hpp"
#include "render/measure.hpp"
#include "tests/render/sample_charts.hpp"

using namespace wale::render;

namespace {

struct Found {
  std::size_t page = 0;
  Place place;
};

std::map<std::string, Found> places_of(const std::vector<Drawing>& pages) {
  std::map<std::string, Found> out;
  for (std::size_t i = 0; i < pages.size(); ++i)
    for (const Place& place : pages[i].places)
      if (!place.name.empty()) out.try_emplace(place.name, Found{i, place});
  return out;
}

/// A chart of so many rows and a paragraph for each.
Document rows_and_words(int rows) {
  Document document{"Title", "", {}};
  document.blocks.emplace_back(Heading{2, "Charts"});
  document.blocks.emplace_back(ChartBlock{sample::rib(8, rows)});
  const std::string name = std::get<ChartBlock>(document.blocks.back()).chart.name;
  document.blocks.emplace_back(Heading{2, "Instructions"});
  document.blocks.emplace_back(Heading{3, "Rib", false, name});
  for (int row = 1; row <= rows; ++row) {
    Paragraph words;
    words.lead = "Row " + std::to_string(row) + ":";
    words.text = "Work it.";
    words.chart_rows = {name + "/" + std::to_string(row)};
    document.blocks.emplace_back(std::move(words));
  }
  return document;
}

}  // namespace

TEST_CASE("words lead to their row of the chart, and the row leads back, over pages and in large print") {
  for (const PageStyle& style : {a4_page(), large_print(letter_page())}) {
    const Document document = rows_and_words(150);
    const std::string name = std::get<ChartBlock>(document.blocks[1]).chart.name;
    const std::vector<Drawing> pages = lay_out(document, style);
    REQUIRE(pages.size() > 2);
    const auto places = places_of(pages);
    std::map<std::string, int> led;
    for (std::size_t i = 0; i < pages.size(); ++i)
      for (const Link& link : pages[i].links) {
        CAPTURE(link.to);
        REQUIRE(places.contains(link.to));
        ++led[link.to];
        CHECK(link.area.x >= 0);
        CHECK(link.area.right() <= pages[i].width);
        CHECK(link.area.bottom() <= pages[i].height);
      }
    for (int row = 1; row <= 150; ++row) {
      const std::string key = name + "/" + std::to_string(row);
      CHECK(led[chart_place(key)] >= 1);
      CHECK(led[words_place(key)] >= 1);
    }
  }
}

TEST_CASE("a row's place is beside its number") {
  const Document document = rows_and_words(20);
  const std::vector<Drawing> pages = lay_out(document);
  const auto places = places_of(pages);
  for (int row = 1; row <= 20; ++row) {
    const std::string number = std::to_string(row);
    const Found& found =
        places.at(chart_place(std::get<ChartBlock>(document.blocks[1]).chart.name + "/" + number));
    const auto beside = [&](const Item& item) {
      const auto* text = std::get_if<TextItem>(&item);
      if (!text || text->text != number) return false;
      const Box box = text_box(*text);
      const double middle = box.y + box.height / 2;
      return middle > found.place.at.y && middle < found.place.at.y + 20;
    };
    const auto& items = pages[found.page].items;
    CHECK(std::any_of(items.begin(), items.end(), beside));
  }
}

TEST_CASE("the outline holds sections, their parts and the charts, in order") {
  std::vector<std::string> outline;
  for (const Drawing& page : lay_out(rows_and_words(4)))
    for (const Place& place : page.places)
      if (place.level > 0) outline.push_back(std::to_string(place.level) + " " + place.title);
  const std::string chart = sample::rib(8, 4).title;
  CHECK(outline == std::vector<std::string>{"1 Charts", "2 " + chart, "1 Instructions", "2 Rib"});
}

TEST_CASE(
    "a part's heading and its chart's title lead to each other, and words that speak of the chart to it") {
  Document document = rows_and_words(4);
  const std::string chart = std::get<ChartBlock>(document.blocks[1]).chart.name;
  std::get<Heading>(document.blocks[3]).chart = chart;
  Paragraph step;
  step.text = "Work within ribbing, then in rib for 10 rows.";
  step.mentions = {{"in rib", chart}};
  document.blocks.emplace_back(step);
  step.mentions = {{"nowhere to be found", chart}};
  document.blocks.emplace_back(step);
  const std::vector<Drawing> pages = lay_out(document);
  const auto places = places_of(pages);
  CHECK(places.contains(words_place(chart)));
  REQUIRE(places.contains(chart_place(chart)));
  std::vector<Box> to_chart;
  int to_words = 0;
  for (const Drawing& page : pages)
    for (const Link& link : page.links) {
      if (link.to == chart_place(chart)) to_chart.push_back(link.area);
      to_words += link.to == words_place(chart) ? 1 : 0;
    }
  CHECK(to_words == 1);
  REQUIRE(to_chart.size() == 3);  // the heading, the words, and the paragraph that lacks them
  const double size = PageStyle{}.text_size, left = PageStyle{}.margin;
  CHECK(to_chart[1].x == doctest::Approx(left + text_width("Work within ribbing, then ", size)));
  CHECK(to_chart[1].width == doctest::Approx(text_width("in rib", size)));
  CHECK(to_chart[2].x == doctest::Approx(left));
}
