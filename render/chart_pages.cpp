#include "render/chart_pages.hpp"

#include <algorithm>

#include "render/chart_key.hpp"
#include "render/chart_layout.hpp"
#include "render/chart_tile_map.hpp"
#include "render/chart_tiles.hpp"
#include "render/measure.hpp"

namespace wale::render {

namespace {

/// Room kept free on a chart's page for the headings before it.
constexpr double room_for_headings = 64;

std::vector<Fragment> text_lines(const std::string& words, double size, bool bold, double width,
                                 double space) {
  std::vector<Fragment> fragments;
  for (const std::string& line : wrap_text(words, size, width, bold)) {
    Fragment fragment;
    fragment.drawing.width = width;
    fragment.drawing.height = 1.38 * size;
    fragment.space_before = fragments.empty() ? space : 0;
    add_text(fragment.drawing, {0, 0.19 * size + ascent * size}, line, {.size = size, .bold = bold});
    fragments.push_back(std::move(fragment));
  }
  return fragments;
}

double total_height(const std::vector<Fragment>& fragments) {
  double sum = 0;
  for (const Fragment& fragment : fragments) sum += fragment.space_before + fragment.drawing.height;
  return sum;
}

void take(std::vector<Fragment>& fragments, std::vector<Fragment> more) {
  std::move(more.begin(), more.end(), std::back_inserter(fragments));
}

void keep_together(std::vector<Fragment>& fragments) {
  for (std::size_t i = 0; i + 1 < fragments.size(); ++i) fragments[i].keep_with_next = true;
}

std::vector<Fragment> notes_of(const Chart& chart, double width, const ChartStyle& style) {
  std::vector<Fragment> fragments;
  for (const std::string& note : chart.notes)
    take(fragments, text_lines(note, style.text_size, false, width, fragments.empty() ? 6 : 0));
  return fragments;
}

/// The lines of one entry stay together, unless they are many; and neither the first entry nor the last
/// stands alone.
std::vector<Fragment> key_of(const Chart& chart, double width, const ChartStyle& style) {
  std::vector<Fragment> fragments;
  std::vector<std::size_t> entries;
  for (KeyLine& line : draw_key(chart, width, style)) {
    if (!line.begins_entry) fragments.back().keep_with_next = line.drawing.height < 40;
    if (line.begins_entry) entries.push_back(fragments.size());
    const double space = fragments.empty() ? 7 : line.begins_entry ? 2.5 : 0;
    fragments.push_back({std::move(line.drawing), space, false, nullptr});
  }
  if (entries.size() > 1) {
    fragments[entries[1] - 1].keep_with_next = true;
    fragments[entries.back() - 1].keep_with_next = true;
  }
  return fragments;
}

/// The key beside the squares, where both have room: what one looks up while reading lies next to it. False
/// where it must go below.
bool put_beside(Drawing& squares, const Chart& chart, double width, const ChartStyle& style) {
  const double gap = 2.4 * style.text_size, narrowest = 19 * style.text_size;
  const double left = squares.width + gap, room = width - left;
  if (room < narrowest) return false;
  std::vector<KeyLine> key = draw_key(chart, room, style);
  double height = 0;
  for (const KeyLine& line : key) height += line.drawing.height + (line.begins_entry && height > 0 ? 2.5 : 0);
  // A key that is longer than its chart goes below, where it may go over the page.
  if (height > std::max(squares.height, 14 * style.text_size)) return false;
  double top = 0;
  for (KeyLine& line : key) {
    if (line.begins_entry && top > 0) top += 2.5;
    const double high = line.drawing.height;
    append(squares, std::move(line.drawing), {left, top});
    top += high;
  }
  squares.width = width;
  squares.height = std::max(squares.height, top);
  return true;
}

/// Each row leads to its words, and the words to it where it is drawn first.
void add_row_places(Drawing& grid, const Chart& chart, const ChartWindow& window, double height) {
  for (int row = 0; row < window.rows; ++row) {
    const std::string name =
        chart.name + "/" + chart.rows[static_cast<std::size_t>(window.first_row + row)].label;
    const double top = (window.rows - 1 - row) * height;
    grid.places.push_back({chart_place(name), {0, top}, 0, {}});
    grid.links.push_back({{0, top, grid.width, height}, words_place(name)});
  }
}

class ChartSetter {
 public:
  ChartSetter(const Chart& chart, const PageStyle& page, const ChartStyle& style)
      : chart_(chart), page_(page), style_(style), width_(page.content_width()) {}

