// The picture of a chart: true shape, whole frames, nothing on top of anything else, and a cost that follows
// the marks.
#include <doctest/doctest.h>

#include <set>

#include "render/chart_frames.hpp"
#include "render/chart_layout.hpp"
#include "tests/render/geometry_check.hpp"
#include "tests/render/sample_charts.hpp"

using namespace wale::render;

namespace {

std::vector<std::string> words_of(const Drawing& drawing) {
  std::vector<std::string> words;
  for (const TextItem* text : check::texts_of(drawing)) words.push_back(text->text);
  return words;
}

bool has(const std::vector<std::string>& list, const std::string& word) {
  return std::find(list.begin(), list.end(), word) != list.end();
}

template <class Kind>
std::size_t count(const Drawing& drawing) {
  std::size_t found = 0;
  for (const Item& item : drawing.items) found += std::holds_alternative<Kind>(item) ? 1 : 0;
  return found;
}

/// A chart of `columns` whose rows repeat the spans given.
Chart framed(int columns, const std::vector<std::optional<ChartRow::Span>>& spans) {
  Chart chart = sample::rib(columns, static_cast<int>(spans.size()));
  for (std::size_t i = 0; i < spans.size(); ++i) chart.rows[i].repeat = spans[i];
  return chart;
}

}  // namespace

TEST_CASE("squares have the shape of the stitches") {
  for (const double aspect : {0.3, 0.8, 1.0, 1.4, 4.0}) {
    const CellSize cell = natural_cell(sample::rib(4, 2, aspect), {});
    CHECK(cell.width / cell.height == doctest::Approx(aspect));
    CHECK(std::min(cell.width, cell.height) >= 72 / 25.4 * 3);
  }
  CHECK(natural_cell(sample::rib(4, 2, 100), {}) == natural_cell(sample::rib(4, 2, 4), {}));
}

TEST_CASE("rows are numbered where they begin, stitches from the right") {
  const Chart chart = sample::rib(6, 2);
  const Drawing drawing = draw_grid(chart, whole_chart(chart), {15, 15}, {});
  double right_label = 0, left_label = 1e9, stitch_one = 0, stitch_six = 1e9;
  for (const TextItem* text : check::texts_of(drawing)) {
    const bool beside = text->anchor != Anchor::middle;
    if (beside && text->text == "1") right_label = text_box(*text).x;
    if (beside && text->text == "2") left_label = text_box(*text).right();
    if (!beside && text->text == "1") stitch_one = text->at.x;
    if (!beside && text->text == "6") stitch_six = text->at.x;
  }
  CHECK(stitch_one - stitch_six == doctest::Approx(5 * 15));
  CHECK(right_label > stitch_one + 7.5);
  CHECK(left_label < stitch_six - 7.5);
}

TEST_CASE("of many stitches only some are numbered") {
  const Chart chart = sample::rib(60, 2);
  std::set<std::string> numbers;
  const Drawing drawing = draw_grid(chart, whole_chart(chart), {15, 15}, {});
  for (const TextItem* text : check::texts_of(drawing)) {
    if (text->anchor == Anchor::middle) numbers.insert(text->text);
  }
  CHECK(numbers ==
        std::set<std::string>{"1", "5", "10", "15", "20", "25", "30", "35", "40", "45", "50", "55", "60"});
}

TEST_CASE("the outline of a repeat jogs, and has no walls inside") {
  // Row 1 repeats columns 1 to 2, row 2 columns 2 to 3: eight corners.
  const Chart chart = framed(4, {ChartRow::Span{0, 2}, ChartRow::Span{1, 2}});
  const auto frames = repeat_frames(chart, whole_chart(chart), {10, 10}, {0, 0});
  REQUIRE(frames.size() == 1);
  Path expected;
  for (const Point p : {Point{40, 20}, Point{40, 10}, Point{30, 10}, Point{30, 0}, Point{10, 0},
                        Point{10, 10}, Point{20, 10}, Point{20, 20}}) {
    expected.segments.empty() ? expected.move_to(p) : expected.line_to(p);
  }
  expected.close();
  CHECK(frames[0] == expected);
}

TEST_CASE("equal spans make one plain box; gaps and spans side by side make several") {
  const ChartRow::Span same{1, 2};
  const Chart box = framed(4, {same, same, same});
  const auto one = repeat_frames(box, whole_chart(box), {10, 10}, {0, 0});
  REQUIRE(one.size() == 1);
  CHECK(one[0].segments.size() == 5);
  const Chart gap = framed(4, {same, std::nullopt, same});
  CHECK(repeat_frames(gap, whole_chart(gap), {10, 10}, {0, 0}).size() == 2);
  const Chart beside = framed(4, {ChartRow::Span{0, 2}, ChartRow::Span{2, 2}});
  CHECK(repeat_frames(beside, whole_chart(beside), {10, 10}, {0, 0}).size() == 2);
  const Chart beyond = framed(4, {ChartRow::Span{-5, 3}, ChartRow::Span{9, 2}, ChartRow::Span{0, 0}});
  CHECK(repeat_frames(beyond, whole_chart(beyond), {10, 10}, {0, 0}).empty());
}

TEST_CASE("a mark over several squares has no lines through it, and absent squares none between them") {
  Chart chart = sample::rib(4, 1);
  chart.rows[0].repeat.reset();
  chart.rows[0].cells = {{0, 4, 2, std::nullopt, false, false}};
  const auto lines_in = [](const Chart& source) {
    const Drawing drawing = draw_grid(source, whole_chart(source), {15, 15}, {});
    for (const Item& item : drawing.items) {
      const auto* path = std::get_if<PathItem>(&item);
      if (path != nullptr && path->stroke && path->stroke->colour == grid_ink)
        return path->path.segments.size() / 2;
    }
    return std::size_t{0};
  };
  CHECK(lines_in(chart) == 0);
  chart.rows[0].cells = {
      {0, 1, {}, {}, true, false}, {1, 1, {}, {}, true, false}, {2, 2, {}, {}, false, false}};
  CHECK(lines_in(chart) == 1);
  CHECK(lines_in(sample::rib(4, 1)) == 3);
}

