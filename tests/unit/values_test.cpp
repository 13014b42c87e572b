// Expressions and units. Figures: 1 yd = 0.9144 m and 1 lb = 0.45359237 kg exactly (the international yard
// and pound agreement of 1959, as stated in `values.hpp`); an ounce is a sixteenth of a pound and an inch a
// 36th of a yard. Cross-checked here against GNU units where that is installed.
#include "compiler/values.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <array>
#include <cstdio>
#include <cstdlib>

#include "grammar/parser.hpp"

using namespace wale;

namespace {

struct Worked {
  std::optional<Quantity> value;
  Diagnostics diagnostics;
};

/// What `measure a = <text>` comes to, at 20 stitches and 28 rows to 10 cm.
Worked value_of(const std::string& text, bool with_gauge = true) {
  Worked out;
  const tree::Pattern tree = parse(Source("m.wale", "measure a = " + text + "\n", 1), out.diagnostics);
  if (out.diagnostics.has_errors()) return out;
  Gauge gauge;
  gauge.stitches_per_cm = 2.0;
  gauge.rows_per_cm = 2.8;
  Scope scope;
  scope.measures = {{"chest", {}, Quantity{97, Dimension::length}}};
  if (with_gauge) scope.gauge = &gauge;
  out.value = evaluate(std::get<tree::Measure>(tree.declarations.at(0).what).value, scope, out.diagnostics);
  return out;
}

double number_of(const std::string& text) {
  const Worked worked = value_of(text);
  INFO(text);
  REQUIRE(worked.value);
  return worked.value->value;
}

Kind error_of(const std::string& text, bool with_gauge = true) {
  const Worked worked = value_of(text, with_gauge);
  INFO(text);
  REQUIRE(worked.diagnostics.all().size() == 1);
  return worked.diagnostics.all().front().kind;
}

}  // namespace

TEST_CASE("units are exact") {
  CHECK(number_of("1 yd") == 91.44);
  CHECK(number_of("1 in") == 2.54);
  CHECK(number_of("1 m") == 100);
  CHECK(number_of("1 cm") == 1);
  CHECK(number_of("10 mm") == 1);
  CHECK(number_of("1 oz") == 28.349523125);
  CHECK(number_of("16 oz") == doctest::Approx(453.59237).epsilon(1e-15));
  CHECK(number_of("1 yd") == number_of("36 in"));
  CHECK(value_of("1 oz").value->dimension == Dimension::mass);
  CHECK(value_of("1 yd").value->dimension == Dimension::length);
}

TEST_CASE("units agree with GNU units" *
          doctest::skip(std::system("command -v units >/dev/null 2>&1") != 0)) {
  for (const auto& [from, to] :
       {std::pair{"yd", "cm"}, {"in", "cm"}, {"mm", "cm"}, {"m", "cm"}, {"oz", "g"}}) {
    const std::string command = fmt::format("units --terse --output-format %.12g '1 {}' '{}'", from, to);
    FILE* pipe = popen(command.c_str(), "r");
    REQUIRE(pipe);
    std::array<char, 64> line{};
    const bool read = std::fgets(line.data(), static_cast<int>(line.size()), pipe) != nullptr;
    pclose(pipe);
    REQUIRE(read);
    CAPTURE(from);
    CHECK(number_of(fmt::format("1 {}", from)) ==
          doctest::Approx(std::strtod(line.data(), nullptr)).epsilon(1e-11));
  }
}

TEST_CASE("expressions follow the usual precedence and carry their units") {
  CHECK(number_of("1 in + 1 cm") == doctest::Approx(3.54));
  CHECK(number_of("2 + 3 * 4") == 14);
  CHECK(number_of("(2 + 3) * 4") == 20);
  CHECK(number_of("10 - 4 - 3") == 3);
  CHECK(number_of("24 / 4 / 2") == 3);
  CHECK(number_of("-3 + 5") == 2);
  CHECK(number_of("chest / 2") == 48.5);
  CHECK(number_of("1 m / 4 cm") == 25);
  CHECK(value_of("1 m / 4 cm").value->dimension == Dimension::count);
  CHECK(number_of("min(3, 2, 5)") == 2);
  CHECK(number_of("max(3 cm, 2 in)") == doctest::Approx(5.08));
}

