// Charts in parts, seen on the pages: every square once, nothing on top of anything else, and words that tell
// which part goes where.
#include "render/chart_tiles.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <map>
#include <set>

#include "render/chart_tile_map.hpp"
#include "render/document_layout.hpp"
#include "render/measure.hpp"
#include "tests/render/geometry_check.hpp"
#include "tests/render/sample_charts.hpp"

using namespace wale::render;

namespace {

constexpr int mark_count = 23;

/// A chart with a symbol in every square: which one follows from where it stands.
Chart marked_chart(int columns, int rows, double aspect) {
  Chart chart = sample::rib(columns, rows, aspect);
  chart.marks.clear();
  for (int i = 0; i < mark_count; ++i)
    chart.marks.push_back({fmt::format("m{}", i), 1, fmt::format("M.1 .{}L.9 .5", 10 + i), "",
                           fmt::format("meaning {}", i), "m"});
  for (int row = 0; row < rows; ++row)
    for (Cell& cell : chart.rows[static_cast<std::size_t>(row)].cells)
      cell.mark = (cell.column * 7 + row * 5) % mark_count;
  return chart;
}

std::vector<PageStyle> papers() {
  return {a4_page(), letter_page(), large_print(a4_page()), large_print(letter_page())};
}

Document document_of(const Chart& chart) {
  return {"Skerry Row", "", {Heading{2, "Charts"}, ChartBlock{chart}, Paragraph{"", "After it.", false}}};
}

bool apart(const Box& a, const Box& b) {
  return a.right() <= b.x + check::tolerance || b.right() <= a.x + check::tolerance ||
         a.bottom() <= b.y + check::tolerance || b.bottom() <= a.y + check::tolerance;
}

/// The symbols that stand in full ink in squares of the chart: how often each mark does. Those of the key
/// stand once each.
std::map<std::string, int> full_symbols(const std::vector<Drawing>& pages) {
  std::map<std::string, int> counts;
  for (const Drawing& page : pages) {
    for (const Item& item : page.items) {
      const auto* symbol = std::get_if<SymbolItem>(&item);
      if (symbol == nullptr || !(symbol->colour == ink)) continue;
      const std::string& id = page.symbols.at(symbol->symbol).id;
      ++counts[id.substr(0, id.find('-'))];
    }
  }
  return counts;
}

struct Found {
  int titles = 0, grids = 0;
};

/// Titles and outlines of parts on a page; outlines keep clear of each other and of all words outside of
/// them.
Found check_page(const Drawing& page) {
  Found found;
  std::vector<Box> outlines;
  for (const Item& item : page.items) {
    const auto* rect = std::get_if<RectItem>(&item);
    if (rect == nullptr || !rect->stroke || rect->stroke->width != 1 || !(rect->stroke->colour == ink))
      continue;
    for (const Box& other : outlines) CHECK(apart(rect->box, other));
    outlines.push_back(rect->box);
    ++found.grids;
  }
  for (const TextItem* text : check::texts_of(page)) {
    if (text->text.starts_with("Part ")) ++found.titles;
    // The numbers of rows and stitches stand outside; so does everything else, since the squares carry no
    // letters.
    for (const Box& outline : outlines) CHECK(apart(text_box(*text), outline));
  }
  return found;
}

bool says(const Drawing& page, const std::string& words) {
  const auto texts = check::texts_of(page);
  return std::any_of(texts.begin(), texts.end(),
                     [&](const TextItem* text) { return text->text.starts_with(words); });
}

}  // namespace

