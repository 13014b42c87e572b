// Short lines in columns: read down the first, then down the second, page after page.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <random>

#include "render/document_layout.hpp"
#include "tests/render/geometry_check.hpp"
#include "tests/render/sample_charts.hpp"

using namespace wale::render;

namespace {

Document rows(int count, int words_each) {
  Document document{"Title", "", {}};
  document.blocks.emplace_back(Heading{2, "Instructions", true});
  for (int i = 1; i <= count; ++i) {
    if (i % 12 == 1) document.blocks.emplace_back(Heading{3, fmt::format("Part {}", i / 12 + 1)});
    Paragraph row;
    row.lead = fmt::format("Row {}:", i);
    for (int k = 0; k < words_each; ++k) row.text += "knit ";
    document.blocks.emplace_back(std::move(row));
  }
  return document;
}

struct Placed {
  std::size_t page = 0;
  Point at;
  std::string text;
};

/// The bold words that begin a row or a part, in the order in which they are drawn.
std::vector<Placed> leads(const std::vector<Drawing>& pages) {
  std::vector<Placed> out;
  for (std::size_t i = 0; i < pages.size(); ++i)
    for (const Item& item : pages[i].items)
      if (const auto* text = std::get_if<TextItem>(&item); text && text->bold)
        if (text->text.starts_with("Row") || text->text.starts_with("Part"))
          out.push_back({i, text->at, text->text});
  return out;
}

double middle(const PageStyle& style) {
  return style.width / 2;
}

}  // namespace

TEST_CASE("rows are drawn in their order, down one column and then the next") {
  for (const PageStyle& style : {a4_page(), letter_page()})
    for (const int count : {20, 60, 300}) {
      const auto pages = lay_out(rows(count, 9), style);
      const auto found = leads(pages);
      int row = 0;
      bool right_used = false;
      for (std::size_t i = 0; i < found.size(); ++i) {
        if (found[i].text.starts_with("Row")) CHECK(found[i].text == fmt::format("Row {}:", ++row));
        right_used |= found[i].at.x > middle(style);
        if (i == 0 || found[i].page != found[i - 1].page) continue;
        const bool same = (found[i].at.x > middle(style)) == (found[i - 1].at.x > middle(style));
        if (same)
          CHECK(found[i].at.y > found[i - 1].at.y);
        else
          CHECK(found[i].at.x > found[i - 1].at.x);
      }
      CHECK(row == count);
      CHECK(right_used);
    }
}

TEST_CASE("on their last page the columns are about as high, and large print has one") {
  const PageStyle style = a4_page();
  const auto pages = lay_out(rows(40, 9), style);
  double left = 0, right = 0;
  for (const Placed& each : leads(pages))
    if (each.page + 1 == pages.size()) {
      double& lowest = each.at.x > middle(style) ? right : left;
      lowest = std::max(lowest, each.at.y);
    }
  CHECK(std::abs(left - right) < 4 * style.line_height * style.text_size);
  for (const Placed& each : leads(lay_out(rows(40, 9), large_print(style)))) CHECK(each.at.x < middle(style));
}

TEST_CASE("no part's heading ends a column, and no row's words are torn apart by one line") {
  std::mt19937 random(7);
  for (int i = 0; i < 60; ++i) {
    const PageStyle style = i % 2 ? a4_page() : letter_page();
    const auto pages =
        lay_out(rows(10 + static_cast<int>(random() % 200), 1 + static_cast<int>(random() % 40)), style);
    const auto found = leads(pages);
    for (std::size_t k = 0; k < found.size(); ++k) {
      if (!found[k].text.starts_with("Part")) continue;
      REQUIRE(k + 1 < found.size());
      CHECK(found[k].page == found[k + 1].page);
      CHECK(std::abs(found[k].at.x - found[k + 1].at.x) < 1);
    }
    for (const Drawing& page : pages) CHECK(check::fault_report(page) == "");
  }
}

TEST_CASE("a short paragraph is never torn, wherever the page ends") {
  for (int before = 0; before < 60; ++before) {
    Document document{"Title", "", {}};
    for (int i = 0; i < before; ++i) document.blocks.emplace_back(Paragraph{"", "A line."});
    document.blocks.emplace_back(Heading{2, "Notes", true});
    const std::string words =
        "first one two three four five six seven eight nine ten eleven twelve thirteen last";
    for (int i = 0; i < 3; ++i) document.blocks.emplace_back(Paragraph{"", words});
    const auto holds = [](const Drawing& page, const std::string& word) {
      int out = 0;
      for (const TextItem* text : check::texts_of(page)) out += text->text.find(word) != std::string::npos;
      return out;
    };
    CAPTURE(before);
    for (const Drawing& page : lay_out(document)) CHECK(holds(page, "first") == holds(page, "last"));
  }
}

TEST_CASE("a table or a chart between lines in columns goes across the page") {
  Document document = rows(8, 6);
  document.blocks.emplace_back(Table{{"a", "b"}, {{"1", "2"}}, {}, {}});
  document.blocks.emplace_back(ChartBlock{sample::rib(30, 20)});
  for (int i = 0; i < 3; ++i) document.blocks.emplace_back(Paragraph{"Last:", "words"});
  for (const Drawing& page : lay_out(document)) CHECK(check::fault_report(page) == "");
}

TEST_CASE("a row's few lines stand in one column together") {
  for (int words_each = 1; words_each <= 30; ++words_each) {
    const auto pages = lay_out(rows(90, words_each));
    // Lines after the first are indented: none opens a column.
    for (const Drawing& page : pages) {
      double highest[2] = {1e9, 1e9}, edge[2] = {0, 0};
      for (const Item& item : page.items) {
        const auto* text = std::get_if<TextItem>(&item);
        if (!text || text->text.starts_with("Title") || text->text.starts_with("page")) continue;
        const int column = text->at.x > middle(a4_page()) ? 1 : 0;
        if (text->at.y >= highest[column]) continue;
        highest[column] = text->at.y;
        edge[column] = text->at.x;
      }
      const PageStyle style;
      if (edge[0] > 0) CHECK(edge[0] == doctest::Approx(style.margin));
      if (edge[1] > 0)
        CHECK(edge[1] == doctest::Approx(style.margin + style.column_width() + PageStyle::column_gap));
    }
  }
}
