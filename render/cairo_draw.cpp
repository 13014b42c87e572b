#include "render/cairo_draw.hpp"

#include <new>
#include <string>

#include "render/pango_text.hpp"

namespace wale::render {

namespace {

class CairoDrawer {
 public:
  CairoDrawer(cairo_t* context, const Drawing& drawing) : context_(context), drawing_(drawing) {}

  void operator()(const PathItem& item) {
    trace(item.path, {});
    paint(item.fill, item.stroke);
  }
  void operator()(const RectItem& item) {
    cairo_rectangle(context_, item.box.x, item.box.y, item.box.width, item.box.height);
    paint(item.fill, item.stroke);
  }
  void operator()(const LineItem& item) {
    cairo_move_to(context_, item.from.x, item.from.y);
    cairo_line_to(context_, item.to.x, item.to.y);
    paint(std::nullopt, item.stroke);
  }
  void operator()(const TextItem& item) {
    set_colour(item.colour);
    set_line(layout_.get(), item.text, item.size, item.bold);
    const double share = item.anchor == Anchor::start ? 0 : item.anchor == Anchor::middle ? 0.5 : 1;
    cairo_move_to(context_, item.at.x - share * item.width, item.at.y);
    pango_cairo_show_layout_line(context_, pango_layout_get_line_readonly(layout_.get(), 0));
    cairo_new_path(context_);
  }
  void operator()(const SymbolItem& item) {
    if (item.symbol >= drawing_.symbols.size()) return;
    const Symbol& symbol = drawing_.symbols[item.symbol];
    trace(symbol.stroke, item.at);
    paint(std::nullopt, Stroke{symbol.stroke_width, item.colour});
    trace(symbol.fill, item.at);
    paint(item.colour, std::nullopt);
  }
  void operator()(const GroupStart&) {}
  void operator()(const GroupEnd&) {}

 private:
  void set_colour(Colour colour) {
    cairo_set_source_rgb(context_, colour.red / 255.0, colour.green / 255.0, colour.blue / 255.0);
  }

  void trace(const Path& path, Point at) {
    for (const Segment& segment : path.segments) {
      const double x = segment.to.x + at.x, y = segment.to.y + at.y;
      switch (segment.kind) {
        case Segment::Kind::move:
          cairo_move_to(context_, x, y);
          break;
        case Segment::Kind::line:
          cairo_line_to(context_, x, y);
          break;
        case Segment::Kind::curve:
          cairo_curve_to(context_, segment.control1.x + at.x, segment.control1.y + at.y,
                         segment.control2.x + at.x, segment.control2.y + at.y, x, y);
          break;
        case Segment::Kind::close:
          cairo_close_path(context_);
          break;
      }
    }
  }

  /// Fills and strokes the path that was traced, and forgets it.
  void paint(const std::optional<Colour>& fill, const std::optional<Stroke>& stroke) {
    if (fill) {
      set_colour(*fill);
      cairo_fill_preserve(context_);
    }
    if (stroke) {
      set_colour(stroke->colour);
      cairo_set_line_width(context_, stroke->width);
      cairo_set_line_cap(context_, stroke->square ? CAIRO_LINE_CAP_SQUARE : CAIRO_LINE_CAP_ROUND);
      cairo_set_line_join(context_, stroke->square ? CAIRO_LINE_JOIN_MITER : CAIRO_LINE_JOIN_ROUND);
      cairo_set_dash(context_, &stroke->dash, stroke->dash > 0 ? 1 : 0, 0);
      cairo_stroke_preserve(context_);
    }
    cairo_new_path(context_);
  }

  cairo_t* context_;
  const Drawing& drawing_;
  LayoutHandle layout_ = new_layout();
};

}  // namespace

void draw_items(cairo_t* context, const Drawing& drawing) {
  cairo_set_miter_limit(context, 4);  // As SVG has it.
  CairoDrawer drawer(context, drawing);
  for (const Item& item : drawing.items) std::visit(drawer, item);
}

cairo_status_t append_bytes(void* closure, const unsigned char* data, unsigned int length) {
  try {
    static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(data), length);
  } catch (const std::bad_alloc&) {
    return CAIRO_STATUS_NO_MEMORY;
  }
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace wale::render
