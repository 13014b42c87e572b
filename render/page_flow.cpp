#include "render/page_flow.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "render/measure.hpp"
#include "render/page_plan.hpp"

namespace wale::render {

namespace {

/// Fewer lines than this do not stand alone on a page.
constexpr double least_lines = 4;

Strip strip_of(const Fragment& fragment) {
  return {fragment.space_before, fragment.drawing.height, fragment.running ? fragment.running->height : 0,
          fragment.keep_with_next};
}

class PageFiller {
 public:
  explicit PageFiller(const PageStyle& style) : style_(style) { open_page(); }

  /// Places [first, last), which stand across the page; what follows them in columns needs room for how it
  /// begins.
  void place_across(std::vector<Fragment>& all, std::size_t first, std::size_t last) {
    std::vector<Strip> strips;
    strips.reserve(last - first + 1);
    for (std::size_t i = first; i < last; ++i) strips.push_back(strip_of(all[i]));
    const bool ends = last == all.size();
    if (!ends) strips.push_back({0, beginning(all, last, all.size())});
    const std::vector<std::size_t> starts =
        plan_pages(strips, style_.content_height(), ends ? least_height() : 0, used());
    std::size_t page = 1;
    for (std::size_t i = 0; i <= last - first; ++i) {
      for (; page < starts.size() && starts[page] == i; ++page) open_page();
      if (i < last - first) place(all[first + i]);
    }
  }

  /// Places [first, last), a run in columns.
  void place_columns(std::vector<Fragment>& all, std::size_t first, std::size_t last) {
    const auto columns = static_cast<std::size_t>(style_.columns());
    while (first < last) {
      if (!empty_ && beginning(all, first, last) > room()) open_page();
      // A new page drops the space before what opens it; so does the top of each column.
      if (!empty_) bottom_ += all[first].space_before;
      const std::vector<std::size_t> ends =
          cut_columns(all, first, last, columns, column_height(all, first, last, columns));
      double lowest = bottom_;
      const double top = bottom_;
      for (std::size_t column = 0; column < columns; ++column) {
        bottom_ = top;
        const double left =
            style_.margin + static_cast<double>(column) * (style_.column_width() + PageStyle::column_gap);
        const std::size_t begin = column == 0 ? first : ends[column - 1];
        for (std::size_t i = begin; i < ends[column]; ++i) {
          if (i > begin) bottom_ += all[i].space_before;
          put(std::move(all[i].drawing), left);
        }
        lowest = std::max(lowest, bottom_);
      }
      bottom_ = lowest;
      first = ends.back();
      if (first < last) open_page();
    }
  }

  std::vector<Drawing> finish() { return std::move(pages_); }

 private:
  static constexpr double slack = 0.01;

  /// Where a column that begins with `first` and may be so high ends: not behind what stays with the next, if
  /// there is a choice.
  static std::size_t end_of_column(const std::vector<Fragment>& all, std::size_t first, std::size_t last,
                                   double high, bool leftmost) {
    double sum = 0;
    std::size_t end = first, fits = first;
    while (fits < last) {
      sum += all[fits].drawing.height + (fits > first ? all[fits].space_before : 0);
      if (sum > high) break;
      ++fits;
      if (fits == last || !all[fits - 1].keep_with_next) end = fits;
    }
    // What is too tall for any column begins in the first one; in another it waits for the next page.
    if (end == first && leftmost) end = std::max(fits, std::min(first + 1, last));
    return end;
  }

  static std::vector<std::size_t> cut_columns(const std::vector<Fragment>& all, std::size_t first,
                                              std::size_t last, std::size_t columns, double high) {
    std::vector<std::size_t> ends;
    for (std::size_t column = 0; column < columns; ++column)
      ends.push_back(end_of_column(all, column == 0 ? first : ends.back(), last, high, column == 0));
    return ends;
  }

  /// The least height at which columns that may be `most` high hold all of it, if they can.
  static std::optional<double> balanced(const std::vector<Fragment>& all, std::size_t first, std::size_t last,
                                        std::size_t columns, double most) {
    const auto holds = [&](double high) {
      return cut_columns(all, first, last, columns, high).back() == last;
    };
    if (!holds(most)) return {};
    double least = 0;
    // To within a point.
    while (most - least > 1) {
      const double middle = (most + least) / 2;
      (holds(middle) ? most : least) = middle;
    }
    return most;
  }

