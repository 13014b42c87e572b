// What a knitter sees on the right side. Stockinette, garter, rib and linen: by their definitions.
#include "compiler/fabric_view.hpp"

#include <doctest/doctest.h>

#include "compiler/check.hpp"
#include "tests/render/geometry_check.hpp"

using namespace wale;

namespace {

Checked checked(const std::string& text) {
  Checked out = check(Source("t.wale", text, 1));
  REQUIRE(!out.diagnostics.has_errors());
  return out;
}

render::ThreadPicture view(const std::string& fabric) {
  const Checked pattern = checked(fabric + "\n");
  auto out = view_fabric(pattern.pattern.fabrics.at(0), pattern.pattern, *pattern.stitches);
  REQUIRE(out);
  return std::move(*out);
}

constexpr int level_of(const render::Thread& thread) {
  return thread.level / 10000;
}

/// Heads and feet that lie in front: the bumps.
int bumps(const render::ThreadPicture& picture) {
  int out = 0;
  for (const render::Thread& thread : picture.threads) out += level_of(thread) == 2 || level_of(thread) == 5;
  return out;
}

}  // namespace

TEST_CASE("stockinette shows no bumps, its back nothing else, and garter as many as half of its loops make") {
  CHECK(bumps(view("fabric f flat n st { 1: <k>  2: <p> }")) == 0);
  const auto reverse = view("fabric f flat n st { 1: <p>  2: <k> }");
  const auto garter = view("fabric f flat n st { every: <k> }");
  CHECK(bumps(reverse) > 1000);
  CHECK(std::abs(bumps(garter) * 2 - bumps(reverse)) <= bumps(reverse) / 10);
}

TEST_CASE("a view has the proportions that the gauge gives") {
  const auto square = view("gauge 20 st x 20 rows = 10 cm\nfabric f flat n st { every: <k> }");
  const auto fine = view("gauge 20 st x 40 rows = 10 cm\nfabric f flat n st { every: <k> }");
  // 24 wales by 24 rows and one, less what is left of half a loop at the edges.
  CHECK(square.width == doctest::Approx(fine.width).epsilon(0.01));
  CHECK(square.height / fine.height == doctest::Approx(2).epsilon(0.05));
}

TEST_CASE("yarn that lies before a slipped stitch is seen; behind it, it is not") {
  const std::string begin =
      "yarn a \"A\" 50 g = 100 m #ffffff\nyarn b \"B\" 50 g = 100 m #000000\nstrand A = a\nstrand B = b\n";
  const auto seen = [&](const std::string& rows) {
    const auto picture = view(begin + "fabric f round 2n st {\n" + rows + "\n}");
    int over = 0;
    for (const render::Thread& thread : picture.threads) over += level_of(thread) == 7;
    return over;
  };
  CHECK(seen("1 A: <k2>\n2 B: <k slwyif>") > 100);
  CHECK(seen("1 A: <k2>\n2 B: <k slwyib>") == 0);
}

TEST_CASE("colours that cannot be told apart are named with their ratio") {
  const auto words = [](const std::string& a, const std::string& b) {
    const Checked pattern =
        checked("yarn a \"A\" 50 g = 100 m " + a + "\nyarn b \"B\" 50 g = 100 m " + b +
                "\nstrand A = a\nstrand B = b\nfabric f flat n st { 1 A: <k>  2 A: <k>  3 B: <k> "
                " 4 B: <k> }\n");
    return contrast_words(pattern.pattern.fabrics[0], pattern.pattern);
  };
  // WCAG 2.1: black on white is 21 : 1, #777777 on white 4.48 : 1, #999999 on white 2.85 : 1.
  CHECK(words("#000000", "#ffffff") == "A and B: contrast 21.0 : 1, they read apart");
  CHECK(words("#777777", "#ffffff") == "A and B: contrast 4.5 : 1, they read apart");
  CHECK(words("#999999", "#ffffff") == "A and B: contrast 2.8 : 1, hard to tell apart");
  CHECK(contrast_words(checked("fabric f flat n st { every: <k> }\n").pattern.fabrics[0], {}).empty());
}

TEST_CASE("a view is bounded, however large the fabric or many of them") {
  CHECK(view("fabric f round 90 st { 1: k90 }").width < most_wales_shown + 2);
  const Checked wide = checked("fabric f round 500 st { 1: <k> }\n");
  CHECK(!view_fabric(wide.pattern.fabrics[0], wide.pattern, *wide.stitches));
  std::string many;
  for (int i = 0; i < 40; ++i) many += "fabric f" + std::to_string(i) + " round n st { 1: <k> }\n";
  const Checked all = checked(many);
  CHECK(make_views(all.pattern, *all.stitches, false).size() == most_views);
}

TEST_CASE("a mirrored view is the view turned over, and nothing of either leaves its picture") {
  const Checked pattern = checked("fabric f round 6n st { 1: <k6>  2: <2/2rc p2>  3: <k4 p2> }\n");
  const auto plain = make_views(pattern.pattern, *pattern.stitches, false);
  const auto mirrored = make_views(pattern.pattern, *pattern.stitches, true);
  REQUIRE(plain.size() == 1);
  REQUIRE(mirrored.size() == 1);
  const auto &a = plain[0].picture, &b = mirrored[0].picture;
  REQUIRE(a.threads.size() == b.threads.size());
  for (std::size_t i = 0; i < a.threads.size(); ++i) {
    const render::Point first = a.threads[i].path.segments[0].to, turned = b.threads[i].path.segments[0].to;
    CHECK(first.x + turned.x == doctest::Approx(a.width));
    CHECK(first.y == doctest::Approx(turned.y));
  }
  for (const auto& each : {plain[0], mirrored[0]})
    CHECK(render::check::fault_report(render::draw_threads(each.picture, 10)) == "");
}