TEST_CASE("lengths become stitches and rows at the gauge") {
  CHECK(number_of("stitches(10 cm)") == 20);
  CHECK(number_of("rows(10 cm)") == 28);
  CHECK(number_of("height(28)") == doctest::Approx(10));
  CHECK(number_of("width(stitches(15 cm))") == doctest::Approx(15));
  CHECK(error_of("height(3 cm)") == Kind::bad_measure);
  // 96 cm at 2 st to the cm are 192 st, which are 48 x 4
  CHECK(number_of("near(86 cm + 10 cm, 4n)") == 192);
  CHECK(number_of("near(chest, 4n + 2)") == 194);
  // 193 lies half way between 192 and 194: the larger one
  CHECK(number_of("near(96.5 cm, 2n)") == 194);
}

TEST_CASE("expressions that cannot be are refused") {
  CHECK(error_of("1 cm + 1") == Kind::bad_measure);
  CHECK(error_of("1 cm + 1 g") == Kind::bad_measure);
  CHECK(error_of("1 cm * 1 cm") == Kind::bad_measure);
  CHECK(error_of("1 g / 1 cm") == Kind::bad_measure);
  CHECK(error_of("1 / 0") == Kind::bad_measure);
  CHECK(error_of("4n") == Kind::bad_measure);
  CHECK(error_of("length-of-the-pier") == Kind::bad_measure);
  CHECK(error_of("furlongs(3)") == Kind::bad_measure);
  CHECK(error_of("min(1, 1 cm)") == Kind::bad_measure);
  CHECK(error_of("rows(3)") == Kind::bad_measure);
  CHECK(error_of("near(10 cm, 3)") == Kind::bad_measure);
  CHECK(error_of("rows(3 cm)", false) == Kind::no_gauge);
  CHECK(error_of("[1 2 3]") == Kind::one_value_per_size);
}

TEST_CASE("counts, lengths and masses are bounded") {
  const auto expression = [](const std::string& text) {
    Diagnostics diagnostics;
    const Source source("m.wale", "measure a = " + text + "\n", 1);
    return std::get<tree::Measure>(parse(source, diagnostics).declarations.at(0).what).value;
  };
  Diagnostics diagnostics;
  const Scope scope;
  CHECK(evaluate_count(expression("1000000000"), scope, 1, "it", diagnostics) == 1'000'000'000);
  CHECK(evaluate_length(expression("25.4 mm"), scope, "it", diagnostics) == 2.54);
  CHECK(evaluate_mass(expression("2 oz"), scope, "it", diagnostics) == 2 * 28.349523125);
  CHECK(!diagnostics.has_errors());
  CHECK(!evaluate_count(expression("1000000001"), scope, 1, "it", diagnostics));
  CHECK(!evaluate_count(expression("0"), scope, 1, "it", diagnostics));
  CHECK(!evaluate_count(expression("2.5"), scope, 1, "it", diagnostics));
  CHECK(!evaluate_count(expression("3 cm"), scope, 1, "it", diagnostics));
  CHECK(!evaluate_length(expression("3 g"), scope, "it", diagnostics));
  CHECK(!evaluate_length(expression("0 cm"), scope, "it", diagnostics));
  CHECK(!evaluate_length(expression("1000001 m * 1000"), scope, "it", diagnostics));
  CHECK(!evaluate_mass(expression("3 cm"), scope, "it", diagnostics));
  CHECK(!evaluate_mass(expression("-3 g"), scope, "it", diagnostics));
  CHECK(diagnostics.errors() == 9);
}
