// The schematic of whole patterns: which measures it has, what they are in every size, and when there is
// none.
#include "compiler/schematic.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/check.hpp"
#include "compiler/outline_measures.hpp"
#include "compiler/outputs.hpp"
#include "tests/unit/pattern_files.hpp"

using namespace wale;

namespace {

Checked checked(const std::string& text) {
  Checked out = check(Source("p.wale", text, 1));
  INFO(text);
  REQUIRE_FALSE(out.diagnostics.has_errors());
  return out;
}
Checked example(const std::string& name) {
  const std::string text = read_project_file("examples/" + name + ".wale");
  REQUIRE_FALSE(text.empty());
  return checked(text);
}

std::vector<const Pattern*> sizes_of(const Checked& pattern) {
  std::vector<const Pattern*> out{&pattern.pattern};
  for (const Pattern& each : pattern.larger) out.push_back(&each);
  return out;
}

const Piece& piece_of(const Pattern& pattern, const std::string& name) {
  return *std::find_if(pattern.pieces.begin(), pattern.pieces.end(),
                       [&](const Piece& piece) { return piece.name == name; });
}

/// In cm; -1 where there is no such measure.
double measured(const Pattern& pattern, const std::string& piece, const std::string& words) {
  const PieceOutline outline = outline_of(piece_of(pattern, piece), pattern);
  for (const OutlineMeasure& each : outline_measures(outline.outlines.at(0)))
    if (each.words == words) return each.cm;
  return -1;
}

const std::string garter =
    "fabric garter flat n st { every: <k> }\nfabric rib round 4n st { every: <k2 p2> }\n";

}  // namespace

TEST_CASE("a slipover's measures are those that its author asked for, in every size") {
  const Checked slipover = example("harbour-slipover");
  const std::vector<const Pattern*> sizes = sizes_of(slipover);
  REQUIRE(sizes.size() == 9);
  // As the file says; rows come in pairs of 10 / 14 cm, stitches are 0.5 cm wide.
  const double pair = 10 / 14.0, stitch = 0.5;
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    INFO(sizes[i]->size);
    const double to_yoke[] = {34, 35, 35, 36, 36, 37, 37, 38, 38},
                 neck[] = {15, 15, 16, 16, 17, 17, 18, 18, 18};
    for (const char* piece : {"back", "front"}) {
      CHECK(std::abs(measured(*sizes[i], piece, "length to the armhole") - to_yoke[i]) <= 1.5 * pair);
      CHECK(std::abs(measured(*sizes[i], piece, "depth of the armhole") - (19 + static_cast<double>(i))) <=
            1.5 * pair);
      CHECK(std::abs(measured(*sizes[i], piece, "height of the rib") - 6) <= pair);
      CHECK(std::abs(measured(*sizes[i], piece, "width of the neck") - neck[i]) <= 2 * stitch);
    }
    CHECK(std::abs(measured(*sizes[i], "front", "depth of the neck") - 7) <= pair);
    const double shoulder = measured(*sizes[i], "back", "width of the shoulder"),
                 across = measured(*sizes[i], "back", "width across the top");
    CHECK(2 * shoulder + measured(*sizes[i], "back", "width of the neck") == doctest::Approx(across));
    CHECK(measured(*sizes[i], "front", "width of the shoulder") == doctest::Approx(shoulder));
  }
}

TEST_CASE("several sizes have letters and a table, one size has figures at the lines") {
  const Checked slipover = example("harbour-slipover");
  const auto all = make_schematic(sizes_of(slipover), {});
  REQUIRE(all);
  CHECK(all->shapes.size() == 3);  // the cords along the armholes have no width to draw
  CHECK(all->table_in_picture);
  CHECK(all->table.header.size() == 10);
  for (const auto& row : all->table.rows) {
    REQUIRE(row.size() == 10);
    for (const std::string& cell : row) CHECK(cell != "-");
  }
  // Each letter has a row, and front and back share those that are alike.
  for (const render::Shape& shape : all->shapes)
    for (const render::Measure& measure : shape.measures) {
      REQUIRE(measure.label.size() == 1);
      CHECK(std::any_of(all->table.rows.begin(), all->table.rows.end(),
                        [&](const auto& row) { return row[0].starts_with(measure.label[0] + ". "); }));
    }
  CHECK(all->table.rows[0][0] == "A. Back and front: width at the cast-on edge");
  const Pattern& middle = slipover.larger.at(3);
  const auto one = make_schematic({&middle}, {.units = Units::inches});
  REQUIRE(one);
  CHECK_FALSE(one->table_in_picture);
  CHECK(one->shapes[0].measures[0].label == std::vector<std::string>{"24 in", "(61 cm)"});
}

