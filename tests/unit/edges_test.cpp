// Edges: how long they are, how what is picked up along them is shared out, and what is joined at them.
// Common practice: about 3 stitches for every 4 rows of plain knitting, one in each stitch that was bound
// off; three-needle bind-off and grafting take stitch for stitch; a seam eases in 1 row in 10.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "compiler/check.hpp"
#include "compiler/instructions.hpp"
#include "compiler/yarn_estimate.hpp"
#include "tests/unit/pattern_files.hpp"
#include "tests/unit/random_fabric.hpp"

using namespace wale;

namespace {

const char* const head =
    "gauge 20 st x 28 rows = 10 cm\nstrand A = a\nyarn a \"Skerry A\" 100 g = 200 m\n"
    "fabric garter flat n st { every: <k> }\nfabric plain flat n st { rs: <k> ws: <p> }\n"
    "fabric rib round 4n st { every: <k2 p2> }\n";

Checked checked(const std::string& pieces) {
  return check(Source("t.wale", head + pieces, 1));
}

std::vector<Kind> kinds(const Checked& checked) {
  std::vector<Kind> out;
  for (const Diagnostic& each : checked.diagnostics.all()) out.push_back(each.kind);
  return out;
}

const Piece& piece(const Checked& checked, const std::string& name) {
  const auto found = std::find_if(checked.pattern.pieces.begin(), checked.pattern.pieces.end(),
                                  [&](const Piece& each) { return each.name == name; });
  REQUIRE(found != checked.pattern.pieces.end());
  return *found;
}

/// What the first step of `border` picks up along `edge`.
AtEdges picked(const std::string& before, const std::string& what, const std::string& form = "flat") {
  const Checked found =
      checked(before + "piece border " + form + " {\n  pick up " + what + "\n  bind off\n}\n");
  INFO(show(found.diagnostics, {vocabulary_source(), Source("t.wale", "", 1)}));
  REQUIRE(kinds(found) == std::vector<Kind>());
  return *piece(found, "border").steps.at(0).at_edges;
}

std::vector<long long> shares(const AtEdges& at) {
  std::vector<long long> out;
  for (const AtEdges::Share& each : at.shares) out.push_back(each.stitches);
  return out;
}

std::string sentence(const std::string& before, const std::string& what) {
  const Checked found = checked(before + "piece border round {\n  pick up " + what +
                                "\n  work rib for 2 rounds\n  bind off\n}\n");
  REQUIRE(kinds(found) == std::vector<Kind>());
  return piece_instructions(piece(found, "border"), found.pattern, *found.stitches).lines.at(0).text;
}

Stretch rows(long long count, long long moved = 0) {
  Stretch out;
  out.rows = count;
  out.stitches = moved;
  out.rows_per_cm = 2.8;
  out.stitches_per_cm = 2;
  return out;
}
Stretch bound(long long count) {
  Stretch out = rows(0, count);
  out.of = Stretch::Of::bound_off;
  return out;
}

}  // namespace

TEST_CASE("an edge is as long as its slant, and without a gauge four rows are three stitches") {
  CHECK(rows(28).length() == doctest::Approx(10));
  // 28 rows are 10 cm high, 48 stitches 24 cm wide: 10, 24, 26 is a right-angled triangle.
  CHECK(rows(28, 48).length() == doctest::Approx(26));
  CHECK(bound(20).length() == doctest::Approx(10));
  Stretch bare = rows(40);
  bare.rows_per_cm = bare.stitches_per_cm = 0;
  CHECK(bare.length() == doctest::Approx(30));
}

