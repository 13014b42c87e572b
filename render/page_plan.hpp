/// Where pages begin, by heights alone.
///
/// Strips stack downwards; those that keep together make a group, which moves to a new page whole unless it
/// is taller than a page. Afterwards a page that would hold only a line or two takes the last groups of the
/// page before it, so that no ending stands alone.
///
///     plan_pages({{0, 50}, {5, 50}}, 100, 0)  ->  {0, 1}     105 points do not fit on one page of 100
#pragma once

#include <cstddef>
#include <vector>

namespace wale::render {

/// What a fragment takes of a page. Lengths are points.
struct Strip {
  double space_before = 0;  ///< Dropped at the top of a page.
  double height = 0;
  double running = 0;  ///< Height of what stands above it when it opens a page.
  bool keep_with_next = false;
};

/// The strip that begins each page; the first is 0. `room` is the height of a page, of which `used` is taken
/// on the first (0: that page is empty). A page that would hold less than `least` is helped by the one before
/// it, if that stays at least half full.
std::vector<std::size_t> plan_pages(const std::vector<Strip>& strips, double room, double least,
                                    double used = 0);

}  // namespace wale::render
