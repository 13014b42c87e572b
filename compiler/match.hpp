/// Which of the yarns on the shelf could knit a pattern.
///
/// For each strand of the pattern every yarn of the stash is looked at, single, two or three ends of it held
/// together, and two yarns held together; linear densities add (ISO 1144). What is of about the same weight
/// as the pattern's own strand is kept, and from it ways to knit the whole pattern are put together: a
/// combination for each strand, out of yarn that is there.
///
///     pattern: A = kelp, 500 tex     shelf: lamp 238 tex, fog 125 tex, dune 480 tex
///     A from dune (4 % thinner), from lamp held double (5 % thinner)
///
/// Ways are ranked by what they give up, the least first:
///
/// | given up | counts |
/// | --- | --- |
/// | a size that the yarn does not suffice for, of all sizes | 10 for all of them |
/// | the upper estimate in the smallest size that the middle one allows | 1 |
/// | weight, as the logarithm of the ratio | 10 x its absolute value: 1 for 10 % |
/// | colours of one fabric below 3 : 1 (WCAG 2.x) | 4, and 4 for each 1 that it is below |
/// | a hint that speaks against it | 0.5 |
/// | each end beyond the first | 0.1 |
///
/// What does not suffice for any size is named only where nothing does. The counts are the project's own
/// judgement; the reasons are printed so that the knitter can judge herself.
#pragma once

#include "compiler/check.hpp"
#include "compiler/stash.hpp"

namespace wale {

/// Ends held together in the place of a strand: yarns of the stash, by index.
struct Combination {
  std::vector<int> ends;  ///< sorted
  double tex = 0;
  double ratio = 1;  ///< its tex over that of the pattern's strand
};

/// Farther off than this a weight is not named (assumed). `same_weight` and `another_weight` (strands.hpp)
/// tell what becomes of the needle and the fabric before that.
inline constexpr double farthest_weight = 0.30;

struct MatchReason {
  enum class About : unsigned char { weight, quantity, contrast, fabric };
  About about = About::weight;
  bool good = true;              ///< speaks for it
  bool common_practice = false;  ///< a hint of the trade, not a calculation
  std::string words;
};

/// For one strand of the pattern.
struct MatchStrand {
  short strand = -1;
  Combination from;
};

/// What a yarn of the stash must give in one size of the pattern, in metres.
struct MatchNeed {
  std::string size;
  int yarn = -1;  ///< of the stash
  Range metres;
  double there = 0;
  bool enough() const { return metres.high <= there; }
  bool perhaps() const { return metres.middle <= there; }
};

struct Match {
  std::vector<MatchStrand> strands;  ///< those that the pattern works, in its order
  std::vector<MatchNeed> needs;      ///< by size, then by yarn
  std::vector<std::string> sizes;    ///< that it suffices for, by the middle estimate; "" for the only one
  std::optional<double> contrast;    ///< the weakest of two strands that meet in one fabric
  std::vector<MatchReason> reasons;
  double given_up = 0;
};

struct MatchReport {
  std::vector<Match> matches;          ///< best first, at most `most_matches`
  std::vector<std::string> unmatched;  ///< strands for which nothing on the shelf is of the weight
  std::string missing;                 ///< why nothing can be said; empty where there is something
  bool any_amount = false;             ///< the pattern goes by the yarn, and is as large as it makes
};
inline constexpr std::size_t most_matches = 10;

/// `pattern` with all its sizes, `stash` a file with yarns and a stash.
MatchReport match(const Checked& pattern, const Checked& stash);

/// "lamp", "2 ends of lamp", "lamp and fog held together".
std::string combination_words(const Combination& from, const Pattern& stash);

enum class ReportForm : unsigned char { text, markdown, json };
/// The report in words, or as JSON of the form `match-report.schema.json`; ends with a newline.
std::string match_report(const MatchReport& report, const Checked& pattern, const Checked& stash,
                         ReportForm form);

}  // namespace wale