TEST_CASE("what is picked up goes in proportion to the lengths, and adds up, whatever the count") {
  for (std::uint64_t seed = 0; seed < 3000; ++seed) {
    naive::Dice dice(seed);
    std::vector<Stretch> from;
    std::vector<double> natural;
    long long places = 0, waiting = 0;
    for (long long i = dice.number(1, 7); i > 0; --i) {
      from.push_back(dice.chance(60) ? rows(dice.number(1, 90), dice.chance(40) ? dice.number(0, 90) : 0)
                                     : bound(dice.number(1, 40)));
      if (dice.chance(10)) from.back() = bound(dice.number(1, 20)), from.back().of = Stretch::Of::held;
      natural.push_back(natural_count(from.back(), 2));
      places += from.back().places();
      if (from.back().of == Stretch::Of::held) waiting += from.back().stitches;
    }
    const long long count = dice.number(std::max(1LL, waiting), places);
    const std::vector<long long> out = share_out(from, natural, count);
    CAPTURE(seed);
    CHECK(std::accumulate(out.begin(), out.end(), 0LL) == count);
    for (std::size_t i = 0; i < out.size(); ++i) {
      CHECK(out[i] >= 0);
      CHECK(out[i] <= from[i].places());
      if (from[i].of == Stretch::Of::held) CHECK(out[i] == from[i].stitches);
    }
  }
}

TEST_CASE("at 20 stitches and 28 rows a straight edge gives 5 stitches for every 7 rows") {
  const std::string front = "piece front flat {\n  cast on 40\n  work plain for 112 rows\n  bind off\n}\n";
  CHECK(shares(picked(front, "along left edge of front")) == std::vector<long long>{80});
  CHECK(pick_up_rate(80, 112) == PickUpRate{3, 4});
  CHECK(pick_up_rate(84, 112) == PickUpRate{3, 4});
  CHECK(pick_up_rate(56, 112) == PickUpRate{1, 2});
  CHECK(pick_up_rate(112, 112) == PickUpRate{1, 1});
  CHECK(shares(picked(front, "4n + 2 along right edge of front")) == std::vector<long long>{82});
}

TEST_CASE("the gauge of the fabric that is worked next says how many stitches an edge gives") {
  const std::string pieces =
      "gauge 24 st x 60 rows = 10 cm, in fine\nfabric fine flat n st { every: <k> }\n"
      "piece front flat {\n  cast on 40\n  work plain for 28 rows\n  bind off\n}\n"
      "piece border flat {\n  pick up along left edge of front\n  work fine for 3 rows\n  bind off\n}\n";
  const Checked found = checked(pieces);
  REQUIRE(kinds(found) == std::vector<Kind>());
  CHECK(piece(found, "border").steps.at(0).after == 24);
}

TEST_CASE("what the gauge asks for beyond one stitch in each row and stitch is left out") {
  // 28 rows of 20 st x 28 rows are 10 cm; at 40 stitches to 10 cm they would be 40.
  const auto border = [](const std::string& count) {
    const Checked found = checked(
        "gauge 40 st x 60 rows = 10 cm, in fine\nfabric fine flat n st { every: <k> }\n"
        "piece front flat {\n  cast on 40\n  work plain for 28 rows\n  bind off\n}\n"
        "piece border flat {\n  pick up " +
        count + "along left edge of front\n  work fine for 3 rows\n  bind off\n}\n");
    REQUIRE(kinds(found) == std::vector<Kind>());
    return piece(found, "border").steps.at(0).after;
  };
  CHECK(border("") == 28);
  CHECK(border("5n + 1 ") == 26);
  CHECK(border("4n ") == 28);
}

TEST_CASE(
    "an armhole is its bound-off stitches, its slope and its straight rows, from the top down at the left") {
  const std::string front =
      "piece front flat {\n  cast on 60\n  work plain for 28 rows\n  call the left edge armhole\n"
      "  narrow 5 each side\n  narrow 1 each side every 2 rows 4 times\n  work even for 28 rows\n  bind "
      "off\n}\n";
  const AtEdges at = picked(front, "along armhole of front");
  REQUIRE(at.shares.size() == 4);
  CHECK(at.shares[0].stretch.rows == 28);
  CHECK(at.shares[1].stretch.rows == 8);
  CHECK(at.shares[1].stretch.stitches == 4);
  CHECK(at.shares[2].stretch.rows == 2);
  CHECK(at.shares[3].stretch.of == Stretch::Of::bound_off);
  // 10 cm are 20 st; hypot(8 / 2.8, 4 / 2) = 3.49 cm are 7; 2 rows are 0.71 cm, 1 st; 5 stitches are 5.
  CHECK(shares(at) == std::vector<long long>{20, 7, 1, 5});
  CHECK(sentence(front, "4n along armhole of front") ==
        "With the RS facing, pick up and knit 32 sts along the armhole of the front: 27 sts down 38 rows "
        "(about 3 for every 4 rows), 1 st in each of the 5 bound-off sts. Join in the round; place a marker "
        "for the beginning of the rnd.");
}

