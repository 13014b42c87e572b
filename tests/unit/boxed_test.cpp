// Boxes are values: a copy has its own content.
#include "grammar/boxed.hpp"

#include <doctest/doctest.h>

#include <string>

#include "grammar/tree.hpp"

using namespace wale;

TEST_CASE("a box is copied with what is in it") {
  Boxed<std::string> one;
  *one = "rib";
  Boxed<std::string> other = one;
  *other = "garter";
  CHECK(*one == "rib");
  one = other;
  *other = "seed";
  CHECK(*one == "garter");
  const Boxed<std::string> taken = std::move(one);
  CHECK(*taken == "garter");
}

TEST_CASE("what may be in a box is copied with it, and may not be there") {
  MaybeBoxed<std::string> none, one = std::string("rib");
  CHECK_FALSE(none);
  REQUIRE(one.has_value());
  MaybeBoxed<std::string> other = one;
  *other += " and moss";
  CHECK(*one == "rib");
  one = none;
  CHECK_FALSE(one);
  one.emplace();
  CHECK(one->empty());
  none = std::move(other);
  CHECK(*none == "rib and moss");
}

TEST_CASE("rare kinds do not make a step large") {
  CHECK(sizeof(tree::Step) < sizeof(tree::Shape));
  CHECK(sizeof(tree::Step) < sizeof(tree::Buttonholes));
  CHECK(sizeof(tree::Declaration) < sizeof(tree::Swatch));
}