TEST_CASE("marks on a dark ground are white") {
  Chart chart = sample::rib(4, 1);
  chart.tints = {{"M", "Kelp", {47, 93, 80}}, {"C", "Lamp", {233, 180, 76}}};
  for (Cell& cell : chart.rows[0].cells) cell = {cell.column, 1, 1, cell.column % 2, false, false};
  std::vector<Colour> inks;
  const Drawing drawing = draw_grid(chart, whole_chart(chart), {15, 15}, {});
  for (const Item& item : drawing.items) {
    if (const auto* symbol = std::get_if<SymbolItem>(&item)) inks.push_back(symbol->colour);
  }
  CHECK(inks == std::vector<Colour>{paper, black, paper, black});
  CHECK(contrast_ratio({0, 0, 0}, {255, 255, 255}) == doctest::Approx(21));  // WCAG 2.1: the largest ratio
  CHECK(contrast_ratio({9, 9, 9}, {9, 9, 9}) == doctest::Approx(1));
}

TEST_CASE("colours alike in grey carry their letters") {
  Chart chart = sample::rib(4, 1);
  chart.tints = {{"A", "Kelp", {47, 93, 80}}, {"B", "Brick", {125, 60, 60}}};
  for (Cell& cell : chart.rows[0].cells) cell = {cell.column, 1, std::nullopt, cell.column % 2, false, false};
  CHECK(has(words_of(draw_grid(chart, whole_chart(chart), {15, 15}, {})), "B"));
  chart.tints[1].colour = {240, 240, 230};
  CHECK_FALSE(has(words_of(draw_grid(chart, whole_chart(chart), {15, 15}, {})), "B"));
}

TEST_CASE("the key explains every mark, colour and line") {
  Chart chart = sample::rib(4, 2);
  chart.tints = {{"M", "Skerry Worsted, Kelp", {47, 93, 80}}};
  chart.absent_meaning = "no stitch";
  chart.marker_meaning = "stitch marker";
  chart.repeat_meaning = "the repeat";
  const auto words = words_of(draw_chart(chart));
  for (const char* expected :
       {"Slipway rib", "Repeat the framed squares.", "k", "p", "cross", "purl on the right side", "M",
        "Skerry Worsted, Kelp", "no stitch", "stitch marker", "the repeat"}) {
    INFO(expected);
    CHECK(has(words, expected));
  }
}

TEST_CASE("the drawing costs what its marks cost, not its squares") {
  Chart chart = sample::rib(200, 200);
  for (ChartRow& row : chart.rows) {
    for (Cell& cell : row.cells) cell.mark.reset();
  }
  CHECK(draw_chart(chart).items.size() < 2000);
  chart.tints = {{"M", "Kelp", {47, 93, 80}}};
  for (ChartRow& row : chart.rows) {
    for (Cell& cell : row.cells) cell.tint = 0;
  }
  CHECK(draw_chart(chart).items.size() < 2000);
}

TEST_CASE("a chart that cannot be drawn says so") {
  Chart chart = sample::rib(4, 2);
  chart.columns = 2000000000;
  CHECK_FALSE(can_draw(chart));
  CHECK(has(words_of(draw_chart(chart)), "This chart is too large to draw: 2000000000 by 2 squares."));
  CHECK(has(words_of(draw_chart(Chart{})), "This chart has no squares."));
  chart.columns = -3;
  CHECK(check::fault_report(draw_chart(chart)) == "");
}

TEST_CASE("cells that lie about their place do no harm") {
  Chart chart = sample::rib(4, 3);
  chart.rows[0].cells = {{-7, 3, 1, 9, false, true},
                         {2, 2000000000, 2, -4, false, true},
                         {2147483647, 2, 1, 0, true, true},
                         {0, 0, 77, 0, false, true},
                         {1, -5, -1, 0, false, false}};
  chart.rows[1].cells.clear();
  chart.marks[1].stroke = "not a path";
  chart.marks[2].span = -3;
  chart.cell_aspect = std::nan("");
  const Drawing drawing = draw_chart(chart);
  CHECK(drawing.width < 1000);
  CHECK(check::text_overlaps(drawing).empty());
}

TEST_CASE("no texts overlap and nothing leaves the picture, whatever the chart") {
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  sample::Random random(seed);
  for (int i = 0; i < 60; ++i) {
    const Chart chart = sample::chart(random, i % 10 == 0 ? 130 : 24, i % 10 == 0 ? 130 : 20);
    const Drawing drawing = draw_chart(chart);
    CHECK(check::fault_report(drawing) == "");
    // Each row has its words, and groups close.
    CHECK(count<GroupStart>(drawing) == chart.rows.size() + 1);
    CHECK(count<GroupStart>(drawing) == count<GroupEnd>(drawing));
  }
}

TEST_CASE("the checker sees overlaps and strays") {
  Drawing drawing{.width = 100, .height = 50};
  add_text(drawing, {10, 20}, "one");
  add_text(drawing, {15, 22}, "two");
  add_text(drawing, {90, 40}, "leaving");
  CHECK(check::text_overlaps(drawing).size() == 1);
  CHECK(check::strays(drawing).size() == 1);
}
