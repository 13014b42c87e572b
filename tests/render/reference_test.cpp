// What is drawn looks like the pictures in `references`, that people have looked at.
#include <doctest/doctest.h>

#include <algorithm>

#include "compiler/files.hpp"
#include "tests/render/references.hpp"

using namespace wale::render;
using namespace wale::render::sample;

namespace {

double from_reference(const Raster& picture, const std::string& name) {
  std::string reason;
  const auto bytes = wale::read_file(WALE_SOURCE_DIR "/tests/render/references/" + name + ".png", reason);
  INFO(reason);
  REQUIRE(bytes);
  return apart(picture, read_png(*bytes), reference_softness);
}

std::vector<std::size_t> symbols_of(const Drawing& drawing) {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < drawing.items.size(); ++i)
    if (const auto* item = std::get_if<SymbolItem>(&drawing.items[i]);
        item &&
        !(drawing.symbols[item->symbol].stroke == Path{} && drawing.symbols[item->symbol].fill == Path{}))
      out.push_back(i);
  return out;
}

/// The drawing with all but its texts moved: those are set on whole pixels.
Drawing moved(const Drawing& drawing, double by) {
  Drawing out;
  append(out, drawing, {by, by});
  out.width = drawing.width;
  out.height = drawing.height;
  for (std::size_t i = 0; i < out.items.size(); ++i)
    if (std::holds_alternative<TextItem>(out.items[i])) out.items[i] = drawing.items[i];
  return out;
}

}  // namespace

TEST_CASE("every picture looks like its reference") {
  double furthest = 0;
  const std::vector<Drawing> drawings = reference_drawings(WALE_SOURCE_DIR);
  REQUIRE(drawings.size() >= 5);
  for (const Drawing& drawing : drawings) {
    CAPTURE(drawing.name);
    INFO("if the new picture is right, renew it: tests/render/references/renew (and look at it)");
    const double off = from_reference(rasterise(drawing, reference_dots), drawing.name);
    CHECK(off <= reference_tolerance);
    furthest = std::max(furthest, off);
  }
  MESSAGE("the furthest from its reference: " << furthest << " of " << reference_tolerance);
}

TEST_CASE("a symbol that moved by a sixth of a square, that is missing or another, is not its reference") {
  double least = 1;
  int with_symbols = 0;
  for (const Drawing& drawing : reference_drawings(WALE_SOURCE_DIR)) {
    const std::vector<std::size_t> symbols = symbols_of(drawing);
    with_symbols += !symbols.empty();
    // A few of them, evenly: each picture is drawn thrice for each.
    for (std::size_t i = 0; i < symbols.size(); i += 1 + symbols.size() / 5) {
      CAPTURE(drawing.name);
      CAPTURE(i);
      const auto place = static_cast<std::ptrdiff_t>(symbols[i]);
      const auto& symbol = std::get<SymbolItem>(drawing.items[symbols[i]]);
      const auto unlike = [&](const Drawing& changed) {
        const double off = from_reference(rasterise(changed, reference_dots), drawing.name);
        CHECK(off > reference_tolerance);
        least = std::min(least, off);
      };
      Drawing elsewhere = drawing;
      std::get<SymbolItem>(elsewhere.items[symbols[i]]).at.y += drawing.symbols[symbol.symbol].height / 6;
      unlike(elsewhere);
      Drawing gone = drawing;
      gone.items.erase(gone.items.begin() + place);
      unlike(gone);
      Drawing other = drawing;
      auto& exchanged = std::get<SymbolItem>(other.items[symbols[i]]).symbol;
      exchanged = (exchanged + 1) % drawing.symbols.size();
      if (drawing.symbols[exchanged].width == drawing.symbols[symbol.symbol].width &&
          drawing.symbols.size() > 1)
        unlike(other);
    }
  }
  CHECK(with_symbols >= 5);
  MESSAGE("the nearest to its reference of those changed: " << least);
}

TEST_CASE("a fabric in which a row's legs have another colour is not its reference") {
  double least = 1;
  int changed = 0;
  for (const Drawing& drawing : reference_drawings(WALE_SOURCE_DIR)) {
    CAPTURE(drawing.name);
    // What lies in front: legs, in the last paths.
    for (std::size_t i = drawing.items.size(); i-- > 0 && i + 3 > drawing.items.size();) {
      const auto* threads = std::get_if<PathItem>(&drawing.items[i]);
      if (!threads || !threads->edge) continue;
      Drawing recoloured = drawing;
      std::get<PathItem>(recoloured.items[i]).stroke->colour = readable_ink(threads->stroke->colour);
      const double off = from_reference(rasterise(recoloured, reference_dots), drawing.name);
      CHECK(off > reference_tolerance);
      least = std::min(least, off);
      ++changed;
    }
  }
  CHECK(changed >= 3);
  MESSAGE("the nearest to its reference with a row in another colour: " << least);
}

TEST_CASE("a picture smoothed otherwise is still its reference") {
  // A third of a pixel, on which every edge falls elsewhere; and twice the dots, taken down again.
  double furthest = 0;
  for (const Drawing& drawing : reference_drawings(WALE_SOURCE_DIR)) {
    CAPTURE(drawing.name);
    const double off =
        from_reference(rasterise(moved(drawing, 0.33 * 72 / reference_dots), reference_dots), drawing.name);
    const Raster fine = softened(rasterise(drawing, 3 * reference_dots), 1);
    Raster coarse = rasterise(drawing, reference_dots);
    for (int y = 0; y < coarse.height; ++y)
      for (int x = 0; x < coarse.width; ++x)
        coarse.dark[static_cast<std::size_t>(y * coarse.width + x)] =
            fine.at(std::min(3 * x + 1, fine.width - 1), std::min(3 * y + 1, fine.height - 1));
    const double again = from_reference(coarse, drawing.name);
    CHECK(off <= reference_tolerance);
    CHECK(again <= reference_tolerance);
    furthest = std::max({furthest, off, again});
  }
  MESSAGE("the furthest of those smoothed otherwise: " << furthest);
}
