#include "render/chart_marks.hpp"

#include <algorithm>
#include <cmath>

#include "render/measure.hpp"

namespace wale::render {

Symbol make_symbol(const Mark& mark, double width, double height, CellSize cell) {
  Symbol symbol{.id = id_from(mark.id), .width = width, .height = height, .stroke = {}, .fill = {}};
  symbol.name = clean_text(mark.abbreviation);
  symbol.meaning = clean_text(mark.meaning);
  constexpr double usual = 15;  // points: the side of a square whose pen is neither heavier nor lighter
  constexpr double usual_lines = 1.1;  // sides of the square: the length of the lines in such a mark
  const double side = std::sqrt(cell.width * cell.height);
  const double x_factor = width / std::max(mark.span, 1);
  const auto shape = [&](const std::string& data) {
    auto parsed = parse_path(data);
    const Path* path = std::get_if<Path>(&parsed);
    return path != nullptr ? scaled(*path, x_factor, height) : Path{};
  };
  symbol.stroke = shape(mark.stroke);
  symbol.fill = shape(mark.fill);
  const double lines = length(symbol.stroke) / (side * std::max(mark.span, 1));
  const double share = lines > 0 ? std::clamp(std::pow(usual_lines / lines, 0.3), 0.8, 1.15) : 1;
  symbol.stroke_width = std::clamp(0.088 * share * side * std::pow(usual / side, 0.15), 0.6, 4.0);
  return symbol;
}

void add_flags(Path& path, std::size_t tint, const Box& square) {
  const double leg = 0.22 * std::min(square.width, square.height);
  const double left = square.x, right = square.right(), top = square.y, bottom = square.bottom();
  const auto flag = [&](std::size_t bit, Point corner, double along, double down) {
    if ((tint & bit) == 0) return;
    path.move_to(corner);
    path.line_to({corner.x + along, corner.y});
    path.line_to({corner.x, corner.y + down});  // Filled, and so closed.
  };
  flag(1, {left, bottom}, leg, -leg);
  flag(2, {right, top}, -leg, leg);
  flag(4, {right, bottom}, -leg, -leg);
  flag(8, {left, top}, leg, leg);
}

void add_letters(Drawing& drawing, const std::string& letters, const Box& box, Colour colour) {
  if (letters.empty()) return;
  const double widest = text_width(letters, 1), room = 0.58 * std::min(box.width, 1.5 * box.height);
  const double size = std::min(0.6 * box.height, widest > 0 ? room / widest : room);
  add_text(drawing, {box.x + box.width / 2, box.y + box.height / 2 + cap_height * size / 2}, letters,
           {size, false, Anchor::middle, colour});
}

bool needs_letters(const Chart& chart) {
  for (std::size_t a = 0; a < chart.tints.size(); ++a) {
    for (std::size_t b = a + 1; b < chart.tints.size(); ++b) {
      if (contrast_ratio(chart.tints[a].colour, chart.tints[b].colour) < 1.5) return true;
    }
  }
  return false;
}

}  // namespace wale::render
