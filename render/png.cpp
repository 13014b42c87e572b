#include "render/png.hpp"

#include <fmt/format.h>

#include <cmath>

#include "render/cairo_draw.hpp"

namespace wale::render {

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
  std::string bytes;
  cairo_status_t status = cairo_status(context.get());
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_write_to_png_stream(surface.get(), append_bytes, &bytes);
  if (status != CAIRO_STATUS_SUCCESS) {
    return RenderError{std::string("the picture cannot be written: ") + cairo_status_to_string(status)};
  }
  return bytes;
}

}  // namespace wale::render
