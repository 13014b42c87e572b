// Threads over and under each other, seen in pixels.
#include "render/thread_picture.hpp"

#include <doctest/doctest.h>

#include "render/document_layout.hpp"
#include "render/picture_layout.hpp"
#include "tests/render/geometry_check.hpp"
#include "tests/render/raster.hpp"

using namespace wale::render;
using sample::Raster;
using sample::rasterise;

namespace {

Path line(Point from, Point to) {
  Path path;
  path.move_to(from);
  path.line_to(to);
  return path;
}

/// A black thread and a white one that cross in the middle.
ThreadPicture cross(int black_level, int white_level) {
  ThreadPicture out;
  out.width = out.height = 10;
  out.thickness = 2;
  out.threads.push_back({line({1, 5}, {9, 5}), {0, 0, 0}, black_level});
  out.threads.push_back({line({5, 1}, {5, 9}), {255, 255, 255}, white_level});
  return out;
}

double darkness_in_the_middle(const ThreadPicture& picture) {
  const Raster raster = rasterise(draw_threads(picture, 10), 72);
  return raster.at(raster.width / 2, raster.height / 2);
}

}  // namespace

TEST_CASE("the thread of the higher level lies over the other") {
  CHECK(darkness_in_the_middle(cross(2, 1)) > 0.9);
  CHECK(darkness_in_the_middle(cross(1, 2)) < 0.1);
}

TEST_CASE("a thread has an edge of its own shade, and its ground is that shade") {
  ThreadPicture picture;
  picture.width = picture.height = 10;
  picture.thickness = 2;
  picture.threads.push_back({line({1, 5}, {9, 5}), {200, 100, 50}, 0});
  const Drawing drawing = draw_threads(picture, 3);
  REQUIRE(drawing.items.size() == 1);
  const auto& item = std::get<PathItem>(drawing.items[0]);
  REQUIRE(item.edge);
  CHECK(item.edge->width > item.stroke->width);
  CHECK(item.edge->colour == shade({200, 100, 50}));
  CHECK(item.kept);
}

TEST_CASE("pictures stand side by side with their words below, on every paper") {
  PictureBlock block;
  for (int i = 0; i < 7; ++i)
    block.pictures.push_back({cross(1, 2), i % 2 ? "a caption of some words that must wrap" : ""});
  for (auto& each : block.pictures) each.picture.title = "a title";
  block.pictures.push_back({{}, "nothing to see"});
  Document document{"Title", "", {block}};
  for (const PageStyle& page :
       {a4_page(), letter_page(), large_print(a4_page()), large_print(letter_page())}) {
    CHECK(lay_out_pictures(block, page).size() == (page.scale() > 1.2 ? 4u : 3u));
    for (const Drawing& each : lay_out(document, page)) CHECK(check::fault_report(each) == "");
  }
}
