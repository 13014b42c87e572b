#include "render/svg.hpp"

#include <fmt/format.h>

#include <cmath>
#include <pugixml.hpp>
#include <vector>

#include "render/measure.hpp"

namespace wale::render {

namespace {

void set(pugi::xml_node node, const char* name, const std::string& value) {
  node.append_attribute(name).set_value(value.c_str());
}

void set(pugi::xml_node node, const char* name, double value) {
  set(node, name, short_number(value));
}

void add_words(pugi::xml_node parent, const char* element, const std::string& id, const std::string& words) {
  pugi::xml_node node = parent.append_child(element);
  if (!id.empty()) set(node, "id", id);
  node.append_child(pugi::node_pcdata).set_value(clean_text(words).c_str());
}

void set_paint(pugi::xml_node node, const std::optional<Colour>& fill, const std::optional<Stroke>& stroke) {
  set(node, "fill", fill ? to_hex(*fill) : "none");
  if (!stroke) return;
  set(node, "stroke", to_hex(stroke->colour));
  set(node, "stroke-width", stroke->width);
  if (stroke->dash > 0) set(node, "stroke-dasharray", short_number(stroke->dash));
  set(node, "stroke-linecap", stroke->square ? "square" : "round");
  set(node, "stroke-linejoin", stroke->square ? "miter" : "round");
}

/// Adds items below the innermost open group.
class SvgWriter {
 public:
  SvgWriter(const Drawing& drawing, pugi::xml_node root) : drawing_(drawing), open_{root} {}

  void operator()(const PathItem& item) {
    if (item.path.segments.empty()) return;
    pugi::xml_node node = add("path");
    set(node, "d", path_data(item.path));
    set_paint(node, item.fill, item.stroke);
  }
  void operator()(const RectItem& item) {
    pugi::xml_node node = add("rect");
    set_box(node, item.box);
    set_paint(node, item.fill, item.stroke);
  }
  void operator()(const LineItem& item) {
    pugi::xml_node node = add("line");
    set(node, "x1", item.from.x);
    set(node, "y1", item.from.y);
    set(node, "x2", item.to.x);
    set(node, "y2", item.to.y);
    set_paint(node, std::nullopt, item.stroke);
  }
  void operator()(const TextItem& item) {
    pugi::xml_node node = add("text");
    set(node, "x", item.at.x);
    set(node, "y", item.at.y);
    set(node, "font-size", item.size);
    if (item.bold) set(node, "font-weight", "bold");
    if (item.anchor != Anchor::start)
      set(node, "text-anchor", item.anchor == Anchor::middle ? "middle" : "end");
    if (item.colour != ink) set(node, "fill", to_hex(item.colour));
    node.append_child(pugi::node_pcdata).set_value(clean_text(item.text).c_str());
  }
  void operator()(const SymbolItem& item) {
    if (item.symbol >= drawing_.symbols.size()) return;
    pugi::xml_node node = add("use");
    set(node, "xlink:href", "#" + drawing_.name + "-" + drawing_.symbols[item.symbol].id);
    set(node, "x", item.at.x);
    set(node, "y", item.at.y);
    if (item.colour != ink) set(node, "color", to_hex(item.colour));
  }
  void operator()(const GroupStart& item) {
    open_.push_back(add("g"));
    if (!clean_text(item.title).empty()) add_words(open_.back(), "title", "", item.title);
    if (!item.area) return;
    pugi::xml_node node = add("rect");  // Unseen: makes the whole row show its words, not the marks alone.
    set_box(node, *item.area);
    set(node, "fill", "none");
    set(node, "pointer-events", "all");
  }
  void operator()(const GroupEnd&) {
    if (open_.size() > 1) open_.pop_back();
  }

 private:
  pugi::xml_node add(const char* element) { return open_.back().append_child(element); }

  static void set_box(pugi::xml_node node, const Box& box) {
    set(node, "x", box.x);
    set(node, "y", box.y);
    set(node, "width", box.width);
    set(node, "height", box.height);
  }

