#include "render/table_layout.hpp"

#include <algorithm>

#include "render/measure.hpp"
#include "render/table_plan.hpp"

namespace wale::render {

namespace {

constexpr double padding = 3.2, swatch_size = 9, swatch_room = 16;

/// Some of a table's columns, with their places.
struct Band {
  std::vector<std::size_t> columns;
  std::vector<double> lefts, widths;
};

class TableSetter {
 public:
  TableSetter(const Table& table, const PageStyle& style)
      : table_(table),
        size_(style.text_size - 0.5),
        line_height_(size_ * 1.32),
        width_(style.content_width()),
        tallest_(style.content_height()),
        indent_(table.swatches.empty() ? 0 : swatch_room) {
    columns_ = table.header.size();
    for (const auto& row : table.rows) columns_ = std::max(columns_, row.size());
    measure();
  }

  std::vector<Fragment> set() {
    for (const Band& band : bands()) set_band(band);
    return std::move(fragments_);
  }

 private:
  static std::string cell(const std::vector<std::string>& row, std::size_t column) {
    return column < row.size() ? row[column] : std::string();
  }

  bool numeric(std::size_t column) const { return column < table_.numeric.size() && table_.numeric[column]; }

  void measure() {
    needs_.assign(columns_, {size_, size_});
    double natural = indent_;
    for (std::size_t column = 0; column < columns_; ++column) {
      ask(column, cell(table_.header, column), true);
      for (const auto& row : table_.rows) ask(column, cell(row, column), false);
      natural += needs_[column].natural;
    }
    // Gaps are generous where there is room.
    const double between = std::max(1.0, static_cast<double>(columns_) - 1);
    gap_ = std::clamp((width_ - natural) / between, 7.0, 14.0);
  }

  void ask(std::size_t column, const std::string& text, bool bold) {
    constexpr double spare = 0.05;  // Wrapping rounds to 1/1024 of a point.
    const std::string clean = clean_text(text);
    ColumnNeed& need = needs_[column];
    const double whole = text_width(clean, size_, bold) + spare;
    need.natural = std::max(need.natural, whole);
    if (numeric(column) && !bold) {
      need.least = std::max(need.least, whole);
      return;
    }
    for (std::size_t at = 0; at < clean.size();) {
      const std::size_t end = std::min(clean.find(' ', at), clean.size());
      need.least =
          std::max(need.least, text_width(std::string_view(clean).substr(at, end - at), size_, bold) + spare);
      at = end + 1;
    }
  }

  std::vector<Band> bands() const {
    std::vector<Band> bands;
    for (TableBand& plan : plan_table(needs_, width_ - indent_, gap_)) {
      Band band{std::move(plan.columns), {}, std::move(plan.widths)};
      double left = indent_;
      for (const double width : band.widths) {
        band.lefts.push_back(left);
        left += width + gap_;
      }
      bands.push_back(std::move(band));
    }
    return bands;
  }

  double right_edge(const Band& band) const { return band.lefts.back() + band.widths.back(); }

  /// The lines of every cell of a row.
  std::vector<std::vector<std::string>> wrap(const Band& band, const std::vector<std::string>& row,
                                             bool bold) const {
    std::vector<std::vector<std::string>> lines;
    for (std::size_t i = 0; i < band.columns.size(); ++i) {
      lines.push_back(wrap_text(cell(row, band.columns[i]), size_, band.widths[i], bold));
    }
    return lines;
  }

  void draw_line(Drawing& drawing, const Band& band, const std::vector<std::vector<std::string>>& lines,
                 std::size_t line, double top, bool bold) const {
    const double baseline = top + line_height_ / 2 + cap_height * size_ / 2;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (line >= lines[i].size()) continue;
      const bool right = numeric(band.columns[i]);
      add_text(drawing, {band.lefts[i] + (right ? band.widths[i] : 0), baseline}, lines[i][line],
               {size_, bold, right ? Anchor::end : Anchor::start, ink});
    }
  }

