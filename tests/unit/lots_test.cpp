// Dye lots shared out to pieces, against every way there is.
#include "compiler/lots.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <random>
#include <set>

using namespace wale;

namespace {

/// The fewest pieces that mix, and then the fewest lots that the others are in; all ways tried: each piece
/// into each lot, or mixed.
std::pair<std::size_t, std::size_t> fewest_by_brute_force(const std::vector<double>& needs,
                                                          const std::vector<double>& lots) {
  std::size_t ways = 1;
  std::pair<std::size_t, std::size_t> best{needs.size(), lots.size()};
  for (std::size_t i = 0; i < needs.size(); ++i) ways *= lots.size() + 1;
  for (std::size_t way = 0; way < ways; ++way) {
    std::vector<double> room = lots;
    std::size_t mixed = 0, rest = way;
    std::set<std::size_t> opened;
    for (const double need : needs) {
      const std::size_t lot = rest % (lots.size() + 1);
      rest /= lots.size() + 1;
      if (lot == lots.size())
        ++mixed;
      else
        room[lot] -= need, opened.insert(lot);
    }
    if (std::all_of(room.begin(), room.end(), [](double r) { return r > -1e-3; }))
      best = std::min(best, {mixed, opened.size()});
  }
  return best;
}

}  // namespace

TEST_CASE(
    "as few pieces mix dye lots as any way of sharing them out allows, and the lots are not overdrawn") {
  std::mt19937 random(7);
  std::size_t all_whole = 0, some_mixed = 0;
  for (int round = 0; round < 400; ++round) {
    std::vector<double> needs(1 + random() % 5), lots(1 + random() % 3);
    for (double& need : needs) need = static_cast<double>(1 + random() % 40);
    for (double& lot : lots) lot = static_cast<double>(10 + random() % 70);
    // Every second shelf is nearly used up.
    if (round % 2 == 0)
      lots.back() = std::max(1.0, std::accumulate(needs.begin(), needs.end(), 0.0) -
                                      std::accumulate(lots.begin(), lots.end() - 1, 0.0) +
                                      static_cast<double>(random() % 4));
    const double need = std::accumulate(needs.begin(), needs.end(), 0.0),
                 there = std::accumulate(lots.begin(), lots.end(), 0.0);
    const LotPlan plan = plan_lots(needs, lots);
    CHECK(plan.fits == (need <= there));
    if (!plan.fits) {
      CHECK(plan.shares.empty());
      continue;
    }
    CHECK(plan.all_tried);
    std::set<std::size_t> opened;
    for (const LotPlan::Share& share : plan.shares)
      if (std::find(plan.mixed.begin(), plan.mixed.end(), share.piece) == plan.mixed.end())
        opened.insert(share.lot);
    CHECK(std::pair(plan.mixed.size(), opened.size()) == fewest_by_brute_force(needs, lots));
    (plan.mixed.empty() ? all_whole : some_mixed) += 1;
    std::vector<double> given(needs.size()), taken(lots.size());
    std::vector<int> from(needs.size());
    for (const LotPlan::Share& share : plan.shares) {
      given[share.piece] += share.amount;
      taken[share.lot] += share.amount;
      ++from[share.piece];
    }
    for (std::size_t i = 0; i < needs.size(); ++i) {
      CHECK(given[i] == doctest::Approx(needs[i]));
      const bool mixed = std::find(plan.mixed.begin(), plan.mixed.end(), i) != plan.mixed.end();
      CHECK((mixed || from[i] == 1));
    }
    for (std::size_t i = 0; i < lots.size(); ++i) CHECK(taken[i] <= lots[i] + 1e-3);
  }
  CHECK(all_whole > 50);
  CHECK(some_mixed > 20);
}

TEST_CASE("a thousand pieces and lots are shared out without trying all ways") {
  std::vector<double> needs, lots;
  for (int i = 0; i < 1000; ++i) needs.push_back(10 + i % 7), lots.push_back(17 - i % 3);
  const LotPlan plan = plan_lots(needs, lots);
  CHECK(plan.fits);
  CHECK(plan.mixed.size() < needs.size());
}

TEST_CASE("pieces that need nothing are in no lot") {
  const LotPlan plan = plan_lots({0, 30}, {40});
  REQUIRE(plan.shares.size() == 1);
  CHECK(plan.shares[0].piece == 1);
}
