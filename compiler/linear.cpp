#include "compiler/linear.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace wale {

namespace {

long long stick(long long value) {
  return std::clamp(value, -largest_work, largest_work);
}

}  // namespace

bool Linear::too_large() const {
  return per_n <= -largest_work || per_n >= largest_work || base <= -largest_work || base >= largest_work;
}

long long Linear::at(long long n) const {
  return add_counts(multiply_counts(per_n, n), base);
}

long long add_counts(long long a, long long b) {
  return stick(stick(a) + stick(b));
}

long long multiply_counts(long long a, long long b) {
  long long product = 0;
  if (__builtin_mul_overflow(a, b, &product)) return (a < 0) == (b < 0) ? largest_work : -largest_work;
  return stick(product);
}

Linear operator+(Linear a, Linear b) {
  return {add_counts(a.per_n, b.per_n), add_counts(a.base, b.base)};
}
Linear operator-(Linear a, Linear b) {
  return {add_counts(a.per_n, -b.per_n), add_counts(a.base, -b.base)};
}
Linear operator*(Linear a, long long factor) {
  return {multiply_counts(a.per_n, factor), multiply_counts(a.base, factor)};
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

long long floor_divide(long long a, long long b) {
  return a / b - (a % b < 0 ? 1 : 0);
}
long long floor_rest(long long a, long long b) {
  return (a % b + b) % b;
}

}  // namespace wale
