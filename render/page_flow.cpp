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
    if (!empty_ && height(all, first, last, false) > room()) {
      // What is taller than a page gains nothing from a new one, unless not even its beginning fits here.
      const bool fits_a_page = height(all, first, last, true) <= style_.content_height() + slack;
      if (fits_a_page || beginning(all, first, last) > room()) open_page();
    }
    for (std::size_t i = first; i < last; ++i) place(all[i]);
  }

  std::vector<Drawing> finish() { return std::move(pages_); }

 private:
  static constexpr double slack = 0.01;

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

  void put(Drawing drawing) {
    const double height = drawing.height;
    append(pages_.back(), std::move(drawing), {style_.margin, bottom_});
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
    while (last < fragments.size() && fragments[last - 1].keep_with_next) ++last;
    filler.place_together(fragments, first, last);
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
