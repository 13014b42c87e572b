/// Counts that depend on n.
///
/// A fabric of `4n + 2` stitches has a width for every n, and so has each of its rows' takings and givings.
/// They are all of the form `a n + b`; a plain number has a = 0. What holds of the two coefficients holds for
/// all n:
///
///     4n + 2  minus  2  is  4n,  divided by 4  is  n      the repeat fits n times, whatever n is
///
/// Stitches are counted up to `largest_work`; arithmetic beyond it sticks there, so nothing overflows, and
/// whoever reports a count can ask `too_large()` first.
#pragma once

#include <algorithm>
#include <compare>
#include <string>

namespace wale {

inline constexpr long long largest_work = 1'000'000'000'000'000;  // 10^15 loops: more than anyone has knitted

/// a n + b, with |a| and |b| at most `largest_work`.
struct Linear {
  long long per_n = 0, base = 0;

  constexpr Linear() = default;
  constexpr Linear(long long constant) : base(constant) {}  // NOLINT: a count is a Linear
  constexpr Linear(long long a, long long b) : per_n(a), base(b) {}

  bool operator==(const Linear&) const = default;
  bool constant() const { return per_n == 0; }
  bool too_large() const;
  long long at(long long n) const;
};

/// Sticks at plus or minus `largest_work` in place of overflowing.
inline long long add_counts(long long a, long long b) {
  long long sum = 0;
  if (__builtin_add_overflow(a, b, &sum)) return a < 0 ? -largest_work : largest_work;
  return std::clamp(sum, -largest_work, largest_work);
}
inline long long multiply_counts(long long a, long long b) {
  long long product = 0;
  if (__builtin_mul_overflow(a, b, &product)) return (a < 0) == (b < 0) ? largest_work : -largest_work;
  return std::clamp(product, -largest_work, largest_work);
}

inline long long Linear::at(long long n) const {
  return per_n == 0 ? base : add_counts(multiply_counts(per_n, n), base);
}

inline Linear operator+(Linear a, Linear b) {
  return {add_counts(a.per_n, b.per_n), add_counts(a.base, b.base)};
}
inline Linear operator-(Linear a, Linear b) {
  return {add_counts(a.per_n, -b.per_n), add_counts(a.base, -b.base)};
}
inline Linear operator*(Linear a, long long factor) {
  return {multiply_counts(a.per_n, factor), multiply_counts(a.base, factor)};
}

/// "4n + 2", "n", "12".
std::string to_string(Linear count);

/// The smallest n from 0 for which a n + b >= `least`; -1 where there is none.
long long smallest_n(Linear count, long long least);

/// Division rounding down, and the rest that is never negative. `b` > 0.
inline long long floor_divide(long long a, long long b) {
  return a / b - (a % b < 0 ? 1 : 0);
}
inline long long floor_rest(long long a, long long b) {
  return (a % b + b) % b;
}

}  // namespace wale
