// The document for a left-handed knitter: what is exchanged, what stays, and that two mirrors undo each
// other.
#include "compiler/mirror.hpp"

#include <doctest/doctest.h>

#include "compiler/check.hpp"
#include "compiler/instructions.hpp"
#include "compiler/pattern_document.hpp"

using namespace wale;

namespace {

const char* const sided = "fabric gull flat 9 st {\n  1: k2tog m1l 2/2rc | k yo ssk\n  2: p9\n}\n";

std::vector<render::Chart> charts_of(const DocumentSettings& settings) {
  const Source source("gull.wale", sided, 1);
  const Checked checked = check(source);
  REQUIRE_FALSE(checked.diagnostics.has_errors());
  return make_charts(checked.pattern, *checked.stitches, settings);
}

}  // namespace

TEST_CASE("left and right change places, and the right side stays the right side") {
  CHECK(mirrored_words("from right to left") == "from left to right");
  CHECK(mirrored_words("return 2 to the left needle") == "return 2 to the right needle");
  CHECK(mirrored_words("on the right side, right-side rows") == "on the right side, right-side rows");
  CHECK(mirrored_words("bright, leftover") == "bright, leftover");
}

TEST_CASE("stitches that are called by the side they lean to change their names, and no others do") {
  const Source source("gull.wale", sided, 1);
  const Checked checked = check(source);
  const Stitches mirror = checked.stitches->mirrored();
  for (StitchId id = 0; id < static_cast<StitchId>(mirror.size()); ++id) {
    const Stitch &plain = (*checked.stitches)[id], &other = mirror[id];
    const bool makes_sided = plain.crossing || mirrored_name(plain.name) != plain.name;
    INFO(plain.name);
    CHECK((other.name != plain.name) == makes_sided);
    CHECK(mirrored_name(mirrored_name(plain.name)) == plain.name);
    if (plain.crossing) CHECK(other.name == "2/2lc");
    // The hands do the same, whatever the result is called.
    if (plain.name == "2/2rc") CHECK(other.says == plain.says);
  }
}

TEST_CASE("a mirrored chart begins at the left and is its own mirror's mirror") {
  const render::Chart plain = charts_of({}).at(0), other = charts_of({.mirror = true}).at(0);
  CHECK(plain.rows[0].label_right);
  CHECK_FALSE(other.rows[0].label_right);
  CHECK(other.numbered_from_left);
  CHECK(other.rows[0].words.find("2/2 LC") != std::string::npos);
  CHECK(other.notes[0].find("RS rows from left to right") != std::string::npos);
  const render::Chart back = mirrored(other);
  const std::vector<render::Cell>&before = plain.rows[0].cells, after = back.rows[0].cells;
  REQUIRE(before.size() == after.size());
  for (std::size_t i = 0; i < before.size(); ++i) {
    CHECK(before[i].column == after[i].column);
    CHECK(before[i].mark == after[i].mark);
    CHECK(before[i].marker_after == after[i].marker_after);
  }
  // The first stitch of row 1 stands at the left edge.
  CHECK(other.rows[0].cells.back().column + other.rows[0].cells.back().span == other.columns);
  CHECK(other.rows[0].cells.back().mark == plain.rows[0].cells.front().mark);
}

TEST_CASE("measures give the unit first that is asked for") {
  CHECK(length_words(160) == "160 cm (63 in)");
  CHECK(length_words(160, Units::inches) == "63 in (160 cm)");
}
