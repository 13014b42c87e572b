// What a pattern consists of, by kind.
#include "compiler/declarations.hpp"

#include <doctest/doctest.h>

#include "grammar/parser.hpp"

using namespace wale;

namespace {

template <typename What>
std::string names(const Declarations& declarations) {
  std::string out;
  declarations.for_each<What>([&](const What& each, Span) { out += each.name.text + " "; });
  return out;
}

}  // namespace

TEST_CASE("declarations are called by kind, in their order, what was made of others behind them") {
  const Source source("a.wale", R"(measure rib = 3 cm
yarn kelp "Kelp" 100 g = 200 m
measure edge = 2 cm
yarn lamp "Lamp" 100 g = 200 m
strand A = kelp
)",
                      1);
  Diagnostics found;
  const tree::Pattern pattern = parse(source, found);
  REQUIRE(found.all().empty());
  const Declarations all(pattern);
  CHECK(all.size() == 5);
  CHECK(all.whole());
  CHECK(names<tree::Measure>(all) == "rib edge ");
  CHECK(names<tree::Yarn>(all) == "kelp lamp ");
  CHECK(names<tree::Strand>(all) == "A ");
  CHECK(all.count<tree::Measure>() == 2);
  CHECK(all.count<tree::Piece>() == 0);
  CHECK(names<tree::Piece>(all).empty());

  const tree::Declaration* some[] = {&pattern.declarations[4], &pattern.declarations[3],
                                     &pattern.declarations[0]};
  Declarations chosen(some, {pattern.declarations[1]}, false);
  const Declarations moved = std::move(chosen);
  CHECK(moved.size() == 4);
  CHECK_FALSE(moved.whole());
  CHECK(names<tree::Yarn>(moved) == "lamp kelp ");
  CHECK(names<tree::Measure>(moved) == "rib ");
}
