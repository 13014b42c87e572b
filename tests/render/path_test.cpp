// Path data: what is read, what is refused, and that stretching a path stretches its picture.
#include "render/path.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <string>

#include "render/svg.hpp"

using namespace wale::render;

namespace {

Path read(const std::string& data) {
  const auto parsed = parse_path(data);
  const auto* error = std::get_if<PathError>(&parsed);
  INFO(data, ": ", (error != nullptr ? error->message : std::string()));
  REQUIRE(error == nullptr);
  return std::get<Path>(parsed);
}

PathError refused(const std::string& data) {
  const auto parsed = parse_path(data);
  INFO(data);
  REQUIRE(std::holds_alternative<PathError>(parsed));
  return std::get<PathError>(parsed);
}

bool near(Point a, Point b) {
  return std::hypot(a.x - b.x, a.y - b.y) < 1e-9;
}

Point end_of(const Path& path) {
  return path.segments.back().to;
}

/// The place at share `t` of a curve that begins at `from`.
Point on_curve(Point from, const Segment& curve, double t) {
  const auto mix = [t](double a, double b, double c, double d) {
    const double u = 1 - t;
    return u * u * u * a + 3 * u * u * t * b + 3 * u * t * t * c + t * t * t * d;
  };
  return {mix(from.x, curve.control1.x, curve.control2.x, curve.to.x),
          mix(from.y, curve.control1.y, curve.control2.y, curve.to.y)};
}

}  // namespace

TEST_CASE("relative and absolute letters draw the same path") {
  CHECK(read("M1 2 L3 4 H5 V6 Z") == read("m1,2 l2,2 h2 v2 z"));
  CHECK(read("M1 1 C1 2 3 4 5 6 S7 8 9 10") == read("m1 1 c0 1 2 3 4 5 s2 2 4 4"));
  CHECK(read("M0 0 Q1 1 2 0 T4 0") == read("m0 0q1 1 2 0t2 0"));
  CHECK(read("M0 0 10 0 10 10") == read("M0 0L10 0L10 10"));
  CHECK(read("m5 5z m1 1 1 0") == read("M5 5Z M6 6 L7 6"));
}

TEST_CASE("numbers may touch where they cannot be misread") {
  CHECK(read("M.15.85L-.5-.25") == read("M 0.15 0.85 L -0.5 -0.25"));
  CHECK(read("M1e1 2E-1") == read("M10 .2"));
  CHECK(read("M0 0a1 1 0 0110 0") == read("M0 0 A1 1 0 0 1 10 0"));
  CHECK(read("M+1 +2") == read("M1 2"));
}

TEST_CASE("no data is an empty path") {
  CHECK(read("").segments.empty());
  CHECK(read(" \n\t").segments.empty());
}

TEST_CASE("a smooth curve goes on as the curve before it came") {
  const Path path = read("M0 0 C0 1 1 2 2 2 S4 3 4 4");
  CHECK(near(path.segments[2].control1, {3, 2}));
  const Path alone = read("M0 0 S4 3 4 4");
  CHECK(near(alone.segments[1].control1, {0, 0}));
}

TEST_CASE("an arc runs on its circle and ends where it says") {
  const Path path = read("M1 0 A1 1 0 1 1 0 -1");
  CHECK(near(end_of(path), {0, -1}));
  Point from{1, 0};
  double lowest = 0;
  for (std::size_t i = 1; i < path.segments.size(); ++i) {
    for (double t = 0; t <= 1; t += 0.125) {
      const Point p = on_curve(from, path.segments[i], t);
      // A cubic quarter circle is off by at most 0.03 percent (from memory).
      CHECK(std::hypot(p.x, p.y) == doctest::Approx(1).epsilon(0.0005));
      lowest = std::min(lowest, -p.y);
    }
    from = path.segments[i].to;
  }
  CHECK(lowest < -0.99);  // The large arc goes round through the bottom: y = +1 on paper.
}

TEST_CASE("an arc whose radii are too small is widened, and one without radius is a line") {
  CHECK(near(end_of(read("M0 0 A1 1 0 0 1 10 0")), {10, 0}));
  CHECK(read("M0 0 A0 1 0 0 1 10 0").segments[1].kind == Segment::Kind::line);
  CHECK(read("M0 0 A1 1 0 0 1 0 0").segments.size() == 1);
}

