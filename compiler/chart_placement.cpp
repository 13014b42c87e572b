#include "compiler/chart_placement.hpp"

#include <algorithm>
#include <cstdlib>
#include <map>
#include <optional>

namespace wale {

namespace {

/// Rounds of improvement: a bound on the time that a large chart takes.
constexpr int most_rounds = 8;

/// Of loop `k` of `count` within a box of `width` squares, in half squares from its rightmost square.
int spread(int k, int count, int width) {
  return count < 2 ? width - 1 : 2 * k * (width - 1) / (count - 1);
}

/// A loop that lies `at` (half squares) and wants the square `offset` (half squares) of a stitch there.
struct Pull {
  int at = 0, offset = 0;
  bool ends = false;  ///< it is decreased
};

class Placer {
 public:
  Placer(const std::vector<PlacementRow>& rows, const PlacementRules& rules)
      : rows_(rows), rules_(rules), columns_(rows.size()) {
    for (std::size_t i = 0; i < rows.size(); ++i) {
      width_ = std::max(width_, squares(rows[i]));
      if (squares(rows[i]) > squares(rows[widest_])) widest_ = i;
    }
    find_middles();
  }

  Placer(const std::vector<PlacementRow>& rows, const PlacementRules& rules, const Columns& columns)
      : Placer(rows, rules) {
    columns_ = columns;
  }

  Columns run() {
    if (rows_.empty()) return {};
    columns_[widest_] = packed(rows_[widest_]);
    for (std::size_t i = widest_ + 1; i < rows_.size(); ++i) columns_[i] = best_row(i, true, false);
    for (std::size_t i = widest_; i-- > 0;) columns_[i] = best_row(i, false, true);
    bool better = true;
    for (int round = 0; round < most_rounds && better; ++round) {
      better = false;
      for (std::size_t i = 0; i < rows_.size(); ++i) better |= improve(i);
      for (std::size_t i = rows_.size(); i-- > 0;) better |= improve(i);
    }
    return std::move(columns_);
  }

  PlacementCost cost() const {
    PlacementCost out;
    for (std::size_t i = 0; i < rows_.size(); ++i)
      out = sum(out, row_cost(i, columns_[i], pulls(i, true, false)));
    return out;
  }

 private:
  static std::vector<int> packed(const PlacementRow& row) {
    std::vector<int> out;
    int at = 0;
    for (const PlacementStitch& stitch : row) {
      out.push_back(at);
      at += stitch.width;
    }
    return out;
  }

  /// The middle of each copy where the widest row has it; of the chart where it has not.
  void find_middles() {
    if (rows_.empty()) return;
    const std::vector<int> at = packed(rows_[widest_]);
    std::map<int, std::pair<int, int>> ends;
    for (std::size_t i = 0; i < at.size(); ++i) {
      const PlacementStitch& stitch = rows_[widest_][i];
      if (stitch.copy < 0) continue;
      const auto found = ends.try_emplace(stitch.copy, at[i], 0).first;
      found->second.second = at[i] + stitch.width - 1;
    }
    for (const auto& [copy, span] : ends) middles_[copy] = span.first + span.second;
  }

  /// In half squares.
  int middle(const PlacementStitch& stitch) const {
    const auto found = middles_.find(stitch.copy);
    return found == middles_.end() ? width_ - 1 : found->second;
  }

  /// One row alone would be drawn to where it stands itself.
  bool wraps() const { return rules_.cyclic && rows_.size() > 1; }

  std::optional<std::size_t> row_below(std::size_t i) const {
    if (i > 0) return i - 1;
    return wraps() ? std::optional(rows_.size() - 1) : std::nullopt;
  }
  std::optional<std::size_t> row_above(std::size_t i) const {
    if (i + 1 < rows_.size()) return i + 1;
    return wraps() ? std::optional<std::size_t>(0) : std::nullopt;
  }

  /// Where the loops lie that row i makes (`gives`), or that it wants (`takes`).
  std::vector<int> loops(std::size_t i, int PlacementStitch::*count) const {
    std::vector<int> out;
    for (std::size_t s = 0; s < rows_[i].size(); ++s) {
      const PlacementStitch& stitch = rows_[i][s];
      for (int k = 0; k < stitch.*count; ++k)
        out.push_back(2 * columns_[i][s] + spread(k, stitch.*count, stitch.width));
    }
    return out;
  }

  /// Of each loop that row i takes: does its wale end there?
  std::vector<bool> endings(std::size_t i) const {
    std::vector<bool> out;
    for (const PlacementStitch& stitch : rows_[i])
      out.insert(out.end(), static_cast<std::size_t>(stitch.takes), stitch.takes > stitch.gives);
    return out;
  }

