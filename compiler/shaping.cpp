#include "compiler/shaping.hpp"

#include <algorithm>

namespace wale {

std::optional<std::vector<Rate>> rates_over(long long rows, long long times, bool on_right_side) {
  if (times < 1 || rows < times) return {};
  // Pairs of rows where every shaping can have its own right side.
  const long long unit = on_right_side && rows / 2 >= times ? 2 : 1;
  const long long units = rows / unit;
  const long long every = units / times, wider = units % times;
  std::vector<Rate> out;
  if (wider > 0) out.push_back({(every + 1) * unit, wider});
  out.push_back({every * unit, times - wider});
  return out;
}

std::vector<long long> even_sections(long long stitches, long long sections) {
  std::vector<long long> out;
  long long done = 0;
  for (long long i = 1; i <= sections; ++i) {
    const long long end = stitches * i / sections;
    out.push_back(end - done);
    done = end;
  }
  return out;
}

}  // namespace wale
