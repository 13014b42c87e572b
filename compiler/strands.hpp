/// What runs through the fingers: any number of ends together, and what weight of yarn they make.
///
/// Linear densities add: a put-up of m metres in g grams is 1000 g / m tex (ISO 1144), and two ends of
/// 150 m / 50 g (333 tex each) are 667 tex, which is 75 m / 50 g. What follows from the tex is an estimate:
///
///   gauge   In plain knitting l = Kw / w (Munden), and knitters work yarns of all weights about as tightly:
///           sqrt(tex) / l, with l in cm, is about 10.7 (assumed; the Craft Yarn Council's classes and the
///           metres on common put-ups, both from memory, give 9 to 11.6). So 10 cm of stockinette have about
///           10 x 4.1 x 10.7 / sqrt(tex) = 440 / sqrt(tex) stitches.
///   class   The Craft Yarn Council's, whose ranges of stitches to 4 in (10 cm) hold that gauge.
///   wraps   220 / sqrt(tex) to the inch, laid on lightly (assumed; from hand spinners' tables, from memory).
///
///     DK 100 g = 225 m with lace 50 g = 400 m    444 + 125 = 569 tex, 176 m / 100 g, about 18 st: Medium (4)
#pragma once

#include <string>
#include <string_view>

#include "compiler/pattern.hpp"

namespace wale {

inline constexpr double stitches_by_tex = 440;
inline constexpr double wraps_by_tex = 220;

/// Grams of a kilometre.
double tex_of(const Yarn& yarn);
double tex_of(const Yardage& yardage);
/// Sewing thread is about 10 tex and rope-thick roving under 20,000: what lies outside is a slip of the pen.
inline bool is_knitting_yarn(double tex) {
  return tex >= 5 && tex <= 50'000;
}
/// Of all ends together; strand -1 is the pattern's only yarn. Nothing where it has no yarn.
std::optional<double> tex_of(const Pattern& pattern, short strand);

/// A class of the Craft Yarn Council's standard yarn weights.
struct YarnClass {
  int number = 0;
  std::string_view name;
  double fewest = 0, most = 0;        ///< stitches of stockinette to 4 in (10 cm)
  double thinnest = 0, thickest = 0;  ///< needles, mm
};
/// The class whose range holds the gauge; between two ranges, the one that it is nearer to.
const YarnClass& class_by_gauge(double stitches_to_10cm);

struct StrandFacts {
  std::size_t ends = 0;
  double tex = 0;
  double metres_per_100g = 0;
  double wraps_per_inch = 0;
  double stitches = 0;  ///< of stockinette to 10 cm
  const YarnClass* yarn_class = nullptr;
};
std::optional<StrandFacts> facts_of(const Pattern& pattern, short strand);

/// Whether a strand is knitted at the gauge of its class.
enum class GaugeFit : unsigned char { agrees, looser, tighter, open };
/// Stitches to 10 cm in `fabric`. Up to a stitch outside the range is near enough; other fabrics than
/// stockinette may be off by 15 % more (assumed). Lace yarn is no error at any looser gauge: `open`.
GaugeFit fit_to_gauge(const YarnClass& yarn_class, double stitches_to_10cm, bool plain_knitting);

/// A strand in the place of the yarn that a pattern was written for.
struct Substitute {
  double heavier = 0;   ///< by this share of its weight to the metre: 0.2 is 20 % heavier, -0.2 lighter
  double stitches = 0;  ///< of stockinette to 10 cm that the strand would like
  double written_stitches = 0;
  std::size_t ends = 0;  ///< as many ends of its one yarn would come nearer; 0: they would not
  double heavier_then = 0;
  bool swatched = false;  ///< a swatch in it tells more than any sum
};
/// Nothing where the strand has no yarn, or the pattern was written for none in its place.
std::optional<Substitute> substitute_of(const Pattern& pattern, short strand);
/// Nearer than this is the same for the needles; beyond the second, the fabric is another one (assumed).
inline constexpr double same_weight = 0.05, another_weight = 0.15;

/// "24 % lighter than the 68 m / 50 g that the pattern was written for".
std::string comparison_words(const Substitute& substitute, const Yardage& written_for);
/// What to do about it: sentences.
std::string advice_words(const Substitute& substitute);

/// "75 m / 50 g".
std::string yardage_words(const Yardage& yardage);

}  // namespace wale
