// What is kept of files that were drawn: the same bytes as drawn anew, and nothing that has changed since.
#include "compiler/drawn_files.hpp"

#include <doctest/doctest.h>

#include "compiler/outputs.hpp"
#include "pattern_files.hpp"

using namespace wale;
using render::Drawing;

namespace {

/// With one thing of each kind.
Drawing with_everything() {
  Drawing out;
  out.name = "rib";
  out.title = "Rib";
  out.description = "Two stitches by two rows.";
  out.width = 60;
  out.height = 20;
  render::Path path;
  path.move_to({1, 2});
  path.curve_to({3, 4}, {5, 6}, {7, 8});
  out.symbols.push_back({"k", 9, 10, path, path, 1, "k", "knit"});
  out.items = {render::PathItem{path, render::Stroke{1, {1, 2, 3}, 2, false}, render::Colour{4, 5, 6}, false,
                                render::Edge{3, {7, 8, 9}}},
               render::RectItem{{1, 2, 3, 4}, render::Stroke{}, render::Colour{}, false},
               render::LineItem{{1, 2}, {3, 4}, {}},
               render::TextItem{{1, 2}, "k2", 9, false, render::Anchor::start, {}, 11},
               render::SymbolItem{0, {1, 2}, {}},
               render::GroupStart{"Row 1", render::Box{1, 2, 3, 4}, "1"},
               render::GroupEnd{}};
  out.places.push_back({"chart", {1, 2}, 1, "Chart"});
  out.links.push_back({{1, 2, 3, 4}, "chart"});
  return out;
}

template <class Item>
Item& item(Drawing& drawing) {
  for (render::Item& each : drawing.items)
    if (auto* found = std::get_if<Item>(&each)) return *found;
  throw "none";
}

using Change = void (*)(Drawing&);

/// Each changes one thing.
const Change changes[] = {
    [](Drawing& d) { d.name += "x"; },
    [](Drawing& d) { d.title += "x"; },
    [](Drawing& d) { d.description += "x"; },
    [](Drawing& d) { d.width += 1; },
    [](Drawing& d) { d.height += 1; },
    [](Drawing& d) { d.symbols.push_back(d.symbols.front()); },
    [](Drawing& d) { d.symbols.front().id += "x"; },
    [](Drawing& d) { d.symbols.front().width += 1; },
    [](Drawing& d) { d.symbols.front().height += 1; },
    [](Drawing& d) { d.symbols.front().stroke.segments.pop_back(); },
    [](Drawing& d) { d.symbols.front().fill.segments.pop_back(); },
    [](Drawing& d) { d.symbols.front().stroke_width += 1; },
    [](Drawing& d) { d.symbols.front().name += "x"; },
    [](Drawing& d) { d.symbols.front().meaning += "x"; },
    [](Drawing& d) { item<render::PathItem>(d).path.segments[1].kind = render::Segment::Kind::line; },
    [](Drawing& d) { item<render::PathItem>(d).path.segments[1].to.x += 0.001; },
    [](Drawing& d) { item<render::PathItem>(d).path.segments[1].to.y += 0.001; },
    [](Drawing& d) { item<render::PathItem>(d).path.segments[1].control1.x += 1; },
    [](Drawing& d) { item<render::PathItem>(d).path.segments[1].control2.y += 1; },
    [](Drawing& d) { item<render::PathItem>(d).stroke->width += 1; },
    [](Drawing& d) { item<render::PathItem>(d).stroke->colour.red ^= 1; },
    [](Drawing& d) { item<render::PathItem>(d).stroke->colour.green ^= 1; },
    [](Drawing& d) { item<render::PathItem>(d).stroke->colour.blue ^= 1; },
    [](Drawing& d) { item<render::PathItem>(d).stroke->dash += 1; },
    [](Drawing& d) { item<render::PathItem>(d).stroke->square = true; },
    [](Drawing& d) { item<render::PathItem>(d).stroke.reset(); },
    [](Drawing& d) { item<render::PathItem>(d).fill.reset(); },
    [](Drawing& d) { item<render::PathItem>(d).fill->red ^= 1; },
    [](Drawing& d) { item<render::PathItem>(d).kept = true; },
    [](Drawing& d) { item<render::PathItem>(d).edge.reset(); },
    [](Drawing& d) { item<render::PathItem>(d).edge->width += 1; },
    [](Drawing& d) { item<render::PathItem>(d).edge->colour.blue ^= 1; },
    [](Drawing& d) { item<render::RectItem>(d).box.x += 1; },
    [](Drawing& d) { item<render::RectItem>(d).box.y += 1; },
    [](Drawing& d) { item<render::RectItem>(d).box.width += 1; },
    [](Drawing& d) { item<render::RectItem>(d).box.height += 1; },
    [](Drawing& d) { item<render::RectItem>(d).stroke.reset(); },
    [](Drawing& d) { item<render::RectItem>(d).fill.reset(); },
    [](Drawing& d) { item<render::RectItem>(d).kept = true; },
    [](Drawing& d) { item<render::LineItem>(d).from.x += 1; },
    [](Drawing& d) { item<render::LineItem>(d).to.y += 1; },
    [](Drawing& d) { item<render::LineItem>(d).stroke.width += 1; },
    [](Drawing& d) { item<render::TextItem>(d).at.x += 1; },
    [](Drawing& d) { item<render::TextItem>(d).text += "x"; },
    [](Drawing& d) { item<render::TextItem>(d).size += 1; },
    [](Drawing& d) { item<render::TextItem>(d).bold = true; },
    [](Drawing& d) { item<render::TextItem>(d).anchor = render::Anchor::end; },
    [](Drawing& d) { item<render::TextItem>(d).colour.red ^= 1; },
    [](Drawing& d) { item<render::TextItem>(d).width += 1; },
    [](Drawing& d) { item<render::SymbolItem>(d).symbol = 1; },
    [](Drawing& d) { item<render::SymbolItem>(d).at.x += 1; },
    [](Drawing& d) { item<render::SymbolItem>(d).colour.red ^= 1; },
    [](Drawing& d) { item<render::GroupStart>(d).title += "x"; },
    [](Drawing& d) { item<render::GroupStart>(d).area.reset(); },
    [](Drawing& d) { item<render::GroupStart>(d).row += "x"; },
    [](Drawing& d) { d.items.pop_back(); },
    [](Drawing& d) { std::swap(d.items[0], d.items[1]); },
    [](Drawing& d) { d.places.front().name += "x"; },
    [](Drawing& d) { d.places.front().at.x += 1; },
    [](Drawing& d) { d.places.front().level = 2; },
    [](Drawing& d) { d.places.front().title += "x"; },
    [](Drawing& d) { d.links.front().area.x += 1; },
    [](Drawing& d) { d.links.front().to += "x"; },
    [](Drawing& d) { d.links.clear(); },
};

std::string pattern_with(const std::string& colour, int rows) {
  return "pattern \"Kept\"\nyarn kelp \"Kelp\" 100 g = 200 m #" + colour +
         "\nstrand A = kelp\ngauge 20 st x 28 rows = 10 cm\n"
         "fabric rib flat 4n + 2 st {\n  1: <k2 p2> k2\n  2: <p2 k2> p2\n}\n"
         "piece scarf flat {\n  cast on 42 with A\n  work rib for " +
         std::to_string(rows) + " rows\n  bind off\n}\n";
}

using Files = std::vector<std::pair<std::string, std::string>>;

Files files(const Outputs& outputs) {
  REQUIRE(outputs.failure.empty());
  Files out;
  for (const OutputFile& each : outputs.files) out.emplace_back(each.name, each.bytes);
  return out;
}

}  // namespace