  const Drawing& drawing_;
  std::vector<pugi::xml_node> open_;
};

void define(pugi::xml_node definitions, const std::string& prefix, const Symbol& symbol) {
  pugi::xml_node group = definitions.append_child("g");
  set(group, "id", prefix + symbol.id);
  if (!symbol.stroke.segments.empty()) {
    pugi::xml_node node = group.append_child("path");
    set(node, "d", path_data(symbol.stroke));
    set(node, "fill", std::string("none"));
    set(node, "stroke", std::string("currentColor"));
    set(node, "stroke-width", symbol.stroke_width);
    set(node, "stroke-linecap", std::string("round"));
    set(node, "stroke-linejoin", std::string("round"));
  }
  if (!symbol.fill.segments.empty()) {
    pugi::xml_node node = group.append_child("path");
    set(node, "d", path_data(symbol.fill));
    set(node, "fill", std::string("currentColor"));
  }
}

struct StringWriter : pugi::xml_writer {
  std::string text;
  void write(const void* data, std::size_t size) override {
    text.append(static_cast<const char*>(data), size);
  }
};

}  // namespace

std::string short_number(double value) {
  if (!std::isfinite(value)) return "0";
  std::string text = fmt::format("{:.2f}", value);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

std::string path_data(const Path& path) {
  std::string data;
  const auto add = [&data](char letter, std::initializer_list<Point> points) {
    data += letter;
    bool first = true;
    for (const Point p : points) {
      if (!first) data += ' ';
      data += short_number(p.x) + ' ' + short_number(p.y);
      first = false;
    }
  };
  for (const Segment& segment : path.segments) {
    switch (segment.kind) {
      case Segment::Kind::move:
        add('M', {segment.to});
        break;
      case Segment::Kind::line:
        add('L', {segment.to});
        break;
      case Segment::Kind::curve:
        add('C', {segment.control1, segment.control2, segment.to});
        break;
      case Segment::Kind::close:
        add('Z', {});
        break;
    }
  }
  return data;
}

std::string write_svg(const Drawing& drawing, const SvgOptions& options) {
  pugi::xml_document document;
  pugi::xml_node root = document.append_child("svg");
  Drawing named;  // Ids must be sound whatever the caller named the drawing.
  const bool sound = id_from(drawing.name) == drawing.name;
  if (!sound) {
    named = drawing;
    named.name = id_from(drawing.name);
  }
  const Drawing& source = sound ? drawing : named;
  const std::string prefix = source.name + "-";
  set(root, "xmlns", std::string("http://www.w3.org/2000/svg"));
  set(root, "xmlns:xlink", std::string("http://www.w3.org/1999/xlink"));
  set(root, "version", std::string("1.1"));
  set(root, "width", short_number(source.width) + "pt");
  set(root, "height", short_number(source.height) + "pt");
  set(root, "viewBox", "0 0 " + short_number(source.width) + " " + short_number(source.height));
  const bool described = !clean_text(source.description).empty();
  set(root, "role", std::string("img"));
  set(root, "aria-labelledby", prefix + "title" + (described ? " " + prefix + "desc" : ""));
  set(root, "font-family", "'" + std::string(font_family) + "', Verdana, sans-serif");
  set(root, "color", to_hex(ink));
  set(root, "fill", to_hex(ink));
  add_words(root, "title", prefix + "title", source.title);
  if (described) add_words(root, "desc", prefix + "desc", source.description);
  if (!source.symbols.empty()) {
    pugi::xml_node definitions = root.append_child("defs");
    for (const Symbol& symbol : source.symbols) define(definitions, prefix, symbol);
  }
  set_paint(root.append_child("rect"), paper, std::nullopt);
  set(root.last_child(), "width", std::string("100%"));
  set(root.last_child(), "height", std::string("100%"));
  SvgWriter writer(source, root);
  for (const Item& item : source.items) std::visit(writer, item);

  StringWriter out;
  if (options.declaration) out.text = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
  document.save(out, " ", pugi::format_indent | pugi::format_no_declaration, pugi::encoding_utf8);
  return std::move(out.text);
}

}  // namespace wale::render
