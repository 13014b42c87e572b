// What is done between the rows of a piece. Common practice: stitches on a holder wait as they lay, and the
// yarn that hangs at them stays there; a knitted cord is knitted on the right side only, slid and never
// turned; the yarn of a bind-off that stops early hangs at the stitch that follows.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check.hpp"
#include "compiler/instructions.hpp"
#include "compiler/pattern_document.hpp"

using namespace wale;

namespace {

const char* const head =
    "gauge 20 st x 30 rows = 10 cm\n"
    "yarn a \"Skerry A\" 100 g = 200 m #000000\nyarn b \"Skerry B\" 100 g = 200 m #ffffff\n"
    "strand A = a\nstrand B = b\n"
    "fabric garter flat n st { every: <k> }\nfabric plain flat n st { rs: <k> ws: <p> }\n";

Checked checked_piece(const std::string& steps, const std::string& form = "flat") {
  return check(Source("t.wale", fmt::format("{}piece p {} {{\n{}\n}}\n", head, form, steps), 1));
}

std::vector<Kind> kinds(const Checked& checked) {
  std::vector<Kind> out;
  for (const Diagnostic& each : checked.diagnostics.all()) out.push_back(each.kind);
  return out;
}

/// The piece's sentences; the file must have no mistake.
std::vector<std::string> sentences(const Checked& checked) {
  REQUIRE(kinds(checked) == std::vector<Kind>());
  std::vector<std::string> out;
  const auto part = piece_instructions(checked.pattern.pieces.at(0), checked.pattern, *checked.stitches);
  for (const Instruction& line : part.lines) out.push_back(line.text);
  return out;
}

bool says(const std::vector<std::string>& lines, const std::string& wanted) {
  return std::find(lines.begin(), lines.end(), wanted) != lines.end();
}

long long worked(const Piece& piece, const Checked& checked, const std::string& stitch, short strand) {
  const auto found = piece.tally.find({*checked.stitches->find(stitch), strand});
  return found == piece.tally.end() ? 0 : found->second.base;
}

}  // namespace

TEST_CASE("a cord has the rows of its length, each over all stitches") {
  const Checked checked = checked_piece("cast on 4 with B\ncord 4 st for 20 cm\nbind off");
  CHECK(says(
      sentences(checked),
      "Work a cord of 4 sts: *knit all sts; do not turn, slide the sts back to the right end of the needle "
      "and draw the yarn firmly across the back; rep from * for 60 rows, about 20 cm (7.75 in)."));
  // 30 rows to 10 cm: 60 rows of 4 stitches.
  CHECK(worked(checked.pattern.pieces[0], checked, "k", 1) == 240);
  CHECK(checked.pattern.pieces[0].rows == 60);
}

TEST_CASE("a long cord costs no more than a short one, and the fabric after it finds its yarn") {
  const Checked checked =
      checked_piece("cast on 4 with A\ncord 4 st for 900000 rows\nwork garter for 2 rows\nbind off");
  CHECK(kinds(checked) == std::vector<Kind>());
  CHECK(worked(checked.pattern.pieces[0], checked, "k", 0) == 4 * 900002);
}

TEST_CASE("a pattern with a cord carries the caution, one without does not") {
  const auto has_caution = [](const std::string& steps) {
    const Checked checked = checked_piece(steps);
    const render::Document document = make_document(checked.pattern, *checked.stitches, Estimate(), "p");
    return std::any_of(document.blocks.begin(), document.blocks.end(), [](const render::Block& block) {
      const auto* heading = std::get_if<render::Heading>(&block);
      return heading && heading->text == "Safety";
    });
  };
  CHECK(has_caution("cast on 4\ncord 4 st for 20 cm\nbind off"));
  CHECK(has_caution("cast on 4\nrepeat 2 times { cord 4 st for 20 cm }\nbind off"));
  CHECK(!has_caution("cast on 4\nwork garter for 20 rows\nbind off"));
}

TEST_CASE("stitches held wait with the side that faced, and the counts follow") {
  const Checked checked = checked_piece(
      "cast on 40 with A\nwork plain for 2 rows\nrows { 1: k15 bo10 k15 }\nhold last 15 st as far\n"
      "work garter for 3 rows\nbind off\nresume far\nwork garter for 5 rows\nbind off");
  const auto lines = sentences(checked);
  CHECK(says(lines, "Slip the last 15 sts of the needle onto a holder (far): 15 sts remain."));
  CHECK(says(lines, "Return the 15 sts held as far to the needle, with the WS facing, and join A."));
  // 2 x 40, 30 in the row with the bind-off, 3 x 15, 5 x 15
  CHECK(worked(checked.pattern.pieces[0], checked, "k", 0) +
            worked(checked.pattern.pieces[0], checked, "p", 0) ==
        80 + 30 + 45 + 75);
}