  std::vector<Fragment> set() {
    fragments_ = text_lines(chart_.title, page_.text_size + 1, true, width_, 12);
    if (!fragments_.empty()) {
      Drawing& title = fragments_.front().drawing;
      title.places.push_back({chart_place(chart_.name), {}, 2, clean_text(chart_.title)});
      title.links.push_back({{0, 0, title.width, title.height}, words_place(chart_.name)});
    }
    if (!can_draw(chart_)) {
      take(fragments_, text_lines(why_not_drawn(chart_), style_.text_size, false, width_, 2));
      keep_together(fragments_);
      return std::move(fragments_);
    }
    std::vector<Fragment> notes = notes_of(chart_, width_, style_), key = key_of(chart_, width_, style_);
    const double high = page_.content_height();
    // Room for the headings before the chart, for its title and for the notes under it.
    const double free =
        high - room_for_headings * page_.scale() - std::min(total_height(fragments_), 100.0 * page_.scale());
    const double below = total_height(notes);
    const Tiling tiling = tile(
        chart_, {width_, free - (below < high / 3 ? below + 4 : 4), high - room_for_tile_words()}, style_);
    tiling.whole() ? set_whole(tiling, std::move(notes), std::move(key))
                   : set_tiles(tiling, std::move(notes), std::move(key));
    return std::move(fragments_);
  }

 private:
  /// Part lines take three lines in small print, and in large print up to six.
  double room_for_tile_words() const {
    return 8 + 4 + (page_.scale() < 1.3 ? 4 : 7) * 1.38 * style_.text_size;
  }

  /// Squares and notes stay together, and the key with them where one page holds all.
  void set_whole(const Tiling& tiling, std::vector<Fragment> notes, std::vector<Fragment> key) {
    Fragment grid;
    grid.drawing = squares(window_of(chart_, tiling, {}), tiling);
    grid.space_before = 4;
    if (put_beside(grid.drawing, chart_, width_, style_)) key.clear();
    fragments_.push_back(std::move(grid));
    const double high = page_.content_height() - room_for_headings * page_.scale();
    if (total_height(notes) < page_.content_height() / 3) take(fragments_, std::move(notes));
    keep_together(fragments_);
    take(fragments_, std::move(notes));
    const bool together = !key.empty() && total_height(fragments_) + total_height(key) <= high;
    if (together) {
      keep_together(key);
      fragments_.back().keep_with_next = true;
    }
    take(fragments_, std::move(key));
  }

  /// What is read first comes first: notes, the map of the parts, and the key; then the parts.
  void set_tiles(const Tiling& tiling, std::vector<Fragment> notes, std::vector<Fragment> key) {
    take(fragments_, std::move(notes));
    take(fragments_, text_lines(tiling_words(tiling), style_.text_size, false, width_, 6));
    const double high = std::min(260 * page_.scale(), page_.content_height() / 2);
    if (std::optional<Drawing> map = draw_tile_map(chart_, tiling, width_, high, style_))
      fragments_.push_back({std::move(*map), 6, false, nullptr});
    keep_together(fragments_);
    take(fragments_, std::move(key));
    for (std::size_t up = 0; up < tiling.rows.size(); ++up)
      for (std::size_t across = 0; across < tiling.stitches.size(); ++across) set_tile(tiling, {across, up});
  }

  void set_tile(const Tiling& tiling, Tile tile) {
    std::vector<Fragment> part =
        text_lines(tile_title(chart_, tiling, tile), style_.text_size, true, width_, 8);
    take(part, text_lines(tile_words(chart_, tiling, tile), style_.text_size - 0.5, false, width_, 0));
    Fragment grid;
    grid.drawing = squares(window_of(chart_, tiling, tile), tiling);
    grid.space_before = 4;
    part.push_back(std::move(grid));
    keep_together(part);
    take(fragments_, std::move(part));
  }

  Drawing squares(const ChartWindow& window, const Tiling& tiling) const {
    Drawing out = draw_grid(chart_, window, tiling.cell, style_);
    add_row_places(out, chart_, window, tiling.cell.height);
    return out;
  }

  const Chart& chart_;
  const PageStyle& page_;
  const ChartStyle& style_;
  double width_;
  std::vector<Fragment> fragments_;
};

}  // namespace

std::string chart_place(const std::string& what) {
  return "chart/" + what;
}
std::string words_place(const std::string& what) {
  return "words/" + what;
}

std::vector<Fragment> lay_out_chart(const Chart& chart, const PageStyle& page, ChartStyle style) {
  style = enlarged(style, page.scale());
  style.text_size = page.text_size - 0.5;
  return ChartSetter(chart, page, style).set();
}

}  // namespace wale::render