TEST_CASE("stitches bound off in the middle of a row are no part of either side") {
  const auto bound_at_sides = [](const std::string& row) {
    const Checked found = checked("piece p flat {\n  cast on 30\n  rows { 1: " + row +
                                  "\n  2: <p> }\n  work plain for 2 rows\n  bind off\n}\n");
    REQUIRE(kinds(found) == std::vector<Kind>());
    long long out = 0;
    for (const Stretch& each : piece(found, "p").edges)
      if (each.of == Stretch::Of::bound_off && each.where != Stretch::Where::top) out += each.stitches;
    return out;
  };
  CHECK(bound_at_sides("k8 bo14 k8") == 0);
  CHECK(bound_at_sides("bo5 <k>") == 5);
  CHECK(bound_at_sides("<k> bo4") == 4);
}

TEST_CASE("a row that binds off all stitches does so at the edge where it begins, and at no other") {
  const Checked found = checked("piece p flat {\n  cast on 7\n  rows { 1: <k>  2: bo7 }\n}\n");
  REQUIRE(kinds(found) == std::vector<Kind>());
  long long right = 0, left = 0;
  for (const Stretch& each : piece(found, "p").edges)
    if (each.of == Stretch::Of::bound_off)
      (each.where == Stretch::Where::left ? left : right) += each.stitches;
  CHECK(left == 7);
  CHECK(right == 0);
}

TEST_CASE("rows that are counted and not worked lengthen the edges as if they had been worked") {
  const auto edges = [](const std::string& steps) {
    const Checked found = checked("piece p flat {\n  cast on 400\n" + steps + "  bind off\n}\n");
    REQUIRE(kinds(found) == std::vector<Kind>());
    long long rows_there = 0, moved = 0;
    double length = 0;
    for (const Stretch& each : piece(found, "p").edges)
      if (each.where == Stretch::Where::left) {
        rows_there += each.rows;
        moved += each.stitches;
        length += each.length();
      }
    return std::tuple(rows_there, moved, std::llround(length * 1000));
  };
  const std::string once = "  rows { 1: k <k> k2tog yo k  2: <p> }\n  work garter for 2 rows\n";
  std::string forty;
  for (int i = 0; i < 40; ++i) forty += once;
  CHECK(edges("  repeat 40 times {\n" + once + "  }\n") == edges(forty));
  const std::string slope = "  rows { 1: k <k> k2tog k  2: <p> }\n";
  std::string sloping;
  for (int i = 0; i < 30; ++i) sloping += slope;
  CHECK(edges("  repeat 30 times {\n" + slope + "  }\n") == edges(sloping));
  CHECK(edges("  repeat 5 times { repeat 8 times {\n" + once + "  } }\n") == edges(forty));
  CHECK(std::get<0>(edges("  work plain for 100000 rows\n")) == 100000);
}

TEST_CASE("a border over a huge edge costs no more than over a small one, and an absurd one is refused") {
  const Checked huge = checked(
      "piece p flat {\n  cast on 10\n  work plain for 900000 rows\n  bind off\n}\n"
      "piece b flat {\n  pick up along left edge of p\n  work garter for 2 rows\n  bind off\n}\n");
  CHECK(kinds(huge) == std::vector<Kind>());
  CHECK(piece(huge, "b").steps.at(0).after == 642857);  // 900,000 x 20 / 28
  const Checked absurd = checked(
      "piece p flat {\n  cast on 10\n  repeat 1000000000 times { repeat 1000000000 times { work plain for "
      "1000000 "
      "rows } }\n  bind off\n}\npiece b flat {\n  pick up along left edge of p\n  bind off\n}\n");
  CHECK(kinds(absurd) == std::vector{Kind::too_much_work});
}