TEST_CASE("whatever of a drawing changes, its fingerprint changes") {
  const Drawing plain = with_everything();
  const Fingerprint before = fingerprint_of({&plain}, "SVG");
  CHECK(fingerprint_of({&plain}, "SVG") == before);
  CHECK(fingerprint_of({&plain}, "PNG") != before);
  CHECK(fingerprint_of({&plain, &plain}, "SVG") != before);
  for (std::size_t i = 0; i < std::size(changes); ++i) {
    CAPTURE(i);
    Drawing changed = with_everything();
    changes[i](changed);
    CHECK(fingerprint_of({&changed}, "SVG") != before);
  }
}

TEST_CASE("what was drawn is kept, the last that were asked for, up to so many bytes") {
  DrawnFiles kept(10);
  int drawn = 0;
  const auto ask = [&](std::uint64_t which, std::size_t size) {
    const render::Bytes got = kept.file({0, which}, [&] {
      ++drawn;
      return render::Bytes(std::string(size, static_cast<char>('a' + which)));
    });
    CHECK(std::get<std::string>(got) == std::string(size, static_cast<char>('a' + which)));
    return std::exchange(drawn, 0);
  };
  CHECK(ask(1, 4) == 1);
  CHECK(ask(2, 4) == 1);
  CHECK(ask(1, 4) == 0);
  CHECK(ask(3, 4) == 1);  // in the place of 2, which was asked for before 1
  CHECK(kept.bytes() == 8);
  CHECK(ask(1, 4) == 0);
  CHECK(ask(2, 4) == 1);
  CHECK(ask(4, 11) == 1);  // too large to be kept
  CHECK(ask(4, 11) == 1);
  CHECK(ask(2, 4) == 0);
  CHECK(kept.bytes() <= 10);
}

TEST_CASE("what cannot be drawn is tried again") {
  DrawnFiles kept;
  int tries = 0;
  const auto fail = [&] {
    ++tries;
    return render::Bytes(render::RenderError{"no"});
  };
  CHECK(std::holds_alternative<render::RenderError>(kept.file({1, 2}, fail)));
  CHECK(std::holds_alternative<render::RenderError>(kept.file({1, 2}, fail)));
  CHECK(tries == 2);
}

TEST_CASE("files of a pattern that are partly kept are those that are drawn anew") {
  struct Save {
    std::string colour;
    int rows;
    bool same, draws;  ///< as the save before; something that was not drawn yet
  };
  DrawnFiles kept;
  std::size_t before = 0;
  Files last;
  for (const auto& [colour, rows, same, draws] :
       {Save{"2f5d50", 40, false, true}, Save{"2f5d50", 40, true, false}, Save{"2f5d50", 60, false, true},
        Save{"2f5d50", 40, false, false}, Save{"c86432", 40, false, true}}) {
    CAPTURE(rows);
    CAPTURE(colour);
    const Compiled compiled = compile({"kept.wale", pattern_with(colour, rows), {}});
    REQUIRE(!compiled.checked.diagnostics.has_errors());
    const Files anew = files(make_outputs(compiled.checked, "s", 0));
    CHECK(files(make_outputs(compiled.checked, "s", 0, {}, {}, &kept)) == anew);
    CHECK((anew == last) == same);
    CHECK((kept.bytes() > before) == draws);
    before = kept.bytes();
    last = anew;
  }
}