  /// What draws the stitches of row i sideways.
  std::vector<std::vector<Pull>> pulls(std::size_t i, bool from_below, bool from_above) const {
    std::vector<std::vector<Pull>> out(rows_[i].size());
    const auto draw = [&](const std::vector<int>& places, const std::vector<bool>& ends,
                          int PlacementStitch::*count) {
      std::size_t loop = 0;
      for (std::size_t s = 0; s < rows_[i].size(); ++s) {
        const PlacementStitch& stitch = rows_[i][s];
        for (int k = 0; k < stitch.*count; ++k, ++loop)
          if (loop < places.size() && loop < ends.size())
            out[s].push_back({places[loop], spread(k, stitch.*count, stitch.width), ends[loop]});
      }
    };
    const auto below = row_below(i), above = row_above(i);
    if (from_below && below)
      draw(loops(*below, &PlacementStitch::gives), endings(i), &PlacementStitch::takes);
    if (from_above && above)
      draw(loops(*above, &PlacementStitch::takes), endings(*above), &PlacementStitch::gives);
    return out;
  }

  PlacementCost cost_at(std::size_t i, std::size_t s, const std::vector<Pull>& pulls, int column) const {
    const PlacementStitch& stitch = rows_[i][s];
    PlacementCost out;
    for (const Pull& pull : pulls) {
      const int way = std::abs(2 * column + pull.offset - pull.at);
      out.drift += way;
      out.bends += way != 0 && !pull.ends;
    }
    if (stitch.takes > stitch.gives && stitch.copy >= 0)
      out.pull = std::abs(2 * column + stitch.width - 1 - middle(stitch));
    return out;
  }

  static PlacementCost sum(const PlacementCost& a, const PlacementCost& b) {
    return {a.drift + b.drift, a.bends + b.bends, a.pull + b.pull};
  }

  PlacementCost row_cost(std::size_t i, const std::vector<int>& at,
                         const std::vector<std::vector<Pull>>& drawn) const {
    PlacementCost out;
    for (std::size_t s = 0; s < at.size(); ++s) out = sum(out, cost_at(i, s, drawn[s], at[s]));
    return out;
  }

  /// The cheapest columns of row i with its neighbours where they are.
  std::vector<int> best_row(std::size_t i, bool from_below, bool from_above) const {
    const auto drawn = pulls(i, from_below, from_above);
    const int spare = width_ - squares(rows_[i]);
    return rules_.gaps == Gaps::outside ? best_shift(i, drawn, spare) : best_steps(i, drawn, spare);
  }

  /// The row in one block.
  std::vector<int> best_shift(std::size_t i, const std::vector<std::vector<Pull>>& drawn, int spare) const {
    std::vector<int> out = packed(rows_[i]);
    std::optional<std::pair<PlacementCost, int>> best;
    for (int shift = 0; shift <= spare; ++shift) {
      PlacementCost here;
      for (std::size_t s = 0; s < out.size(); ++s) here = sum(here, cost_at(i, s, drawn[s], out[s] + shift));
      if (!best || here < best->first) best = {here, shift};
    }
    for (int& column : out) column += best->second;
    return out;
  }

  std::vector<int> best_steps(std::size_t i, const std::vector<std::vector<Pull>>& drawn, int spare) const {
    std::vector<int> out = packed(rows_[i]);
    if (spare == 0 || out.empty()) return out;
    const auto steps = static_cast<std::size_t>(spare) + 1;
    // so_far[s]: the least that the stitches up to this one cost if it has moved s columns or fewer;
    // moved[stitch][s]: how many it then has.
    std::vector<PlacementCost> so_far(steps);
    std::vector<std::vector<int>> moved(out.size(), std::vector<int>(steps));
    for (std::size_t stitch = 0; stitch < out.size(); ++stitch) {
      for (std::size_t s = 0; s < steps; ++s) {
        const int step = static_cast<int>(s);
        so_far[s] = sum(so_far[s], cost_at(i, stitch, drawn[stitch], out[stitch] + step));
        moved[stitch][s] = step;
        if (s > 0 && so_far[s - 1] <= so_far[s]) {
          so_far[s] = so_far[s - 1];
          moved[stitch][s] = moved[stitch][s - 1];
        }
      }
    }
    int limit = spare;
    for (std::size_t stitch = out.size(); stitch-- > 0;) {
      limit = moved[stitch][static_cast<std::size_t>(limit)];
      out[stitch] += limit;
    }
    return out;
  }

  /// Places row i anew against both neighbours, if that is cheaper.
  bool improve(std::size_t i) {
    if (squares(rows_[i]) == width_) return false;
    const auto drawn = pulls(i, true, true);
    std::vector<int> found = best_row(i, true, true);
    if (row_cost(i, found, drawn) >= row_cost(i, columns_[i], drawn)) return false;
    columns_[i] = std::move(found);
    return true;
  }

  const std::vector<PlacementRow>& rows_;
  PlacementRules rules_;
  Columns columns_;
  int width_ = 0;
  std::size_t widest_ = 0;
  std::map<int, int> middles_;
};

}  // namespace

int squares(const PlacementRow& row) {
  int out = 0;
  for (const PlacementStitch& stitch : row) out += stitch.width;
  return out;
}

Columns place(const std::vector<PlacementRow>& rows, const PlacementRules& rules) {
  return Placer(rows, rules).run();
}

PlacementCost placement_cost(const std::vector<PlacementRow>& rows, const Columns& columns,
                             const PlacementRules& rules) {
  return Placer(rows, rules, columns).cost();
}

}  // namespace wale
