// What is wrong with a drawing, seen from outside: texts that cover each other, and things that leave the
// page.
//
//     CHECK(geometry_faults(drawing) == std::vector<std::string>{});
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "render/geometry.hpp"

namespace wale::render::check {

inline constexpr double tolerance = 0.25;  // points

inline std::vector<const TextItem*> texts_of(const Drawing& drawing) {
  std::vector<const TextItem*> texts;
  for (const Item& item : drawing.items) {
    if (const auto* text = std::get_if<TextItem>(&item)) texts.push_back(text);
  }
  return texts;
}

/// The texts would be gone with a drawing that has no name.
std::vector<const TextItem*> texts_of(Drawing&&) = delete;

/// One line per pair of texts whose boxes overlap. Sweeps downwards, so that large pages stay quick.
inline std::vector<std::string> text_overlaps(const Drawing& drawing) {
  std::vector<const TextItem*> texts = texts_of(drawing);
  std::sort(texts.begin(), texts.end(),
            [](const TextItem* a, const TextItem* b) { return text_box(*a).y < text_box(*b).y; });
  std::vector<std::string> faults;
  std::vector<const TextItem*> open;
  for (const TextItem* text : texts) {
    const Box box = text_box(*text);
    std::erase_if(open,
                  [&](const TextItem* above) { return text_box(*above).bottom() <= box.y + tolerance; });
    for (const TextItem* other : open) {
      const Box beside = text_box(*other);
      if (std::min(box.right(), beside.right()) - std::max(box.x, beside.x) > tolerance) {
        faults.push_back(
            fmt::format("\"{}\" overlaps \"{}\" at ({:.1f}, {:.1f})", text->text, other->text, box.x, box.y));
      }
    }
    open.push_back(text);
  }
  return faults;
}

/// The box of anything that leaves ink.
struct ItemBox {
  const Drawing& drawing;
  Box operator()(const PathItem& item) const { return bounds(item.path); }
  Box operator()(const RectItem& item) const { return item.box; }
  Box operator()(const LineItem& item) const {
    return {std::min(item.from.x, item.to.x), std::min(item.from.y, item.to.y),
            std::abs(item.from.x - item.to.x), std::abs(item.from.y - item.to.y)};
  }
  Box operator()(const TextItem& item) const { return text_box(item); }
  Box operator()(const SymbolItem& item) const {
    const Symbol& symbol = drawing.symbols.at(item.symbol);
    return {item.at.x, item.at.y, symbol.width, symbol.height};
  }
  Box operator()(const GroupStart& item) const { return item.area.value_or(Box{}); }
  Box operator()(const GroupEnd&) const { return {}; }
};

/// One line per item that leaves the page, or the page less `margin` on each side.
inline std::vector<std::string> strays(const Drawing& drawing, double margin = 0) {
  std::vector<std::string> faults;
  for (const Item& item : drawing.items) {
    const Box box = std::visit(ItemBox{drawing}, item);
    const bool nothing = box == Box{};
    const bool inside = box.x >= margin - tolerance && box.y >= margin - tolerance &&
                        box.right() <= drawing.width - margin + tolerance &&
                        box.bottom() <= drawing.height - margin + tolerance;
    if (nothing || inside) continue;
    const auto* text = std::get_if<TextItem>(&item);
    faults.push_back(
        fmt::format("{} leaves the page: ({:.1f}, {:.1f}) to ({:.1f}, {:.1f}) of {:.1f} x {:.1f}",
                    text != nullptr ? "\"" + text->text + "\"" : "item " + std::to_string(item.index()),
                    box.x, box.y, box.right(), box.bottom(), drawing.width, drawing.height));
  }
  return faults;
}

/// Everything that is wrong.
inline std::vector<std::string> geometry_faults(const Drawing& drawing, double margin = 0) {
  std::vector<std::string> faults = text_overlaps(drawing);
  for (std::string& fault : strays(drawing, margin)) faults.push_back(std::move(fault));
  return faults;
}

/// Faults as one text, empty when there are none: readable when a check fails.
inline std::string fault_report(const Drawing& drawing, double margin = 0) {
  std::string report;
  for (const std::string& fault : geometry_faults(drawing, margin)) report += fault + "\n";
  return report;
}

}  // namespace wale::render::check
