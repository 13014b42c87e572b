#include "compiler/lots.hpp"

#include <algorithm>
#include <numeric>

namespace wale {

namespace {

/// A milligram more or less is no yarn.
constexpr double hair = 1e-3;
constexpr int mixes = -1;
/// Pieces that are searched; no pattern has so many.
constexpr std::size_t deepest = 500;

class Packer {
 public:
  Packer(const std::vector<double>& needs, const std::vector<double>& lots) : needs_(needs), room_(lots) {
    for (std::size_t i = 0; i < needs.size(); ++i)
      if (needs[i] > 0) order_.push_back(i);
    std::stable_sort(order_.begin(), order_.end(),
                     [&](std::size_t a, std::size_t b) { return needs[a] > needs[b]; });
    place_.assign(needs.size(), mixes);
    best_ = place_;
    in_use_.assign(lots.size(), 0);
    fewest_ = order_.size() + 1;
    opened_ = lots.size() + 1;
  }

  LotPlan run() {
    const double need = std::accumulate(needs_.begin(), needs_.end(), 0.0);
    const std::vector<double> lots = room_;
    LotPlan out;
    out.fits = need <= std::accumulate(lots.begin(), lots.end(), 0.0) + hair;
    if (!out.fits) return out;
    next(0, 0, 0);
    out.all_tried = ways_ <= most_ways;
    std::vector<double> left = lots;
    for (const std::size_t piece : order_)
      if (best_[piece] != mixes) left[static_cast<std::size_t>(best_[piece])] -= needs_[piece];
    for (std::size_t piece = 0; piece < needs_.size(); ++piece) {
      if (needs_[piece] <= 0) continue;
      if (best_[piece] != mixes)
        out.shares.push_back({piece, static_cast<std::size_t>(best_[piece]), needs_[piece]});
      else
        mix(piece, left, out);
    }
    return out;
  }

 private:
  /// The piece from what the others leave, the largest rests first.
  void mix(std::size_t piece, std::vector<double>& left, LotPlan& out) const {
    std::vector<std::size_t> lots(left.size());
    std::iota(lots.begin(), lots.end(), std::size_t{0});
    std::stable_sort(lots.begin(), lots.end(),
                     [&](std::size_t a, std::size_t b) { return left[a] > left[b]; });
    double wanted = needs_[piece];
    for (const std::size_t lot : lots) {
      const double taken = std::min(wanted, left[lot]);
      if (taken <= 0) continue;
      out.shares.push_back({piece, lot, taken});
      left[lot] -= taken;
      wanted -= taken;
      if (wanted <= hair) break;
    }
    out.mixed.push_back(piece);
  }

  /// So many pieces mix so far, and so many lots are opened.
  void next(std::size_t at, std::size_t mixed, std::size_t opened) {
    if (mixed > fewest_ || (mixed == fewest_ && opened >= opened_) || ++ways_ > most_ways) return;
    if (at == order_.size()) {
      fewest_ = mixed;
      opened_ = opened;
      best_ = place_;
      return;
    }
    if (at >= deepest) return first_fit(at, mixed);
    const std::size_t piece = order_[at];
    std::vector<std::pair<double, bool>> tried;
    for (std::size_t lot = 0; lot < room_.size(); ++lot) {
      // Lots with as much room are one way, if both are opened or neither is.
      const std::pair<double, bool> state{room_[lot], in_use_[lot] > 0};
      if (needs_[piece] > state.first + hair || std::find(tried.begin(), tried.end(), state) != tried.end())
        continue;
      tried.push_back(state);
      room_[lot] -= needs_[piece];
      place_[piece] = static_cast<int>(lot);
      ++in_use_[lot];
      next(at + 1, mixed, opened + (state.second ? 0 : 1));
      --in_use_[lot];
      room_[lot] = state.first;
    }
    place_[piece] = mixes;
    next(at + 1, mixed + 1, opened);
  }

  /// Beyond what is searched: each piece into the first lot that has room for it.
  void first_fit(std::size_t at, std::size_t mixed) {
    ways_ = most_ways + 1;
    std::vector<double> room = room_;
    for (; at < order_.size(); ++at) {
      const double need = needs_[order_[at]];
      const auto lot = std::find_if(room.begin(), room.end(), [&](double r) { return need <= r + hair; });
      place_[order_[at]] = lot == room.end() ? mixes : static_cast<int>(lot - room.begin());
      if (lot == room.end())
        ++mixed;
      else
        *lot -= need;
    }
    if (mixed >= fewest_) return;
    fewest_ = mixed;
    opened_ = 0;
    best_ = place_;
  }

  const std::vector<double>& needs_;
  std::vector<double> room_;
  std::vector<std::size_t> order_;
  std::vector<int> place_, best_;  ///< lot of each piece
  std::vector<int> in_use_;        ///< pieces in each lot
  std::size_t fewest_ = 0, opened_ = 0;
  long long ways_ = 0;
};

}  // namespace

LotPlan plan_lots(const std::vector<double>& needs, const std::vector<double>& lots) {
  return Packer(needs, lots).run();
}

}  // namespace wale
