/// Patterns whose cost is known beforehand: the same source at another size must cost the same.
///
///     rib at 42 stitches and 10 rows; at 1,000,002 stitches and 100,000 rows     the numbers differ, the
///     source does not
///
/// `cost.cpp` times them; `tests/unit/cost_test.cpp` counts the work that they take.
#pragma once

#include <string>
#include <vector>

namespace wale::bench {

/// A fabric, or several, and a piece that works it at any size.
struct Case {
  std::string name;
  std::string fabrics;  ///< declarations
  std::string work;     ///< between cast-on and bind-off; `{rows}` and `{halves}` (of the rows) are put in
  std::string cast_on = "cast on {stitches}";  ///< `{stitches}` is put in
  std::string form = "flat";
  long long longest_cycle = 10;  ///< rows after which all its fabrics begin anew together
};

/// How large a piece is made. All fabrics fit a multiple of 8 and 2 over; `stitches` is one.
struct Size {
  long long stitches = 0, rows = 0;
};
inline constexpr Size small{42, 10}, large{1'000'002, 100'000};

/// Fabrics that come back to the stitches they began with.
const std::vector<Case>& steady();
/// Pieces whose needle is another one after each row, so that each row has to be worked.
const std::vector<Case>& shaped();

/// The whole file.
std::string pattern(const Case& which, Size size);

}  // namespace wale::bench
