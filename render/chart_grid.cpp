#include "render/chart_grid.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <map>
#include <tuple>

#include "render/chart_frames.hpp"
#include "render/measure.hpp"

namespace wale::render {

namespace {

constexpr int plain = -1, absent = -2;

/// What another part shows, too: marks on paper, marks on a colour, and a colour itself.
constexpr Colour pale_ink{150, 150, 150}, pale_ink_on_colour = quiet_ink, pale_absent_ground{242, 242, 242};

Colour paled(Colour colour) {
  const auto mixed = [](int level) { return static_cast<std::uint8_t>((level * 35 + 255 * 65) / 100); };
  return {mixed(colour.red), mixed(colour.green), mixed(colour.blue)};
}

/// What lies in each square of a window, square by square.
struct Ground {
  Ground(const Chart& chart, const ChartWindow& window)
      : columns(window.columns),
        rows(window.rows),
        tint(static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows), plain),
        joined(tint.size(), 0) {
    for (int row = 0; row < rows; ++row) {
      for (const Cell& cell : chart.rows[static_cast<std::size_t>(window.first_row + row)].cells) {
        take(chart, cell, window.first_column, row);
      }
    }
  }

  void take(const Chart& chart, const Cell& cell, int first_column, int row) {
    if (cell.span < 1 || cell.column < 0 || cell.column > chart.columns) return;
    const int begin = std::max(cell.column - first_column, 0);
    const int end = std::min(cell.column - first_column + std::min(cell.span, chart.columns), columns);
    const bool tinted =
        cell.tint && *cell.tint >= 0 && static_cast<std::size_t>(*cell.tint) < chart.tints.size();
    for (int column = begin; column < end; ++column) {
      tint[at(column, row)] = cell.absent ? absent : tinted ? *cell.tint : plain;
      if (column > begin) joined[at(column, row)] = 1;
    }
  }

  std::size_t at(int column, int row) const {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) +
           static_cast<std::size_t>(column);
  }

  /// Whether a line stands on the right of `column`.
  bool wall(int column, int row) const {
    const std::size_t here = at(column, row);
    return joined[here] == 0 && !(tint[here] == absent && tint[at(column - 1, row)] == absent);
  }

  /// Whether a line lies under `row`.
  bool floor(int column, int row) const {
    return !(tint[at(column, row)] == absent && tint[at(column, row - 1)] == absent);
  }

  int columns, rows;
  std::vector<int> tint;
  std::vector<std::uint8_t> joined;  ///< 1 where a square and the one on its right are one cell.
};

bool is_blank(const Mark& mark) {
  return mark.stroke.empty() && mark.fill.empty() && mark.letters.empty();
}

/// The ink of the grid's lines: the usual grey, unless they would be lost on one of the chart's colours; then
/// the grey that stands out most on the one on which it stands out least.
Colour rule_ink(const Chart& chart) {
  constexpr double enough = 1.3;
  const auto least = [&](Colour line) {
    double out = contrast_ratio(line, paper);
    for (const Tint& tint : chart.tints) out = std::min(out, contrast_ratio(line, tint.colour));
    return out;
  };
  Colour best = grid_ink;
  if (least(best) >= enough) return best;
  for (int grey = 20; grey <= 220; grey += 5) {
    const auto level = static_cast<std::uint8_t>(grey);
    const Colour line{level, level, level};
    if (least(line) > least(best)) best = line;
  }
  return best;
}

std::string bracketed(const std::string& text) {
  return std::string("(").append(text).append(")");
}

std::string row_label(const ChartRow& row, bool repeated) {
  const std::string label = clean_text(row.label);
  return repeated && !label.empty() ? bracketed(label) : label;
}

int largest_number(const Chart& chart, const ChartWindow& window) {
  return std::max(column_number(chart, window.first_column),
                  column_number(chart, window.first_column + window.columns - 1));
}

