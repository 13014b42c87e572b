#include "compiler/drawn_files.hpp"

#include <bit>
#include <cstdint>
#include <optional>
#include <string_view>

namespace wale {

namespace {

/// Adds a drawing to a fingerprint, part by part. Structures are taken apart by structured bindings: these do
/// not compile any more when somebody adds a member, so none is forgotten here.
class Printer {
 public:
  void add(std::uint64_t number) { print_.add({reinterpret_cast<const char*>(&number), sizeof number}); }
  void add(double number) { add(std::bit_cast<std::uint64_t>(number)); }
  void add(bool flag) { add(std::uint64_t{flag}); }
  void add(int number) { add(static_cast<std::uint64_t>(number)); }
  void add(std::string_view text) {
    add(std::uint64_t{text.size()});
    print_.add(text);
  }
  void add(const std::string& text) { add(std::string_view(text)); }
  void add(render::Colour colour) {
    const auto [red, green, blue] = colour;
    add(std::uint64_t{red} << 16U | std::uint64_t{green} << 8U | std::uint64_t{blue});
  }
  void add(render::Point point) {
    const auto [x, y] = point;
    add(x);
    add(y);
  }
  void add(const render::Box& box) {
    const auto& [x, y, width, height] = box;
    for (const double each : {x, y, width, height}) add(each);
  }
  template <class Value>
  void add(const std::optional<Value>& value) {
    add(value.has_value());
    if (value) add(*value);
  }
  template <class Value>
  void add(const std::vector<Value>& values) {
    add(std::uint64_t{values.size()});
    for (const Value& each : values) add(each);
  }
  void add(const render::Segment& segment) {
    const auto& [kind, to, control1, control2] = segment;
    add(static_cast<std::uint64_t>(kind));
    for (const render::Point each : {to, control1, control2}) add(each);
  }
  void add(const render::Path& path) {
    const auto& [segments] = path;
    add(segments);
  }
  void add(const render::Stroke& stroke) {
    const auto& [width, colour, dash, square] = stroke;
    add(width);
    add(colour);
    add(dash);
    add(square);
  }
  void add(const render::Edge& edge) {
    const auto& [width, colour] = edge;
    add(width);
    add(colour);
  }
  void add(const render::PathItem& item) {
    const auto& [path, stroke, fill, kept, edge] = item;
    add(path);
    add(stroke);
    add(fill);
    add(kept);
    add(edge);
  }
  void add(const render::RectItem& item) {
    const auto& [box, stroke, fill, kept] = item;
    add(box);
    add(stroke);
    add(fill);
    add(kept);
  }
  void add(const render::LineItem& item) {
    const auto& [from, to, stroke] = item;
    add(from);
    add(to);
    add(stroke);
  }
  void add(const render::TextItem& item) {
    const auto& [at, text, size, bold, anchor, colour, width] = item;
    add(at);
    add(text);
    add(size);
    add(bold);
    add(static_cast<std::uint64_t>(anchor));
    add(colour);
    add(width);
  }
  void add(const render::SymbolItem& item) {
    const auto& [symbol, at, colour] = item;
    add(std::uint64_t{symbol});
    add(at);
    add(colour);
  }
  void add(const render::GroupStart& group) {
    const auto& [title, area, row] = group;
    add(title);
    add(area);
    add(row);
  }
  void add(const render::GroupEnd&) {}
  void add(const render::Item& item) {
    add(std::uint64_t{item.index()});
    std::visit([this](const auto& each) { add(each); }, item);
  }
  void add(const render::Symbol& symbol) {
    const auto& [id, width, height, stroke, fill, stroke_width, name, meaning] = symbol;
    add(id);
    for (const double each : {width, height, stroke_width}) add(each);
    add(stroke);
    add(fill);
    add(name);
    add(meaning);
  }
  void add(const render::Place& place) {
    const auto& [name, at, level, title] = place;
    add(name);
    add(at);
    add(level);
    add(title);
  }
  void add(const render::Link& link) {
    const auto& [area, to] = link;
    add(area);
    add(to);
  }
  void add(const render::Drawing& drawing) {
    const auto& [name, width, height, title, description, symbols, items, places, links] = drawing;
    for (const std::string& each : {name, title, description}) add(each);
    add(width);
    add(height);
    add(symbols);
    add(items);
    add(places);
    add(links);
  }

  Fingerprint result() const { return print_.result(); }

 private:
  Fingerprinter print_;
};

}  // namespace

Fingerprint fingerprint_of(const std::vector<const render::Drawing*>& drawings, const std::string& how) {
  Printer printer;
  printer.add(how);
  for (const render::Drawing* each : drawings) printer.add(*each);
  return printer.result();
}

render::Bytes DrawnFiles::file(const Fingerprint& of, const std::function<render::Bytes()>& draw) {
  const Key key{of.high, of.low};
  {
    const std::lock_guard lock(busy_);
    if (const auto known = places_.find(key); known != places_.end()) {
      files_.splice(files_.begin(), files_, known->second);
      return known->second->second;
    }
  }
  render::Bytes drawn = draw();
  const auto* bytes = std::get_if<std::string>(&drawn);
  if (!bytes || bytes->size() > most_bytes_) return drawn;
  const std::lock_guard lock(busy_);
  if (places_.count(key) > 0) return drawn;  // by another thread, meanwhile
  files_.emplace_front(key, *bytes);
  places_[key] = files_.begin();
  bytes_ += bytes->size();
  while (bytes_ > most_bytes_) {
    bytes_ -= files_.back().second.size();
    places_.erase(files_.back().first);
    files_.pop_back();
  }
  return drawn;
}

std::size_t DrawnFiles::bytes() const {
  const std::lock_guard lock(busy_);
  return bytes_;
}

}  // namespace wale
