/// Draws the items of a drawing with cairo; PDF and PNG share it. Internal to this library.
#pragma once

#include <cairo.h>

#include <memory>

#include "render/geometry.hpp"

namespace wale::render {

struct CairoFree {
  void operator()(cairo_t* context) const { cairo_destroy(context); }
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};
using CairoContext = std::unique_ptr<cairo_t, CairoFree>;
using CairoSurface = std::unique_ptr<cairo_surface_t, CairoFree>;

/// Draws onto `context`, whose unit is one point.
void draw_items(cairo_t* context, const Drawing& drawing);

/// For surfaces that write to memory: `closure` is a std::string.
cairo_status_t append_bytes(void* closure, const unsigned char* data, unsigned int length);

}  // namespace wale::render
