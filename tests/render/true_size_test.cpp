// A chart printed at its true size: every square exact, every square there, every page with a ruler.
#include "render/true_size.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <set>

#include "tests/render/geometry_check.hpp"
#include "tests/render/sample_charts.hpp"

using namespace wale::render;

namespace {

constexpr double millimetre = 72 / 25.4;

std::vector<Drawing> pages_of(const Chart& chart, CellSize cell) {
  auto pages = lay_out_true_size(chart, cell, "the gauge");
  REQUIRE(std::holds_alternative<std::vector<Drawing>>(pages));
  return std::get<std::vector<Drawing>>(std::move(pages));
}

std::string failure_of(const Chart& chart, CellSize cell) {
  const auto pages = lay_out_true_size(chart, cell, "the gauge");
  const auto* error = std::get_if<RenderError>(&pages);
  return error ? error->message : "";
}

/// The frame round a page's squares: the first box with a pen and no paint.
Box frame_of(const Drawing& page) {
  for (const Item& item : page.items)
    if (const auto* rect = std::get_if<RectItem>(&item); rect && rect->stroke && !rect->fill)
      return rect->box;
  return {};
}

}  // namespace

TEST_CASE("squares have the size that was asked for, to the last digit") {
  const CellSize cell{5 * millimetre, 3.57 * millimetre};
  const std::vector<Drawing> pages = pages_of(sample::rib(24, 30), cell);
  REQUIRE(pages.size() == 1);
  CHECK(frame_of(pages[0]).width == doctest::Approx(120 * millimetre).epsilon(1e-9));
  CHECK(frame_of(pages[0]).height == doctest::Approx(107.1 * millimetre).epsilon(1e-9));
}

TEST_CASE("a ruler is as long as it says") {
  const Drawing drawing = ruler(540);
  std::set<std::string> words;
  for (const Item& item : drawing.items) {
    const auto* text = std::get_if<TextItem>(&item);
    if (!text || text->anchor != Anchor::middle) continue;
    const double number = std::stod(text->text);
    // An inch is 2.54 cm (international yard and pound agreement, 1959), a point 1/72 of it.
    const bool above = text->at.y < drawing.height / 2;
    CHECK(text->at.x == doctest::Approx(number * (above ? 72 / 2.54 : 72)));
    words.insert((above ? "cm " : "in ") + text->text);
  }
  CHECK(words.contains("cm 19"));
  CHECK(words.contains("in 7"));
}

TEST_CASE("what does not fit a page goes to the next, which shares a row of squares with it") {
  const CellSize cell{6 * millimetre, 5 * millimetre};
  const Chart chart = sample::rib(70, 100);
  const std::vector<Drawing> pages = pages_of(chart, cell);
  double squares = 0;
  for (const Drawing& page : pages) {
    const Box frame = frame_of(page);
    const double columns = frame.width / cell.width, rows = frame.height / cell.height;
    CHECK(columns == doctest::Approx(std::round(columns)));
    CHECK(rows == doctest::Approx(std::round(rows)));
    squares += std::round(columns) * std::round(rows);
    CHECK(frame.right() < page.width - 30);
    CHECK(frame.bottom() < page.height - 60);
  }
  // Three pages across and two or three up: the inner seams are there twice.
  CHECK(pages.size() >= 6);
  CHECK(squares > 70 * 100);
  CHECK(squares < 74 * 104);
}

TEST_CASE("nothing lies off the page or on top of something else, for charts made at random") {
  sample::Random random(5);
  for (int i = 0; i < 60; ++i) {
    const Chart chart = sample::chart(random, 60, 60);
    const CellSize cell{sample::pick(random, 3, 60) * 0.7, sample::pick(random, 3, 60) * 0.7};
    const auto pages = lay_out_true_size(chart, cell, sample::words(random, 30));
    if (!std::holds_alternative<std::vector<Drawing>>(pages)) continue;
    for (const Drawing& page : std::get<std::vector<Drawing>>(pages))
      CHECK(check::geometry_faults(page) == std::vector<std::string>{});
  }
}

TEST_CASE("what cannot be printed at its true size says why") {
  CHECK(failure_of(sample::rib(4, 4), {600, 20}) == "one stitch would be larger than the paper");
  CHECK(failure_of(sample::rib(4, 4), {20, 900}) == "one stitch would be larger than the paper");
  CHECK(failure_of(sample::rib(4, 4), {NAN, 20}) == "the squares would have no size");
  CHECK(failure_of(sample::rib(4, 4), {20, 0}) == "the squares would have no size");
  CHECK(failure_of(sample::rib(400, 600), {30, 20}).starts_with("it would take about "));
  CHECK(failure_of(Chart{}, {20, 20}) == "This chart has no squares.");
}
