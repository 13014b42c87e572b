#include "render/png.hpp"

#include <fmt/format.h>
#include <png.h>

#include <cmath>
#include <cstring>
#include <memory>

#include "render/cairo_draw.hpp"

namespace wale::render {

namespace {

/// Pixels of four bytes become the red, green and blue of PNG in the room that they take: nothing is copied.
unsigned char* packed(cairo_surface_t* surface, int width, int height) {
  cairo_surface_flush(surface);
  unsigned char* const pixels = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  unsigned char* out = pixels;
  for (int y = 0; y < height; ++y) {
    const unsigned char* from = pixels + static_cast<std::ptrdiff_t>(y) * stride;
    for (int x = 0; x < width; ++x, from += 4) {
      std::uint32_t pixel;
      std::memcpy(&pixel, from, sizeof pixel);
      *out++ = static_cast<unsigned char>(pixel >> 16);
      *out++ = static_cast<unsigned char>(pixel >> 8);
      *out++ = static_cast<unsigned char>(pixel);
    }
  }
  return pixels;
}

/// Without the filters that PNG has for photographs, and with little effort. Few colours side by side are
/// found again as they are: over the views of the examples it takes a quarter of the time that cairo's own
/// writer takes, and a fifth less room (tests/bench/README.md).
Bytes encode(const unsigned char* pixels, int width, int height) {
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  image.width = static_cast<png_uint_32>(width);
  image.height = static_cast<png_uint_32>(height);
  image.format = PNG_FORMAT_RGB;
  image.flags = PNG_IMAGE_FLAG_FAST;
  png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(image);
  const auto bytes = std::make_unique_for_overwrite<char[]>(size);
  if (png_image_write_to_memory(&image, bytes.get(), &size, 0, pixels, 3 * width, nullptr) == 0)
    return RenderError{fmt::format("the picture cannot be written: {}", image.message)};
  return std::string(bytes.get(), size);
}

}  // namespace

Bytes write_png(const Drawing& drawing, const PngOptions& options) {
  constexpr double longest_side = 32767;  // cairo's limit for an image
  const double scale = options.dots_per_inch / 72;
  const double width = std::ceil(drawing.width * scale - 1e-6),
               height = std::ceil(drawing.height * scale - 1e-6);
  if (!(width >= 1 && height >= 1)) return RenderError{"the picture would be empty"};
  if (!(width <= longest_side && height <= longest_side && width * height <= options.most_pixels)) {
    return RenderError{
        fmt::format("the picture would be {:.0f} x {:.0f} pixels, which is too large; ask for fewer "
                    "dots per inch than {:.0f}",
                    width, height, options.dots_per_inch)};
  }
  const CairoSurface surface(
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, static_cast<int>(width), static_cast<int>(height)));
  const CairoContext context(cairo_create(surface.get()));
  cairo_set_source_rgb(context.get(), 1, 1, 1);
  cairo_paint(context.get());
  cairo_scale(context.get(), scale, scale);
  draw_items(context.get(), drawing);
  if (const cairo_status_t status = cairo_status(context.get()); status != CAIRO_STATUS_SUCCESS) {
    return RenderError{std::string("the picture cannot be drawn: ") + cairo_status_to_string(status)};
  }
  const int columns = static_cast<int>(width), rows = static_cast<int>(height);
  return encode(packed(surface.get(), columns, rows), columns, rows);
}

}  // namespace wale::render