TEST_CASE("every square of a chart in parts stands in one of them, and nothing on top of anything") {
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  sample::Random random(seed);
  int in_parts = 0;
  for (int i = 0; i < 12; ++i) {
    const int columns = sample::pick(random, 1, 200), rows = sample::pick(random, 1, 300);
    Chart chart = marked_chart(columns, rows, sample::pick(random, 5, 20) / 10.0);
    chart.numbered_from_left = i % 3 == 0;
    const PageStyle style = papers()[static_cast<std::size_t>(i) % 4];
    INFO(columns, " x ", rows, ", text of ", style.text_size);
    const auto pages = lay_out(document_of(chart), style);
    std::map<std::string, int> expected;
    for (const ChartRow& row : chart.rows)
      for (const Cell& cell : row.cells) ++expected[fmt::format("m{}", *cell.mark)];
    for (int mark = 0; mark < mark_count; ++mark) ++expected[fmt::format("m{}", mark)];
    CHECK(full_symbols(pages) == expected);
    int grids = 0;
    for (const Drawing& page : pages) {
      CHECK(check::fault_report(page, 20) == "");
      const Found found = check_page(page);
      grids += found.grids;
      CHECK((found.titles == found.grids || grids == 1));
      for (const Symbol& symbol : page.symbols)
        CHECK(std::min(symbol.width, symbol.height) >= 72 / 25.4 * 3 * style.scale() - 0.1);
    }
    in_parts += grids > 1 ? 1 : 0;
  }
  CHECK(in_parts > 0);
}

TEST_CASE("whatever the room, parts cover a chart once and overlap as they say") {
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  sample::Random random(seed);
  for (int i = 0; i < 60; ++i) {
    Chart chart = sample::chart(random, 200, 300);
    chart.numbered_from_left = i % 2 == 0;
    const double width = sample::pick(random, 260, 800), height = sample::pick(random, 200, 800);
    const Tiling tiling = tile(chart, {width, height, height}, {});
    const auto columns = static_cast<std::size_t>(chart.columns);
    std::vector<int> owned(columns * chart.rows.size(), 0);
    for (std::size_t up = 0; up < tiling.rows.size(); ++up) {
      for (std::size_t across = 0; across < tiling.stitches.size(); ++across) {
        const ChartWindow window = window_of(chart, tiling, {across, up});
        CHECK(window.repeated_rows == (up > 0 ? least_overlap : 0));
        CHECK(window.repeated_columns >= (across > 0 ? least_overlap : 0));
        const int first = window.first_column + (chart.numbered_from_left ? 0 : window.repeated_columns);
        for (int row = window.repeated_rows; row < window.rows; ++row)
          for (int column = 0; column < window.columns - window.repeated_columns; ++column)
            ++owned.at(static_cast<std::size_t>(window.first_row + row) * columns +
                       static_cast<std::size_t>(first + column));
      }
    }
    CHECK(std::count(owned.begin(), owned.end(), 1) == static_cast<std::ptrdiff_t>(owned.size()));
    CHECK(std::min(tiling.cell.width, tiling.cell.height) >= ChartStyle{}.shortest_side - 1e-6);
  }
}

TEST_CASE("the map stands before the first part, with every part's number, rows and stitches") {
  for (const auto& [columns, rows] : {std::pair{120, 180}, {40, 300}, {300, 20}, {200, 300}}) {
    INFO(columns, " x ", rows);
    for (const PageStyle& style : papers()) {
      const auto pages = lay_out(document_of(marked_chart(columns, rows, 1.2)), style);
      const auto page_saying = [&](const std::string& words) {
        std::size_t at = 0;
        while (at < pages.size() && !says(pages[at], words)) ++at;
        REQUIRE(at < pages.size());
        return at;
      };
      const std::size_t map = page_saying("This chart is larger");
      CHECK(map <= page_saying("Part 1 of"));
      CHECK(page_saying("Slipway rib") == map);
      CHECK(page_saying("Repeat the framed squares.") == map);
      std::set<std::string> bold;
      for (const TextItem* text : check::texts_of(pages[map]))
        if (text->bold) bold.insert(text->text);
      int parts = 0;
      for (const Drawing& page : pages)
        for (const TextItem* text : check::texts_of(page)) parts += text->text.starts_with("Part ") ? 1 : 0;
      CHECK(parts > 1);
      for (int part = 1; part <= parts; ++part) CHECK(bold.contains(std::to_string(part)));
    }
  }
}