/// Draws one window; `x` and `y` turn window columns and rows into places.
class GridDrawer {
 public:
  GridDrawer(const Chart& chart, const ChartWindow& window, CellSize cell, const ChartStyle& style)
      : chart_(chart),
        window_(window),
        cell_(cell),
        style_(style),
        margins_(grid_margins(chart, window, cell, style)),
        ground_(chart, window),
        letters_(needs_letters(chart)) {
    drawing_.width = margins_.left + window.columns * cell.width + margins_.right;
    drawing_.height = 1 + window.rows * cell.height + margins_.bottom;
  }

  Drawing draw() {
    // Room that nothing is written to costs nothing.
    drawing_.items.reserve(static_cast<std::size_t>(window_.columns + 8) *
                           static_cast<std::size_t>(window_.rows + 8));
    fill_ground();
    rule_lines();
    for (int row = 0; row < window_.rows; ++row) draw_row(row);
    draw_outline();
    for (Path& frame : repeat_frames(chart_, window_, cell_, {x(window_.columns), y(window_.rows - 1)})) {
      const double width = std::clamp(0.14 * std::min(cell_.width, cell_.height), 1.3, 2.4);
      if (!chart_.tints.empty()) halo(frame, width);
      add_path(drawing_, std::move(frame), Stroke{width, ink, 0, true});
    }
    draw_markers();
    number_columns();
    return std::move(drawing_);
  }

 private:
  /// The right edge of window column `column`; the left edge of the one before it.
  double x(int column) const { return margins_.left + (window_.columns - column) * cell_.width; }
  /// The upper edge of window row `row`.
  double y(int row) const { return 1 + (window_.rows - 1 - row) * cell_.height; }

  Box block(int column, int columns, int row, int rows) const {
    return {x(column + columns), y(row + rows - 1), columns * cell_.width, rows * cell_.height};
  }

  /// Around the squares that belong to this window alone; those shown again lie outside.
  void draw_outline() {
    const int columns = window_.columns - window_.repeated_columns,
              rows = window_.rows - window_.repeated_rows;
    if (columns < window_.columns || rows < window_.rows)
      add_box(drawing_, block(0, window_.columns, 0, window_.rows), Stroke{0.5, pale_ink, 0, true});
    const int first = chart_.numbered_from_left ? 0 : window_.repeated_columns;
    add_box(drawing_, block(first, columns, window_.repeated_rows, rows), Stroke{1, ink, 0, true});
  }

  /// Whether all of window columns [first, last) is shown on another part, too.
  bool pale(int first, int last, int row) const {
    return row < window_.repeated_rows ||
           (chart_.numbered_from_left ? first >= window_.columns - window_.repeated_columns
                                      : last <= window_.repeated_columns);
  }
  Colour pen(const Cell& cell, int first, int last, int row) const {
    if (!pale(first, last, row)) return ink_on(cell);
    return tinted(cell) ? pale_ink_on_colour : pale_ink;
  }

  /// One path per colour, in which equal neighbours are one box: no seams and few points.
  void fill_ground() {
    fill_colours();
    fly_flags();
  }

  void fill_colours() {
    using Shade = std::pair<int, bool>;  // A tint, and whether it is pale.
    using Block = std::tuple<int, int, Shade>;
    std::map<Shade, Path> paths;
    std::map<Block, int> open;  // (begin, end, shade) -> the row where the block began
    const auto finish = [&](const Block& key, int first, int last) {
      const auto& [begin, end, shade] = key;
      paths[shade].add_box(block(begin, end - begin, first, last - first));
    };
    const auto shade_at = [&](int column, int row) {
      return Shade(ground_.tint[ground_.at(column, row)], pale(column, column + 1, row));
    };
    for (int row = 0; row <= ground_.rows; ++row) {
      std::map<Block, int> now;
      for (int begin = 0; row < ground_.rows && begin < ground_.columns;) {
        const Shade shade = shade_at(begin, row);
        int end = begin + 1;
        while (end < ground_.columns && shade_at(end, row) == shade) ++end;
        if (shade.first != plain) {
          const Block key{begin, end, shade};
          const auto before = open.find(key);
          now[key] = before == open.end() ? row : before->second;
        }
        begin = end;
      }
      for (const auto& [key, first] : open) {
        if (!now.contains(key)) finish(key, first, row);
      }
      open = std::move(now);
    }
    for (auto& [shade, path] : paths) {
      const auto [tint, light] = shade;
      const Colour full =
          tint == absent ? absent_ground : chart_.tints[static_cast<std::size_t>(tint)].colour;
      const Colour colour = !light ? full : tint == absent ? pale_absent_ground : paled(full);
      add_path(drawing_, std::move(path), std::nullopt, colour, tint != absent);
    }
  }

