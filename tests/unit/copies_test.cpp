// A piece that is made several times, cords along an edge, and the row that parts the work.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check.hpp"
#include "compiler/instructions.hpp"
#include "compiler/notions.hpp"
#include "compiler/yarn_estimate.hpp"

using namespace wale;

namespace {

const char* const head =
    "gauge 20 st x 28 rows = 10 cm\nyarn a \"Skerry A\" 100 g = 200 m\nstrand A = a\n"
    "fabric garter flat n st { every: <k> }\nfabric plain flat n st { rs: <k>  ws: <p> }\n"
    "fabric tube round n st { every: <k> }\n";

Checked all_of(const std::string& pieces) {
  return check(Source("t.wale", head + pieces, 1));
}

std::string told(const Checked& checked, const std::string& pieces) {
  return show(checked.diagnostics, {vocabulary_source(), Source("t.wale", head + pieces, 1)});
}

std::vector<std::string> sentences(const Checked& checked, std::size_t piece) {
  const auto part = piece_instructions(checked.pattern.pieces.at(piece), checked.pattern, *checked.stitches);
  std::vector<std::string> out{part.heading};
  for (const Instruction& line : part.lines) out.push_back(line.lead + "|" + line.text);
  return out;
}

bool says(const Checked& checked, std::size_t piece, const std::string& wanted) {
  const auto lines = sentences(checked, piece);
  INFO(fmt::format("{}", fmt::join(lines, "\n")));
  const bool found = std::find(lines.begin(), lines.end(), wanted) != lines.end();
  CHECK(found);
  return found;
}

double metres(const Checked& checked) {
  return estimate_yarn(checked.pattern, *checked.stitches).strands.at(0).metres.middle;
}

long long worked(const Checked& checked, const Step& step, const std::string& stitch) {
  long long out = 0;
  for (const auto& [key, count] : step.tally)
    if ((*checked.stitches)[key.first].name == stitch) out += count.base;
  return out;
}

}  // namespace

TEST_CASE("a piece that is made twice is written once and takes twice the yarn") {
  const std::string steps = " {\n cast on 40 with A\n work garter for 60 rows\n bind off\n}\n";
  const Checked once = all_of("piece sleeve flat" + steps), twice = all_of("piece sleeve flat twice" + steps),
                five = all_of("piece sleeve flat 5 times" + steps);
  CHECK(!five.diagnostics.has_errors());
  CHECK(metres(twice) == doctest::Approx(2 * metres(once)));
  CHECK(metres(five) == doctest::Approx(5 * metres(once)));
  CHECK(sentences(twice, 0).front() == "Sleeve, flat (make 2)");
  CHECK(sentences(once, 0).front() == "Sleeve, flat");
}

TEST_CASE("the edges of a piece that is made twice are there twice, and no third time") {
  const std::string pieces = R"(piece sleeve flat twice {
 cast on 20 with A
 work garter for 20 rows
 bind off
}
piece body flat {
 cast on 40 with A
 work garter for 20 rows
 bind off
}
piece making-up flat {
 seam left edge of sleeve to left edge of body
 seam left edge of sleeve to right edge of body
 )";
  const Checked good = all_of(pieces + "}\n");
  INFO(told(good, pieces));
  CHECK(!good.diagnostics.has_errors());
  says(good, 2, "|Sew the left edge of one sleeve to the left edge of the body, row for row.");
  says(good, 2, "|Sew the left edge of the other sleeve to the right edge of the body, row for row.");
  const Checked third = all_of(pieces + "seam left edge of sleeve to cast-on edge of body\n}\n");
  REQUIRE(third.diagnostics.has_errors());
  CHECK(third.diagnostics.all().front().kind == Kind::edge_used);
}

TEST_CASE("a sleeve that is made twice is sewn twice") {
  const std::string sleeve = " {\n cast on 20 with A\n work garter for 56 rows\n bind off\n}\n";
  const std::string seam = "piece making-up flat { seam left edge of sleeve to right edge of sleeve }\n";
  const Checked once = all_of("piece sleeve flat" + sleeve + seam),
                twice = all_of("piece sleeve flat twice" + sleeve + seam);
  CHECK(!twice.diagnostics.has_errors());
  CHECK(metres(twice) == doctest::Approx(2 * metres(once)));
  says(twice, 1, "|Sew the left edge of each sleeve to the right edge of each sleeve, row for row.");
}