TEST_CASE("in flat work the yarn stays with the stitches held at its edge") {
  const std::string begin = "cast on 40 with A\nwork plain for 2 rows\n";
  const std::string end = "work garter for 2 rows\nbind off\nresume h\nwork garter for 2 rows\nbind off";
  CHECK(kinds(checked_piece(begin + "hold 10 st as h\n" + end)) == std::vector{Kind::yarn_at_other_edge});
  CHECK(kinds(checked_piece(begin + "hold 10 st as h\njoin A\n" + end)) == std::vector<Kind>());
  CHECK(kinds(checked_piece(begin + "hold last 10 st as h\n" + end)) == std::vector<Kind>());
  CHECK(kinds(checked_piece(
            begin + "hold all as h\ncast on 3\nbind off\nresume h\nwork garter for 2 rows\nbind off")) ==
        std::vector<Kind>());
}

TEST_CASE("a strand that is cut is joined where the next row begins") {
  const std::string begin = "cast on 10 with A\nwork garter for 2 rows\nwork garter with B for 1 row\n";
  CHECK(kinds(checked_piece(begin + "work garter with A for 1 row\nbind off")) ==
        std::vector{Kind::yarn_at_other_edge});
  const Checked cut = checked_piece(begin + "join A\nwork garter for 1 row\nbind off");
  CHECK(says(sentences(cut), "Cut A and join it anew at the beginning of the next row."));
  CHECK(says(sentences(checked_piece(
                 "cast on 10 with A\nwork garter for 2 rows\njoin B\nwork garter for 2 rows\nbind off")),
             "Join B at the beginning of the next row."));
}

TEST_CASE("an odd stripe is told with the heights that would do") {
  const Checked checked = checked_piece(
      "cast on 10 with A\nwork garter for 2 rows\nwork garter with B for 5 rows\nwork garter with A for 2 "
      "rows\nbind off");
  REQUIRE(kinds(checked) == std::vector{Kind::yarn_at_other_edge});
  const auto& help = checked.diagnostics.all()[0].help;
  CHECK(says(help, "make the stripe between an even number of rows: 4 or 6 in place of 5"));
  CHECK(says(help, "or cut it and join it anew, a step before: join A"));
}

TEST_CASE("a bind-off that stops early leaves the yarn at the next stitch") {
  const Checked checked = checked_piece(
      "cast on 20 with A\nwork plain for 2 rows\nbind off 4\nwork garter for 1 row\nbind off 4\nwork garter "
      "for "
      "1 row\nbind off");
  const auto lines = sentences(checked);
  CHECK(says(lines, "Bind off 4 sts at the beginning of the next row: 16 sts."));
  CHECK(says(lines, "Bind off 4 sts at the beginning of the next row: 12 sts."));
  CHECK(worked(checked.pattern.pieces[0], checked, "bo", 0) == 8);
  CHECK(kinds(checked_piece("cast on 20 with A\nwork plain with B for 1 row\nbind off 4\nbind off")) ==
        std::vector<Kind>());
}

TEST_CASE("a piece that is joined goes on in rounds, its fabrics turned with it") {
  const Checked checked = checked_piece(
      "cast on 20 with A\nwork plain for 4 rows\njoin in the round\nwork plain for 3 rounds\nbind off");
  CHECK(says(sentences(checked), "Join in the round; place a marker for the beginning of the rnd."));
  const Piece& piece = checked.pattern.pieces[0];
  CHECK(piece.fabrics.size() == 2);
  CHECK(worked(piece, checked, "p", 0) == 2 * 20);
  CHECK(worked(piece, checked, "k", 0) == 5 * 20);
  CHECK(kinds(checked_piece("cast on 20 with A\nwork plain for 3 rows\njoin in the round\nbind off")) ==
        std::vector{Kind::starts_on_wrong_side});
  CHECK(kinds(checked_piece("cast on 20 with A\njoin in the round\nwork plain for 3 rounds\nbind off",
                            "round")) == std::vector<Kind>());
}

TEST_CASE("a repeat that leaves other stitches on holders is not the same each time") {
  CHECK(kinds(checked_piece(
            "cast on 20\nrepeat 3 times {\nhold last 2 st as h\nwork garter for 2 rows\n}\nbind off")) ==
        std::vector{Kind::too_much_work, Kind::duplicate_name});
}
