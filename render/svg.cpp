#include "render/svg.hpp"

#include <algorithm>
#include <array>
#include <set>

#include "render/measure.hpp"
#include "render/xml_text.hpp"

namespace wale::render {

namespace {

/// SVG 1.1 as the W3C's own document type has it, and what it lacks: WAI-ARIA for screen readers (there since
/// SVG 2) and `data-` attributes for programs (there since HTML 5). Declared in the file itself, they leave
/// it valid; and no reader that draws SVG fetches anything for it.
constexpr const char* document_type = R"(<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN"
 "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd" [
<!ATTLIST svg role CDATA #IMPLIED aria-labelledby IDREFS #IMPLIED>
<!ATTLIST g data-row CDATA #IMPLIED data-stitch CDATA #IMPLIED>
]>
)";

/// A colour of ours and what becomes of it on a dark screen. Colours of yarns, and the ink on them, stay.
struct Darkened {
  const char* name;  ///< The class of what is drawn in it.
  Colour colour;
  const char* property;
  const char* on_dark;
};
constexpr std::array darkened{
    Darkened{"ink", ink, "stroke", "#ececec"},           Darkened{"quiet", quiet_ink, "fill", "#a8a8a8"},
    Darkened{"grid", grid_ink, "stroke", "#6c6c6c"},     Darkened{"absent", absent_ground, "fill", "#3a3d40"},
    Darkened{"marker", marker_ink, "stroke", "#ff8a75"}, Darkened{"halo", paper, "stroke", "#17191b"},
    Darkened{"ground", shape_ground, "fill", "#262b2d"}, Darkened{"paper", paper, "fill", "#17191b"}};

/// The class of something filled and stroked so, or nothing.
const char* class_of(const std::optional<Colour>& fill, const std::optional<Stroke>& stroke) {
  for (const Darkened& each : darkened) {
    const bool filled = std::string_view(each.property) == "fill";
    if (filled ? fill && *fill == each.colour : stroke && stroke->colour == each.colour) return each.name;
  }
  return nullptr;
}

void append_path(std::string& data, const Path& path) {
  const auto add = [&data](Point p) {
    append_number(data, p.x);
    data += ' ';
    append_number(data, p.y);
  };
  Point at, begin;
  const auto line_to = [&](Point to) {
    if (to.y == at.y) {
      data += 'H';
      append_number(data, to.x);
    } else if (to.x == at.x) {
      data += 'V';
      append_number(data, to.y);
    } else {
      data += 'L';
      add(to);
    }
  };
  for (const Segment& segment : path.segments) {
    switch (segment.kind) {
      case Segment::Kind::move:
        data += 'M';
        add(segment.to);
        begin = segment.to;
        break;
      case Segment::Kind::line:
        line_to(segment.to);
        break;
      case Segment::Kind::curve:
        data += 'C';
        add(segment.control1);
        data += ' ';
        add(segment.control2);
        data += ' ';
        add(segment.to);
        break;
      case Segment::Kind::close:
        data += 'Z';
        break;
    }
    at = segment.kind == Segment::Kind::close ? begin : segment.to;
  }
}

/// Writes a drawing; what is asked of it comes in the order of the file.
class SvgWriter {
 public:
  SvgWriter(std::string& bytes, const Drawing& drawing)
      : xml_(bytes), drawing_(drawing), name_(id_from(drawing.name)) {}

  void write() {
    begin();
    if (!drawing_.symbols.empty()) {
      xml_.open("defs");
      for (const Symbol& symbol : drawing_.symbols) define(symbol);
      xml_.close();
    }
    xml_.open("rect");
    xml_.set("class", "paper");
    xml_.set("width", "100%");
    xml_.set("height", "100%");
    xml_.set("fill", to_hex(paper));
    xml_.close();
    for (const Item& item : drawing_.items) std::visit(*this, item);
    for (; depth_ > 0; --depth_) xml_.close();
    xml_.close();
  }

