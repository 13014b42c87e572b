#include "compiler/linear.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace wale {

bool Linear::too_large() const {
  return per_n <= -largest_work || per_n >= largest_work || base <= -largest_work || base >= largest_work;
}

std::string to_string(Linear count) {
  if (count.constant()) return fmt::format("{}", count.base);
  const std::string n = count.per_n == 1 ? "n" : fmt::format("{}n", count.per_n);
  if (count.base == 0) return n;
  return fmt::format("{} {} {}", n, count.base < 0 ? '-' : '+', count.base < 0 ? -count.base : count.base);
}

long long smallest_n(Linear count, long long least) {
  if (count.base >= least && count.per_n >= 0) return 0;
  if (count.per_n <= 0) return -1;
  return std::max(0LL, floor_divide(least - count.base + count.per_n - 1, count.per_n));
}

}  // namespace wale
