/// How much yarn a pattern takes.
///
/// Every stitch is worth so many plain loops (`uses` in the vocabulary), and a plain loop's length follows
/// from the gauge. For plain knitting Munden's geometry (J. Textile Inst. 50, 1959) says w c = Ks / l^2, with
/// w wales and c courses to the cm and l the loop length in cm; Ks is 19.0 dry-relaxed, 21.6 wet-relaxed
/// and 23.1 fully relaxed (from memory). A hand-knitted swatch that was washed and dried flat is taken as
/// wet-relaxed; the other two make the range. Other fabrics have no such constant: for them w = Kw / l is
/// used (Kw 3.8, 4.1, 4.2, from memory), as if they were plain, and the report says so.
///
///     20 st x 28 rows to 10 cm:  l = sqrt(21.6 / (2.0 x 2.8)) = 1.96 cm, between 1.84 and 2.03
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/pattern.hpp"

namespace wale {

struct Range {
  double low = 0, middle = 0, high = 0;
};
Range operator*(Range range, double factor);
Range operator+(Range a, Range b);

/// Centimetres of yarn in one plain loop, and how that is known.
struct LoopLength {
  Range cm;
  bool plain = false;  ///< by Munden's geometry; otherwise from the wale spacing
};
LoopLength loop_length(const Gauge& gauge, bool plain_knitting);

/// Whether every loop of the fabric shows its knit face on the right side.
bool is_plain_knitting(const Fabric& fabric, const Stitches& stitches);

struct StrandEstimate {
  short strand = -1;
  Range metres;
};

struct YarnEstimate {
  int yarn = -1;
  Range metres, grams;
  long long balls = 0;  ///< to buy, with the reserve
};

struct Estimate {
  std::vector<StrandEstimate> strands;
  std::vector<YarnEstimate> yarns;
  std::vector<std::string> assumptions;  ///< sentences
  std::string missing;                   ///< why there is no estimate; empty where there is one
};

/// Kept in reserve, as a share of what is used (common practice).
inline constexpr double reserve = 0.10;
/// A long-tail cast-on and a bind-off take about so many widths of the knitting each (common practice).
inline constexpr double edge_widths = 3;
/// Yarn of a seam, in lengths of the seam (assumed).
inline constexpr double seam_lengths = 1.5;
/// Left hanging and woven in at each end of a strand, in cm (assumed).
inline constexpr double end_cm = 15;

Estimate estimate_yarn(const Pattern& pattern, const Stitches& stitches);

/// Rounded to what such an estimate can claim: two significant digits.
double rounded(double value);

}  // namespace wale
