// How far a strand is carried, held against counting by hand. Common practice: a float of more than
// about five stitches, or 2.5 cm, is caught.
#include "compiler/floats.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "compiler/check.hpp"

using namespace wale;

namespace {

/// The longest float of a fabric at this n, and its strand's name.
std::pair<long long, std::string> longest(const std::string& fabric, long long n = 3) {
  const Checked checked = check(Source("t.wale", "fabric f " + fabric + "\n", 1));
  REQUIRE(!checked.diagnostics.has_errors());
  const Fabric& made = checked.pattern.fabrics.at(0);
  const auto found = find_longest_float(made.rows, made.form, n, *checked.stitches);
  if (!found) return {0, ""};
  return {found->stitches, checked.pattern.strands[static_cast<std::size_t>(found->strand)].name};
}

using Told = std::pair<long long, std::string>;

}  // namespace

TEST_CASE("a strand floats behind the stitches of the other one") {
  CHECK(longest("flat 5n + 1 st { 1: A(k) <B(k4) A(k)>  2: A(p) <B(p4) A(p)> }") == Told{4, "A"});
  CHECK(longest("flat 5n + 1 st { 1: A(k) <B(k) A(k4)>  2: A(p) <B(p) A(p4)> }") == Told{4, "B"});
  CHECK(longest("flat 6n st { 1: <A(k3) B(k3)>  2: <B(p3) A(p3)> }") == Told{3, "A"});
}

TEST_CASE("where copies of a repeat join, floats join too") {
  CHECK(longest("round 8n st { 1: <A(k3) B(k2) A(k3)>  2: <A(k)> }") == Told{6, "B"});
  CHECK(longest("round 8n st { 1: <A(k3) B(k2) A(k3)>  2: <A(k)> }", 1) == Told{2, "A"});
}

TEST_CASE("a float behind a field grows with it, however wide it is") {
  const std::string field = "flat n st { 1: A(k2) <B(k)> A(k2)  2: A(p2) <B(p)> A(p2) }";
  for (const long long n : {5LL, 6LL, 7LL, 40LL, 1'000'000LL}) CHECK(longest(field, n) == Told{n - 4, "A"});
  CHECK(longest("flat 3n + 2 st { 1: A(k) <B(k3)> A(k)  2: A(p) <B(p3)> A(p) }", 500) == Told{1500, "A"});
  CHECK(longest("flat 42 st { 1: A(k) 10(B(k3 k)) A(k)  2: A(p) B(p40) A(p) }") == Told{40, "A"});
}

TEST_CASE("in the round a float runs on into the next round, in flat work it does not") {
  const std::string rows = "8n st { 1: A(k3) <B(k2) A(k6)> B(k2) A(k3)  2: A(k3) <B(k2) A(k6)> B(k2) A(k3) }";
  CHECK(longest("round " + rows, 2).first == 6);
  const std::string ends = " 10 st { 1: B(k2) A(k8)  2: B(k2) A(k8) }";
  CHECK(longest("round" + ends) == Told{8, "B"});
  CHECK(longest("flat 10 st { 1: B(k2) A(k8)  2: A(p8) B(p2) }").first == 0);
}

TEST_CASE("slipped stitches are floated past; the two strands of double knitting are not") {
  CHECK(longest("flat 8 st { 1 A: k sl6 k  2 A: p8 }") == Told{6, "A"});
  CHECK(longest("flat 20 st { 1 A B: dk <B(dk)> dk  2 B A: dk <A(dk)> dk }").first == 0);
  CHECK(longest("round 2n st { 1 M: <brk sl1yo>  1 C: <sl1yo brp> }", 30).first == 0);
}
