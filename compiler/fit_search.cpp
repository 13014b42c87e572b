#include "compiler/fit_search.hpp"

#include <algorithm>
#include <cmath>

namespace wale {

namespace {

/// Sums of the same yarn in another order differ by less.
constexpr double hair = 1e-9;

}  // namespace

Largest largest_that_fits(long long most, const std::function<Probe(long long)>& probe) {
  long long low = 0, high = 0;
  Probe at_low{true, 0, ""}, at_high;
  const auto fits = [](const Probe& p) { return p.possible && p.pressure <= 1 + hair; };
  const auto try_at = [&](long long number) {
    Probe found = probe(number);
    const bool good = fits(found);
    (good ? low : high) = number;
    (good ? at_low : at_high) = std::move(found);
    return good;
  };
  for (long long next = 1; high == 0; next = next > most / 2 ? most : 2 * next)
    if (try_at(next) && low == most) return {most, true, true, ""};
  for (int turn = 0; high - low > 1; ++turn) {
    long long next = low + (high - low) / 2;
    const double rise = at_high.pressure - at_low.pressure;
    if (turn % 3 != 2 && at_high.possible && rise > 0 && std::isfinite(rise))
      next = low + static_cast<long long>(std::floor(static_cast<double>(high - low) *
                                                     std::clamp((1 - at_low.pressure) / rise, 0.0, 1.0)));
    try_at(std::clamp(next, low + 1, high - 1));
  }
  return {low, at_high.possible, false, at_high.why_not};
}

}  // namespace wale