TEST_CASE("what cannot be drawn is refused where it goes wrong") {
  CHECK(refused("L1 1").offset == 0);
  CHECK(refused("M0 0 L").offset == 6);
  CHECK(refused("M0 0 X").offset == 5);
  CHECK(refused("M0 0 L1").offset == 7);
  for (const char* data :
       {"M", "M0", "M0 0,", "M0 0 L nan 1", "M0 0 L inf 1", "M1e999 0", "M20000 0", "M0 0 L0x10 1", "M--1 0",
        "M0 0 l9000 0 l9000 0", "M0 0 A1 1 0 2 1 1 1", "M0 0 Z 1 1", "0 0", "M0 0 C1 1 2 2", "M. .", "M0 0;",
        "M\xD1\x8F", "M0 0 L1e 1"}) {
    CHECK_FALSE(refused(data).message.empty());
  }
  CHECK_FALSE(refused(std::string("M0 0\0L1 1", 9)).message.empty());
}

TEST_CASE("endless data ends") {
  std::string data = "M0 0";
  for (int i = 0; i < 100000; ++i) data += "h1h-1";
  CHECK(refused(data).message == "the path has too many segments");
}

TEST_CASE("random bytes never do worse than an error") {
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  std::mt19937 random(seed);
  const std::string letters = "MmLlHhVvCcSsQqTtAaZz0123456789.,-+eE \n";
  for (int i = 0; i < 3000; ++i) {
    std::string data = "M0 0";
    for (int n = static_cast<int>(random() % 60); n > 0; --n) data += letters[random() % letters.size()];
    const auto parsed = parse_path(data);
    if (const auto* path = std::get_if<Path>(&parsed)) {
      for (const Segment& segment : path->segments) {
        CHECK(std::isfinite(segment.to.x));
        CHECK(std::isfinite(segment.control1.y));
      }
    } else {
      CHECK(std::get<PathError>(parsed).offset <= data.size());
    }
  }
}

TEST_CASE("stretching the path stretches its box") {
  const unsigned seed = std::random_device{}();
  INFO("random numbers from ", seed);
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> number(-5, 5), factor(0.1, 30);
  for (int i = 0; i < 200; ++i) {
    Path path;
    path.move_to({number(random), number(random)});
    for (int n = 0; n < 5; ++n) {
      path.line_to({number(random), number(random)});
      path.curve_to({number(random), number(random)}, {number(random), number(random)},
                    {number(random), number(random)});
    }
    const double x = factor(random), y = factor(random);
    const Point by{number(random), number(random)};
    const Box before = bounds(path), after = bounds(scaled(path, x, y, by));
    CHECK(after.x == doctest::Approx(before.x * x + by.x));
    CHECK(after.y == doctest::Approx(before.y * y + by.y));
    CHECK(after.width == doctest::Approx(before.width * x));
    CHECK(after.height == doctest::Approx(before.height * y));
  }
}

TEST_CASE("a path written out and read again is the same path") {
  for (const char* data :
       {"M1 2 H5 V7 L1 2", "M1 2 L5 2 L5 0 Z L9 0 L9 2 Z M3 3 L0 0 L0 3", "M2 0 C1 1 2 2 3 0 L9 0 Z L2 5"}) {
    CAPTURE(data);
    const Path path = std::get<Path>(parse_path(data));
    CHECK(std::get<Path>(parse_path(path_data(path))) == path);
  }
  CHECK(path_data(std::get<Path>(parse_path("M1 2 L5 2 L5 7"))) == "M1 2H5V7");
}

TEST_CASE("the length of a path is what a ruler says") {
  CHECK(length(std::get<Path>(parse_path("M0 0 L3 4 L3 0 Z"))) == doctest::Approx(12));
  CHECK(length(std::get<Path>(parse_path("M0 0 L1 0 M5 5 L5 7"))) == doctest::Approx(3));
  // The circumference of a circle, 2 pi r.
  CHECK(length(std::get<Path>(parse_path("M-2 0 A2 2 0 1 1 2 0 A2 2 0 1 1 -2 0 Z"))) ==
        doctest::Approx(12.566).epsilon(0.01));
}
