// Sentences of pieces: what is said once for many times, and what may not be.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check.hpp"
#include "compiler/instructions.hpp"
#include "compiler/size_documents.hpp"

using namespace wale;

namespace {

const char* const head =
    "gauge 20 st x 28 rows = 10 cm\nfabric garter flat n st { every: <k> }\n"
    "fabric plain flat n st { rs: <k> ws: <p> }\nfabric coil round 3n st { every: <k2 p> }\n";

/// The last piece's sentences, each with its lead; the file must be without mistakes.
std::vector<std::string> lines_of(const std::string& pieces) {
  const Checked checked = check(Source("p.wale", head + pieces, 1));
  REQUIRE(!checked.diagnostics.has_errors());
  std::vector<std::string> out;
  for (const Instruction& line :
       piece_instructions(checked.pattern.pieces.back(), checked.pattern, *checked.stitches).lines)
    out.push_back(line.lead + (line.lead.empty() ? "" : " ") + line.text);
  return out;
}
std::vector<std::string> steps_of(const std::string& steps, const std::string& form = "flat") {
  return lines_of(fmt::format("piece p {} {{\n{}\n}}\n", form, steps));
}

using Lines = std::vector<std::string>;

}  // namespace

TEST_CASE(
    "rows of the right and of the wrong side, an odd number of them repeated, are told for both sides") {
  CHECK(steps_of("cast on 9\nrepeat 5 times { rows {\n  rs: k2 <p> k2\n  ws: <k>\n  3: k <p> k\n} }\n"
                 "bind off") == Lines{"Cast on 9 sts.", "Row 1 (RS): K2, p to last 2 sts, k2.",
                                      "Row 2 (WS): Knit.", "Row 3 (RS): K1, p to last st, k1.",
                                      "Row 4 (WS): Knit.", "Row 5 (RS): K2, p to last 2 sts, k2.",
                                      "Row 6 (WS): K1, p to last st, k1.", "Rep these 6 rows 1 more time.",
                                      "Row 1 (RS): K2, p to last 2 sts, k2.", "Row 2 (WS): Knit.",
                                      "Row 3 (RS): K1, p to last st, k1.", "Bind off all 9 sts."});
  // Where they are the same from both sides, no side is said.
  CHECK(steps_of("cast on 9\nrepeat 5 times { rows { 1..3: <k> } }\nbind off") ==
        Lines{"Cast on 9 sts.", "Rows 1-3: Knit.", "Rep these 3 rows 4 more times.", "Bind off all 9 sts."});
}

TEST_CASE("shaping that is repeated after an odd number of rows is told for both sides") {
  CHECK(steps_of("cast on 40\nwork plain for 2 rows\nrepeat 4 times {\n  narrow 1 each side\n"
                 "  work even for 2 rows\n}\nbind off") ==
        Lines{"Cast on 40 sts.", "Work in plain for 2 rows.", "Work the following twice:",
              "Next row (RS): K1, ssk, work in pattern to last 3 sts, k2tog, k1 (dec 2 sts).",
              "Work even in pattern for 2 rows.",
              "Next row (WS): P1, p2tog, work in pattern to last 3 sts, ssp, p1 (dec 2 sts).",
              "Work even in pattern for 2 rows.", "End of what is worked twice: 32 sts.",
              "Bind off all 32 sts."});
}

TEST_CASE("what is repeated over other numbers of stitches is told each time") {
  CHECK(steps_of("cast on 24\nwork plain for 2 rows\nrepeat 2 times {\n  spread 4 fewer over the row\n"
                 "  rows { 1: <p> }\n}\nbind off") ==
        Lines{"Cast on 24 sts.", "Work in plain for 2 rows.",
              "Next row (RS): K2, k2tog, (k4, k2tog) 3 times, k2: 20 sts.", "Next row (WS): Purl.",
              "Next row (RS): K1, k2tog, (k3, k2tog) 3 times, k2: 16 sts.", "Next row (WS): Purl.",
              "Bind off all 16 sts."});
}

TEST_CASE("an edge that is named as it is bound off is named in words") {
  CHECK(steps_of("cast on 20\nwork garter for 8 rows\nbind off as top\npick up along top\n"
                 "work garter for 3 rows\nbind off") ==
        Lines{"Cast on 20 sts.", "Work in garter for 8 rows.",
              "Bind off all 20 sts; what is bound off here is the top.",
              "With the RS facing, pick up and knit 20 sts along the top, 1 st in each of the 20 bound-off "
              "sts. The next row is a WS row.",
              "Work in garter for 3 rows.", "Bind off all 20 sts."});
}

