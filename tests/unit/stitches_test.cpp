// The vocabulary: that every stitch the language names is there and makes sense.
#include <doctest/doctest.h>

#include <sstream>

#include "compiler/check.hpp"
#include "grammar/parser.hpp"
#include "render/path.hpp"

using namespace wale;

namespace {

Stitches shipped() {
  Diagnostics diagnostics;
  Stitches out(parse(vocabulary_source(), diagnostics), diagnostics);
  out.complete(diagnostics);
  CHECK(diagnostics.all().empty());
  return out;
}

}  // namespace

TEST_CASE("every stitch of the language's list is in the vocabulary") {
  Stitches stitches = shipped();
  std::istringstream words(
      "k p ktbl ptbl kb sl slk slwyif slwyib yo drop k2tog ssk skp p2tog ssp k3tog sssk sk2p s2kp p3tog sssp "
      "kfb pfb kfbf m1 m1l m1r m1p m1lp m1rp 2/2rc 2/2lc 2/1rpc 2/1lpc 2/1/2rpc 1/1rc "
      "sl1yo brk brp brkyobrk brpyobrp brlsl brrsl dk bo co");
  for (std::string word; words >> word;) {
    CAPTURE(word);
    const auto found = stitches.lookup(word);
    REQUIRE(found);
    CHECK(found->count == 1);
  }
}

TEST_CASE("a number behind a stitch is a count, unless the whole word is a stitch") {
  Stitches stitches = shipped();
  const auto is = [&](const std::string& word, const std::string& name, long long count) {
    const auto found = stitches.lookup(word);
    CAPTURE(word);
    REQUIRE(found);
    CHECK(stitches[found->stitch].name == name);
    CHECK(found->count == count);
  };
  is("k3", "k", 3);
  is("k2tog", "k2tog", 1);
  is("k2tog3", "k2tog", 3);
  is("m1", "m1", 1);
  is("yo2", "yo", 2);
  is("co3", "co", 3);
  is("2/2rc2", "2/2rc", 2);
  is("sl1yo", "sl1yo", 1);
  is("k1000000000", "k", 1'000'000'000);
  bool too_large = false;
  stitches.lookup("k999999999999", &too_large);
  CHECK(too_large);
  for (const char* word :
       {"", "3", "kk", "k-2", "2/2", "0/2rc", "2/2/2/2rc", "999/999rc", "40/40rc", "2//2rc"}) {
    CAPTURE(word);
    CHECK(!stitches.lookup(word));
  }
}

TEST_CASE("loops taken and given are those of the trade") {
  // Craft Yarn Council, standard abbreviations (knit): a decrease of two into one, three into one; an
  // increase of one into two; common practice for the rest.
  Stitches stitches = shipped();
  const auto changes = [&](const std::string& word, std::size_t takes, std::size_t gives) {
    const Stitch& stitch = stitches[stitches.lookup(word)->stitch];
    CAPTURE(word);
    CHECK(stitch.takes.size() == takes);
    CHECK(stitch.gives.size() == gives);
  };
  for (const char* word : {"k", "p", "ktbl", "sl", "slwyif", "kb", "sl1yo", "brk", "brp"})
    changes(word, 1, 1);
  for (const char* word : {"k2tog", "ssk", "skp", "p2tog", "ssp"}) changes(word, 2, 1);
  for (const char* word : {"k3tog", "sssk", "sk2p", "s2kp", "p3tog", "sssp", "brlsl", "brrsl"})
    changes(word, 3, 1);
  for (const char* word : {"yo", "m1", "m1l", "m1r", "m1p", "m1lp", "m1rp", "co"}) changes(word, 0, 1);
  for (const char* word : {"kfb", "pfb"}) changes(word, 1, 2);
  for (const char* word : {"kfbf", "brkyobrk", "brpyobrp"}) changes(word, 1, 3);
  for (const char* word : {"drop", "bo"}) changes(word, 1, 0);
  changes("2/2rc", 4, 4);
  changes("2/1/2rpc", 5, 5);
  changes("dk", 2, 2);
}

TEST_CASE("every stitch has a symbol that can be drawn, words, and a twin of which it is the twin") {
  Stitches stitches = shipped();
  for (const char* word : {"2/2rc", "3/3lc", "2/1rpc", "2/1/2lpc"}) stitches.lookup(word);
  for (std::size_t i = 0; i < stitches.size(); ++i) {
    const Stitch& stitch = stitches[static_cast<StitchId>(i)];
    CAPTURE(stitch.name);
    CHECK(!stitch.says.empty());
    CHECK(stitch.says.find('{') == std::string::npos);
    CHECK(stitch.uses >= 0);
    REQUIRE(stitch.twin >= 0);
    const Stitch& twin = stitches[stitch.twin];
    CHECK(twin.twin == static_cast<StitchId>(i));
    CHECK(twin.lean == stitch.lean);
    for (const std::string& path : {stitch.mark, stitch.fills})
      CHECK(!std::holds_alternative<render::PathError>(render::parse_path(path)));
  }
}

TEST_CASE("a crossing is named by its front strip and says how it is worked") {
  Stitches stitches = shipped();
  const Stitch& right = stitches[stitches.lookup("2/1rpc")->stitch];
  REQUIRE(right.crossing);
  CHECK(right.crossing->over == 2);
  CHECK(right.crossing->under == 1);
  CHECK(right.crossing->right);
  CHECK(right.crossing->under_purl);
  CHECK(right.says.find("slip 1 to a cable needle and hold it at the back, knit 2, then purl 1") !=
        std::string::npos);
  const Stitch& left = stitches[stitches.lookup("2/1lpc")->stitch];
  CHECK(!left.crossing->right);
  CHECK(left.says.find("slip 2 to a cable needle and hold it in front, purl 1, then knit 2") !=
        std::string::npos);
}

TEST_CASE("contrast of two colours follows WCAG 2.x") {
  // WCAG 2.1, definition of contrast ratio: black on white is 21 : 1; #777777 on white falls just short of
  // the 4.5 : 1 of success criterion 1.4.3, with 4.48.
  const Rgb white{255, 255, 255}, black{0, 0, 0}, grey{0x77, 0x77, 0x77};
  CHECK(contrast_ratio(black, white) == doctest::Approx(21).epsilon(1e-9));
  CHECK(contrast_ratio(white, black) == contrast_ratio(black, white));
  CHECK(contrast_ratio(grey, white) == doctest::Approx(4.48).epsilon(0.001));
  CHECK(contrast_ratio(grey, grey) == 1);
}
