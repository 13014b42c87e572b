// Which word was meant: what is suggested, and what is certain.
#include "grammar/spelling.hpp"

#include <doctest/doctest.h>

using namespace wale;

using Names = std::vector<std::string>;

TEST_CASE("a slip of the fingers is recognised, another word is not") {
  const Names names{"fabric", "pattern", "piece", "kelp", "lamp"};
  CHECK(nearest_name("fabirc", names) == "fabric");
  CHECK(nearest_name("patern", names) == "pattern");
  CHECK(nearest_name("lmap", names) == "lamp");
  CHECK(!nearest_name("sweater", names));
  CHECK(!nearest_name(std::string(1000, 'x'), names));
  CHECK(!nearest_name("", names));
}

TEST_CASE("a short word must be the nearer to be suggested") {
  const Names names{"brp", "brk", "k", "m1", "ssk", "skp"};
  CHECK(nearest_names("rep", names).empty());
  CHECK(nearest_names("x", names).empty());
  CHECK(nearest_names("m", names) == Names{"m1"});
  CHECK(nearest_names("skk", names) == Names{"ssk", "skp"});
  CHECK(nearest_names("bkr", names) == Names{"brk"});
}

TEST_CASE("a slip inside a word is certain where one name alone is near") {
  const Names yarns{"kelp", "lamp", "driftwood"};
  CHECK(certain_name("klep", yarns) == "kelp");
  CHECK(certain_name("keelp", yarns) == "kelp");
  CHECK(certain_name("driftwod", yarns) == "driftwood");
  CHECK(certain_name("drftwood", yarns) == "driftwood");
  CHECK(certain_name("dreftwood", yarns) == "driftwood");
  CHECK(certain_name("Kelp", yarns) == "kelp");
  CHECK(!certain_name("kelp", yarns));  // it is one
  CHECK(certain_name("kemp", yarns) == "kelp");
  CHECK(!certain_name("drftwod", yarns));  // two slips
  CHECK(!certain_name("herring", yarns));
}

TEST_CASE("what may be another name is not certain") {
  CHECK(!certain_name("front-b", {"front-a"}));
  CHECK(!certain_name("cable-r-rib", {"cable-l-rib"}));
  CHECK(!certain_name("kelp3", {"kelp2"}));
  CHECK(!certain_name("kelp2", {"kelp"}));
  CHECK(!certain_name("ribs", {"rib"}));  // another fabric, of many ribs
  CHECK(!certain_name("rob", {"rib"}));
  CHECK(!certain_name("ab", {"ba"}));
  CHECK(!certain_name("skk", {"ssk", "skp"}));
  CHECK(!certain_name("Kelp", {"kelp", "KELP"}));
  CHECK(!certain_name("kelp21", {"kelp12"}));
  CHECK(!certain_name("knop", {"knot"}));
}

TEST_CASE("words of the language are certain also at their ends, for nothing else can stand there") {
  const Names words{"rows", "rounds", "times", "x"};
  CHECK(certain_name("rowss", words, Candidates::closed) == "rows");
  CHECK(certain_name("timse", words, Candidates::closed) == "times");
  CHECK(certain_name("rownds", words, Candidates::closed) == "rounds");
  CHECK(certain_name("imes", words, Candidates::closed) == "times");
  CHECK(certain_name("X", words, Candidates::closed) == "x");
  CHECK(!certain_name("y", words, Candidates::closed));
  CHECK(certain_name("row", words, Candidates::closed) == "rows");
  CHECK(!certain_name("row", words));
}

TEST_CASE("a letter of any script is one letter") {
  CHECK(certain_name("fjörðru", {"fjörður", "fell"}) == "fjörður");
  CHECK(certain_name("fjärður", {"fjörður"}) == "fjörður");
  CHECK(!certain_name("årö", {"ärö"}));
  CHECK(nearest_names("år", {"är"}) == Names{"är"});
}