  void operator()(const PathItem& item) {
    if (item.path.segments.empty()) return;
    if (item.edge) {
      twice(item);
      return;
    }
    xml_.open("path");
    if (!item.kept) set_class(item.fill, item.stroke);
    set_path(item.path);
    set_paint(item.fill, item.stroke);
    xml_.close();
  }
  void operator()(const RectItem& item) {
    xml_.open("rect");
    if (!item.kept) set_class(item.fill, item.stroke);
    set_box(item.box);
    set_paint(item.fill, item.stroke);
    xml_.close();
  }
  void operator()(const LineItem& item) {
    xml_.open("line");
    set_class(std::nullopt, item.stroke);
    xml_.set("x1", item.from.x);
    xml_.set("y1", item.from.y);
    xml_.set("x2", item.to.x);
    xml_.set("y2", item.to.y);
    set_paint(std::nullopt, item.stroke);
    xml_.close();
  }
  void operator()(const TextItem& item) {
    xml_.open("text");
    if (item.colour == quiet_ink) xml_.set("class", "quiet");
    xml_.set("x", item.at.x);
    xml_.set("y", item.at.y);
    xml_.set("font-size", item.size);
    if (item.bold) xml_.set("font-weight", "bold");
    if (item.anchor != Anchor::start)
      xml_.set("text-anchor", item.anchor == Anchor::middle ? "middle" : "end");
    if (item.colour != ink) xml_.set("fill", to_hex(item.colour));
    xml_.words(clean_text(item.text));
    xml_.close();
  }
  void operator()(const SymbolItem& item) {
    if (item.symbol >= drawing_.symbols.size()) return;
    xml_.open("use");
    xml_.set("xlink:href", "#" + name_ + "-" + drawing_.symbols[item.symbol].id);
    xml_.set("x", item.at.x);
    xml_.set("y", item.at.y);
    if (item.colour != ink) xml_.set("color", to_hex(item.colour));
    xml_.close();
  }
  void operator()(const GroupStart& item) {
    xml_.open("g");
    ++depth_;
    if (!item.row.empty()) xml_.set("data-row", clean_text(item.row));
    element_of_words("title", "", item.title);
    if (!item.area) return;
    xml_.open("rect");  // Unseen: makes the whole row show its words, not the marks alone.
    set_box(*item.area);
    xml_.set("fill", "none");
    xml_.set("pointer-events", "all");
    xml_.close();
  }
  void operator()(const GroupEnd&) {
    if (depth_ == 0) return;
    --depth_;
    xml_.close();
  }

 private:
  void begin() {
    const bool described = !clean_text(drawing_.description).empty();
    xml_.open("svg");
    xml_.set("xmlns", "http://www.w3.org/2000/svg");
    xml_.set("xmlns:xlink", "http://www.w3.org/1999/xlink");
    xml_.set("version", "1.1");
    xml_.set("id", name_);
    xml_.set("width", short_number(drawing_.width) + "pt");
    xml_.set("height", short_number(drawing_.height) + "pt");
    xml_.set("viewBox", "0 0 " + short_number(drawing_.width) + " " + short_number(drawing_.height));
    xml_.set("role", "img");
    xml_.set("aria-labelledby", name_ + "-title" + (described ? " " + name_ + "-desc" : ""));
    xml_.set("font-family", "'" + std::string(font_family) + "', Verdana, sans-serif");
    xml_.set("color", to_hex(ink));
    xml_.set("fill", to_hex(ink));
    xml_.open("title");
    xml_.set("id", name_ + "-title");
    xml_.words(clean_text(drawing_.title));
    xml_.close();
    element_of_words("desc", name_ + "-desc", drawing_.description);
    xml_.open("style");
    xml_.set("type", "text/css");
    xml_.words(style());
    xml_.close();
  }

  /// Rules for dark screens, for the classes that the drawing uses. They hold below this picture's id alone,
  /// so that several can stand in one web page.
  std::string style() const {
    std::set<std::string> used{"paper"};
    const auto use = [&](const auto& item) {
      using Kind = std::decay_t<decltype(item)>;
      const char* name = nullptr;
      if constexpr (std::is_same_v<Kind, PathItem> || std::is_same_v<Kind, RectItem>) {
        if (!item.kept) name = class_of(item.fill, item.stroke);
      } else if constexpr (std::is_same_v<Kind, LineItem>) {
        name = class_of(std::nullopt, item.stroke);
      } else if constexpr (std::is_same_v<Kind, TextItem>) {
        if (item.colour == quiet_ink) name = "quiet";
      }
      if (name != nullptr) used.insert(name);
    };
    for (const Item& item : drawing_.items) std::visit(use, item);
    const std::string dark_ink = darkened.front().on_dark;
    std::string out =
        "@media (prefers-color-scheme:dark){#" + name_ + "{color:" + dark_ink + ";fill:" + dark_ink + "}";
    for (const Darkened& each : darkened)
      if (used.contains(each.name))
        out += "#" + name_ + " ." + each.name + "{" + each.property + ":" + each.on_dark + "}";
    return out + "}";
  }

