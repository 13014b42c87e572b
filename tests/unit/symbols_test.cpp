// What a knitter's eye does with a chart, measured: symbols that mean different things look different, none
// is much darker than the others, and none is lost on its ground.
#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <set>

#include "compiler/check.hpp"
#include "compiler/pattern_document.hpp"
#include "grammar/parser.hpp"
#include "render/chart_grid.hpp"
#include "tests/render/raster.hpp"
#include "tests/unit/symbol_sheet.hpp"

using namespace wale;
using render::sample::Raster;

namespace {

/// The inside of the squares of a mark, without the frame, at 10 pixels a millimetre.
Raster picture(const render::Mark& mark, double side, render::Colour ground = {255, 255, 255}) {
  const render::Drawing drawing = symbols::alone(mark, side, ground);
  double left = 0;
  for (const render::Item& item : drawing.items)
    if (const auto* frame = std::get_if<render::RectItem>(&item)) left = frame->box.x;
  const auto pixels = [](double points) {
    return static_cast<int>(std::lround(points / symbols::points_per_millimetre * 10));
  };
  constexpr int frame = 3;
  return render::sample::cropped(render::sample::rasterise(drawing, 254), pixels(left) + frame,
                                 pixels(1) + frame, static_cast<int>(mark.span * side * 10) - 2 * frame,
                                 static_cast<int>(side * 10) - 2 * frame);
}

/// How far, in pixels, the head of the tallest unbroken line lies to the right of its foot. In a crossing
/// that is a line of the front strip: the back strip's are broken where they pass under it.
double lean_of(const Raster& all) {
  std::vector<char> seen(all.dark.size(), 0);
  const auto inked = [&](int x, int y) {
    return x >= 0 && y >= 0 && x < all.width && y < all.height && all.at(x, y) > 0.5;
  };
  int tallest = 0;
  double lean = 0;
  for (int start = 0; start < all.width * all.height; ++start) {
    std::vector<std::pair<int, int>> open{{start % all.width, start / all.width}};
    std::map<int, std::pair<double, int>> rows;  // y -> sum of x, and how many
    while (!open.empty()) {
      const auto [x, y] = open.back();
      open.pop_back();
      if (!inked(x, y) || seen[static_cast<std::size_t>(y * all.width + x)]++ != 0) continue;
      rows[y].first += x;
      ++rows[y].second;
      for (const auto& [dx, dy] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}})
        open.push_back({x + dx, y + dy});
    }
    if (rows.empty()) continue;
    const auto middle = [](const std::pair<double, int>& row) { return row.first / row.second; };
    const int height = rows.rbegin()->first - rows.begin()->first;
    if (height <= tallest) continue;
    tallest = height;
    lean = middle(rows.begin()->second) - middle(rows.rbegin()->second);
  }
  return lean;
}

/// The share of the squares' area that is ink.
double ink_share(const render::Mark& mark, double side) {
  const Raster inside = picture(mark, side);
  return render::sample::coverage(inside) * static_cast<double>(inside.dark.size()) /
         (mark.span * side * side * 100);
}

bool blank(const render::Mark& mark) {
  return mark.stroke.empty() && mark.fill.empty() && mark.letters.empty();
}

/// On the right side, where charts are drawn, "yarn on the wrong side" and "yarn at the back" are one thing.
bool same_meaning(const render::Mark& a, const render::Mark& b) {
  const std::set<std::string> both{a.abbreviation, b.abbreviation};
  return both == std::set<std::string>{"sl", "slwyib"};
}

std::vector<render::Chart> charts_of(const std::string& text) {
  const Source source("p.wale", text, 1);
  const Checked checked = check(source);
  INFO(show(checked.diagnostics, {vocabulary_source(), source}));
  REQUIRE_FALSE(checked.diagnostics.has_errors());
  return make_charts(checked.pattern, *checked.stitches);
}

}  // namespace

