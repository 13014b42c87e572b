#include "render/page_flow.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "render/measure.hpp"

namespace wale::render {

namespace {

class PageFiller {
 public:
  explicit PageFiller(const PageStyle& style) : style_(style) { open_page(); }

  /// Places [first, last), which keep together.
  void place_together(std::vector<Fragment>& all, std::size_t first, std::size_t last) {
    // A heading over columns needs room for how they begin.
    const bool leads = all[last - 1].keep_with_next && last < all.size();
    const double more = leads ? beginning(all, last, std::min(last + 3, all.size())) : 0;
    if (!empty_ && height(all, first, last, false) + more > room()) {
      // What is taller than a page gains nothing from a new one, unless not even its beginning fits here.
      const bool fits_a_page = height(all, first, last, true) + more <= style_.content_height() + slack;
      if (fits_a_page || beginning(all, first, last) > room()) open_page();
    }
    for (std::size_t i = first; i < last; ++i) place(all[i]);
  }

  /// Places [first, last), a run in columns.
  void place_columns(std::vector<Fragment>& all, std::size_t first, std::size_t last) {
    const auto columns = static_cast<std::size_t>(style_.columns());
    while (first < last) {
      if (!empty_ && beginning(all, first, last) > room()) open_page();
      // A new page drops the space before what opens it; so does the top of each column.
      if (!empty_) bottom_ += all[first].space_before;
      const std::vector<std::size_t> ends =
          cut_columns(all, first, last, columns, balanced(all, first, last, columns));
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
                                   double high) {
    double sum = 0;
    std::size_t end = first, fits = first;
    while (fits < last) {
      sum += all[fits].drawing.height + (fits > first ? all[fits].space_before : 0);
      if (sum > high) break;
      ++fits;
      if (fits == last || !all[fits - 1].keep_with_next) end = fits;
    }
    if (end == first) end = std::max(fits, std::min(first + 1, last));
    return end;
  }

  static std::vector<std::size_t> cut_columns(const std::vector<Fragment>& all, std::size_t first,
                                              std::size_t last, std::size_t columns, double high) {
    std::vector<std::size_t> ends;
    for (std::size_t column = 0; column < columns; ++column)
      ends.push_back(end_of_column(all, column == 0 ? first : ends.back(), last, high));
    return ends;
  }

  /// The least height at which the columns hold all of it; the room that there is where they cannot.
  double balanced(const std::vector<Fragment>& all, std::size_t first, std::size_t last,
                  std::size_t columns) const {
    const auto holds = [&](double high) {
      return cut_columns(all, first, last, columns, high).back() == last;
    };
    double most = room(), least = 0;
    if (!holds(most)) return most;
    // To within a point.
    while (most - least > 1) {
      const double middle = (most + least) / 2;
      (holds(middle) ? most : least) = middle;
    }
    // A few lines are not torn apart.
    const double few = 6 * style_.line_height * style_.text_size;
    return std::min(std::max(most, few), room());
  }

  double room() const { return style_.margin + style_.content_height() - bottom_ + slack; }

  void open_page() {
    pages_.emplace_back();
    pages_.back().name = fmt::format("page-{}", pages_.size());
    pages_.back().width = style_.width;
    pages_.back().height = style_.height;
    bottom_ = style_.margin;
    empty_ = true;
  }

  static double height(const std::vector<Fragment>& all, std::size_t first, std::size_t last,
                       bool on_new_page) {
    double sum = on_new_page && all[first].running ? all[first].running->height : 0;
    for (std::size_t i = first; i < last; ++i) {
      sum += all[i].drawing.height + (on_new_page && i == first ? 0 : all[i].space_before);
    }
    return sum;
  }

  /// The least that should stand together at the start of something too tall: three fragments.
  static double beginning(const std::vector<Fragment>& all, std::size_t first, std::size_t last) {
    return height(all, first, std::min(first + 3, last), false);
  }

  /// Takes what is drawn out of the fragment, so that a large chart is held once.
  void place(Fragment& fragment) {
    if (!empty_ && fragment.space_before + fragment.drawing.height > room()) open_page();
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
      while (last < fragments.size() && fragments[last - 1].keep_with_next && fragments[last].run == 0)
        ++last;
      filler.place_together(fragments, first, last);
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