  void fly_flags() {
    enum Pen { light, dark, grey };
    std::map<Pen, Path> paths;
    const auto each_flag = [&](const auto& act) {
      for (int row = 0; row < ground_.rows; ++row)
        for (int column = 0; column < ground_.columns; ++column)
          if (const int tint = ground_.tint[ground_.at(column, row)]; tint > 0)
            act(pale(column, column + 1, row) ? grey
                : ink_on(tint) == black       ? dark
                                              : light,
                tint, column, row);
    };
    std::map<Pen, std::size_t> segments;
    each_flag([&](Pen pen, int tint, int, int) {
      segments[pen] += 3U * static_cast<unsigned>(std::popcount(static_cast<unsigned>(tint) & 15U));
    });
    for (const auto& [pen, count] : segments) paths[pen].segments.reserve(count);
    each_flag([&](Pen pen, int tint, int column, int row) {
      add_flags(paths[pen], static_cast<std::size_t>(tint), block(column, 1, row, 1));
    });
    for (auto& [pen, path] : paths)
      add_path(drawing_, std::move(path), std::nullopt,
               pen == grey   ? pale_ink_on_colour
               : pen == dark ? black
                             : paper,
               true);
  }

  /// White around a line that a dark ground would swallow.
  void halo(const Path& path, double width) { add_path(drawing_, path, Stroke{width + 1.2, paper, 0, true}); }

  void rule_lines() {
    Path lines;
    const auto rule = [&](int length, const auto& stands, const auto& place) {
      for (int begin = 0; begin < length;) {
        if (!stands(begin)) {
          ++begin;
          continue;
        }
        int end = begin + 1;
        while (end < length && stands(end)) ++end;
        lines.move_to(place(begin));
        lines.line_to(place(end));
        begin = end;
      }
    };
    for (int column = 1; column < ground_.columns; ++column) {
      rule(
          ground_.rows, [&](int row) { return ground_.wall(column, row); },
          [&](int row) {
            return Point{x(column), y(row - 1)};
          });
    }
    for (int row = 1; row < ground_.rows; ++row) {
      rule(
          ground_.columns, [&](int column) { return ground_.floor(column, row); },
          [&](int column) {
            return Point{x(column), y(row - 1)};
          });
    }
    if (!lines.segments.empty()) {
      add_path(drawing_, std::move(lines), Stroke{0.5, rule_ink(chart_)}, std::nullopt);
    }
  }

  void draw_row(int row) {
    const ChartRow& source = chart_.rows[static_cast<std::size_t>(window_.first_row + row)];
    begin_group(drawing_, source.words, block(0, window_.columns, row, 1), clean_text(source.label));
    for (const Cell& cell : source.cells) draw_cell(cell, row);
    label_row(source, row);
    end_group(drawing_);
  }

  Colour ink_on(int tint) const { return readable_ink(chart_.tints[static_cast<std::size_t>(tint)].colour); }
  bool tinted(const Cell& cell) const {
    return cell.tint && *cell.tint >= 0 && static_cast<std::size_t>(*cell.tint) < chart_.tints.size();
  }
  Colour ink_on(const Cell& cell) const { return tinted(cell) ? ink_on(*cell.tint) : ink; }

