/// Pango, set up once and alike for measuring and for drawing. Internal to this library.
///
/// Hinting and rounding are off and the resolution is 72 dots an inch, so one unit is one point everywhere.
#pragma once

#include <pango/pangocairo.h>

#include <memory>
#include <string_view>

namespace wale::render {

struct Unref {
  void operator()(gpointer object) const { g_object_unref(object); }
};
using LayoutHandle = std::unique_ptr<PangoLayout, Unref>;

/// A new layout for a text of one paragraph, left to right, unwrapped.
LayoutHandle new_layout();

/// Gives `layout` one line of clean text in one weight.
void set_line(PangoLayout* layout, std::string_view text, double size, bool bold);

/// The description of the font at `size` points; free with pango_font_description_free.
PangoFontDescription* describe_font(double size, bool bold);

}  // namespace wale::render
