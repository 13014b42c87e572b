#include "render/page_plan.hpp"

#include <algorithm>

namespace wale::render {

namespace {

constexpr double slack = 0.01;

class Planner {
 public:
  Planner(const std::vector<Strip>& strips, double room, double used)
      : strips_(strips), room_(room + slack), taken_(used), used_(used), empty_(used <= 0) {}

  void fill() {
    for (std::size_t first = 0; first < strips_.size();) {
      std::size_t last = first + 1;
      while (last < strips_.size() && strips_[last - 1].keep_with_next) ++last;
      groups_.push_back(first);
      place_together(first, last);
      first = last;
    }
  }

  /// From the last page to the second, so that what is pulled over is never pulled twice.
  void join_short_pages(double least) {
    for (std::size_t page = starts_.size(); page-- > 1;) {
      while (height_of_page(page) < least && pull(page)) {
      }
    }
  }

  std::vector<std::size_t> finish() { return std::move(starts_); }

 private:
  double height(std::size_t first, std::size_t last, bool on_new_page) const {
    double sum = on_new_page ? strips_[first].running : 0;
    for (std::size_t i = first; i < last; ++i)
      sum += strips_[i].height + (on_new_page && i == first ? 0 : strips_[i].space_before);
    return sum;
  }

  double left() const { return room_ - used_; }

  void open_page(std::size_t first) {
    starts_.push_back(first);
    used_ = 0;
    empty_ = true;
  }

  void place_together(std::size_t first, std::size_t last) {
    if (!empty_ && height(first, last, false) > left()) {
      // What is taller than a page gains nothing from a new one, unless not even its first three strips fit
      // here.
      const bool fits_a_page = height(first, last, true) <= room_;
      if (fits_a_page || height(first, std::min(first + 3, last), false) > left()) open_page(first);
    }
    for (std::size_t i = first; i < last; ++i) {
      if (!empty_ && height(i, i + 1, false) > left()) open_page(i);
      used_ += height(i, i + 1, empty_);
      empty_ = false;
    }
  }

  std::size_t end_of_page(std::size_t page) const {
    return page + 1 < starts_.size() ? starts_[page + 1] : strips_.size();
  }
  double height_of_page(std::size_t page) const { return height_until(page, end_of_page(page)); }
  double height_until(std::size_t page, std::size_t end) const {
    if (starts_[page] == end) return page == 0 ? taken_ : 0;
    const bool begun = page == 0 && taken_ > 0;
    return (begun ? taken_ : 0) + height(starts_[page], end, !begun);
  }

  /// Moves the last group of the page before to this page, where that serves both.
  bool pull(std::size_t page) {
    const auto here = std::lower_bound(groups_.begin(), groups_.end(), starts_[page]);
    if (here == groups_.end() || *here != starts_[page] || here == groups_.begin()) return false;
    const std::size_t group = *(here - 1);
    if (group <= starts_[page - 1]) return false;
    if (height(group, end_of_page(page), true) > room_ / 2) return false;
    if (height_until(page - 1, group) < room_ / 2) return false;
    starts_[page] = group;
    return true;
  }

  const std::vector<Strip>& strips_;
  double room_, taken_, used_;
  bool empty_;
  std::vector<std::size_t> starts_{0}, groups_;
};

}  // namespace

std::vector<std::size_t> plan_pages(const std::vector<Strip>& strips, double room, double least,
                                    double used) {
  Planner planner(strips, room, used);
  planner.fill();
  planner.join_short_pages(least);
  return planner.finish();
}

}  // namespace wale::render
