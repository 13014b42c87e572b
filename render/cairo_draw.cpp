#include "render/cairo_draw.hpp"

#include <cstdint>
#include <map>
#include <new>
#include <string>
#include <tuple>
#include <vector>

#include "render/pango_text.hpp"

namespace wale::render {

namespace {

class CairoDrawer {
 public:
  CairoDrawer(cairo_t* context, const Drawing& drawing) : context_(context), drawing_(drawing) {}

  void operator()(const PathItem& item) {
    draw_symbols();
    if (item.edge && !pdf_)
      draw_with_edge_in_pixels(item);
    else
      draw(item);
  }
  void operator()(const RectItem& item) {
    draw_symbols();
    cairo_rectangle(context_, item.box.x, item.box.y, item.box.width, item.box.height);
    paint(item.fill, item.stroke);
  }
  void operator()(const LineItem& item) {
    draw_symbols();
    cairo_move_to(context_, item.from.x, item.from.y);
    cairo_line_to(context_, item.to.x, item.to.y);
    paint(std::nullopt, item.stroke);
  }
  void operator()(const TextItem& item) {
    set_colour(item.colour);
    if (!layout_) layout_ = new_layout();  // A picture without words needs no fonts.
    set_line(layout_.get(), item.text, item.size, item.bold);
    const double share = item.anchor == Anchor::start ? 0 : item.anchor == Anchor::middle ? 0.5 : 1;
    cairo_move_to(context_, item.at.x - share * item.width, item.at.y);
    pango_cairo_show_layout_line(context_, pango_layout_get_line_readonly(layout_.get(), 0));
    cairo_new_path(context_);
  }
  void operator()(const SymbolItem& item) {
    if (item.symbol >= drawing_.symbols.size()) return;
    const double pen = drawing_.symbols[item.symbol].stroke_width;
    waiting_[{item.colour.red, item.colour.green, item.colour.blue, pen}].push_back(item);
    if (++waiting_count_ >= most_waiting) draw_symbols();
  }
  void operator()(const GroupStart&) {}
  void operator()(const GroupEnd&) {}

  /// Draws the symbols that wait: those of one pen and colour as one path. A chart has thousands of symbols
  /// and a handful of pens, and for cairo it is paths that cost, not their lines.
  void draw_symbols() {
    if (waiting_count_ == 0) return;
    for (auto& [pen, items] : waiting_) {
      for (const SymbolItem& item : items) trace(drawing_.symbols[item.symbol].stroke, item.at);
      if (!items.empty()) paint(std::nullopt, Stroke{std::get<3>(pen), items.front().colour});
      for (const SymbolItem& item : items) trace(drawing_.symbols[item.symbol].fill, item.at);
      if (!items.empty()) paint(items.front().colour, std::nullopt);
      items.clear();
    }
    waiting_count_ = 0;
  }

 private:
  static constexpr std::size_t most_waiting = 512;  ///< Longer paths cost more than they spare.

  void draw(const PathItem& item) {
    if (item.edge) {
      trace(item.path, {});
      paint(std::nullopt, Stroke{item.edge->width, item.edge->colour});
    }
    trace(item.path, {});
    paint(item.fill, item.stroke);
  }

  /// What has an edge comes in thousands: the threads of a picture. A sixteenth is near enough for a pixel
  /// that they cover in part, and a fifth of a pixel for their curves: it takes 0.6 of the time, and the PNG
  /// is a third smaller.
  void draw_with_edge_in_pixels(const PathItem& item) {
    const double tolerance = cairo_get_tolerance(context_);
    cairo_set_antialias(context_, CAIRO_ANTIALIAS_FAST);
    cairo_set_tolerance(context_, 0.2);
    draw(item);
    cairo_set_antialias(context_, CAIRO_ANTIALIAS_DEFAULT);
    cairo_set_tolerance(context_, tolerance);
  }

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
      // A PDF's strokes are written as they are; only their bounds are found by flattening them, for which
      // half the pen is near enough, and a quarter quicker than a tenth of a point.
      if (pdf_) cairo_set_tolerance(context_, stroke->width / 2);
      cairo_set_dash(context_, &stroke->dash, stroke->dash > 0 ? 1 : 0, 0);
      cairo_stroke_preserve(context_);
    }
    cairo_new_path(context_);
  }

  cairo_t* context_;
  const Drawing& drawing_;
  const bool pdf_ = cairo_surface_get_type(cairo_get_target(context_)) == CAIRO_SURFACE_TYPE_PDF;
  LayoutHandle layout_;
  std::map<std::tuple<std::uint8_t, std::uint8_t, std::uint8_t, double>, std::vector<SymbolItem>> waiting_;
  std::size_t waiting_count_ = 0;
};

}  // namespace

void draw_items(cairo_t* context, const Drawing& drawing) {
  cairo_set_miter_limit(context, 4);  // As SVG has it.
  CairoDrawer drawer(context, drawing);
  for (const Item& item : drawing.items) std::visit(drawer, item);
  drawer.draw_symbols();
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
