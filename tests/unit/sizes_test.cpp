// A pattern in several sizes: each is what it would be alone, and all are told in one document.
#include "compiler/sizes.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>

#include "compiler/body_sizes.hpp"
#include "compiler/outputs.hpp"
#include "compiler/piece_measures.hpp"
#include "compiler/size_documents.hpp"

using namespace wale;

namespace {

const std::string slipover = R"(sizes XS S M L 1X 2X 3X 4X 5X
gauge 20 st x 28 rows = 10 cm
measure ease = 10 cm
fabric rib round 4n st { every: <k2 p2> }
piece body round {
  cast on near(body(woman, bust) + ease, 4n)
  work rib for [36 37 38 39 40 40 41 41 42] cm
  bind off
}
)";

Checked checked(const std::string& text, const Settings& settings = {}) {
  Checked out = check(Source("p.wale", text, 1), settings);
  CAPTURE(show(out.diagnostics, {vocabulary_source(), Source("p.wale", text, 1)}));
  REQUIRE(!out.diagnostics.has_errors());
  return out;
}

std::vector<const Pattern*> all_of(const Checked& checked) {
  std::vector<const Pattern*> out{&checked.pattern};
  for (const Pattern& each : checked.larger) out.push_back(&each);
  return out;
}

}  // namespace

TEST_CASE("every size is what its numbers make it, at any gauge near which it is knitted") {
  // Bust sizes: Craft Yarn Council, the middle of each range. The cast-on is the multiple of 4 that comes
  // nearest, so it is less than 2 stitches and a half from bust and ease.
  const double busts[] = {73.5, 83.5, 94, 104, 114.25, 124.5, 134.5, 144.5, 155};
  for (double gauge = 14; gauge <= 32; gauge *= 1.01) {
    const Checked all =
        checked(slipover, {{}, fmt::format("{:.4f} st x {:.4f} rows = 10 cm", gauge, gauge * 1.4), {}});
    REQUIRE(all.larger.size() == 8);
    const auto sizes = all_of(all);
    for (std::size_t i = 0; i < sizes.size(); ++i) {
      const Piece& body = sizes[i]->pieces.at(0);
      CHECK(sizes[i]->size == standard_sizes()[i]);
      CHECK(body.widest % 4 == 0);
      CHECK(std::abs(static_cast<double>(body.widest) - (busts[i] + 10) * gauge / 10) <= 2.001);
    }
  }
}

TEST_CASE("one size asked for is the same as that size among all") {
  const Checked all = checked(slipover);
  const auto sizes = all_of(all);
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    const Checked one = checked(slipover, {sizes[i]->size, {}, {}});
    CHECK(one.larger.empty());
    CHECK(one.pattern.size == sizes[i]->size);
    CHECK(one.pattern.pieces.at(0).widest == sizes[i]->pieces.at(0).widest);
    CHECK(one.pattern.pieces.at(0).rows == sizes[i]->pieces.at(0).rows);
    CHECK(one.pattern.pieces.at(0).tally == sizes[i]->pieces.at(0).tally);
  }
}

TEST_CASE("strands that only the fabrics name are there in every size") {
  const Checked all = checked(R"(sizes S M L
fabric spray round 4n st { 1: <A(k3) L(k)> }
piece cuff round {
  cast on [40 44 48] with A
  work spray for 4 rounds
  bind off
}
)");
  for (const Pattern* each : all_of(all)) CHECK(each->strands.size() == 2);
}

TEST_CASE("another measure takes the place of the file's") {
  CHECK(checked(slipover, {"M", {}, {"ease=0.1cm"}}).pattern.pieces.at(0).widest ==
        188);  // 94.1 cm, 188.2 st
  CHECK(checked(slipover, {"M", {}, {"ease = 20cm"}}).pattern.pieces.at(0).widest == 228);  // 114 cm
  const Checked unknown = check(Source("p.wale", slipover, 1), {{}, {}, {"eas=8cm"}});
  REQUIRE(unknown.diagnostics.has_errors());
  CHECK(unknown.diagnostics.all().at(0).help.at(0) == "ease");
}

TEST_CASE("the numbers to follow at another gauge are those that come out right") {
  const Checked written = checked(slipover);
  // 18 st instead of 20: the same stitches are 10/9 as wide. M is written for 104 cm; S, 188 st, is 104.4 cm.
  const Checked own = checked(slipover, {{}, "18 st x 25 rows = 10 cm", {}});
  const render::Table table = written_numbers_at(all_of(written), all_of(own), Units::metric);
  CHECK(table.rows.at(2).at(0) == "M");
  CHECK(table.rows.at(2).at(3).substr(0, 8) == "S, 104.4");
  CHECK(table.rows.at(0).at(3).substr(0, 5) == "none:");  // nothing is as small as XS
}

TEST_CASE("words of all sizes are laid over each other where they differ in numbers") {
  CHECK(merge_words({"Cast on 60 sts.", "Cast on 66 sts.", "Cast on 72 sts."}) == "Cast on 60 (66, 72) sts.");
  CHECK(merge_words({"Work 1 row.", "Work 2 rows."}) == "Work 1 (2) rows.");
  CHECK(merge_words({"K3, k2tog, 2/2 RC", "K4, k2tog, 2/2 RC"}) == "K3 (4), k2tog, 2/2 RC");
  CHECK(merge_words({"96.5 cm (38 in)", "107 cm (42 in)"}) == "96.5 (107) cm (38 [42] in)");
  CHECK(merge_words({"rep it once", "rep it twice", "rep it 3 times"}) == "rep it 1 (2, 3) times");
  CHECK(merge_words({"rep it twice", "rep it twice"}) == "rep it twice");
  CHECK(merge_words({"every 6th row", "every 4th row"}) == "every 6th (4th) row");
  CHECK(!merge_words({"Knit.", "Purl."}));
  CHECK(merge_words({"Knit.", "Knit."}) == "Knit.");
}

TEST_CASE("what only some sizes do is headed by their names, and nothing is lost") {
  const auto document = [](std::vector<std::string> lines) {
    render::Document out;
    out.title = "T";
    for (std::string& line : lines) out.blocks.push_back(render::Paragraph{"", std::move(line), false});
    return out;
  };
  const render::Document merged =
      merge_documents({"S", "M", "L"}, {document({"Cast on 10 sts.", "Bind off."}),
                                        document({"Cast on 12 sts.", "Knit.", "Bind off."}),
                                        document({"Cast on 14 sts.", "Knit.", "Purl.", "Bind off."})});
  std::vector<std::string> said;
  for (std::size_t i = 1; i < merged.blocks.size(); ++i) {
    const auto& each = std::get<render::Paragraph>(merged.blocks[i]);
    said.push_back(each.lead + "|" + each.text);
  }
  CHECK(said == std::vector<std::string>{"|Cast on 10 (12, 14) sts.", "Sizes M, L:|Knit.", "Size L:|Purl.",
                                         "|Bind off."});
}

TEST_CASE("a document for all sizes has each size's numbers") {
  const Outputs outputs =
      make_outputs(checked("yarn kelp \"Kelp\" 100 g = 200 m\nstrand A = kelp\n" + slipover), "slipover", {});
  REQUIRE(outputs.failure.empty());
  std::string text;
  for (const OutputFile& file : outputs.files)
    if (file.name == "slipover.txt") text = file.bytes;
  CHECK(text.find("Cast on 168 (188, 208, 228, 248, 268, 288, 308, 332) sts.") != std::string::npos);
  const std::size_t need = text.find("You need, g (balls)");
  REQUIRE(need != std::string::npos);
  CHECK(text.find("XS", need) < text.find("5X", need));
}