  void draw_cell(const Cell& cell, int row) {
    if (cell.absent || cell.span < 1 || cell.column < 0 || cell.column > chart_.columns) return;
    const int begin = cell.column - window_.first_column, end = begin + std::min(cell.span, chart_.columns);
    const int first = std::max(begin, 0), last = std::min(end, window_.columns);
    if (first >= last) return;
    const Mark* mark =
        cell.mark && *cell.mark >= 0 && static_cast<std::size_t>(*cell.mark) < chart_.marks.size()
            ? &chart_.marks[static_cast<std::size_t>(*cell.mark)]
            : nullptr;
    if (mark == nullptr || is_blank(*mark)) {
      if (letters_ && cell.tint && *cell.tint > 0) letter(cell, first, last, row);
      return;
    }
    const Colour colour = pen(cell, first, last, row);
    if (first != begin || last != end) return centred_text("\xE2\x80\xA6", first, last, row, colour);
    const Box box = block(first, last - first, row, 1);
    if (!mark->stroke.empty() || !mark->fill.empty())
      place_symbol(drawing_, symbol(*cell.mark, end - begin), {box.x, box.y}, colour);
    add_letters(drawing_, mark->letters, box, colour);
  }

  void letter(const Cell& cell, int first, int last, int row) {
    const auto tint = static_cast<std::size_t>(*cell.tint);
    if (tint < chart_.tints.size())
      centred_text(chart_.tints[tint].label, first, last, row, pen(cell, first, last, row));
  }

  void centred_text(const std::string& text, int first, int last, int row, Colour colour) {
    const Box box = block(first, last - first, row, 1);
    const double size = std::min({style_.label_size, box.height * 0.7, box.width * 0.7});
    add_text(drawing_, {box.x + box.width / 2, box.y + box.height / 2 + cap_height * size / 2},
             fit_text(text, size, box.width), {size, false, Anchor::middle, colour});
  }

  std::size_t symbol(int mark, int span) {
    const auto known = symbols_.find({mark, span});
    if (known != symbols_.end()) return known->second;
    const Mark& source = chart_.marks[static_cast<std::size_t>(mark)];
    const std::size_t index =
        add_symbol(drawing_, make_symbol(source, span * cell_.width, cell_.height, cell_));
    symbols_[{mark, span}] = index;
    return index;
  }

  void label_row(const ChartRow& row, int at) {
    const double size = label_size();
    const int step =
        std::max(1, static_cast<int>(std::ceil((ascent + descent) * size / cell_.height - 1e-9)));
    if ((window_.first_row + at) % step != 0) return;
    const double baseline = y(at) + cell_.height / 2 + cap_height * size / 2;
    const Point place{row.label_right ? x(0) + 4 : x(window_.columns) - 4, baseline};
    add_text(drawing_, place, row_label(row, at < window_.repeated_rows),
             {size, false, row.label_right ? Anchor::start : Anchor::end, quiet_ink});
  }

  double label_size() const { return std::clamp(cell_.height * 0.9, 5.0, style_.label_size); }

  void draw_markers() {
    Path lines;
    for (int row = 0; row < window_.rows; ++row) {
      for (const Cell& cell : chart_.rows[static_cast<std::size_t>(window_.first_row + row)].cells) {
        if (!cell.marker_after || cell.span < 1 || cell.column < 0 || cell.column > chart_.columns) continue;
        const int edge = cell.column + std::min(cell.span, chart_.columns) - window_.first_column;
        if (edge < 0 || edge > window_.columns) continue;
        lines.move_to({x(edge), y(row)});
        lines.line_to({x(edge), y(row) + cell_.height});
      }
    }
    if (!lines.segments.empty()) {
      if (!chart_.tints.empty()) halo(lines, marker_stroke.width);
      add_path(drawing_, std::move(lines), marker_stroke, std::nullopt);
    }
  }