TEST_CASE("stitches picked up make a right-side row, and a fabric goes on with its second") {
  const Checked found = checked(
      "fabric flat-rib flat 4n + 2 st {\n  1: <k2 p2> k2\n  2: <p2 k2> p2\n}\n"
      "piece p flat {\n  cast on 30\n  work plain for 28 rows\n  bind off\n}\n"
      "piece b flat {\n  pick up 4n + 2 along left edge of p\n  work flat-rib for 3 rows\n  bind off\n}\n");
  REQUIRE(kinds(found) == std::vector<Kind>());
  const Piece& border = piece(found, "b");
  // 22 stitches picked up and knitted; then rows 2, 1 and 2, of 10 + 12, 12 + 10 and 10 + 12 knit and purl.
  const auto worked = [&](const std::string& stitch) {
    return border.tally.find({*found.stitches->find(stitch), 0})->second.base;
  };
  CHECK(border.steps.at(0).after == 22);
  CHECK(worked("k") == 22 + 10 + 12 + 10);
  CHECK(worked("p") == 12 + 10 + 12);
  const auto lines = piece_instructions(border, found.pattern, *found.stitches).lines;
  CHECK(lines.at(1).text == "Work in flat-rib, beginning with its row 2 (WS), for 3 rows.");
}

TEST_CASE("sets of stitches that are joined are as many, and the sum says by how many they are not") {
  const std::string back =
      "piece back flat {\n  cast on 12\n  work plain for 10 rows\n  hold all as top\n}\n";
  const Checked good = checked(back +
                               "piece front flat {\n  cast on 12\n  work plain for 10 rows\n"
                               "  join all to top of back\n}\n");
  CHECK(kinds(good) == std::vector<Kind>());
  const auto lines = piece_instructions(piece(good, "front"), good.pattern, *good.stitches).lines;
  CHECK(lines.back().text.starts_with(
      "Join the 12 sts on the needle to the 12 sts held as top of the back with "
      "a three-needle bind-off: "));
  const Checked bad = checked(back +
                              "piece front flat {\n  cast on 14\n  work plain for 10 rows\n"
                              "  graft all to top of back\n}\n");
  REQUIRE(kinds(bad) == std::vector{Kind::cannot_join});
  CHECK(bad.diagnostics.all()[0].message.starts_with("14 - 12 = 2"));
}

TEST_CASE("stitches held for another piece are not forgotten ones, those for none are") {
  const std::string back =
      "piece back flat {\n  cast on 12\n  work plain for 10 rows\n  hold all as top\n}\n";
  CHECK(kinds(checked(back)) == std::vector{Kind::left_on_needle});
  const Checked taken =
      checked(back + "piece go-on flat {\n  join top of back\n  work plain for 4 rows\n  bind off\n}\n");
  CHECK(kinds(taken) == std::vector<Kind>());
  CHECK(piece(taken, "go-on").steps.at(0).after == 12);
}

TEST_CASE("a yoke is as wide as what is joined for it, in the order in which it is joined") {
  const Checked found = checked(
      "piece body round {\n  cast on 80\n  work rib for 4 rounds\n  hold 40 as front\n  hold all as back\n}\n"
      "piece arm round {\n  cast on 28\n  work rib for 4 rounds\n  hold all as top\n}\n"
      "piece yoke round {\n  join front of body\n  join top of arm\n  join back of body\n  work rib for 2 "
      "rounds\n"
      "  bind off\n}\n");
  REQUIRE(kinds(found) == std::vector<Kind>());
  CHECK(piece(found, "yoke").steps.at(2).after == 108);
  const auto lines = piece_instructions(piece(found, "yoke"), found.pattern, *found.stitches).lines;
  CHECK(lines.at(1).text ==
        "Slip the 28 sts held as top of the arm onto the needle, to be worked at the end of the next rnd. "
        "There are then 68 sts.");
}

