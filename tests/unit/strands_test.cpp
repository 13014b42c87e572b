// Strands: weights by the ISO's tex, classes by the Craft Yarn Council's table, conversions by GNU units.
#include "compiler/strands.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "compiler/check.hpp"
#include "compiler/strand_blocks.hpp"
#include "tests/unit/random_fabric.hpp"

using namespace wale;

namespace {

Checked checked(const std::string& text) {
  return check(Source("t.wale", text, 1));
}

StrandFacts facts(const std::string& text, short strand = 0) {
  const Checked found = checked(text);
  const auto out = facts_of(found.pattern, strand);
  REQUIRE(out);
  return *out;
}

const std::string locker =
    "yarn oar \"Skerry DK, Oar\" 50 g = 115 m\nyarn mist \"Skerry Halo, Mist\" 25 g = 210 m\n"
    "yarn kelp \"Skerry Worsted, Kelp\" 100 g = 200 m\nyarn lamp \"Skerry Sock, Lamp\" 100 g = 420 m\n";

double gnu_units(const std::string& from, const std::string& to) {
  FILE* pipe = popen(fmt::format("units --terse --output-format %.12g '{}' '{}'", from, to).c_str(), "r");
  REQUIRE(pipe);
  std::array<char, 64> line{};
  const bool read = std::fgets(line.data(), static_cast<int>(line.size()), pipe) != nullptr;
  pclose(pipe);
  REQUIRE(read);
  return std::strtod(line.data(), nullptr);
}

}  // namespace

TEST_CASE("two ends of 150 m / 50 g are 75 m / 50 g") {
  const StrandFacts two = facts("yarn a \"A\" 50 g = 150 m\nstrand A = a + a\n");
  CHECK(two.ends == 2);
  CHECK(two.tex == doctest::Approx(1000.0 * 50 / 75).epsilon(1e-12));
  CHECK(two.metres_per_100g == doctest::Approx(150));
}