TEST_CASE("a cord along an edge takes a row of its own for each stitch of it") {
  const Checked checked = all_of(
      "piece mat flat {\n cast on 55 with A\n work garter for 4 rows\n bind off with a cord of 3 st\n}\n");
  REQUIRE(!checked.diagnostics.has_errors());
  const Step& step = checked.pattern.pieces.at(0).steps.back();
  CHECK(step.after == 0);
  CHECK(worked(checked, step, "co") == 3);
  CHECK(worked(checked, step, "k") == 110);
  CHECK(worked(checked, step, "ssk") == 55);
  CHECK(worked(checked, step, "bo") == 3);
  says(checked, 0,
       "|Bind off all 55 sts with a cord of 3 sts: cast on 3 sts at the tip of the left needle; *k2, ssk "
       "(the last st of "
       "the cord together with the next st of the edge), slip the 3 sts back to the left needle and draw the "
       "yarn firmly "
       "across the back; rep from * until only the 3 sts of the cord remain, and bind them off.");
  // It cannot be tied, so that no caution goes with it.
  CHECK(cautions(checked.pattern).empty());
}

TEST_CASE("a cord follows the stitches picked up along an edge, in flat work from where they begin") {
  const std::string pieces = R"(piece mat flat {
 cast on 20 with A
 work garter for 28 rows
 bind off
}
piece rim flat {
 pick up along the left edge of mat with A
 bind off with a cord of 3 st
}
piece ring round {
 pick up along the right edge of mat with A
 bind off with a cord of 3 st
}
)";
  const Checked checked = all_of(pieces);
  INFO(told(checked, pieces));
  REQUIRE(!checked.diagnostics.has_errors());
  says(checked, 1,
       "|Cut the yarn, slide the sts to the other end of the needle, so that the RS faces again, and join "
       "the yarn there.");
  CHECK(sentences(checked, 2).back().ends_with("Sew the two ends of the cord together."));
}

TEST_CASE("a row that parts the work leaves two parts and what is bound off between, as one edge") {
  const std::string pieces = R"(piece front flat {
 cast on 56 with A
 work plain for 40 rows
 divide into near-side and far-side, 16 st bound off between as neck
 resume far-side
 work even for 1 rows
 narrow 1 at the start every 2 rows 4 times
 bind off
 resume near-side
 work even for 1 rows
 narrow 1 at the end every 2 rows 4 times
 bind off
}
piece collar flat {
 pick up along neck of front with A
 work garter for 3 rows
 bind off
}
)";
  const Checked checked = all_of(pieces);
  INFO(told(checked, pieces));
  REQUIRE(!checked.diagnostics.has_errors());
  const Piece& front = checked.pattern.pieces.at(0);
  std::vector<long long> counts;
  for (const Step& step : front.steps) counts.push_back(step.after);
  // 56 = 20 + 16 + 20; each part loses 4.
  CHECK(counts == std::vector<long long>{56, 56, 40, 20, 20, 16, 0, 20, 20, 16, 0});
  says(checked, 0,
       "Dividing row (RS):|Work 20 sts in pattern, bind off 16 sts, work in pattern to end: 20 and 20 "
       "sts; the edge between them is the neck.");
  // Down the left edge of the near part, across the 16, up the right edge of the far one: 1 + 8 rows each.
  const Step& picked = checked.pattern.pieces.at(1).steps.at(0);
  long long rows = 0, across = 0;
  for (const AtEdges::Share& share : picked.at_edges->shares)
    (share.stretch.of == Stretch::Of::rows ? rows : across) +=
        share.stretch.of == Stretch::Of::rows ? share.stretch.rows : share.stitches;
  CHECK(across == 16);
  CHECK(rows == 2 * (1 + 8));
}

TEST_CASE("parts need not be halves, and those that cannot be halves differ by one stitch") {
  const Checked checked = all_of(R"(piece p flat {
 cast on 41 with A
 work plain for 4 rows
 divide into first-part and second-part
 resume second-part
 work even for 4 rows
 divide into third-part and fourth-part after 5 st, 3 st bound off between
 resume fourth-part
 bind off
 resume third-part
 join A
 bind off
 resume first-part
 bind off
}
)");
  REQUIRE(!checked.diagnostics.has_errors());
  const auto& steps = checked.pattern.pieces.at(0).steps;
  CHECK(steps.at(2).first_part == 20);
  CHECK(steps.at(3).after == 21);
  CHECK(steps.at(5).first_part == 5);
  CHECK(steps.at(6).after == 13);
}
