// What a pattern declares, by kind and name.
#include "compiler/declared_names.hpp"

#include <doctest/doctest.h>

#include "grammar/parser.hpp"

using namespace wale;

TEST_CASE("names are told apart by kind, and the first of each is known") {
  using Of = DeclaredNames::Of;
  const Source source("a.wale", R"(measure rib = 3 cm
measure edge = 2 cm
measure b = 1 cm
measure edge = 4 cm
fabric rib round 4n st { every: <k2 p2> }
)",
                      1);
  Diagnostics found;
  const tree::Pattern pattern = parse(source, found);
  REQUIRE(found.all().empty());
  const Declarations declarations(pattern);
  const DeclaredNames names(declarations);
  CHECK(names.names(Of::measures) == std::vector<std::string>{"b", "edge", "rib"});
  CHECK(names.names(Of::fabrics) == std::vector<std::string>{"rib"});
  CHECK(names.names(Of::yarns).empty());
  CHECK(names.has(Of::fabrics, "rib"));
  CHECK_FALSE(names.has(Of::fabrics, "edge"));
  CHECK_FALSE(names.has(Of::pieces, "rib"));
  const auto name = [&](std::size_t declaration) {
    return std::get<tree::Measure>(pattern.declarations.at(declaration).what).name;
  };
  CHECK(names.is_first(Of::measures, name(0)));
  CHECK(names.is_first(Of::measures, name(1)));
  CHECK_FALSE(names.is_first(Of::measures, name(3)));
  REQUIRE(names.first(Of::measures, "edge"));
  CHECK(*names.first(Of::measures, "edge") == name(1).span);
  CHECK(names.first(Of::measures, "hem") == nullptr);
}
