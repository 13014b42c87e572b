// The net of loops: what the naive knitter has on her needle, and what each of her loops was drawn through.
#include "compiler/loop_mesh.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <random>

#include "compiler/check.hpp"
#include "compiler/fabric.hpp"
#include "tests/unit/naive.hpp"
#include "tests/unit/random_fabric.hpp"

using namespace wale;

namespace {

Mesh mesh_of(const Fabric& fabric, long long n, const Stitches& stitches, int cycles = 1) {
  std::vector<MeshRow> rows;
  for (int i = 0; i < cycles; ++i)
    for (const CheckedRow& row : fabric.rows) rows.push_back({&row, n});
  return make_mesh(rows, stitches);
}

/// Where the needle of a row is not the naive knitter's, or nothing.
std::string compare(const Fabric& fabric, long long n, const Stitches& stitches) {
  std::vector<Loop> loops = fabric.entry_at(n).loops(100'000);
  for (Loop& loop : loops) loop.face = Face::knit;
  const naive::Outcome real = naive::work(naive::rows_of(fabric), fabric.form, loops, stitches, true);
  if (!real.good) return "the naive knitter cannot work it";
  const Mesh mesh = mesh_of(fabric, n, stitches);
  if (mesh.needles.size() != real.lines.size()) return "rows";
  for (std::size_t row = 0; row < real.lines.size(); ++row) {
    if (mesh.needles[row].size() != real.lines[row].size())
      return fmt::format("loops after row {}: {}, and hers {}", row, mesh.needles[row].size(),
                         real.lines[row].size());
    for (std::size_t i = 0; i < real.lines[row].size(); ++i) {
      const MeshLoop& loop = mesh.loops[static_cast<std::size_t>(mesh.needles[row][i])];
      if (loop.row < 0) continue;
      if (loop.face != real.lines[row][i].face) return fmt::format("face of loop {} after row {}", i, row);
      // Hers has the strand of its veil, which is a loop of its own here.
      const bool veiled = real.lines[row][i].type == LoopType::veiled;
      if (!veiled && real.lines[row][i].strand >= 0 && loop.strand != real.lines[row][i].strand)
        return fmt::format("strand of loop {} after row {}", i, row);
    }
  }
  return "";
}

Checked checked(const std::string& text) {
  Checked out = check(Source("t.wale", text, 1));
  REQUIRE(!out.diagnostics.has_errors());
  return out;
}

}  // namespace

TEST_CASE("after every row the mesh holds the loops that the naive knitter holds") {
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  naive::Dice dice(seed);
  int compared = 0;
  for (int i = 0; i < 900; ++i) {
    const naive::Sketch sketch = i % 3 == 0   ? naive::random_plain(dice)
                                 : i % 3 == 1 ? naive::random_typed(dice)
                                              : naive::random_turning(dice);
    Fabric fabric = naive::fabric_of(sketch);
    Diagnostics diagnostics;
    prove(fabric, naive::vocabulary(), naive::two_strands(), diagnostics);
    if (!fabric.good || fabric.width.at(fabric.smallest_n + 1) > 200) continue;
    for (long long n = fabric.smallest_n; n <= fabric.smallest_n + 1; ++n) {
      INFO(naive::words_of(sketch));
      CHECK(compare(fabric, n, naive::vocabulary()) == "");
      ++compared;
    }
  }
  MESSAGE(compared, " needles compared");
  CHECK(compared > 300);
}

TEST_CASE("every loop of stockinette is drawn through one, and lies where the chart has it") {
  const Checked pattern = checked("fabric f flat n st { 1: <k>  2: <p> }\n");
  Mesh mesh = mesh_of(pattern.pattern.fabrics[0], 9, *pattern.stitches, 5);
  settle(mesh);
  for (const MeshLoop& loop : mesh.loops) {
    if (loop.row < 0) continue;
    REQUIRE(loop.parents.size() == 1);
    CHECK(mesh.loops[static_cast<std::size_t>(loop.parents[0])].row == loop.row - 1);
    CHECK(loop.y == doctest::Approx(loop.row));
  }
  for (const auto& needle : mesh.needles)
    for (std::size_t i = 0; i < needle.size(); ++i)
      CHECK(mesh.loops[static_cast<std::size_t>(needle[i])].x == doctest::Approx(static_cast<double>(i)));
}

TEST_CASE("a crossing exchanges its strips, and the front one lies over the other") {
  // 2/1rc: two in front of one, moving right. From the right edge: 0 1 2 before, so 1 2 0 after.
  const Checked pattern = checked("fabric f round 3 st { 1: k3  2: 2/1rc  3: k3 }\n");
  Mesh mesh = mesh_of(pattern.pattern.fabrics[0], 0, *pattern.stitches);
  const auto from = [&](std::size_t place) {
    const MeshLoop& loop = mesh.loops[static_cast<std::size_t>(mesh.needles[1][place])];
    REQUIRE(loop.parents.size() == 1);
    for (std::size_t i = 0; i < mesh.needles[0].size(); ++i)
      if (mesh.needles[0][i] == loop.parents[0]) return static_cast<int>(i);
    return -1;
  };
  CHECK(from(0) == 1);
  CHECK(from(1) == 2);
  CHECK(from(2) == 0);
  settle(mesh);
  const auto lies = [&](std::size_t place) {
    return mesh.loops[static_cast<std::size_t>(mesh.needles[0][place])].lies;
  };
  CHECK(lies(0) == MeshLoop::Lies::under);
  CHECK(lies(1) == MeshLoop::Lies::over);
  CHECK(lies(2) == MeshLoop::Lies::over);
}

TEST_CASE("the stitch from which a decrease leans lies on top") {
  const auto top = [](const std::string& stitch, int count) {
    const Checked pattern =
        checked(fmt::format("fabric f round {} st {{ 1: k{}  2: {} }}\n", count, count, stitch));
    const Mesh mesh = mesh_of(pattern.pattern.fabrics[0], 0, *pattern.stitches);
    for (std::size_t i = 0; i < mesh.needles[0].size(); ++i)
      if (mesh.loops[static_cast<std::size_t>(mesh.needles[0][i])].lies == MeshLoop::Lies::over)
        return static_cast<int>(i);
    return -1;
  };
  // Counted from the right: leaning right, the left stitch covers the right one.
  CHECK(top("k2tog", 2) == 1);
  CHECK(top("ssk", 2) == 0);
  CHECK(top("s2kp", 3) == 1);
}

TEST_CASE("a brioche stitch is drawn through a stitch and its veil, and two passes are one row high") {
  const Checked pattern = checked(
      "strand M = m\nstrand C = c\nyarn m \"M\" 50 g = 100 m\nyarn c \"C\" 50 g = 100 m\n"
      "fabric f round 2n st {\n 1 M: <brk sl1yo>\n 1 C: <sl1yo brp>\n}\n");
  const Mesh mesh = mesh_of(pattern.pattern.fabrics[0], 2, *pattern.stitches, 3);
  int through_veil = 0;
  for (const MeshLoop& loop : mesh.loops)
    if (loop.row >= 2 && !loop.veil) {
      REQUIRE(loop.parents.size() == 2);
      const MeshLoop &slipped = mesh.loops[static_cast<std::size_t>(loop.parents[0])],
                     &veil = mesh.loops[static_cast<std::size_t>(loop.parents[1])];
      CHECK(veil.veil);
      CHECK(slipped.strand == loop.strand);
      CHECK(veil.strand != loop.strand);
      CHECK(loop.y - slipped.y == doctest::Approx(1));
      ++through_veil;
    }
  CHECK(through_veil == 8);
}

TEST_CASE("lace and cables stay whole: neighbours keep their order and about their distance") {
  const Checked pattern = checked(
      "fabric lace flat 6n + 1 st { 1: <k yo ssk k k2tog yo> k  2: <p> }\n"
      "fabric fan flat 18n st { 1: <3(k2tog) 6(yo k) 3(k2tog)>  2: <p> }\n");
  for (const Fabric& fabric : pattern.pattern.fabrics) {
    INFO(fabric.name);
    Mesh mesh = mesh_of(fabric, 3, *pattern.stitches, 6);
    settle(mesh);
    for (const auto& needle : mesh.needles)
      for (std::size_t i = 0; i + 1 < needle.size(); ++i) {
        const double apart = mesh.loops[static_cast<std::size_t>(needle[i + 1])].x -
                             mesh.loops[static_cast<std::size_t>(needle[i])].x;
        CHECK(apart > 0.3);
        CHECK(apart < 1.9);  // six stitches more in a row, all in one place
      }
  }
}
