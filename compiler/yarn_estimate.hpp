/// How much yarn a pattern takes: the lengths of all its steps (loop_lengths.hpp), by piece and by strand,
/// and the yarns that the strands are made of.
///
///     2,520 loops of rib of 1.96 cm, 2.4 m of edges, two ends of 15 cm     about 52 m of strand A
///
/// Each amount is a range, with the evidence that it rests on. Digits beyond the second say nothing; they are
/// kept until the amount is shown, so that sums come out.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/loop_lengths.hpp"

namespace wale {

struct StrandEstimate {
  short strand = -1;
  Range metres;
  Evidence evidence = Evidence::weighed;  ///< the worst of what it rests on
};

struct PieceEstimate {
  std::size_t piece = 0;  ///< index into the pattern's
  std::vector<StrandEstimate> strands;
};

struct YarnEstimate {
  int yarn = -1;
  Range metres, grams;
  long long balls = 0;  ///< to buy, with the reserve
};

struct Estimate {
  std::vector<PieceEstimate> pieces;    ///< those that take yarn
  std::vector<StrandEstimate> strands;  ///< of all pieces together
  std::vector<YarnEstimate> yarns;
  std::vector<std::string> assumptions;  ///< sentences
  std::string missing;                   ///< why there is no estimate; empty where there is one
};

/// Kept in reserve, as a share of what is used (common practice).
inline constexpr double reserve = 0.10;

Estimate estimate_yarn(const Pattern& pattern, const Stitches& stitches);
/// The same amounts, without the evidence and the assumptions that they rest on: for who only compares.
Estimate estimate_amounts(const Pattern& pattern, const Stitches& stitches);

/// Rounded to what such an estimate can claim: two significant digits.
double rounded(double value, int digits = 2);

/// "a weighed swatch of the fabric", "the gauge, by Munden's geometry of plain knitting".
std::string_view evidence_words(Evidence evidence);

}  // namespace wale