  /// 1 and every fifth number, or all of a few; ever fewer where the squares are narrow.
  void number_columns() {
    const double size = style_.label_size;
    const double widest = text_width(std::to_string(largest_number(chart_, window_)), size) + 2.5;
    int step = 1;
    if (window_.columns > 12 || widest > cell_.width) {
      step = 5;
      for (const int wider : {10, 20, 50, 100, 200, 500, 1000, 10000, 100000}) {
        if ((step - 1) * cell_.width >= widest) break;
        step = wider;
      }
    }
    begin_group(drawing_, "");
    double free_until = drawing_.width;  // Numbers run leftwards from the right edge.
    for (int column = 0; column < window_.columns; ++column) {
      const int number = column_number(chart_, window_.first_column + column);
      const int from_start = chart_.numbered_from_left ? window_.columns - 1 - column : column;
      const bool repeated = from_start < window_.repeated_columns;
      if (!repeated && number != 1 && number % step != 0) continue;
      const std::string words = repeated ? bracketed(std::to_string(number)) : std::to_string(number);
      const double middle = x(column) - cell_.width / 2, half = text_width(words, size) / 2;
      if (middle + half > free_until) continue;
      free_until = middle - half - 2;
      add_text(drawing_, {middle, y(0) + cell_.height + 3.5 + ascent * size}, words,
               {size, false, Anchor::middle, quiet_ink});
    }
    end_group(drawing_);
  }

  const Chart& chart_;
  ChartWindow window_;
  CellSize cell_;
  const ChartStyle& style_;
  GridMargins margins_;
  Ground ground_;
  bool letters_;
  std::map<std::pair<int, int>, std::size_t> symbols_;
  Drawing drawing_;
};

}  // namespace

ChartStyle enlarged(ChartStyle style, double factor) {
  style.cell_area *= factor * factor;
  for (double* each :
       {&style.shortest_side, &style.minimum_width, &style.title_size, &style.text_size, &style.label_size})
    *each *= factor;
  return style;
}

int column_number(const Chart& chart, int column) {
  return chart.numbered_from_left ? chart.columns - column : column + 1;
}

CellSize natural_cell(const Chart& chart, const ChartStyle& style) {
  const double aspect = std::isfinite(chart.cell_aspect) ? std::clamp(chart.cell_aspect, 0.3, 4.0) : 1;
  const double area = std::clamp(style.cell_area, 16.0, 10000.0);
  CellSize cell{std::sqrt(area * aspect), std::sqrt(area / aspect)};
  const double grow = style.shortest_side / std::min(cell.width, cell.height);
  if (grow > 1) cell = {cell.width * grow, cell.height * grow};
  return cell;
}

ChartWindow whole_chart(const Chart& chart) {
  return {0, std::max(chart.columns, 0), 0,
          static_cast<int>(std::min<std::size_t>(chart.rows.size(), 1U << 20U))};
}

bool can_draw(const Chart& chart) {
  constexpr std::size_t longest = 20000, most_squares = 250000;
  const auto columns = static_cast<std::size_t>(std::max(chart.columns, 0));
  return columns > 0 && !chart.rows.empty() && columns <= longest && chart.rows.size() <= longest &&
         columns * chart.rows.size() <= most_squares;
}

GridMargins grid_margins(const Chart& chart, const ChartWindow& window, CellSize cell,
                         const ChartStyle& style) {
  const double size = std::clamp(cell.height * 0.9, 5.0, style.label_size);
  // A number under a narrow square may be wider than the square.
  const double overhang = std::max(
      1.0,
      (text_width(bracketed(std::to_string(largest_number(chart, window))), style.label_size) - cell.width) /
          2);
  GridMargins margins{overhang, overhang, 3.5 + (ascent + descent) * style.label_size};
  for (int row = 0; row < window.rows; ++row) {
    const ChartRow& source = chart.rows[static_cast<std::size_t>(window.first_row + row)];
    double& margin = source.label_right ? margins.right : margins.left;
    margin = std::max(margin, 4 + text_width(row_label(source, true), size) + 1);
  }
  return margins;
}

Drawing draw_grid(const Chart& chart, const ChartWindow& window, CellSize cell, const ChartStyle& style) {
  return GridDrawer(chart, window, cell, style).draw();
}

}  // namespace wale::render
