/// Paths: the one shape that marks are made of.
///
/// A mark is written as SVG path data (SVG 1.1, section 8.3) in a small box. It is parsed once into absolute
/// moves, lines, cubic curves and closings, so that everything after the parser knows four kinds of segment
/// and can stretch them freely: an arc is a handful of curves by then, and a stretched arc is still right.
///
///     parse_path("M0 0 h1 v1 z")  ->  move (0,0), line (1,0), line (1,1), close
///     parse_path("M0 0 L")        ->  PathError{offset 7, "a number is missing"}
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace wale::render {

/// A place or a displacement; x to the right, y downwards.
struct Point {
  double x = 0, y = 0;
  bool operator==(const Point&) const = default;
};

/// A rectangle, by its upper left corner.
struct Box {
  double x = 0, y = 0, width = 0, height = 0;
  double right() const { return x + width; }
  double bottom() const { return y + height; }
  bool operator==(const Box&) const = default;
};

/// One step of a path, in absolute coordinates. The controls matter to a curve only.
struct Segment {
  enum class Kind { move, line, curve, close };
  Kind kind = Kind::move;
  Point to, control1, control2;
  bool operator==(const Segment&) const = default;
};

struct Path {
  std::vector<Segment> segments;
  bool operator==(const Path&) const = default;

  void move_to(Point to) { segments.push_back({Segment::Kind::move, to, {}, {}}); }
  void line_to(Point to) { segments.push_back({Segment::Kind::line, to, {}, {}}); }
  void curve_to(Point control1, Point control2, Point to) {
    segments.push_back({Segment::Kind::curve, to, control1, control2});
  }
  void close() { segments.push_back({Segment::Kind::close, {}, {}, {}}); }
  void add_box(const Box& box);
};

/// Why path data cannot be drawn: `offset` is the byte where it went wrong.
struct PathError {
  std::size_t offset = 0;
  std::string message;
};

/// Reads SVG path data: M L H V C S Q T A Z, absolute and relative. Empty data is an empty path. Never
/// throws; takes time linear in the text. Refused: other letters, missing numbers, numbers or places beyond
/// +-10000, more than 20000 segments.
std::variant<Path, PathError> parse_path(std::string_view data);

/// The path stretched by `x_factor` and `y_factor`, then moved by `offset`.
Path scaled(const Path& path, double x_factor, double y_factor, Point offset = {});

/// How long a pen's way is; curves to about a hundredth.
double length(const Path& path);

/// The box around all points and controls of a path; an empty path has an empty box. A curve lies within it.
Box bounds(const Path& path);

}  // namespace wale::render
