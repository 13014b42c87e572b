// Pages: nothing overlaps, nothing is lost, headings are not left behind, and large charts come in parts.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>

#include "render/chart_pages.hpp"
#include "render/chart_tiles.hpp"
#include "render/document_layout.hpp"
#include "render/measure.hpp"
#include "render/page_plan.hpp"
#include "render/table_layout.hpp"
#include "render/table_plan.hpp"
#include "tests/render/geometry_check.hpp"
#include "tests/render/sample_charts.hpp"

using namespace wale::render;

namespace {

std::string text_of(const std::vector<Drawing>& pages) {
  std::string all;
  for (const Drawing& page : pages) {
    for (const TextItem* text : check::texts_of(page)) all += text->text + " ";
  }
  return clean_text(all);
}

/// The page that holds `text` as a whole line, or -1.
int page_with(const std::vector<Drawing>& pages, const std::string& text) {
  for (std::size_t i = 0; i < pages.size(); ++i) {
    for (const TextItem* item : check::texts_of(pages[i])) {
      if (item->text == text) return static_cast<int>(i);
    }
  }
  return -1;
}

std::string many_words(int count) {
  std::string text;
  for (int i = 0; i < count; ++i) text += "word" + std::to_string(i) + " ";
  return text;
}

}  // namespace

TEST_CASE("random documents keep to their pages") {
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  sample::Random random(seed);
  for (int i = 0; i < 25; ++i) {
    const Document document = sample::document(random);
    const PageStyle style = i % 2 == 0 ? a4_page() : letter_page();
    const auto pages = lay_out(document, style);
    REQUIRE_FALSE(pages.empty());
    for (const Drawing& page : pages) {
      CHECK(page.width == style.width);
      CHECK(check::fault_report(page, 20) == "");
    }
  }
}

TEST_CASE("an empty document is one page with its foot") {
  const auto pages = lay_out(Document{});
  REQUIRE(pages.size() == 1);
  CHECK(text_of(pages) == "page 1 of 1");
}

TEST_CASE("words come in reading order, lead before text") {
  Document document{"Slipway Scarf", "Skerry Row", {}};
  document.blocks.emplace_back(Heading{2, "Instructions"});
  document.blocks.emplace_back(Paragraph{"Row 1 (RS):", many_words(400), false});
  document.blocks.emplace_back(Paragraph{"Caution:", many_words(900), true});
  const std::string all = text_of(lay_out(document));
  CHECK(all.find("Slipway Scarf Skerry Row Instructions Row 1 (RS): word0 word1 word2") == 0);
  std::size_t at = all.find("Caution:");
  REQUIRE(at != std::string::npos);
  for (int i = 0; i < 900; ++i) {
    const std::size_t next = all.find("word" + std::to_string(i) + " ", at);
    REQUIRE(next != std::string::npos);
    at = next;
  }
}

TEST_CASE("a heading stays with its text, wherever the page ends") {
  for (int before = 30; before < 60; ++before) {
    Document document{"Title", "", {}};
    for (int i = 0; i < before; ++i) document.blocks.emplace_back(Paragraph{"", "A line.", false});
    document.blocks.emplace_back(Heading{2, "The heading"});
    document.blocks.emplace_back(Heading{3, "The part"});
    document.blocks.emplace_back(Paragraph{"", "The text after it.", false});
    const auto pages = lay_out(document);
    CHECK(page_with(pages, "The heading") == page_with(pages, "The text after it."));
    CHECK(page_with(pages, "The part") == page_with(pages, "The text after it."));
  }
}

TEST_CASE("no line of a paragraph stands alone on a page") {
  for (int before = 25; before < 50; ++before) {
    Document document{"Title", "", {}};
    for (int i = 0; i < before; ++i) document.blocks.emplace_back(Paragraph{"", "Filler.", false});
    document.blocks.emplace_back(Paragraph{"", many_words(90), false});
    for (const Drawing& page : lay_out(document)) {
      int lines = 0;
      for (const TextItem* text : check::texts_of(page)) lines += text->text.starts_with("word") ? 1 : 0;
      CHECK(lines != 1);
    }
  }
}

TEST_CASE("a long table repeats its header and keeps every row") {
  Table table{{"Row", "Remark"}, {}, {}, {true, false}};
  for (int i = 0; i < 120; ++i) table.rows.push_back({std::to_string(i), "remark" + std::to_string(i)});
  Document document{"Title", "", {table}};
  const auto pages = lay_out(document);
  REQUIRE(pages.size() >= 3);
  for (const Drawing& page : pages) CHECK(page_with({page}, "Remark") == 0);
  for (int i = 0; i < 120; ++i) CHECK(page_with(pages, "remark" + std::to_string(i)) >= 0);
}