TEST_CASE("a scarf is a rectangle with two measures, and what has no gauge has no schematic") {
  const std::string scarf =
      garter + "piece scarf flat {\n  cast on 40\n  work garter for 200 rows\n  bind off\n}\n";
  const Checked with = checked("gauge 20 st x 40 rows = 10 cm\n" + scarf), without = checked(scarf);
  CHECK_FALSE(make_schematic({&without.pattern}, {}));
  const auto drawn = make_schematic({&with.pattern}, {});
  REQUIRE(drawn);
  REQUIRE(drawn->shapes.size() == 1);
  REQUIRE(drawn->shapes[0].measures.size() == 2);
  CHECK(drawn->shapes[0].measures[0].label[0] == "20 cm");
  CHECK(drawn->shapes[0].measures[1].label[0] == "50 cm");
  CHECK(drawn->shapes[0].grounds.at(0).size() == 5);
  const Checked seams = checked("gauge 20 st x 40 rows = 10 cm\n" + garter);
  CHECK_FALSE(make_schematic({&seams.pattern}, {}));
}

TEST_CASE("mirrored, each shape is its mirror image with the same measures") {
  const Checked mitts = example("beacon-mitts");
  const auto plain = make_schematic(sizes_of(mitts), {}),
             mirrored = make_schematic(sizes_of(mitts), {.mirror = true});
  REQUIRE((plain && mirrored));
  // Letters go from left to right, and so the other way round.
  const auto rows = [](const render::Schematic& schematic) {
    std::vector<std::vector<std::string>> out = schematic.table.rows;
    for (auto& row : out) row[0].erase(0, row[0].find(' '));
    std::sort(out.begin(), out.end());
    return out;
  };
  CHECK(rows(*plain) == rows(*mirrored));
  const auto reach = [](const render::Schematic& schematic) {
    double left = 1e9, right = -1e9;
    for (const render::ShapeLine& line : schematic.shapes.at(0).lines)
      for (const render::Point& p : line.points) left = std::min(left, p.x), right = std::max(right, p.x);
    return std::pair(left, right);
  };
  // The thumb stands on the other side.
  CHECK(reach(*plain).first == doctest::Approx(-reach(*mirrored).second));
  CHECK(reach(*plain).second == doctest::Approx(-reach(*mirrored).first));
  CHECK(reach(*plain).first != doctest::Approx(reach(*mirrored).first));
}

TEST_CASE("front and back of a body in the round lie on each other, as wide as the body") {
  const Checked tunic = example("windward-tunic");
  const Pattern& pattern = tunic.pattern;
  const PieceOutline outline = outline_of(piece_of(pattern, "body"), pattern);
  const auto& limbs = outline.outlines.at(0).limbs;
  REQUIRE(limbs.size() == 3);
  CHECK(limbs[1].behind);
  CHECK_FALSE(limbs[2].behind);
  for (const std::size_t i : {1, 2}) {
    CHECK(limbs[i].right.at(0).corners.front() == limbs[0].right.at(0).corners.back());
    CHECK(limbs[i].left.at(0).corners.front() == limbs[0].left.at(0).corners.back());
  }
}

TEST_CASE("the schematic is a file of its own, the same each time, and a PNG where that is asked for") {
  const Checked shawl = example("tideline-shawl");
  const auto file = [&](const DocumentSettings& settings, const std::string& name) {
    const Outputs outputs = make_outputs(shawl, "s", {}, settings);
    const auto found = std::find_if(outputs.files.begin(), outputs.files.end(),
                                    [&](const OutputFile& each) { return each.name == name; });
    return found == outputs.files.end() ? std::string() : found->bytes;
  };
  const std::string svg = file({}, "s.schematic.svg");
  CHECK(svg.find("<svg") != std::string::npos);
  CHECK(svg == file({}, "s.schematic.svg"));
  CHECK(file({}, "s.schematic.png").empty());
  CHECK(file({.png = true}, "s.schematic.png").starts_with("\x89PNG"));
  CHECK(file({}, "s.txt").find("Schematic\n---------") != std::string::npos);
  CHECK(file({}, "s.txt").find("width at the widest") != std::string::npos);
}

TEST_CASE("what no page could hold is named and not drawn") {
  const Checked blanket =
      checked("gauge 20 st x 28 rows = 10 cm\n" + garter +
              "piece blanket flat {\n  cast on 1000000\n  work garter for 100000 rows\n  bind off\n}\n"
              "piece tab flat {\n  cast on 10\n  work garter for 20 rows\n  bind off\n}\n");
  const auto drawn = make_schematic({&blanket.pattern}, {});
  REQUIRE(drawn);
  CHECK(drawn->shapes.size() == 1);
  CHECK(std::any_of(drawn->notes.begin(), drawn->notes.end(),
                    [](const std::string& note) { return note.find("blanket") != std::string::npos; }));
}
