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

TEST_CASE("rare kinds do not make a step large") {
  CHECK(sizeof(tree::Step) < sizeof(tree::Shape));
  CHECK(sizeof(tree::Step) < sizeof(tree::Buttonholes));
  CHECK(sizeof(tree::Declaration) < sizeof(tree::Swatch));
}
