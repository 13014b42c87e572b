// At which edge each strand hangs. Common practice: in flat work a yarn is at the edge where its last row
// ended; brioche in two colours works each row twice, sliding between, so that both yarns end at one edge;
// stripes of one row each need the yarn brought back.
#include "compiler/yarn_ends.hpp"

#include <doctest/doctest.h>

#include "compiler/check.hpp"

using namespace wale;

namespace {

/// Kinds of all that is said about a file.
std::vector<Kind> kinds_of(const std::string& text) {
  std::vector<Kind> out;
  const Checked checked = check(Source("t.wale", text, 1));
  for (const Diagnostic& each : checked.diagnostics.all()) out.push_back(each.kind);
  return out;
}

const std::vector<Kind> nothing;

}  // namespace

TEST_CASE("two-colour brioche worked flat has each yarn where its pass begins") {
  CHECK(kinds_of("fabric tide flat 2n + 3 st {\n"
                 "  1 M: k  <sl1yo brk> sl1yo k\n"
                 "  1 C: sl <brp sl1yo> brp   sl\n"
                 "  2 M: p  <sl1yo brp> sl1yo p\n"
                 "  2 C: sl <brk sl1yo> brk   sl\n"
                 "}\n") == nothing);
}

TEST_CASE("stripes of one row each cannot be worked flat, and can in the round") {
  const std::string rows = "st {\n  1 A: <k>\n  2 B: <k>\n}\n";
  CHECK(kinds_of("fabric stripe flat n " + rows) == std::vector{Kind::yarn_at_other_edge});
  CHECK(kinds_of("fabric stripe round n " + rows) == nothing);
}

TEST_CASE("stripes of two rows come back, stripes of three do not") {
  CHECK(kinds_of("fabric stripe flat n st { 1, 2 A: <k>  3, 4 B: <k> }") == nothing);
  CHECK(kinds_of("fabric stripe flat n st { 1..3 A: <k>  4..6 B: <k> }") ==
        std::vector{Kind::yarn_at_other_edge});
}

TEST_CASE("yarns are followed through a piece") {
  const std::string yarns =
      "yarn a \"Skerry A\" 100 g = 200 m #000000\nyarn b \"Skerry B\" 100 g = 200 m #ffffff\n"
      "strand A = a\nstrand B = b\nfabric garter flat n st { every: <k> }\n";
  const auto piece = [&](const std::string& first, const std::string& second) {
    return yarns + "piece p flat {\n  cast on 10 with A\n  work garter with A for " + first +
           " rows\n  work garter with B for " + second +
           " rows\n  work garter with A for 2 rows\n  bind off\n}\n";
  };
  CHECK(kinds_of(piece("2", "2")) == nothing);
  CHECK(kinds_of(piece("3", "2")) == nothing);
  CHECK(kinds_of(piece("2", "1")) == std::vector{Kind::yarn_at_other_edge});
  CHECK(kinds_of(piece("3", "3")) == std::vector{Kind::yarn_at_other_edge});
}

TEST_CASE("a strand is met at the edge where its row ended") {
  YarnEnds ends;
  const YarnPlace right{YarnPlace::Where::right, 0}, left{YarnPlace::Where::left, 0};
  Diagnostics diagnostics;
  const std::vector<Strand> strands{{"A", {}, {}}, {"B", {}, {}}};
  ends.row({{0}, right, left, 1, "row 1", {}}, strands, diagnostics);
  ends.row({{0}, left, right, 2, "row 2", {}}, strands, diagnostics);
  ends.row({{1}, right, left, 3, "row 3", {}}, strands, diagnostics);  // its first use joins it
  CHECK(!diagnostics.has_errors());
  ends.row({{0, 1}, left, right, 4, "row 4", {}}, strands, diagnostics);
  REQUIRE(diagnostics.all().size() == 1);
  CHECK(diagnostics.all()[0].message ==
        "row 4 begins at the left edge, but strand A hangs at the right edge");
}