TEST_CASE("symbols of two stitches that differ in meaning can be told apart") {
  // At 6 mm, softened as by an eye that sees lines 0.3 mm apart as one: more than a sixth of the ink is not
  // shared, and somewhere the two differ by about half of black against white. A choice, made by looking.
  constexpr double least_unshared = 0.17, least_apart = 0.45;
  const std::vector<render::Mark> marks = symbols::all_marks();
  REQUIRE(marks.size() > 60);
  std::vector<Raster> pictures;
  for (const render::Mark& mark : marks) pictures.push_back(picture(mark, 6));
  double nearest = 1;
  std::string pair;
  for (std::size_t a = 0; a < marks.size(); ++a)
    for (std::size_t b = a + 1; b < marks.size(); ++b) {
      CAPTURE(marks[a].abbreviation);
      CAPTURE(marks[b].abbreviation);
      const double ink = render::sample::unshared(pictures[a], pictures[b], 1);
      if (same_meaning(marks[a], marks[b])) {
        CHECK(ink == 0);
        continue;
      }
      CHECK(ink >= least_unshared);
      CHECK(render::sample::apart(pictures[a], pictures[b], 1) >= least_apart);
      if (ink < nearest) nearest = ink, pair = marks[a].abbreviation + " and " + marks[b].abbreviation;
    }
  MESSAGE("the two most alike: " << pair << ", " << nearest << " of their ink not shared");
}

TEST_CASE("no symbol is much darker than another, in small squares and in large ones") {
  // Shares of a square's area that are ink. The band is a choice: the lightest is the bar of a purl stitch,
  // which fills whole charts, the darkest has three lines and a bar.
  constexpr double lightest = 0.05, darkest = 0.18;
  for (const double side : symbols::sides)
    for (const render::Mark& mark : symbols::all_marks()) {
      const double ink = ink_share(mark, side);
      CAPTURE(mark.abbreviation);
      CAPTURE(side);
      if (blank(mark)) {
        CHECK(mark.abbreviation == "k");
        CHECK(ink == 0);
        continue;
      }
      CHECK(ink >= lightest);
      CHECK(ink <= darkest);
    }
}

TEST_CASE("the pen is heavier, for its square, in small squares than in large ones") {
  const render::Mark line{"line", 1, "M.2 .5 L.8 .5", "", "", "line"};
  const auto pen = [&](double side) {
    const double size = side * symbols::points_per_millimetre;
    return render::make_symbol(line, size, size, {size, size}).stroke_width / size;
  };
  CHECK(pen(3) > pen(6));
  CHECK(pen(6) > pen(12));
  CHECK(pen(3) < 1.3 * pen(12));
}

TEST_CASE("a purled twin looks like its stitch with a bar at the foot") {
  // Common practice: the symbol shows the right side, and a bar or a dot says purl.
  Diagnostics diagnostics;
  Stitches stitches(parse(vocabulary_source(), diagnostics), diagnostics);
  stitches.complete(diagnostics);
  int seen = 0;
  for (std::size_t i = 0; i < stitches.size(); ++i) {
    const Stitch& stitch = stitches[static_cast<StitchId>(i)];
    const bool barred = stitch.mark.ends_with("M.3 .83 L.7 .83");
    CAPTURE(stitch.name);
    CHECK(barred == (stitch.shows_purl && stitch.name != "p"));
    seen += barred ? 1 : 0;
  }
  CHECK(seen > 15);
}

TEST_CASE("a decrease leans as its symbol does, and a crossing as its front strip does") {
  Diagnostics diagnostics;
  Stitches stitches(parse(vocabulary_source(), diagnostics), diagnostics);
  stitches.complete(diagnostics);
  int seen = 0;
  for (const render::Mark& mark : symbols::all_marks()) {
    const auto found = stitches.lookup(mark.abbreviation);
    if (!found) continue;
    const Stitch& stitch = stitches[found->stitch];
    if (stitch.takes.size() < 2 || stitch.layered()) continue;
    if (stitch.lean != Lean::left && stitch.lean != Lean::right) continue;
    const double lean = lean_of(picture(mark, 12));
    CAPTURE(mark.abbreviation);
    CHECK((stitch.lean == Lean::right ? lean > 0 : lean < 0));
    ++seen;
  }
  CHECK(seen > 30);
}

