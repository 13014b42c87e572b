#include "render/page_flow.hpp"

#include <fmt/format.h>

#include <algorithm>

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

/// One page, filled from above.
class PageFiller {
 public:
  PageFiller(const PageStyle& style, std::size_t number) : style_(style), bottom_(style.margin) {
    page_.name = fmt::format("page-{}", number);
    page_.width = style.width;
    page_.height = style.height;
  }

  void place(Fragment fragment) {
    if (empty_ && fragment.running) put(Drawing(*fragment.running));
    if (!empty_) bottom_ += fragment.space_before;
    put(std::move(fragment.drawing));
  }

  Drawing finish() { return std::move(page_); }

 private:
  void put(Drawing drawing) {
    const double height = drawing.height;
    append(page_, std::move(drawing), {style_.margin, bottom_});
    bottom_ += height;
    empty_ = false;
  }

  const PageStyle& style_;
  Drawing page_;
  double bottom_;
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
  std::vector<Strip> strips;
  strips.reserve(fragments.size());
  for (const Fragment& fragment : fragments) strips.push_back(strip_of(fragment));
  const std::vector<std::size_t> starts =
      plan_pages(strips, style.content_height(), least_lines * style.line_height * style.text_size);
  std::vector<Drawing> pages;
  for (std::size_t page = 0; page < starts.size(); ++page) {
    const std::size_t end = page + 1 < starts.size() ? starts[page + 1] : fragments.size();
    PageFiller filler(style, page + 1);
    // A large chart is held once: each fragment is given away and gone before the next is placed.
    for (std::size_t i = starts[page]; i < end; ++i) filler.place(std::move(fragments[i]));
    pages.push_back(filler.finish());
  }
  return pages;
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