TEST_CASE("work that was in the round, and then in rows, is joined again in words") {
  const Lines lines = steps_of(
      "cast on 24\nwork coil for 4 rounds\nhold last 12 as instep\ngo on in rows\nwork plain for 8 rows\n"
      "join in the round\npick up 6 along the left edge\njoin instep\nwork coil for 2 rounds\n"
      "spread 2 more over the round\nbind off",
      "round");
  CHECK(std::find(lines.begin(), lines.end(),
                  "Join in the round; place a marker for the beginning of the rnd.") != lines.end());
  CHECK(
      std::find(lines.begin(), lines.end(),
                "At the end of the next rnd, pick up and work 6 sts along the left edge, down 8 rows (about "
                "3 sts for every 4 rows). There are then 18 sts.") != lines.end());
}

TEST_CASE("a fabric written for the round that begins on the wrong side says with which row") {
  const Lines lines = steps_of("cast on 12\nwork garter for 1 row\nwork coil for 3 rows\nbind off");
  CHECK(lines.at(2) == "Work in coil, beginning with its row 2 (WS), for 3 rows.");
}

TEST_CASE("rows that have no numbers are counted where all of them are repeated") {
  // In the round plain is "Every rnd: Knit.", and has no round 2.
  CHECK(steps_of("cast on 12\nrepeat 5 times { work plain for 2 rows }\nbind off", "round").at(1) ==
        "Work 2 rnds of plain 5 times.");
  CHECK(steps_of("cast on 12\nrepeat 5 times { work plain for 2 rows }\nbind off").at(1) ==
        "Work rows 1 and 2 of plain 5 times.");
  CHECK(steps_of("cast on 12\nrepeat 5 times { work garter for 2 rows }\nbind off").at(1) ==
        "Work 2 rows of garter 5 times.");
  CHECK(steps_of("cast on 12\nrepeat 5 times { work coil for 1 round }\nbind off", "round").at(1) ==
        "Work 1 rnd of coil 5 times.");
}

TEST_CASE("how rows between points are worked is told, however few they are") {
  const Lines lines =
      steps_of("cast on 39\nrepeat 2 times { narrow 1 at 4 points to 35 st over 12 rows }\nbind off");
  CHECK(lines == Lines{"Cast on 39 sts.", "Dec row (RS): K7, k2tog, (k8, k2tog) 3 times: 35 sts.",
                       "Work the dec row; work 11 rows even: 35 sts.",
                       "The rows worked even are knitted on the RS and purled on the WS.",
                       "Work even for 12 rows, knitting on the RS and purling on the WS.",
                       "Bind off all 35 sts."});
  CHECK(steps_of("cast on 35\nnarrow 1 at 4 points to 35 st over 12 rows\nbind off", "round").at(1) ==
        "Work even for 12 rnds, knitting.");
}

TEST_CASE("where a row binds off the last stitches there are none left to bind off") {
  CHECK(steps_of("cast on 4\nrows { 1: bo4 }\nbind off").back() == "No sts are left to bind off.");
  CHECK(check(Source("p.wale", std::string(head) + "piece p flat {\ncast on 4\nrows { 1: bo4 }\n}\n", 1))
            .diagnostics.all()
            .empty());
}

TEST_CASE("the wrong-side rows of a fabric that are all alike are told once") {
  const Checked checked = check(Source(
      "p.wale",
      "fabric f flat 4n + 1 st {\n  1: <k4> k\n  3: <k2 p2> k\n  5: <p2 k2> k\n  2, 4, 6: <p> p\n}\n", 1));
  REQUIRE(!checked.diagnostics.has_errors());
  const auto lines =
      fabric_instructions(checked.pattern.fabrics.at(0), *checked.stitches, checked.pattern.strands).lines;
  REQUIRE(lines.size() == 5);
  CHECK(lines[0].text == "Knit.");
  CHECK(lines[1].lead == "Row 2 (WS) and all other WS rows:");
  CHECK(lines[1].text == "Purl.");
  CHECK(lines[1].rows == Lines{"2", "4", "6"});
  CHECK(lines[2].lead == "Row 3 (RS):");
  CHECK(lines[3].lead == "Row 5 (RS):");
  CHECK(lines[4].text == "Rep rows 1-6 for f.");
}

TEST_CASE("an edge picked up along is one sentence in all sizes, whatever the rates") {
  const std::string one =
      "With the RS facing, pick up and knit 20 sts along the left edge, down 20 rows (about 1 st for each "
      "row).";
  const std::string other =
      "With the RS facing, pick up and knit 30 sts along the left edge, down 40 rows (about 3 sts for every "
      "4 "
      "rows).";
  CHECK(
      merge_words({one, other}) ==
      "With the RS facing, pick up and knit 20 (30) sts along the left edge, down 20 (40) rows (about 1 [3] "
      "sts for every 1 [4] rows).");
}