TEST_CASE("maps keep to their room, or there is none") {
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  sample::Random random(seed);
  int drawn = 0;
  for (int i = 0; i < 60; ++i) {
    Chart chart = sample::chart(random, 300, 300);
    chart.numbered_from_left = i % 2 == 0;
    const double width = sample::pick(random, 60, 600), height = sample::pick(random, 60, 400);
    const Tiling tiling = tile(chart, {std::max(width, 160.0), 400, 400}, {});
    const auto map = draw_tile_map(chart, tiling, width, height, {});
    if (!map) continue;
    ++drawn;
    CHECK(check::fault_report(*map) == "");
    CHECK(map->width <= width);
    CHECK(map->height <= height + 0.1);
  }
  CHECK(drawn > 10);
}

TEST_CASE("parts name their neighbours, whichever side the stitches are counted from") {
  Chart chart = marked_chart(10, 10, 1);
  Tiling tiling{{10, 10}, {{0, 5}, {3, 10}}, {{0, 6}, {4, 10}}};
  CHECK(tile_title(chart, tiling, {0, 0}) == "Part 1 of 4: rows 1-6, stitches 1-5");
  CHECK(tile_words(chart, tiling, {0, 0}) == "Goes on in part 3 above and part 2 on the left.");
  CHECK(tile_title(chart, tiling, {1, 1}) == "Part 4 of 4: rows 7-10, stitches 6-10");
  CHECK(tile_words(chart, tiling, {1, 1}) ==
        "Pale squares are those of part 2 (rows 5-6) and part 3 (stitches 4-5): lay the page over them.");
  CHECK(window_of(chart, tiling, {1, 0}).first_column == 3);
  chart.numbered_from_left = true;
  CHECK(
      tile_words(chart, tiling, {0, 1}) ==
      "Goes on in part 4 on the right. Pale squares are those of part 1 (rows 5-6): lay the page over them.");
  CHECK(window_of(chart, tiling, {1, 0}).first_column == 0);
}

TEST_CASE("what another part shows is pale, and a frame that goes on is open") {
  Chart chart = marked_chart(8, 4, 1);
  const Drawing drawing = draw_grid(chart, {2, 6, 1, 3, 2, 1}, {10, 10}, {});
  int full = 0, pale = 0;
  for (const Item& item : drawing.items)
    if (const auto* symbol = std::get_if<SymbolItem>(&item)) ++(symbol->colour == ink ? full : pale);
  CHECK(full == 4 * 2);
  CHECK(pale == 6 * 3 - 4 * 2);
  // The frame of all eight stitches is cut on the right and below: its left side and its top are left.
  std::vector<Path> frames;
  for (const Item& item : drawing.items)
    if (const auto* path = std::get_if<PathItem>(&item); path && path->stroke && path->stroke->width > 1.2)
      frames.push_back(path->path);
  REQUIRE(frames.size() == 1);
  REQUIRE(frames[0].segments.size() == 3);
  for (const Segment& segment : frames[0].segments) CHECK(segment.kind != Segment::Kind::close);
}

TEST_CASE("what is laid out is given away and not copied on its way to the page") {
  std::vector<Fragment> fragments(3);
  std::vector<const Segment*> places;
  for (Fragment& fragment : fragments) {
    fragment.drawing.width = fragment.drawing.height = 50;
    Path path;
    path.add_box({0, 0, 10, 10});
    add_path(fragment.drawing, std::move(path), Stroke{});
    places.push_back(std::get<PathItem>(fragment.drawing.items[0]).path.segments.data());
  }
  const auto pages = fill_pages(std::move(fragments), a4_page());
  REQUIRE(pages.size() == 1);
  REQUIRE(pages[0].items.size() == 3);
  for (std::size_t i = 0; i < 3; ++i)
    CHECK(std::get<PathItem>(pages[0].items[i]).path.segments.data() == places[i]);
}