TEST_CASE("a symbol on a dark strand is light, and reads as well as on paper") {
  // WCAG 2.1, 1.4.11 asks for 3 : 1 of pictures, 1.4.3 for 4.5 : 1 of text.
  double least = 21;
  for (int red = 0; red < 256; red += 15)
    for (int green = 0; green < 256; green += 15)
      for (int blue = 0; blue < 256; blue += 15) {
        const render::Colour ground{static_cast<std::uint8_t>(red), static_cast<std::uint8_t>(green),
                                    static_cast<std::uint8_t>(blue)};
        least = std::min(least, render::contrast_ratio(ground, render::readable_ink(ground)));
      }
  CHECK(least >= 4.5);
  const render::Mark line{"line", 1, "M.2 .5 L.8 .5", "", "", "line"};
  const Raster light = picture(line, 6), dark = picture(line, 6, {20, 24, 30});
  CHECK(light.at(light.width / 2, light.height / 2) > 0.95);
  CHECK(dark.at(dark.width / 2, dark.height / 2) < 0.05);
}

TEST_CASE("strands are told apart without their colours") {
  // Two yarns of one grey: nothing but the flags is left in black and white.
  const std::string text = R"(
yarn kelp "Kelp" 100 g = 200 m #2f5d50
yarn brick "Brick" 100 g = 200 m #2f5d50
yarn slate "Slate" 100 g = 200 m #2f5d50
strand A = kelp
strand B = brick
strand C = slate
fabric bands round 6 st { 1 A: A(k2) B(p2) C(k p) }
)";
  const render::Chart chart = charts_of(text).front();
  REQUIRE(chart.tints.size() == 3);
  const render::Drawing drawing = render::draw_grid(chart, render::whole_chart(chart), {17, 17}, {});
  const Raster all = render::sample::rasterise(drawing, 288);
  const auto square = [&](int column) {  // Counted from the right; a point is 4 pixels.
    const double left = render::grid_margins(chart, render::whole_chart(chart), {17, 17}, {}).left;
    const int x = static_cast<int>(std::lround((left + (chart.columns - 1 - column) * 17) * 4));
    return render::sample::cropped(all, x + 4, 8, 60, 60);
  };
  // Columns 0, 1: A; 2, 3: B, purled; 4: C; 5: C, purled.
  CHECK(render::sample::unshared(square(2), square(5), 1) > 0.01);
  CHECK(render::sample::apart(square(0), square(4), 1) > 0.5);
  CHECK(render::sample::apart(square(2), square(5), 1) > 0.5);
  CHECK(render::sample::apart(square(2), square(3), 1) < 0.01);
}

TEST_CASE("only knit is an empty square: a stitch without a mark is drawn with letters of its name") {
  const std::vector<render::Chart> charts = charts_of(R"(
stitch berry  { takes 1 gives 1 says "make a berry" }
stitch beacon { takes 1 gives 1 says "make a beacon" }
stitch berth  { takes 1 gives 1 says "make a berth" }
stitch bertha { takes 1 gives 1 says "make a large berth" }
stitch bero   { takes 1 gives 1 says "make a small one" }
fabric f flat 6 st { 1: k berry beacon berth bertha bero  2: p6 }
)");
  std::set<std::string> letters;
  for (const render::Mark& mark : charts.front().marks) {
    CAPTURE(mark.abbreviation);
    CHECK(blank(mark) == (mark.abbreviation.starts_with("k")));
    if (!mark.letters.empty()) CHECK(letters.insert(mark.letters).second);
  }
  CHECK(letters == std::set<std::string>{"b", "be", "ber", "1", "2"});
  int written = 0;
  const render::Drawing drawing =
      render::draw_grid(charts.front(), render::whole_chart(charts.front()), {15, 15}, {});
  for (const render::Item& item : drawing.items)
    if (const auto* text = std::get_if<render::TextItem>(&item))
      written += letters.contains(text->text) && text->anchor == render::Anchor::middle ? 1 : 0;
  CHECK(written >= 5);
}