TEST_CASE("a row of a table is never divided, unless it is taller than a page") {
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  sample::Random random(seed);
  for (int i = 0; i < 40; ++i) {
    Table table{{"Measure", "Remark"}, {}, {}, {}};
    for (int row = 0; row < 30; ++row) {
      std::string words;
      for (int word = sample::pick(random, 1, 150); word > 0; --word) words += fmt::format("row{}: ", row);
      table.rows.push_back({std::to_string(row), words});
    }
    Document document{"Title", "", {table}};
    const PageStyle paper = i % 2 == 0 ? a4_page() : letter_page();
    const auto pages = lay_out(document, i % 4 < 2 ? paper : large_print(paper));
    for (int row = 0; row < 30; ++row) {
      int on = 0;
      for (const Drawing& page : pages) {
        on += text_of({page}).find(fmt::format("row{}:", row)) == std::string::npos ? 0 : 1;
        CHECK(page_with({page}, "Remark") == 0);
      }
      CHECK(on == 1);
    }
  }
  // 3000 words fill more than a page; every line of them is there.
  Document document{"Title", "", {Table{{"Remark"}, {{many_words(3000)}}, {}, {}}}};
  const auto pages = lay_out(document);
  CHECK(pages.size() > 1);
  for (const Drawing& page : pages) CHECK(check::fault_report(page, 20) == "");
  CHECK(text_of(pages).find("word2999") != std::string::npos);
}

TEST_CASE("the last page holds more than a line or two, wherever the text ends") {
  for (int lines = 30; lines < 160; ++lines) {
    Document document{"Title", "", {}};
    for (int i = 0; i < lines; ++i) document.blocks.emplace_back(Paragraph{"", "A note.", false});
    const auto pages = lay_out(document);
    int last = 0;
    const Drawing& page = pages.back();
    for (const TextItem* text : check::texts_of(page)) last += text->text == "A note." ? 1 : 0;
    CHECK(last >= 3);
  }
}

TEST_CASE("pages are planned by height: groups move whole, and a short page is helped") {
  using Starts = std::vector<std::size_t>;
  CHECK(plan_pages({}, 100, 0) == Starts{0});
  CHECK(plan_pages({{0, 50}, {5, 50}}, 100, 0) == Starts{0, 1});
  CHECK(plan_pages({{0, 50}, {5, 45}}, 100, 0) == Starts{0});
  CHECK(plan_pages({{0, 60}, {0, 20, 0, true}, {0, 30}}, 100, 0) == Starts{0, 1});
  // Five of 20 fill a page; a sixth would stand alone.
  const std::vector<Strip> six(6, {0, 20});
  CHECK(plan_pages(six, 100, 0) == Starts{0, 5});
  CHECK(plan_pages(six, 100, 40) == Starts{0, 4});
  // It takes no more than half a page.
  CHECK(plan_pages(six, 100, 60) == Starts{0, 4});
  // Not at the price of a page less than half full.
  CHECK(plan_pages({{0, 40}, {0, 30}, {0, 35}}, 100, 50) == Starts{0, 2});
  // What is taller than a page begins where there is room for its beginning.
  std::vector<Strip> tall(9, {0, 20, 0, true});
  tall.insert(tall.begin(), {0, 30});
  CHECK(plan_pages(tall, 100, 0) == Starts{0, 4, 9});
  // A running head counts on the page that it is set on.
  CHECK(plan_pages({{0, 90}, {0, 50, 60, false}, {0, 40, 60, false}}, 100, 0) == Starts{0, 1, 2});
}

TEST_CASE("numbers are aligned on the right") {
  const Table table{{"Strand", "Metres"}, {{"A", "5"}, {"B", "12345"}}, {}, {false, true}};
  Document document{"", "", {table}};
  double first = 0, second = 1;
  const Drawing drawing = lay_out(document)[0];
  for (const TextItem* text : check::texts_of(drawing)) {
    if (text->text == "5") first = text_box(*text).right();
    if (text->text == "12345") second = text_box(*text).right();
  }
  CHECK(first == doctest::Approx(second));
}

TEST_CASE("width is shared so that small wishes are granted first") {
  CHECK(share_width({10, 20, 500}, 130) == std::vector<double>{10, 20, 100});
  CHECK(share_width({100, 100}, 60) == std::vector<double>{30, 30});
  CHECK(share_width({}, 60).empty());
}

TEST_CASE("a table with too many columns is set in even bands that begin alike") {
  const auto plan = plan_table(std::vector<ColumnNeed>(21, {20, 30}), 200, 5);
  REQUIRE(plan.size() > 1);
  std::size_t others = 0;
  for (const TableBand& band : plan) {
    CHECK(band.columns.front() == 0);
    others += band.columns.size() - 1;
    double sum = -5;
    for (const double width : band.widths) {
      CHECK(width >= 20);
      sum += width + 5;
    }
    CHECK(sum <= 200 + 1e-9);
  }
  CHECK(others == 20);
}

