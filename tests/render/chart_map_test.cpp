// The map of a chart in parts: every part once, where it lies in the whole.
#include "render/chart_map.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <map>

#include "render/chart_pages.hpp"
#include "tests/render/geometry_check.hpp"
#include "tests/render/sample_charts.hpp"

using namespace wale::render;

namespace {

Tiling tiling_of(int columns, int rows, int most_columns, int most_rows) {
  return {{12, 9}, cut_evenly(columns, most_columns, 2), cut_evenly(rows, most_rows, 1)};
}

/// The middles of the numbers of parts, which alone are bold.
std::map<std::string, Point> parts_of(const Drawing& map) {
  std::map<std::string, Point> out;
  for (const Item& item : map.items)
    if (const auto* text = std::get_if<TextItem>(&item); text && text->bold) {
      CHECK(!out.contains(text->text));
      out[text->text] = text->at;
    }
  return out;
}

}  // namespace

TEST_CASE("the map holds every part once, clear of the others and within its width") {
  for (const int columns : {5, 40, 199, 400})
    for (const int rows : {3, 60, 301, 600})
      for (const bool from_left : {false, true}) {
        Chart chart = sample::rib(columns, rows);
        chart.numbered_from_left = from_left;
        const Tiling tiling = tiling_of(columns, rows, 35, 50);
        const Drawing map = draw_map(chart, tiling, 360, {});
        CAPTURE(columns);
        CAPTURE(rows);
        CHECK(map.width <= 360);
        CHECK(check::fault_report(map) == "");
        CHECK(parts_of(map).size() == tiling.parts());
      }
}

TEST_CASE("where parts are many and narrow some are numbered, and no number covers another") {
  for (const int columns : {300, 900, 2400}) {
    const Chart chart = sample::rib(columns, 4);
    const Drawing map = draw_map(chart, tiling_of(columns, 4, 10, 50), 360, {});
    CHECK(check::fault_report(map) == "");
    CHECK(parts_of(map).contains("1"));
    CHECK(parts_of(map).size() < tiling_of(columns, 4, 10, 50).parts());
  }
}

TEST_CASE("part 1 lies where stitch 1 and row 1 are, and the parts after it go on from there") {
  for (const bool from_left : {false, true}) {
    Chart chart = sample::rib(90, 120);
    chart.numbered_from_left = from_left;
    const auto parts = parts_of(draw_map(chart, tiling_of(90, 120, 40, 50), 360, {}));
    REQUIRE(parts.size() == 9);
    CHECK((parts.at("2").x > parts.at("1").x) == from_left);
    CHECK((parts.at("3").x > parts.at("2").x) == from_left);
    CHECK(parts.at("4").y < parts.at("1").y);
    CHECK(parts.at("4").x == doctest::Approx(parts.at("1").x));
    CHECK(parts.at("2").y == doctest::Approx(parts.at("1").y));
  }
}

TEST_CASE("a chart that is cut has a map, and one that is whole has none") {
  const auto says_parts = [](const Chart& chart) {
    for (const Fragment& fragment : lay_out_chart(chart, a4_page()))
      for (const Item& item : fragment.drawing.items)
        if (const auto* text = std::get_if<TextItem>(&item);
            text && text->text.find("stands in") != std::string::npos)
          return true;
    return false;
  };
  CHECK(says_parts(sample::rib(150, 200)));
  CHECK(!says_parts(sample::rib(20, 20)));
}
