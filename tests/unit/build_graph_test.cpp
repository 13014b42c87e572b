// A collection as a Ninja file, and rules for depfiles. That Ninja reads them so is shown in
// tests/pages/graph.
#include "compiler/build_graph.hpp"

#include <doctest/doctest.h>

using namespace wale;

namespace {

BuildGraph graph() {
  BuildGraph out;
  out.program = "/usr/bin/wale";
  out.options = {"--gauge", "18 st x 25 rows = 10 cm"};
  out.edges = {{"a b/it: $5.wale", {"yarns.wale"}, "out/a b", "it: $5", {"it: $5.pdf", "it: $5.txt"}}};
  return out;
}

bool says(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("a pattern is a statement with its files, those that it uses and the program") {
  std::vector<std::string> unnamed;
  const std::string text = ninja_file(graph(), unnamed);
  CHECK(says(text,
             "build out/a$ b/it$:$ $$5.pdf out/a$ b/it$:$ $$5.txt: pattern a$ b/it$:$ $$5.wale | yarns.wale "
             "/usr/bin/wale\n"));
  CHECK(says(text, "options = --gauge '18 st x 25 rows = 10 cm'\n"));
  CHECK(says(text, "  to = 'out/a b'\n"));
  CHECK(!says(text, "rule graph"));
  CHECK(unnamed.empty());
}

TEST_CASE("one that only lends is checked, and of one with errors the document is wanted") {
  BuildGraph lent = graph();
  lent.edges.front().names.clear();
  std::vector<std::string> unnamed;
  CHECK(says(ninja_file(lent, unnamed), "build out/a$ b/.it$:$ $$5.checked: lender "));
  lent.edges.front().good = false;
  CHECK(says(ninja_file(lent, unnamed), "build out/a$ b/it$:$ $$5.pdf: pattern "));
}

TEST_CASE("what a Ninja file cannot name is left out and told") {
  BuildGraph odd = graph();
  odd.edges.push_back({"two\nlines.wale", {}, "out", "two\nlines", {"two\nlines.pdf"}});
  odd.edges.push_back({"hat.wale", {"a|b.wale"}, "out", "hat", {"hat.pdf"}});
  std::vector<std::string> unnamed;
  const std::string text = ninja_file(odd, unnamed);
  CHECK(unnamed == std::vector<std::string>{"two\nlines.wale", "hat.wale"});
  CHECK(!says(text, "lines"));
  CHECK(!says(text, "hat.pdf"));
}

TEST_CASE("names that depfiles have no sure way to write are built without one") {
  BuildGraph odd = graph();
  odd.edges.front().used = {"it's.wale"};
  odd.file = "out/build.ninja";
  odd.renew = {"--as", "out/build.ninja", "--", "a b"};
  odd.sources = {"a b", "it's.wale"};
  std::vector<std::string> unnamed;
  const std::string text = ninja_file(odd, unnamed);
  CHECK(says(text, ": oddly-named a$ b/it$:$ $$5.wale | it's.wale /usr/bin/wale\n"));
  CHECK(says(text, "build out/build.ninja: graph | /usr/bin/wale it's.wale\n"));
  CHECK(says(text, "  command = $wale graph --as out/build.ninja -- 'a b'\n"));
}

TEST_CASE("a rule names what its target was made from") {
  CHECK(dependency_rule("out/a b.pdf", {"a b.wale", "#1 $5.wale"}) ==
        "out/a\\ b.pdf: \\\n  a\\ b.wale \\\n  \\#1\\ $$5.wale\n");
  CHECK(dependency_rule("a.pdf", {"it's.wale"}) == "a.pdf:\n");
  CHECK(dependency_rule("it's.pdf", {"a.wale"}).empty());
}

TEST_CASE("words reach a shell's command as they are") {
  CHECK(shell_quoted("out/hat.pdf") == "out/hat.pdf");
  CHECK(shell_quoted("") == "''");
  CHECK(shell_quoted("it's $5") == "'it'\\''s $5'");
}
