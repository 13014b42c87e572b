// A PNG holds every pixel as it was drawn, whichever of the ways to write it was taken. cairo, which did not
// write it, reads it again.
#include "render/png.hpp"

#include <cairo.h>
#include <doctest/doctest.h>

#include <cstring>

using namespace wale::render;

namespace {

Colour colour_of(int number) {
  return {static_cast<std::uint8_t>(number >> 8), static_cast<std::uint8_t>(number),
          static_cast<std::uint8_t>(number * 7)};
}

/// So many colours, each a square of `side` pixels at 72 dots to the inch, 50 in a row.
Drawing squares(int colours, int side) {
  Drawing out{.width = 50.0 * side, .height = (colours + 49) / 50 * 1.0 * side};
  for (int i = 0; i < colours; ++i)
    add_box(out, {i % 50 * 1.0 * side, i / 50 * 1.0 * side, 1.0 * side, 1.0 * side}, std::nullopt,
            colour_of(i));
  return out;
}

/// What cairo reads, 0xRRGGBB, row by row.
std::vector<std::uint32_t> read(const std::string& bytes) {
  std::string_view rest = bytes;
  const auto take = [](void* from, unsigned char* to, unsigned length) {
    auto& left = *static_cast<std::string_view*>(from);
    if (length > left.size()) return CAIRO_STATUS_READ_ERROR;
    std::memcpy(to, left.data(), length);
    left.remove_prefix(length);
    return CAIRO_STATUS_SUCCESS;
  };
  cairo_surface_t* surface = cairo_image_surface_create_from_png_stream(take, &rest);
  REQUIRE(cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS);
  std::vector<std::uint32_t> out;
  for (int y = 0; y < cairo_image_surface_get_height(surface); ++y) {
    const unsigned char* row =
        cairo_image_surface_get_data(surface) + y * cairo_image_surface_get_stride(surface);
    for (int x = 0; x < cairo_image_surface_get_width(surface); ++x) {
      std::uint32_t pixel;
      std::memcpy(&pixel, row + 4 * x, sizeof pixel);
      out.push_back(pixel & 0xFFFFFF);
    }
  }
  cairo_surface_destroy(surface);
  return out;
}

}  // namespace

TEST_CASE("a PNG holds each pixel as it was drawn, with few colours and with many") {
  // A row that is not full ends in white: 255 colours just fit a palette, 256 no longer do.
  for (const int colours : {1, 250, 255, 256, 257, 3000})
    for (const int side : {1, 2, 20}) {
      CAPTURE(colours);
      CAPTURE(side);
      const Bytes written = write_png(squares(colours, side), {.dots_per_inch = 72});
      REQUIRE(std::holds_alternative<std::string>(written));
      const auto& png = std::get<std::string>(written);
      // PNG (ISO/IEC 15948, 11.2.2): the colour type is byte 25; 2 has red, green and blue, 3 a palette.
      CHECK(png[25] == (colours + (colours % 50 != 0) <= 256 ? 3 : 2));
      const std::vector<std::uint32_t> pixels = read(png);
      const auto width = static_cast<std::size_t>(50 * side);
      std::size_t wrong = 0;
      for (std::size_t i = 0; i < pixels.size(); ++i) {
        const auto x = i % width, y = i / width;
        const int number = static_cast<int>(y) / side * 50 + static_cast<int>(x) / side;
        const Colour expected = number < colours ? colour_of(number) : Colour{255, 255, 255};
        wrong +=
            pixels[i] != static_cast<std::uint32_t>(expected.red << 16 | expected.green << 8 | expected.blue);
      }
      CHECK(wrong == 0);
      CHECK(pixels.size() == width * static_cast<std::size_t>((colours + 49) / 50 * side));
    }
}