  /// A way that two pens go is written once, without a pen.
  void twice(const PathItem& item) {
    const std::string id = name_ + "-way-" + std::to_string(++ways_);
    xml_.open("defs");
    xml_.open("path");
    xml_.set("id", id);
    set_path(item.path);
    xml_.close();
    xml_.close();
    const auto draw = [&](const std::optional<Colour>& fill, const std::optional<Stroke>& stroke) {
      xml_.open("use");
      if (!item.kept) set_class(fill, stroke);
      xml_.set("xlink:href", "#" + id);
      set_paint(fill, stroke);
      xml_.close();
    };
    draw(std::nullopt, Stroke{item.edge->width, item.edge->colour});
    draw(item.fill, item.stroke);
  }

  /// A chart's symbols are groups that say which stitch they are; a `use` is that stitch by reference.
  void define(const Symbol& symbol) {
    xml_.open("g");
    xml_.set("id", name_ + "-" + symbol.id);
    if (!symbol.name.empty()) xml_.set("data-stitch", symbol.name);
    element_of_words("title", "", symbol.meaning);
    if (!symbol.stroke.segments.empty()) {
      xml_.open("path");
      set_path(symbol.stroke);
      xml_.set("fill", "none");
      xml_.set("stroke", "currentColor");
      xml_.set("stroke-width", symbol.stroke_width);
      xml_.set("stroke-linecap", "round");
      xml_.set("stroke-linejoin", "round");
      xml_.close();
    }
    if (!symbol.fill.segments.empty()) {
      xml_.open("path");
      set_path(symbol.fill);
      xml_.set("fill", "currentColor");
      xml_.close();
    }
    xml_.close();
  }

  /// `<title>...</title>`; nothing where there are no words.
  void element_of_words(const char* element, const std::string& id, const std::string& words) {
    const std::string clean = clean_text(words);
    if (clean.empty()) return;
    xml_.open(element);
    if (!id.empty()) xml_.set("id", id);
    xml_.words(clean);
    xml_.close();
  }

  void set_class(const std::optional<Colour>& fill, const std::optional<Stroke>& stroke) {
    if (const char* name = class_of(fill, stroke)) xml_.set("class", name);
  }

  void set_paint(const std::optional<Colour>& fill, const std::optional<Stroke>& stroke) {
    xml_.set("fill", fill ? to_hex(*fill) : "none");
    if (!stroke) return;
    xml_.set("stroke", to_hex(stroke->colour));
    xml_.set("stroke-width", stroke->width);
    if (stroke->dash > 0) xml_.set("stroke-dasharray", stroke->dash);
    xml_.set("stroke-linecap", stroke->square ? "square" : "round");
    xml_.set("stroke-linejoin", stroke->square ? "miter" : "round");
  }

  void set_path(const Path& path) {
    xml_.begin_value("d");
    append_path(xml_.bytes(), path);
    xml_.end_value();
  }

  void set_box(const Box& box) {
    xml_.set("x", box.x);
    xml_.set("y", box.y);
    xml_.set("width", box.width);
    xml_.set("height", box.height);
  }

  XmlText xml_;
  const Drawing& drawing_;
  const std::string name_;  ///< Begins every id; sound whatever the caller named the drawing.
  int depth_ = 0;           ///< Groups that are open.
  int ways_ = 0;            ///< Paths that were written once for two pens.
};

}  // namespace

std::string short_number(double value) {
  std::string text;
  append_number(text, value);
  return text;
}

std::string path_data(const Path& path) {
  std::string data;
  append_path(data, path);
  return data;
}

std::string write_svg(const Drawing& drawing, const SvgOptions& options) {
  std::string bytes;
  if (options.declaration)
    bytes = std::string("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n") + document_type;
  // About what it will take, so that a large picture is not moved while it grows.
  std::size_t room = 2000 + 84 * drawing.items.size();
  for (const Item& item : drawing.items)
    if (const auto* path = std::get_if<PathItem>(&item)) room += 16 * path->path.segments.size();
  bytes.reserve(bytes.size() + room);
  SvgWriter(bytes, drawing).write();
  return bytes;
}

}  // namespace wale::render