TEST_CASE("parts of a chart cover it, overlap, and are as few as may be") {
  for (int count = 1; count < 200; ++count) {
    for (int most = 5; most < 60; most += 7) {
      for (int overlap = 1; overlap < 5; ++overlap) {
        const auto cuts = cut_evenly(count, most, overlap);
        CHECK(cuts.front().first == 0);
        CHECK(cuts.back().last == count);
        for (std::size_t i = 0; i < cuts.size(); ++i) {
          CHECK(cuts[i].last - cuts[i].first <= most);
          if (i > 0) CHECK(cuts[i - 1].last - cuts[i].first == overlap);
        }
        const int fewest =
            count <= most ? 1 : static_cast<int>(std::ceil(double(count - overlap) / (most - overlap)));
        CHECK(static_cast<int>(cuts.size()) == fewest);
      }
    }
  }
}

TEST_CASE("parts end where it costs least, as long as they fit") {
  const auto tens = [](int at) { return at % 10 == 0 ? 0.0 : 2.0; };
  using Cuts = std::vector<Cut>;
  CHECK(cut_well(40, 50, 2, tens) == Cuts{{0, 40}});
  CHECK(cut_well(65, 50, 2, tens) == Cuts{{0, 30}, {28, 65}});
  CHECK(cut_well(65, 34, 2, tens) ==
        Cuts{{0, 33}, {31, 65}});  // Neither thirty nor forty leaves parts that fit.
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  sample::Random random(seed);
  for (int i = 0; i < 3000; ++i) {
    const int overlap = sample::pick(random, 1, 12), most = overlap + sample::pick(random, 1, 60);
    const int count = sample::pick(random, 1, 400), grain = sample::pick(random, 2, 30);
    const auto even = cut_evenly(count, most, overlap);
    const auto cuts = cut_well(count, most, overlap, [&](int at) { return at % grain == 0 ? 0.0 : 3.0; });
    REQUIRE(cuts.size() == even.size());
    CHECK(cuts.front().first == 0);
    CHECK(cuts.back().last == count);
    for (std::size_t part = 0; part < cuts.size(); ++part) {
      CHECK(cuts[part].last - cuts[part].first <= most);
      if (part > 0) CHECK(cuts[part - 1].last - cuts[part].first == overlap);
      CHECK(2 * (cuts[part].last - cuts[part].first) >= even[part].last - even[part].first);
    }
  }
}

TEST_CASE("a chart that fits is whole, and one that does not comes in readable parts") {
  Document document{"Title", "", {ChartBlock{sample::rib(40, 40)}}};
  CHECK(text_of(lay_out(document)).find("Part 1") == std::string::npos);
  Chart large = sample::rib(60, 130, 1.3);
  document.blocks = {ChartBlock{large}};
  auto pages = lay_out(document);
  CHECK(text_of(pages).find("Part 1 of 4: rows 1-70, stitches 1-30 Goes on in part 3 above and part 2 on the "
                            "left.") != std::string::npos);
  CHECK(text_of(pages).find("Part 4 of 4: rows 71-130, stitches 31-60 Pale squares are those of part 2 (rows "
                            "69-70) and part 3 (stitches 29-30)") != std::string::npos);
  // Marks over four squares side by side: one is cut wherever the part begins, and whole on the next.
  auto& cells = large.rows[0].cells;
  cells.clear();
  for (int i = 0; i < 15; ++i) cells.push_back(Cell{4 * i, 4, 2, std::nullopt, false, false});
  large.rows[1].cells.clear();
  large.rows[1].cells = {Cell{0, 2, 1, std::nullopt, false, false}};
  for (int i = 0; i < 14; ++i)
    large.rows[1].cells.push_back(Cell{2 + 4 * i, 4, 2, std::nullopt, false, false});
  large.rows[2].cells = {Cell{0, 1, 1, std::nullopt, false, false}};
  for (int i = 0; i < 14; ++i)
    large.rows[2].cells.push_back(Cell{1 + 4 * i, 4, 2, std::nullopt, false, false});
  large.rows[3].cells = {Cell{0, 3, 1, std::nullopt, false, false}};
  for (int i = 0; i < 14; ++i)
    large.rows[3].cells.push_back(Cell{3 + 4 * i, 4, 2, std::nullopt, false, false});
  document.blocks = {ChartBlock{large}};
  pages = lay_out(document);
  CHECK(text_of(pages).find("overlap by 2 rows and 4 stitches") != std::string::npos);
  for (const Drawing& page : pages) {
    for (const Symbol& symbol : page.symbols)
      CHECK(std::min(symbol.width, symbol.height) >= 72 / 25.4 * 3 - 0.01);
  }
}
