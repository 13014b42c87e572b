/// The arithmetic of shaping: how often, how far apart, how evenly.
///
///     12 decreases in 60 rows of flat work        every 6th row 6 times, then every 4th row 6 times
///     8 more over 50 stitches                     sections of 6 and 7: 6 6 6 7 6 6 6 7
#pragma once

#include <optional>
#include <vector>

namespace wale {

/// So many shaping rows, each the first of `every` rows.
struct Rate {
  long long every = 1, times = 1;
  bool operator==(const Rate&) const = default;
};

/// Shaping rows spread over a stretch as evenly as can be, the wider spaces first. Where `on_right_side`,
/// spaces are even, so that every shaping row of flat work falls on the right side; where there are not
/// enough such rows, on both sides. Nothing where there are more shapings than rows. Rows left over at the
/// end are worked even.
std::optional<std::vector<Rate>> rates_over(long long rows, long long times, bool on_right_side);

/// A row cut into sections that differ by at most one stitch and are mixed as evenly as integers allow: the
/// ends of the first k sections are never a whole stitch from k times the mean.
std::vector<long long> even_sections(long long stitches, long long sections);

/// Points at which one row is shaped, at most.
inline constexpr long long most_points = 10'000;

}  // namespace wale