TEST_CASE("a seam may differ by 1 row in 10 and no more") {
  const auto sewn = [](int here, int there) {
    return kinds(
        checked(fmt::format("piece a flat {{\n  cast on 9\n  work plain for {} rows\n  bind off\n}}\n"
                            "piece b flat {{\n  cast on 9\n  work plain for {} rows\n  bind off\n}}\n"
                            "piece c flat {{\n  seam left edge of a to right edge of b\n}}\n",
                            here, there)));
  };
  CHECK(sewn(100, 100) == std::vector<Kind>());
  CHECK(sewn(90, 100) == std::vector<Kind>());
  CHECK(sewn(88, 100) == std::vector{Kind::uneven_seam});
  CHECK(sewn(100, 112) == std::vector{Kind::uneven_seam});
}

TEST_CASE("picking up and joining take yarn") {
  const std::string back =
      "piece back flat {\n  cast on 20 with A\n  work plain for 28 rows\n  bind off\n}\n";
  const auto metres = [](const Checked& found) {
    const Estimate estimate = estimate_yarn(found.pattern, *found.stitches);
    REQUIRE(estimate.strands.size() == 1);
    return estimate.strands[0].metres.middle;
  };
  const double alone = metres(checked(back));
  // 20 loops of 1.96 cm, a bind-off of 3 x 10 cm, and two ends of 15 cm.
  const double border =
      metres(checked(back + "piece border flat {\n  pick up 20 along left edge of back\n  bind off\n}\n"));
  CHECK((border - alone) * 100 == doctest::Approx(20 * std::sqrt(21.6 / 5.6) + 30 + 30));
  const double seam =
      metres(checked(back + "piece sides flat {\n  seam left edge of back to right edge of back\n}\n"));
  CHECK((seam - alone) * 100 == doctest::Approx(1.5 * 10 + 30));
}

TEST_CASE("a stitch on each rib around the armhole of 1918 is the number that the book prints") {
  // Handbook 1918, "Ladies' Sweater": "pick up 1 stitch on each rib around the armhole, 72 stitches in all".
  // A rib is two plain rows; the row that binds off the neck is half a rib more.
  for (const PatternFile& file : pattern_files("published")) {
    if (file.name != "handbook-ladies-sweater.wale") continue;
    const Compiled compiled = compile(file);
    long long around = 0;
    for (const Stretch& each : piece(compiled.checked, "back").edges)
      if (each.name == "armhole") around += each.rows;
    CHECK(around / 2 == 72);
    return;
  }
  FAIL("the pattern is not there");
}

TEST_CASE("as many pieces and edges as a file can hold are looked through in bounded work") {
  std::string pieces;
  for (int i = 0; i < 4000; ++i)
    pieces += fmt::format(
        "piece a{0}x flat {{\n  cast on 9\n  work garter for 4 rows\n  call the left edge b\n  work garter "
        "for 2 "
        "rows\n  bind off\n}}\npiece c{0}x flat {{\n  pick up 2 along b of a{0}x\n  bind off\n}}\n",
        i);
  const Checked many = checked(pieces);
  CHECK(kinds(many) == std::vector<Kind>());
  CHECK(many.effort.work() < Effort().most);
}

TEST_CASE("a short row lengthens the edge at which it begins and not the one that it does not reach") {
  const Checked found = checked(
      "fabric wedge flat 20 st {\n  1: <k> wt5\n  2: <p>\n  3: <k>\n  4: <p>\n}\n"
      "piece p flat {\n  cast on 20\n  work wedge for 6 times\n"
      "  rows { 1: <k> wt5  2: <p>  3: <k>  4: <p> }\n  bind off\n}\n");
  REQUIRE(kinds(found) == std::vector<Kind>());
  long long right = 0, left = 0;
  for (const Stretch& each : piece(found, "p").edges) {
    if (each.where == Stretch::Where::right) right += each.rows;
    if (each.where == Stretch::Where::left) left += each.rows;
  }
  CHECK(right == 28);
  CHECK(left == 14);
}
