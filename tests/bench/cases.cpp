#include "tests/bench/cases.hpp"

#include <fmt/format.h>

namespace wale::bench {

const std::vector<Case>& steady() {
  static const std::string colours = R"(
yarn kelp "Skerry Worsted, Kelp"  100 g = 200 m  #2f5d50
yarn foam "Skerry Worsted, Foam"  100 g = 200 m  #f2efe4
strand A = kelp
strand B = foam
)";
  static const std::string borders = R"(
fabric garter flat n st { every: <k> }
fabric rib flat 4n + 2 st {
  1: <k2 p2> k2
  2: <p2 k2> p2
}
)";
  static const std::vector<Case> cases{
      {"rib", R"(
fabric rib flat 4n + 2 st {
  1: <k2 p2> k2
  2: <p2 k2> p2
}
)",
       "work rib for {rows} rows"},
      {"moss", R"(
fabric moss flat 2n st {
  1: <k p>
  2: <k p>
  3: <p k>
  4: <p k>
}
)",
       "work moss for {rows} rows"},
      {"moss, one row high", "fabric moss flat 2n + 1 st { 1: <k p> k }", "work moss for {rows} rows",
       "cast on {stitches} - 1"},
      {"brioche, two passes", colours + R"(
fabric tide flat 2n + 2 st {
  1 A: k  <sl1yo brk> k
  1 B: sl <brp sl1yo> sl
  2 A: p  <brp sl1yo> p
  2 B: sl <sl1yo brk> sl
}
)",
       "rows { 1 A: <k>  2 A: p <sl1yo p> p }\n  work tide for {rows} rows\n"
       "  rows { 1 A: k <k brk> k }"},
      {"cables", R"(
fabric hawser flat 8n + 2 st {
  1, 5: k <p k6 p> k
  2, 4, 6, 8: p <k p6 k> p
  3: k <p 2/2rc k2 p> k
  7: k <p k2 2/2lc p> k
}
)",
       "work hawser for {rows} rows"},
      {"lace", R"(
fabric gull flat 8n + 2 st {
  1: k <k2tog k yo k yo k ssk k> k
  2: <p>
  3: k <k2 yo sk2p yo k3> k
  4: <p>
}
)",
       "work gull for {rows} rows"},
      {"side by side", borders, "work garter 4 | rib | garter 4 for {rows} rows"},
      {"side by side, cycles of 2, 6 and 10 rows", borders + R"(
fabric six flat 6 st x 6 rows {
  rs: k6
  ws: p6
  3: 3/3rc
}
fabric ten flat 10 st x 10 rows {
  rs: k10
  ws: p10
  5: 5/5lc
}
)",
       "work garter 4 | six 6 | rib | ten 10 | garter 4 for {rows} rows", "cast on {stitches}", "flat", 30},
      {"slip-stitch colour", colours + R"(
fabric shingle flat 4n + 2 st {
  1 A: k <k2 sl2> k
  2 A: p <slwyif2 p2> p
  3 B: k <sl2 k2> k
  4 B: p <p2 slwyif2> p
}
)",
       "work shingle for {rows} rows"},
      {"stranded colour", colours + R"(
fabric beacon round 4n + 2 st {
  1: A(k) <A(k3) B(k)> A(k)
  2: A(k) <A(k) B(k3)> A(k)
}
)",
       "work beacon for {rows} rounds", "cast on {stitches}", "round"},
      {"double knitting", colours + R"(
fabric signal flat 8n + 4 st {
  1 A B: dk <dk2 B(dk2)> dk
  2 B A: dk <B(dk2) A(dk2)> dk
}
)",
       "work signal for {rows} rows\n  rows { 1 A: <dkjoin> }", "cast on {stitches} pairs with A B"},
      {"short rows", R"(
fabric wedge flat n st {
  1: <k> wt9
  2: <p> wt6
  3: <k>
  4: <p>
  5: <k>
}
)",
       "work wedge for {rows} rows"},
      {"short rows, German, in the round", R"(
fabric tilt round 2n st {
  1: <k> ds8
  2: <p> ds4
  3: <k>
  4, 5: <k p>
}
)",
       "work tilt for {rows} rounds", "cast on {stitches}", "round"},
      {"flat fabric in the round", borders, "work rib for {rows} rounds", "cast on {stitches}", "round"},
      {"rows repeated", "", "repeat {halves} times { rows { 1: <k2 p2> k2  2: <p2 k2> p2 } }"},
      {"repeat in a repeat", borders,
       "repeat {halves} times {\n  repeat 3 times { work rib for 2 rows }\n  work garter for 4 rows\n  }"},
  };
  return cases;
}

const std::vector<Case>& shaped() {
  static const std::vector<Case> cases{
      {"garter, gains 2 a row", "", "repeat {rows} times { rows { 1: kfb <k> kfb } }"},
      {"stockinette, gains 4 every other row", "",
       "repeat {halves} times { rows { 1: k2 yo <k> yo k2  2: k2 yo <p> yo k2 } }"},
      {"garter, loses 2 a row", "", "repeat {rows} times { rows { 1: ssk <k> k2tog } }",
       "cast on 2 * {rows} + 42"},
      {"as seen, gains 2 a row", "", "repeat {rows} times { rows { 1: k m1l as seen m1r k } }"},
      {"slipped, gains 2 a row", "", "repeat {rows} times { rows { 1: k yo <sl> yo k } }"},
      {"rib that takes its gains in, 4 a cycle",
       "fabric rib flat 4n + 2 st {\n  1: <k2 p2> k2\n  2: <p2 k2> p2\n}\n",
       "repeat {halves} / 2 times {\n  work rib for 2 rows\n  rows { 1: kfb <k> kfb  2: pfb <p> pfb }\n  }"},
  };
  return cases;
}

namespace {

void put_in(std::string& text, const std::string& name, long long value) {
  const std::string number = fmt::format("{}", value);
  for (std::size_t at = 0; (at = text.find(name, at)) != std::string::npos; at += number.size())
    text.replace(at, name.size(), number);
}

}  // namespace

std::string pattern(const Case& which, Size size) {
  std::string out = fmt::format("{}\npiece p {} {{\n  {}\n  {}\n  bind off\n}}\n", which.fabrics, which.form,
                                which.cast_on, which.work);
  put_in(out, "{stitches}", size.stitches);
  put_in(out, "{rows}", size.rows);
  put_in(out, "{halves}", size.rows / 2);
  return out;
}

}  // namespace wale::bench
