#include "compiler/repeat_frames.hpp"

#include <algorithm>
#include <cstdlib>

namespace wale {

namespace {

int nearest(const FrameSide& side, int column) {
  return std::clamp(column, side.least, side.most);
}

int way(const FrameSide& side, int column) {
  return std::abs(nearest(side, column) - column);
}

/// The column at which most rows can have this side; the rightmost of several.
int favourite(const std::vector<std::vector<FramePlace>>& rows, FrameSide FramePlace::*side, int columns) {
  std::vector<int> votes(static_cast<std::size_t>(columns) + 1), marked(votes.size(), -1);
  for (std::size_t row = 0; row < rows.size(); ++row)
    for (const FramePlace& place : rows[row])
      for (int column = (place.*side).least; column <= (place.*side).most; ++column) {
        const auto at = static_cast<std::size_t>(column);
        if (marked[at] == static_cast<int>(row)) continue;
        marked[at] = static_cast<int>(row);
        ++votes[at];
      }
  return static_cast<int>(std::max_element(votes.begin(), votes.end()) - votes.begin());
}

}  // namespace

std::vector<std::optional<RepeatFrame>> straight_frames(const std::vector<std::vector<FramePlace>>& rows,
                                                        int columns) {
  const int right = favourite(rows, &FramePlace::right, columns);
  std::vector<std::vector<FramePlace>> closest(rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    int least = columns;
    for (const FramePlace& place : rows[i]) least = std::min(least, way(place.right, right));
    for (const FramePlace& place : rows[i])
      if (way(place.right, right) == least) closest[i].push_back(place);
  }
  const int left = favourite(closest, &FramePlace::left, columns);
  std::vector<std::optional<RepeatFrame>> out(rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const auto best = std::min_element(
        closest[i].begin(), closest[i].end(),
        [&](const FramePlace& a, const FramePlace& b) { return way(a.left, left) < way(b.left, left); });
    if (best != closest[i].end()) out[i] = {nearest(best->right, right), nearest(best->left, left)};
  }
  return out;
}

}  // namespace wale