  /// How high the columns are on this page: all the room, unless all that is left is held by less, or too
  /// little would be left for the next page.
  double column_height(const std::vector<Fragment>& all, std::size_t first, std::size_t last,
                       std::size_t columns) const {
    // A few lines are not torn apart.
    const double few = 6 * style_.line_height * style_.text_size;
    if (const auto high = balanced(all, first, last, columns, room()))
      return std::min(std::max(*high, few), room());
    double high = room();
    for (int i = 0; i < 8 && high > room() / 2; ++i) {
      const std::size_t rest = cut_columns(all, first, last, columns, high).back();
      const auto left = balanced(all, rest, last, columns, style_.content_height());
      if (!left || *left >= least_height()) break;
      high -= style_.line_height * style_.text_size;
    }
    return high;
  }

  double least_height() const { return least_lines * style_.line_height * style_.text_size; }
  double used() const { return empty_ ? 0 : bottom_ - style_.margin; }

  double room() const { return style_.margin + style_.content_height() - bottom_ + slack; }

  void open_page() {
    pages_.emplace_back();
    pages_.back().name = fmt::format("page-{}", pages_.size());
    pages_.back().width = style_.width;
    pages_.back().height = style_.height;
    bottom_ = style_.margin;
    empty_ = true;
  }

  /// The least that should stand together at the start of a run: three fragments.
  static double beginning(const std::vector<Fragment>& all, std::size_t first, std::size_t last) {
    double sum = 0;
    for (std::size_t i = first; i < std::min(first + 3, last); ++i)
      sum += all[i].drawing.height + all[i].space_before;
    return sum;
  }

  /// Takes what is drawn out of the fragment, so that a large chart is held once.
  void place(Fragment& fragment) {
    if (empty_ && fragment.running) put(Drawing(*fragment.running));
    if (!empty_) bottom_ += fragment.space_before;
    put(std::move(fragment.drawing));
  }

  void put(Drawing drawing) { put(std::move(drawing), style_.margin); }

  void put(Drawing drawing, double left) {
    const double height = drawing.height;
    append(pages_.back(), std::move(drawing), {left, bottom_});
    bottom_ += height;
    empty_ = false;
  }

  const PageStyle& style_;
  std::vector<Drawing> pages_;
  double bottom_ = 0;
  bool empty_ = true;
};

}  // namespace

PageStyle a4_page() {
  return {};
}

PageStyle letter_page() {
  PageStyle style;
  style.width = 612;
  style.height = 792;
  return style;
}

PageStyle large_print(PageStyle style) {
  style.text_size = 16;
  return style;
}

std::vector<Drawing> fill_pages(std::vector<Fragment> fragments, const PageStyle& style) {
  PageFiller filler(style);
  for (std::size_t first = 0; first < fragments.size();) {
    std::size_t last = first + 1;
    if (const int run = fragments[first].run; run > 0) {
      while (last < fragments.size() && fragments[last].run == run) ++last;
      filler.place_columns(fragments, first, last);
    } else {
      while (last < fragments.size() && fragments[last].run == 0) ++last;
      filler.place_across(fragments, first, last);
    }
    first = last;
  }
  return filler.finish();
}

void add_running_feet(std::vector<Drawing>& pages, const std::string& title, const PageStyle& style) {
  const double size = std::max(5.0, style.text_size - 2), baseline = style.height - style.margin * 0.5;
  const double rule = baseline - 1.6 * size;
  for (std::size_t i = 0; i < pages.size(); ++i) {
    const std::string number = fmt::format("page {} of {}", i + 1, pages.size());
    const double room = style.content_width() - text_width(number, size) - 12;
    add_line(pages[i], {style.margin, rule}, {style.width - style.margin, rule},
             {.width = 0.4, .colour = grid_ink});
    add_text(pages[i], {style.margin, baseline}, fit_text(title, size, room),
             {.size = size, .colour = quiet_ink});
    add_text(pages[i], {style.width - style.margin, baseline}, number,
             {.size = size, .anchor = Anchor::end, .colour = quiet_ink});
  }
}

}  // namespace wale::render
