/// A page for each fabric that has no swatch yet: what to cast on, how to work it, what to measure, and where
/// to write it down.
///
/// A swatch is at least 15 cm on each side (common practice: 10 cm is the least, more is better), so that its
/// gauge is known to 1 in 30 or better, and comes out in whole repeats. Flat fabrics have edges of garter,
/// which keep it from curling and are not measured; fabrics in the round are worked from the right side only,
/// the yarn carried loosely across the back, and are not weighed.
///
///     rib 4n + 2 at 20 st x 28 rows to 10 cm
///     30 st measured, 3 of garter at each side: cast on 36; 42 rows between 6 rows of garter at each end
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/check.hpp"
#include "compiler/document_settings.hpp"
#include "compiler/outputs.hpp"

namespace wale {

inline constexpr double least_swatch_cm = 15;

struct SwatchPlan {
  const Fabric* fabric = nullptr;
  long long stitches = 0;  ///< to measure; pairs, of double knitting
  long long copies = 1;    ///< of a fabric of one width, side by side
  long long rows = 0;
  long long edge_stitches = 0, edge_rows = 0;
  bool by_guess = false;                          ///< no gauge is given for it
  double stitches_to_10cm = 0, rows_to_10cm = 0;  ///< expected
};

/// For the fabrics that pieces work, or for all where there is no piece; not for those with a swatch.
std::vector<SwatchPlan> plan_swatches(const Pattern& pattern);

/// `STEM.swatch.pdf`, rulers at their true size at the foot of each page, and `STEM.swatch.txt`. The pattern
/// needs a fabric without a swatch.
Outputs make_swatch_pages(const Checked& checked, const std::string& stem, std::optional<std::int64_t> date,
                          const DocumentSettings& settings);

}  // namespace wale
