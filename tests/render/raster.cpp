#include "tests/render/raster.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>

#include "render/cairo_draw.hpp"

namespace wale::render::sample {

namespace {

Raster from_surface(cairo_surface_t* surface) {
  cairo_surface_flush(surface);
  Raster out{cairo_image_surface_get_width(surface), cairo_image_surface_get_height(surface), {}};
  const unsigned char* data = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  for (int y = 0; y < out.height; ++y)
    for (int x = 0; x < out.width; ++x) {
      // 0xXXRRGGBB in the machine's own order; weights of ITU-R BT.601.
      std::uint32_t pixel = 0;
      std::memcpy(&pixel, data + static_cast<std::ptrdiff_t>(y) * stride + 4 * x, sizeof pixel);
      const double light =
          0.299 * ((pixel >> 16U) & 255U) + 0.587 * ((pixel >> 8U) & 255U) + 0.114 * (pixel & 255U);
      out.dark.push_back(1 - light / 255);
    }
  return out;
}

}  // namespace

Raster rasterise(const Drawing& drawing, double dots) {
  const double scale = dots / 72;
  const CairoSurface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24,
                                                        static_cast<int>(std::ceil(drawing.width * scale)),
                                                        static_cast<int>(std::ceil(drawing.height * scale))));
  const CairoContext context(cairo_create(surface.get()));
  cairo_set_source_rgb(context.get(), 1, 1, 1);
  cairo_paint(context.get());
  cairo_scale(context.get(), scale, scale);
  draw_items(context.get(), drawing);
  return from_surface(surface.get());
}

Raster read_png(const std::string& bytes) {
  struct Rest {
    const std::string& bytes;
    std::size_t at = 0;
  } rest{bytes};
  const auto read = [](void* closure, unsigned char* to, unsigned length) {
    auto& from = *static_cast<Rest*>(closure);
    if (length > from.bytes.size() - from.at) return CAIRO_STATUS_READ_ERROR;
    std::memcpy(to, from.bytes.data() + from.at, length);
    from.at += length;
    return CAIRO_STATUS_SUCCESS;
  };
  const CairoSurface file(cairo_image_surface_create_from_png_stream(read, &rest));
  if (cairo_surface_status(file.get()) != CAIRO_STATUS_SUCCESS) return {};
  // A file in grey is read in another format: paint it onto the one that is looked at.
  const CairoSurface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24,
                                                        cairo_image_surface_get_width(file.get()),
                                                        cairo_image_surface_get_height(file.get())));
  const CairoContext context(cairo_create(surface.get()));
  cairo_set_source_surface(context.get(), file.get(), 0, 0);
  cairo_paint(context.get());
  return from_surface(surface.get());
}

Raster cropped(const Raster& from, int x, int y, int width, int height) {
  Raster out{std::min(width, from.width - x), std::min(height, from.height - y), {}};
  for (int row = y; row < y + out.height; ++row)
    for (int column = x; column < x + out.width; ++column) out.dark.push_back(from.at(column, row));
  return out;
}

Raster softened(const Raster& from, int by) {
  // Rows, then columns: the mean over a square is the mean of means. Each line by sums of what lies before.
  const auto along = [by](const Raster& in, bool rows) {
    Raster out{in.width, in.height, std::vector<double>(in.dark.size())};
    const int lines = rows ? in.height : in.width, length = rows ? in.width : in.height;
    const auto at = [&](int line, int i) {
      return static_cast<std::size_t>(rows ? line : i) * static_cast<std::size_t>(in.width) +
             static_cast<std::size_t>(rows ? i : line);
    };
    std::vector<double> before(static_cast<std::size_t>(length) + 1);
    for (int line = 0; line < lines; ++line) {
      for (int i = 0; i < length; ++i)
        before[static_cast<std::size_t>(i) + 1] = before[static_cast<std::size_t>(i)] + in.dark[at(line, i)];
      for (int i = 0; i < length; ++i) {
        const int first = std::max(i - by, 0), last = std::min(i + by + 1, length);
        out.dark[at(line, i)] =
            (before[static_cast<std::size_t>(last)] - before[static_cast<std::size_t>(first)]) /
            (last - first);
      }
    }
    return out;
  };
  return along(along(from, true), false);
}

double coverage(const Raster& picture) {
  double sum = 0;
  for (const double each : picture.dark) sum += each;
  return picture.dark.empty() ? 0 : sum / static_cast<double>(picture.dark.size());
}

double apart(const Raster& a, const Raster& b, int by) {
  if (a.width != b.width || a.height != b.height) return 1;
  const Raster one = softened(a, by), two = softened(b, by);
  double most = 0;
  for (std::size_t i = 0; i < one.dark.size(); ++i)
    most = std::max(most, std::abs(one.dark[i] - two.dark[i]));
  return most;
}

double unshared(const Raster& a, const Raster& b, int by) {
  if (a.width != b.width || a.height != b.height) return 1;
  const Raster one = softened(a, by), two = softened(b, by);
  double sum = 0, first = 0, second = 0;
  for (std::size_t i = 0; i < one.dark.size(); ++i) {
    sum += std::abs(one.dark[i] - two.dark[i]);
    first += one.dark[i];
    second += two.dark[i];
  }
  const double ink = std::max(first, second);
  return ink > 0 ? sum / ink : 0;
}

}  // namespace wale::render::sample
