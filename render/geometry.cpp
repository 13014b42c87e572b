#include "render/geometry.hpp"

#include <algorithm>
#include <utility>

#include "render/measure.hpp"

namespace wale::render {

namespace {

struct Mover {
  Point by;
  const std::vector<std::size_t>& symbols;

  void move(Point& p) const { p = {p.x + by.x, p.y + by.y}; }
  void move(Box& box) const {
    box.x += by.x;
    box.y += by.y;
  }
  void operator()(PathItem& item) const {
    for (Segment& segment : item.path.segments) {
      // A closing has no place of its own.
      if (segment.kind != Segment::Kind::close) move(segment.to);
      if (segment.kind == Segment::Kind::curve) move(segment.control1), move(segment.control2);
    }
  }
  void operator()(RectItem& item) const { move(item.box); }
  void operator()(LineItem& item) const {
    move(item.from);
    move(item.to);
  }
  void operator()(TextItem& item) const { move(item.at); }
  void operator()(SymbolItem& item) const {
    move(item.at);
    item.symbol = symbols.at(item.symbol);
  }
  void operator()(GroupStart& item) const {
    if (item.area) move(*item.area);
  }
  void operator()(GroupEnd&) const {}
};

}  // namespace

void add_text(Drawing& drawing, Point at, std::string_view text, const TextLook& look) {
  std::string clean = clean_text(text);
  if (clean.empty()) return;
  const double width = text_width(clean, look.size, look.bold);
  drawing.items.emplace_back(
      std::in_place_type<TextItem>,
      TextItem{at, std::move(clean), look.size, look.bold, look.anchor, look.colour, width});
}

void add_box(Drawing& drawing, const Box& box, const std::optional<Stroke>& stroke,
             const std::optional<Colour>& fill, bool kept) {
  drawing.items.emplace_back(std::in_place_type<RectItem>, RectItem{box, stroke, fill, kept});
}

void add_path(Drawing& drawing, Path path, const std::optional<Stroke>& stroke,
              const std::optional<Colour>& fill, bool kept) {
  drawing.items.emplace_back(std::in_place_type<PathItem>, PathItem{std::move(path), stroke, fill, kept});
}

void add_line(Drawing& drawing, Point from, Point to, const Stroke& stroke) {
  drawing.items.emplace_back(std::in_place_type<LineItem>, LineItem{from, to, stroke});
}

void place_symbol(Drawing& drawing, std::size_t symbol, Point at, Colour colour) {
  drawing.items.emplace_back(std::in_place_type<SymbolItem>, SymbolItem{symbol, at, colour});
}

void begin_group(Drawing& drawing, std::string title, const std::optional<Box>& area, std::string row) {
  drawing.items.emplace_back(std::in_place_type<GroupStart>,
                             GroupStart{std::move(title), area, std::move(row)});
}

void end_group(Drawing& drawing) {
  drawing.items.emplace_back(std::in_place_type<GroupEnd>, GroupEnd{});
}

Box text_box(const TextItem& text) {
  const double share = text.anchor == Anchor::start ? 0 : text.anchor == Anchor::middle ? 0.5 : 1;
  return {text.at.x - share * text.width, text.at.y - ascent * text.size, text.width,
          (ascent + descent) * text.size};
}

std::size_t add_symbol(Drawing& drawing, Symbol symbol) {
  const std::string wanted = symbol.id;
  for (int attempt = 2;; ++attempt) {
    const auto taken = std::find_if(drawing.symbols.begin(), drawing.symbols.end(),
                                    [&](const Symbol& other) { return other.id == symbol.id; });
    if (taken == drawing.symbols.end()) break;
    if (*taken == symbol) return static_cast<std::size_t>(taken - drawing.symbols.begin());
    symbol.id = wanted + "-" + std::to_string(attempt);
  }
  drawing.symbols.push_back(std::move(symbol));
  return drawing.symbols.size() - 1;
}

void append(Drawing& drawing, const Drawing& part, Point offset) {
  append(drawing, Drawing(part), offset);
}

void append(Drawing& drawing, Drawing&& part, Point offset) {
  std::vector<std::size_t> symbols;
  symbols.reserve(part.symbols.size());
  for (Symbol& symbol : part.symbols) symbols.push_back(add_symbol(drawing, std::move(symbol)));
  const Mover mover{offset, symbols};
  if (drawing.items.empty()) {
    drawing.items = std::move(part.items);
    for (Item& item : drawing.items) std::visit(mover, item);
    return;
  }
  // Once for a large part, with room for the small ones that follow it.
  if (part.items.size() > drawing.items.size())
    drawing.items.reserve(drawing.items.size() + part.items.size() * 9 / 8);
  for (Item& item : part.items) {
    std::visit(mover, item);
    drawing.items.push_back(std::move(item));
  }
  part.items.clear();
}

std::string id_from(std::string_view text) {
  std::string id;
  for (const char c : text) {
    const char lower = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    if ((lower >= 'a' && lower <= 'z') || (lower >= '0' && lower <= '9')) {
      id += lower;
    } else if (!id.empty() && id.back() != '-') {
      id += '-';
    }
  }
  while (!id.empty() && id.back() == '-') id.pop_back();
  return id.empty() ? "x" : id;
}

}  // namespace wale::render
