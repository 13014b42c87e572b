// A quick look at a pattern, which knows the fabrics of those before it, against a check of it alone: all is
// well in the one where nothing is found in the other.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

#include "tests/bench/collection.hpp"
#include "tests/unit/pattern_files.hpp"
#include "tests/unit/random_piece.hpp"

using namespace wale;

namespace {

struct Looked {
  int well = 0, told = 0,
      not_told = 0;  ///< patterns in which nothing is wrong; something; not seen at a glance
};

void look(const Loaded& loaded, KnownFabrics& known, Looked& looked) {
  const bool nothing = finds_nothing(loaded, {}, known), well = check(loaded).diagnostics.all().empty();
  if (nothing) CHECK(well);
  ++(well ? looked.well : looked.told);
  looked.not_told += well && !nothing;
}

void look(const std::string& text, KnownFabrics& known, Looked& looked) {
  CAPTURE(text);
  look(load(Source("p.wale", text, 1)), known, looked);
}

/// One yarn in two strands, a fabric, and a piece of it.
std::string pattern(const std::string& before, const std::string& fabric, const std::string& strands) {
  return fmt::format(
      "yarn kelp \"Kelp\" 100 g = 200 m #2f5d50\nyarn foam \"Foam\" 100 g = 200 m #f2efe4\n{}{}fabric f {}\n"
      "piece q flat {{\n  cast on 20\n  work f for 8 rows\n  bind off\n}}\n",
      strands, before, fabric);
}

const std::string two = "strand A = kelp\nstrand B = foam\n";

}  // namespace

TEST_CASE("patterns made at random are well at a glance where nothing is found in them") {
  KnownFabrics known;
  Looked looked;
  std::vector<std::string> texts;
  for (unsigned seed = 1; seed <= 40; ++seed) {
    naive::Dice dice(730'000 + seed);
    if (const auto made = naive::random_pattern(dice)) texts.push_back(made->text);
  }
  for (std::size_t i = 0; i < 54; ++i) texts.push_back(bench::pattern_of(i * 7));
  // What came twice is known the third time.
  for (int time = 0; time < 3; ++time)
    for (const std::string& text : texts) look(text, known, looked);
  CHECK(known.size() > 40);
  CHECK(looked.well > 200);
  CHECK(looked.not_told == 0);
}

TEST_CASE("a mistake is not overlooked beside fabrics that are known") {
  KnownFabrics known;
  Looked looked;
  for (int time = 0; time < 3; ++time)
    for (const char* folder : {"diagnostics", "core"})
      for (const PatternFile& file : pattern_files(folder)) {
        CAPTURE(file.name);
        look(compile(file).loaded, known, looked);
      }
  CHECK(looked.told > 200);
  CHECK(looked.well > 10);
}

TEST_CASE("words that mean something else in another pattern are not known there") {
  KnownFabrics known;
  const auto well = [&](const std::string& text) {
    CAPTURE(text);
    const Loaded loaded = load(Source("p.wale", text, 1));
    const bool out = finds_nothing(loaded, {}, known);
    CHECK(out == check(loaded).diagnostics.all().empty());
    return out;
  };
  const std::string striped = "flat n st { 1 A: <k>  2 A: <p>  3 B: <k>  4 B: <p> }",
                    lace = "flat 4n st { rs: <k2tog yo k2>  ws: <p> }";
  for (int time = 0; time < 3; ++time) {
    CHECK(well(pattern("", striped, two)));
    CHECK(well(pattern("", lace, two)));
  }
  CHECK(known.size() == 2);
  // Strands in another order, one that is not there, and one whose stripe is not even.
  CHECK(well(pattern("", striped, "strand B = foam\nstrand A = kelp\n")));
  CHECK(!well(pattern("", striped, "strand A = kelp\n")));
  CHECK(!well(pattern("", "flat n st { 1 A: <k>  2 B: <p> }", two)));
  // A stitch of the pattern's own takes the name of another.
  CHECK(!well(
      pattern("stitch yo { takes 0 gives 2 says \"wrap the yarn twice\" mark \"M0 0 L1 1\" }\n", lace, two)));
  // The same fabric, on stitches that it does not divide.
  CHECK(!well(pattern("", "flat 3n st { rs: <k3>  ws: <p> }", two)));
}

TEST_CASE("what is known stays small") {
  KnownFabrics known;
  std::size_t most = 0;
  for (int width = 1; width <= 300; ++width) {
    const std::string fabric = fmt::format("flat {} st {{ -- {:0200}\n  1: k{} }}", width, 0, width);
    const std::string text = pattern("", "flat n st { rs: <k>  ws: <p> }\nfabric g " + fabric, two);
    for (int time = 0; time < 3; ++time) finds_nothing(load(Source("p.wale", text, 1)), {}, known);
    most = std::max(most, known.size());
  }
  // One more than fit is kept, and then it begins anew.
  CHECK(most > most_bytes_known / 300);
  CHECK(most <= most_bytes_known / 200 + 2);
}