TEST_CASE("tex adds over any number of ends, in any order") {
  naive::Dice dice(81'000);
  for (int i = 0; i < 100; ++i) {
    std::string yarns, ends, backwards;
    double tex = 0;
    const long long count = dice.number(1, 12);
    for (long long k = 0; k < count; ++k) {
      const auto grams = static_cast<double>(dice.number(10, 200)),
                 length = static_cast<double>(dice.number(20, 900));
      const std::string name(1, static_cast<char>('a' + k));
      yarns += fmt::format("yarn {0} \"{0}\" {1} g = {2} m\n", name, grams, length);
      tex += 1000 * grams / length;
      ends += (k > 0 ? " + " : "") + name;
      backwards = name + (k > 0 ? " + " : "") + backwards;
    }
    CHECK(facts(yarns + "strand A = " + ends + "\n").tex == doctest::Approx(tex));
    CHECK(facts(yarns + "strand A = " + backwards + "\n").tex == doctest::Approx(tex));
  }
}

TEST_CASE("tex, metres to 100 g and denier agree with GNU units" *
          doctest::skip(std::system("command -v units >/dev/null 2>&1") != 0)) {
  for (const auto& [grams, metres] :
       {std::pair{100, 200}, {50, 115}, {25, 210}, {50, 75}, {100, 1}, {28, 1000}}) {
    const Yardage yardage{static_cast<double>(metres), static_cast<double>(grams), {}};
    const std::string ratio = fmt::format("({} g / {} m)", grams, metres);
    CHECK(tex_of(yardage) == doctest::Approx(gnu_units(ratio, "tex")).epsilon(1e-11));
    CHECK(9 * tex_of(yardage) == doctest::Approx(gnu_units(ratio, "denier")).epsilon(1e-11));
    CHECK(100'000 / tex_of(yardage) ==
          doctest::Approx(gnu_units(fmt::format("100 g / {}", ratio), "m")).epsilon(1e-11));
  }
  // A ball in ounces and yards is the ball in grams and metres.
  const StrandFacts imperial = facts("yarn a \"A\" 3.5 oz = 220 yd\nstrand A = a\n");
  CHECK(imperial.tex == doctest::Approx(gnu_units("3.5 oz / 220 yd", "tex")).epsilon(1e-11));
}

TEST_CASE("each class of the Craft Yarn Council's table holds its own stitches") {
  // Stitches of stockinette to 4 in (standards/README.md).
  struct Line {
    int number, fewest, most;
  };
  for (const Line& line :
       {Line{0, 33, 40}, {1, 27, 32}, {2, 23, 26}, {4, 16, 20}, {5, 12, 15}, {6, 7, 11}, {7, 2, 6}})
    for (int stitches = line.fewest; stitches <= line.most; ++stitches)
      CHECK(class_by_gauge(stitches).number == line.number);
  CHECK(class_by_gauge(21).number == 3);
  CHECK(class_by_gauge(22).number == 3);
  CHECK(class_by_gauge(60).number == 0);
  CHECK(class_by_gauge(0.5).number == 7);
}

TEST_CASE("yarns of common put-ups come into the class that they are sold as") {
  // Metres on common put-ups by trade name: from memory.
  for (const auto& [length, number] :
       {std::pair{800, 0}, {420, 1}, {300, 2}, {230, 3}, {200, 4}, {165, 4}, {150, 4}, {100, 5}, {60, 6}})
    CHECK_MESSAGE(
        facts(fmt::format("yarn a \"A\" 100 g = {} m\nstrand A = a\n", length)).yarn_class->number == number,
        length);
}

TEST_CASE("wraps grow finer as the square root of the tex falls") {
  const auto wraps = [](int length) {
    return facts(fmt::format("yarn a \"A\" 100 g = {} m\nstrand A = a\n", length)).wraps_per_inch;
  };
  CHECK(wraps(400) == doctest::Approx(2 * wraps(100)));
  // Hand spinners' tables, from memory: worsted 9 to 11 wraps to the inch, fingering 14 to 18.
  CHECK(wraps(200) > 9);
  CHECK(wraps(200) < 11);
  CHECK(wraps(420) > 13.5);
  CHECK(wraps(420) < 18);
}

TEST_CASE("a class and a gauge agree within a stitch; lace at an open gauge is no error") {
  const YarnClass& medium = class_by_gauge(18);
  CHECK(fit_to_gauge(medium, 15, true) == GaugeFit::agrees);
  CHECK(fit_to_gauge(medium, 14.9, true) == GaugeFit::looser);
  CHECK(fit_to_gauge(medium, 21, true) == GaugeFit::agrees);
  CHECK(fit_to_gauge(medium, 21.1, true) == GaugeFit::tighter);
  CHECK(fit_to_gauge(medium, 24, false) == GaugeFit::agrees);  // ribs draw in
  CHECK(fit_to_gauge(medium, 25, false) == GaugeFit::tighter);
  CHECK(fit_to_gauge(class_by_gauge(36), 14, true) == GaugeFit::open);  // lace mohair at 14 st on 6 mm
}

TEST_CASE("DK held with lace is a quarter lighter than worsted held with fingering") {
  const StrandFacts written = facts(locker + "strand W = kelp + lamp\n"),
                    held = facts(locker + "strand D = oar + mist\n");
  CHECK(written.tex == doctest::Approx(500 + 1000.0 * 100 / 420));
  CHECK(held.tex == doctest::Approx(1000.0 * 50 / 115 + 1000.0 * 25 / 210));
  CHECK(held.tex / written.tex == doctest::Approx(0.75).epsilon(0.01));
  const Checked found = checked(locker + "strand D = oar + mist written for 68 m / 50 g\n");
  const auto other = substitute_of(found.pattern, 0);
  REQUIRE(other);
  CHECK(std::lround(other->heavier * 100) == -25);
  CHECK(other->ends == 0);  // two yarns: more ends of which?
  CHECK(comparison_words(*other, *found.pattern.strands[0].written_for) ==
        "25 % lighter than the 68 m / 50 g that the pattern was written for");
}

TEST_CASE("what was written for holds for every strand that says no other") {
  const Checked found = checked(
      locker + "written for 75 m / 50 g\nstrand A = kelp\nstrand B = kelp written for 2 oz / 120 yd\n");
  // `written for 2 oz / 120 yd` names the weight first.
  CHECK(found.diagnostics.has_errors());
  const Checked good = checked(
      locker + "written for 75 m / 50 g\nstrand A = kelp\nstrand B = kelp written for 120 yd / 2 oz\n");
  CHECK(good.pattern.strands.at(0).written_for->metres == 75);
  CHECK(good.pattern.strands.at(1).written_for->metres == doctest::Approx(109.728));
  CHECK(good.pattern.strands.at(1).written_for->grams == doctest::Approx(56.69904625));
}

TEST_CASE("where more or fewer ends come nearer, so many are named") {
  const auto substitute = [](const std::string& strand) {
    const Checked found = checked(locker + strand);
    const auto out = substitute_of(found.pattern, 0);
    REQUIRE(out);
    return *out;
  };
  const Substitute lighter = substitute("strand A = lamp written for 75 m / 50 g\n");
  CHECK(lighter.ends == 3);  // 238 tex each, 667 wanted
  CHECK(std::lround(lighter.heavier_then * 100) == 7);
  const Substitute heavier = substitute("strand A = kelp + kelp written for 200 m / 100 g\n");
  CHECK(heavier.ends == 1);
  CHECK(heavier.heavier == doctest::Approx(1));
  CHECK(substitute("strand A = kelp written for 205 m / 100 g\n").ends == 0);
  CHECK(advice_words(substitute("strand A = kelp written for 205 m / 100 g\n")) ==
        "Knit it as it is written.");
  CHECK(advice_words(lighter).find("3 ends held together would be 7 % heavier.") != std::string::npos);
  CHECK(advice_words(substitute("strand A = kelp written for 90 m / 50 g\n")).find("larger needle") !=
        std::string::npos);
}

TEST_CASE("a swatch in the strand silences the warning of its weight") {
  const std::string text =
      locker + "strand A = lamp written for 75 m / 50 g\nfabric garter flat n st { every: <k> }\n";
  const Checked without = checked(text);
  REQUIRE(without.diagnostics.all().size() == 1);
  CHECK(without.diagnostics.all()[0].kind == Kind::another_weight);
  CHECK(checked(text + "swatch garter {\n made 40 st x 80 rows\n before 16 x 16 cm\n after 16 x 16 cm\n}\n")
            .diagnostics.all()
            .empty());
}
