/// From a column of fragments to pages.
///
/// A fragment is something that cannot be divided: a line of text, a row of a table, a chart. Fragments stack
/// downwards; where the page is full the next one begins a new page. A fragment may ask to stay with the one
/// after it (a heading with its text, the first line of a paragraph with the second).
///
///     [heading ~][line 1 ~][line 2][line 3 ~][line 4]    ~ stays with the next
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "render/geometry.hpp"

namespace wale::render {

/// The paper and the type. Lengths are points.
struct PageStyle {
  double width = 595.28, height = 841.89;  ///< A4, ISO 216: 210 x 297 mm.
  double margin = 56.7;                    ///< 20 mm on all sides; the running foot stands in the lower one.
  static constexpr double usual_text_size = 9.5;
  double text_size = usual_text_size;
  double line_height = 1.38;  ///< Baseline to baseline, in text sizes.

  /// How much larger than usual everything is that goes with the type.
  double scale() const { return text_size / usual_text_size; }
  double content_width() const { return width - 2 * margin; }
  double content_height() const { return height - 2 * margin; }
};

/// The same paper in large print: type of 16 points, the least that is called so (common practice).
PageStyle large_print(PageStyle style);

/// ISO A4 and ANSI Letter (8.5 x 11 inches).
PageStyle a4_page();
PageStyle letter_page();

struct Fragment {
  Drawing drawing;          ///< Its width and height are the room that it takes.
  double space_before = 0;  ///< Dropped at the top of a page.
  bool keep_with_next = false;
  std::shared_ptr<const Drawing>
      running;  ///< Set again above this fragment when it opens a page (a table's header).
};

/// Fills pages. Fragments that keep together move to a new page together, unless they are taller than a page;
/// a page that would hold less than four lines takes something over from the one before it. Fragments that
/// are given away are not copied.
std::vector<Drawing> fill_pages(std::vector<Fragment> fragments, const PageStyle& style);

/// Adds the foot to each page: the title on the left, "page 2 of 5" on the right.
void add_running_feet(std::vector<Drawing>& pages, const std::string& title, const PageStyle& style);

}  // namespace wale::render
