#include "render/path.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numbers>
#include <optional>

namespace wale::render {

namespace {

constexpr double largest = 10000;
constexpr std::size_t most_segments = 20000;

/// A cursor over the data with the pen's state. Every reading function returns false after noting an error,
/// and the first error stops the parse.
class PathParser {
 public:
  explicit PathParser(std::string_view data) : data_(data) {}

  std::variant<Path, PathError> parse() {
    skip_spaces();
    while (at_ < data_.size()) {
      if (!command()) return error_;
      skip_spaces();
    }
    return std::move(path_);
  }

 private:
  bool fail(std::string message) {
    error_ = {at_, std::move(message)};
    return false;
  }

  static bool is_space(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f'; }
  static bool is_digit(char c) { return c >= '0' && c <= '9'; }

  void skip_spaces() {
    while (at_ < data_.size() && is_space(data_[at_])) ++at_;
  }

  void skip_separator() {
    skip_spaces();
    if (at_ < data_.size() && data_[at_] == ',') ++at_;
    skip_spaces();
  }

  /// Whether another set of numbers follows for the same command.
  bool number_follows() {
    const std::size_t back = at_;
    skip_separator();
    const bool comma = data_.substr(back, at_ - back).find(',') != std::string_view::npos;
    if (comma) return true;
    if (at_ >= data_.size()) return false;
    const char c = data_[at_];
    return is_digit(c) || c == '.' || c == '-' || c == '+';
  }

  bool number(double& out) {
    std::size_t start = at_;
    if (start < data_.size() && data_[start] == '+') ++start;
    std::size_t first = start;
    if (first == at_ && first < data_.size() && data_[first] == '-') ++first;
    if (first >= data_.size() || !(is_digit(data_[first]) || data_[first] == '.')) {
      return fail("a number is missing");
    }
    const auto [end, status] = std::from_chars(data_.data() + start, data_.data() + data_.size(), out);
    if (status == std::errc::invalid_argument) return fail("a number is missing");
    if (status != std::errc{} || !std::isfinite(out) || std::abs(out) > largest) {
      return fail("a number is too large");
    }
    at_ = static_cast<std::size_t>(end - data_.data());
    return true;
  }

  bool next_number(double& out) {
    skip_separator();
    return number(out);
  }

  bool flag(bool& out) {
    skip_separator();
    if (at_ >= data_.size() || (data_[at_] != '0' && data_[at_] != '1'))
      return fail("an arc's flag must be 0 or 1");
    out = data_[at_++] == '1';
    return true;
  }

  bool point(Point& out) {
    double x = 0, y = 0;
    if (!number(x) || !next_number(y)) return false;
    out = relative_ ? Point{pen_.x + x, pen_.y + y} : Point{x, y};
    return inside(out);
  }

  bool next_point(Point& out) {
    skip_separator();
    return point(out);
  }

  bool inside(Point p) {
    return std::abs(p.x) <= largest && std::abs(p.y) <= largest ? true : fail("a point lies too far away");
  }

  bool room() {
    return path_.segments.size() < most_segments ? true : fail("the path has too many segments");
  }

  bool command() {
    const char letter = data_[at_];
    const char upper = letter >= 'a' && letter <= 'z' ? static_cast<char>(letter - 'a' + 'A') : letter;
    if (std::string_view("MLHVCSQTAZ").find(upper) == std::string_view::npos) {
      return fail("expected one of the letters M L H V C S Q T A Z");
    }
    if (path_.segments.empty() && upper != 'M') return fail("a path begins with M");
    relative_ = letter != upper;
    ++at_;
    if (upper == 'Z') return close();
    skip_spaces();
    char repeated = upper;
    do {
      if (!room() || !segment(repeated)) return false;
      if (repeated == 'M') repeated = 'L';
    } while (number_follows());
    return true;
  }

  bool close() {
    if (!room()) return false;
    path_.close();
    pen_ = start_;
    forget_controls();
    return true;
  }

  void forget_controls() {
    cubic_.reset();
    quadratic_.reset();
  }

  bool segment(char letter) {
    switch (letter) {
      case 'M':
        return move();
      case 'C':
      case 'S':
        return cubic(letter == 'S');
      case 'Q':
      case 'T':
        return quadratic(letter == 'T');
      case 'A':
        return arc();
      default:
        return line(letter);
    }
  }

  bool move() {
    Point to;
    if (!point(to)) return false;
    path_.move_to(to);
    pen_ = start_ = to;
    forget_controls();
    return true;
  }

  bool line(char letter) {
    Point to = pen_;
    if (letter == 'L') {
      if (!point(to)) return false;
    } else {
      double value = 0;
      if (!number(value)) return false;
      double& along = letter == 'H' ? to.x : to.y;
      along = relative_ ? along + value : value;
      if (!inside(to)) return false;
    }
    path_.line_to(to);
    pen_ = to;
    forget_controls();
    return true;
  }

  Point reflected(const std::optional<Point>& control) const {
    return control ? Point{2 * pen_.x - control->x, 2 * pen_.y - control->y} : pen_;
  }

  bool cubic(bool smooth) {
    Point control1 = reflected(cubic_), control2, to;
    if (smooth ? !point(control2) : !(point(control1) && next_point(control2))) return false;
    if (!next_point(to) || !inside(control1)) return false;
    path_.curve_to(control1, control2, to);
    forget_controls();
    cubic_ = control2;
    pen_ = to;
    return true;
  }

  bool quadratic(bool smooth) {
    Point control = reflected(quadratic_), to;
    if (smooth ? !point(to) : !(point(control) && next_point(to))) return false;
    if (!inside(control)) return false;
    // A quadratic curve is the cubic whose controls lie two thirds of the way to its one control.
    path_.curve_to({pen_.x + (control.x - pen_.x) * 2 / 3, pen_.y + (control.y - pen_.y) * 2 / 3},
                   {to.x + (control.x - to.x) * 2 / 3, to.y + (control.y - to.y) * 2 / 3}, to);
    forget_controls();
    quadratic_ = control;
    pen_ = to;
    return true;
  }

  bool arc() {
    double rx = 0, ry = 0, turn = 0;
    bool large = false, sweep = false;
    Point to;
    if (!number(rx) || !next_number(ry) || !next_number(turn) || !flag(large) || !flag(sweep)) return false;
    if (!next_point(to)) return false;
    add_arc(std::abs(rx), std::abs(ry), turn * std::numbers::pi / 180, large, sweep, to);
    pen_ = to;
    forget_controls();
    return true;
  }

  /// From end points to centre, then to curves of a quarter turn at most: SVG 1.1, appendix F.6.
  void add_arc(double rx, double ry, double turn, bool large, bool sweep, Point to) {
    if (to == pen_) return;
    if (rx < 1e-9 || ry < 1e-9) return path_.line_to(to);
    const double cosine = std::cos(turn), sine = std::sin(turn);
    const double dx = (pen_.x - to.x) / 2, dy = (pen_.y - to.y) / 2;
    const double x1 = cosine * dx + sine * dy, y1 = -sine * dx + cosine * dy;
    const double reach = x1 * x1 / (rx * rx) + y1 * y1 / (ry * ry);
    if (reach > 1) {
      rx *= std::sqrt(reach);
      ry *= std::sqrt(reach);
    }
    const double below = rx * rx * y1 * y1 + ry * ry * x1 * x1;
    double factor = below > 0 ? std::sqrt(std::max(0.0, (rx * rx * ry * ry - below) / below)) : 0;
    if (large == sweep) factor = -factor;
    const double cx1 = factor * rx * y1 / ry, cy1 = -factor * ry * x1 / rx;
    const Point centre{cosine * cx1 - sine * cy1 + (pen_.x + to.x) / 2,
                       sine * cx1 + cosine * cy1 + (pen_.y + to.y) / 2};
    const double begin = std::atan2((y1 - cy1) / ry, (x1 - cx1) / rx);
    double delta = std::atan2((-y1 - cy1) / ry, (-x1 - cx1) / rx) - begin;
    if (sweep && delta < 0) delta += 2 * std::numbers::pi;
    if (!sweep && delta > 0) delta -= 2 * std::numbers::pi;
    const int pieces =
        std::clamp(static_cast<int>(std::ceil(std::abs(delta) / (std::numbers::pi / 2) - 1e-9)), 1, 4);
    const double step = delta / pieces, handle = 4.0 / 3 * std::tan(step / 4);
    const auto place = [&](double x, double y) {
      return Point{centre.x + cosine * rx * x - sine * ry * y, centre.y + sine * rx * x + cosine * ry * y};
    };
    for (int piece = 0; piece < pieces; ++piece) {
      const double a = begin + piece * step, b = a + step;
      path_.curve_to(place(std::cos(a) - handle * std::sin(a), std::sin(a) + handle * std::cos(a)),
                     place(std::cos(b) + handle * std::sin(b), std::sin(b) - handle * std::cos(b)),
                     piece + 1 == pieces ? to : place(std::cos(b), std::sin(b)));
    }
  }

  std::string_view data_;
  std::size_t at_ = 0;
  bool relative_ = false;
  Point pen_, start_;
  std::optional<Point> cubic_, quadratic_;
  Path path_;
  PathError error_;
};

}  // namespace

void Path::add_box(const Box& box) {
  move_to({box.x, box.y});
  line_to({box.right(), box.y});
  line_to({box.right(), box.bottom()});
  line_to({box.x, box.bottom()});
  close();
}

std::variant<Path, PathError> parse_path(std::string_view data) {
  return PathParser(data).parse();
}

Path scaled(const Path& path, double x_factor, double y_factor, Point offset) {
  Path result = path;
  const auto move = [&](Point& p) { p = {p.x * x_factor + offset.x, p.y * y_factor + offset.y}; };
  for (Segment& segment : result.segments) {
    if (segment.kind == Segment::Kind::close) continue;
    move(segment.to);
    if (segment.kind != Segment::Kind::curve) continue;
    move(segment.control1);
    move(segment.control2);
  }
  return result;
}

double length(const Path& path) {
  double out = 0;
  Point at, begin;
  const auto go = [&](Point to) {
    out += std::hypot(to.x - at.x, to.y - at.y);
    at = to;
  };
  for (const Segment& segment : path.segments) {
    switch (segment.kind) {
      case Segment::Kind::move:
        at = begin = segment.to;
        break;
      case Segment::Kind::line:
        go(segment.to);
        break;
      case Segment::Kind::curve:
        for (const Point from = at; const double t : {0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0}) {
          const double s = 1 - t, a = s * s * s, b = 3 * s * s * t, c = 3 * s * t * t, d = t * t * t;
          go({a * from.x + b * segment.control1.x + c * segment.control2.x + d * segment.to.x,
              a * from.y + b * segment.control1.y + c * segment.control2.y + d * segment.to.y});
        }
        break;
      case Segment::Kind::close:
        go(begin);
        break;
    }
  }
  return out;
}

Box bounds(const Path& path) {
  std::optional<Point> low, high;
  const auto take = [&](Point p) {
    low = low ? Point{std::min(low->x, p.x), std::min(low->y, p.y)} : p;
    high = high ? Point{std::max(high->x, p.x), std::max(high->y, p.y)} : p;
  };
  for (const Segment& segment : path.segments) {
    if (segment.kind == Segment::Kind::close) continue;
    take(segment.to);
    if (segment.kind != Segment::Kind::curve) continue;
    take(segment.control1);
    take(segment.control2);
  }
  return low ? Box{low->x, low->y, high->x - low->x, high->y - low->y} : Box{};
}

}  // namespace wale::render
