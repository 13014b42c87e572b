#include "render/png.hpp"

#include <fmt/format.h>
#include <png.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <memory>
#include <optional>
#include <vector>

#include "render/cairo_draw.hpp"

namespace wale::render {

namespace {

/// The picture's colours in the order in which they come, as long as an index of one byte tells them apart.
class Palette {
 public:
  static constexpr std::size_t most = 256;

  /// The index of a colour, 0xRRGGBB; nothing once there are too many.
  std::optional<std::uint8_t> index_of(std::uint32_t colour) {
    std::size_t at =
        (colour * 2654435761U) >> 22;  // Knuth's multiplicative hashing; the table has 1024 places
    for (; places_[at] != 0; at = (at + 1) % places_.size())
      if (colours_[places_[at] - 1U] == colour) return static_cast<std::uint8_t>(places_[at] - 1);
    if (colours_.size() == most) return {};
    colours_.push_back(colour);
    places_[at] = static_cast<std::uint16_t>(colours_.size());
    return static_cast<std::uint8_t>(colours_.size() - 1);
  }

  /// Red, green and blue of each.
  std::vector<std::uint8_t> bytes() const {
    std::vector<std::uint8_t> out;
    for (const std::uint32_t colour : colours_)
      for (const int shift : {16, 8, 0}) out.push_back(static_cast<std::uint8_t>(colour >> shift));
    return out;
  }

 private:
  std::vector<std::uint32_t> colours_;
  std::array<std::uint16_t, 1024> places_{};  ///< index + 1, or 0 where nothing is
};

/// The pixels of a surface, four bytes each, of which the highest is of no use.
struct Pixels {
  unsigned char* first;
  std::ptrdiff_t stride;
  int width, height;

  explicit Pixels(cairo_surface_t* surface) {
    cairo_surface_flush(surface);
    first = cairo_image_surface_get_data(surface);
    stride = cairo_image_surface_get_stride(surface);
    width = cairo_image_surface_get_width(surface);
    height = cairo_image_surface_get_height(surface);
  }

  /// Calls `use` with each colour, from the upper left corner on, until it returns false.
  template <class Use>
  bool each(const Use& use) const {
    for (int y = 0; y < height; ++y) {
      const unsigned char* from = first + y * stride;
      for (int x = 0; x < width; ++x, from += 4) {
        std::uint32_t pixel;
        std::memcpy(&pixel, from, sizeof pixel);
        if (!use(pixel & 0xFFFFFF)) return false;
      }
    }
    return true;
  }
};

Bytes encode(png_image image, const unsigned char* bytes, const unsigned char* palette) {
  png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(image);
  const auto room = std::make_unique_for_overwrite<char[]>(size);
  if (png_image_write_to_memory(&image, room.get(), &size, 0, bytes, 0, palette) == 0)
    return RenderError{fmt::format("the picture cannot be written: {}", image.message)};
  return std::string(room.get(), size);
}

/// Charts have few colours, and are written as indices of them. The view of a fabric has more, nowhere two
/// alike side by side for long: what the filters of PNG do for it is cost time. Over the views of the
/// examples it takes a quarter of the time without them, and a fifth less room (tests/bench/README.md).
/// The bytes to write take the place of the pixels.
Bytes encode(const Pixels& pixels) {
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  image.width = static_cast<png_uint_32>(pixels.width);
  image.height = static_cast<png_uint_32>(pixels.height);
  Palette palette;
  std::uint32_t last = ~0U;
  const bool few = pixels.each([&](std::uint32_t colour) {
    if (colour == last) return true;
    last = colour;
    return palette.index_of(colour).has_value();
  });
  unsigned char* out = pixels.first;
  if (few) {
    pixels.each([&](std::uint32_t colour) {
      *out++ = *palette.index_of(colour);
      return true;
    });
    const std::vector<std::uint8_t> colours = palette.bytes();
    image.format = PNG_FORMAT_RGB_COLORMAP;
    image.colormap_entries = static_cast<png_uint_32>(colours.size() / 3);
    return encode(image, pixels.first, colours.data());
  }
  std::size_t changes = 0;
  pixels.each([&](std::uint32_t colour) {
    if (colour != last) ++changes;
    last = colour;
    for (const int shift : {16, 8, 0}) *out++ = static_cast<std::uint8_t>(colour >> shift);
    return true;
  });
  image.format = PNG_FORMAT_RGB;
  const bool flat =
      8 * changes < static_cast<std::size_t>(pixels.width) * static_cast<std::size_t>(pixels.height);
  if (!flat) image.flags = PNG_IMAGE_FLAG_FAST;
  return encode(image, pixels.first, nullptr);
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
  return encode(Pixels(surface.get()));
}

}  // namespace wale::render