  std::size_t count_lines(const std::vector<std::vector<std::string>>& lines) const {
    std::size_t count = 1;
    for (const auto& cell : lines) count = std::max(count, cell.size());
    return count;
  }

  void rule(Drawing& drawing, const Band& band, double y, double weight, Colour colour) const {
    add_line(drawing, {0, y}, {right_edge(band), y}, {weight, colour, 0, false});
  }

  std::shared_ptr<const Drawing> header(const Band& band) const {
    auto drawing = std::make_shared<Drawing>();
    drawing->width = width_;
    const auto lines = wrap(band, table_.header, true);
    const std::size_t count = count_lines(lines);
    // Short labels stand on the rule, beside those that need several lines.
    for (std::size_t i = 0; i < lines.size(); ++i) {
      std::vector<std::vector<std::string>> alone(lines.size());
      alone[i] = lines[i];
      for (std::size_t line = 0; line < lines[i].size(); ++line) {
        draw_line(*drawing, band, alone, line,
                  padding + static_cast<double>(count - lines[i].size() + line) * line_height_, true);
      }
    }
    drawing->height = static_cast<double>(count) * line_height_ + 2 * padding;
    rule(*drawing, band, drawing->height, 0.8, ink);
    return drawing;
  }

  void set_band(const Band& band) {
    std::shared_ptr<const Drawing> head;
    double space = 6;
    const std::size_t first_fragment = fragments_.size();
    if (!table_.header.empty()) {
      head = header(band);
      fragments_.push_back({*head, space, true, nullptr});
      space = 0;
    }
    for (std::size_t row = 0; row < table_.rows.size(); ++row) {
      set_row(band, row, head, row == 0 ? space : 0);
    }
    // Neither the first nor the last row stands alone.
    if (table_.rows.size() > 2 && fragments_.size() > first_fragment + 3) {
      fragments_[first_fragment + (head ? 1 : 0)].keep_with_next = true;
      fragments_[fragments_.size() - 2].keep_with_next = true;
    }
  }

  void set_row(const Band& band, std::size_t row, const std::shared_ptr<const Drawing>& head, double space) {
    const auto lines = wrap(band, table_.rows[row], false);
    const std::size_t count = count_lines(lines);
    const double height = static_cast<double>(count) * line_height_ + 2 * padding;
    // Only a row that is taller than a page is divided.
    const std::size_t per_fragment = height <= tallest_ - (head ? head->height : 0) ? count : 1;
    for (std::size_t first = 0; first < count; first += per_fragment) {
      const bool begins = first == 0, ends = first + per_fragment >= count;
      Fragment fragment;
      fragment.running = head;
      fragment.space_before = begins ? space : 0;
      Drawing& drawing = fragment.drawing;
      drawing.width = width_;
      double top = begins ? padding : 0;
      if (begins) draw_swatch(drawing, row);
      for (std::size_t line = first; line < std::min(count, first + per_fragment); ++line) {
        draw_line(drawing, band, lines, line, top, false);
        top += line_height_;
      }
      drawing.height = top + (ends ? padding : 0);
      if (ends) rule(drawing, band, drawing.height, 0.4, grid_ink);
      fragments_.push_back(std::move(fragment));
    }
  }

  void draw_swatch(Drawing& drawing, std::size_t row) const {
    if (row >= table_.swatches.size() || !table_.swatches[row]) return;
    const Box box{0.4, padding + (line_height_ - swatch_size) / 2, swatch_size, swatch_size};
    add_box(drawing, box, Stroke{0.5, {120, 120, 120}, 0, true}, *table_.swatches[row]);
  }

  const Table& table_;
  double size_, line_height_, width_, tallest_, indent_, gap_ = 12;
  std::size_t columns_ = 0;
  std::vector<ColumnNeed> needs_;
  std::vector<Fragment> fragments_;
};

}  // namespace

std::vector<Fragment> lay_out_table(const Table& table, const PageStyle& style) {
  return TableSetter(table, style).set();
}

}  // namespace wale::render
