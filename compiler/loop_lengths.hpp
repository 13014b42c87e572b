/// How much yarn lies in a stitch, an edge, a float, a seam: one table, in terms of the base loop.
///
/// The base loop is the plain knit loop of the fabric that is being worked. How long it is, is known by the
/// best evidence that there is:
///
///   1. a swatch of that fabric that was weighed: its yarn over its loops;
///   2. a weighed swatch of another fabric: what the gauge says (3) of this fabric, times what the weighing
///      found there over what the gauge says there;
///   3. the gauge. For plain knitting Munden's geometry (J. Textile Inst. 50, 1959) says w c = Ks / l^2, with
///      w wales and c courses to the cm and l in cm; Ks is 19.0 dry-relaxed, 21.6 wet-relaxed, 23.1 fully
///      relaxed (from memory). A hand-knitted swatch that was washed and dried flat is taken as wet-relaxed,
///      the other two make the range. Other fabrics have no such constant: for them w = Kw / l (Kw 4.1) is
///      used as if they were plain, and may be wrong by 15 % (assumed), which the estimate says.
///
///     20 st x 28 rows to 10 cm, plain:   l = sqrt(21.6 / (2.0 x 2.8)) = 1.96 cm, between 1.84 and 2.03
///     a float behind 4 stitches there:   4 x 1.1 x 0.5 cm = 2.2 cm, a little over one loop
///
/// `yarn-model.md` derives the table and tells how far it is off where there are figures to hold it against.
#pragma once

#include <span>
#include <string_view>

#include "compiler/flat_map.hpp"
#include "compiler/pattern.hpp"

namespace wale {

struct Range {
  double low = 0, middle = 0, high = 0;
};
Range operator*(Range range, double factor);
Range operator*(Range a, Range b);  ///< both over 0
Range operator+(Range a, Range b);

/// What yarn goes into.
enum class YarnUse : unsigned char {
  // stitches, by what they do
  plain_loop,
  yarn_over,
  slipped,
  slipped_yarn_over,  ///< one half of a brioche pair; the other is a plain loop
  crossing,
  // what belongs to no single stitch
  float_behind,
  cord_back,
  cast_on_loop,
  cast_on_tail,
  bind_off,
  graft,
  seam,
  end,
};

/// One line of the table.
struct LoopLength {
  enum class Per : unsigned char {
    uses,    ///< times what the vocabulary says that the stitch uses, in base loops
    loop,    ///< base loops for a stitch
    width,   ///< stitch widths for a stitch
    length,  ///< times the length sewn
    cm,      ///< each
  };
  YarnUse use;
  std::string_view name;
  Per per;
  Range factor;
  std::string_view source;
};
std::span<const LoopLength> loop_length_table();
const LoopLength& loop_length_of(YarnUse use);
/// The line that a stitch of the vocabulary, or of the pattern's own, comes under.
YarnUse use_of(const Stitch& stitch);

/// How the base loop of a fabric is known, best first.
enum class Evidence : unsigned char { weighed, weighed_other, plain_gauge, wale_spacing };

struct BaseLoop {
  Range cm;          ///< of yarn in one plain loop
  double width = 0;  ///< of one stitch, in cm: 1 / w
  Evidence evidence = Evidence::wale_spacing;
};
/// From the gauge alone.
BaseLoop loop_from_gauge(const Gauge& gauge, bool plain_knitting);

/// Whether every loop of the fabric shows its knit face on the right side.
bool is_plain_knitting(const Fabric& fabric, const Stitches& stitches);

/// By strand (-1: the one that needs no name), in metres.
using StrandMetres = FlatMap<short, Range>;
void add(StrandMetres& sum, const StrandMetres& more, double times = 1);

/// The yarn in steps of pieces and in parts of steps. Both arguments must outlive it; pieces may still be
/// being worked, but gauges, swatches and fabrics must be known. The pattern has a gauge.
class LoopLengths {
 public:
  LoopLengths(const Pattern& pattern, const Stitches& stitches);

  /// The base loop of a fabric; "" for rows of no fabric, which go by the first gauge.
  BaseLoop of_fabric(const Fabric& fabric) const;
  BaseLoop of_no_fabric(bool plain_knitting) const;
  /// Of the fabrics that a step works side by side, each by its share of the width; of an edge, those of its
  /// neighbour in the piece.
  BaseLoop of_step(const Step& step, const Piece& piece) const;

  /// Loops and floats of rows: a single row, some rows, all rows of a step. Strand in hand resolved.
  StrandMetres of_tally(const Tally& tally, const BaseLoop& loop) const;
  /// All that a step takes: loops, floats, edges, seams, and the ends of strands that it joins. A repeat as
  /// often as it is worked.
  StrandMetres of(const Step& step, const Piece& piece) const;
  /// A repeat the first time through.
  StrandMetres once(const Step& repeat, const Piece& piece) const;
  /// The two ends of each strand that a piece begins with and is left with.
  StrandMetres ends_of(const Piece& piece) const;

  /// Base loops in the tally, floats left out.
  double loops(const Tally& tally) const;

 private:
  struct Weighed {
    std::string fabric;
    bool plain = false;
    Range over_gauge;  ///< the loop that was weighed over what the gauge of the swatch says
  };
  void weigh(const Swatch& swatch);
  StrandMetres beside_loops(const Step& step, const Piece& piece) const;
  StrandMetres repeated(const Step& step, const Piece& piece) const;
  void edge(const Step& step, const BaseLoop& loop, StrandMetres& out) const;
  void union_of(const Step& step, const BaseLoop& loop, StrandMetres& out) const;
  BaseLoop improved(const Gauge& gauge, bool plain_knitting, const std::string& fabric) const;
  BaseLoop beside_edge(const Step& edge, const Piece& piece) const;
  bool all_plain(const Step& step) const;

  const Pattern& pattern_;
  const Stitches& stitches_;
  std::vector<Weighed> weighed_;
  std::map<std::string, BaseLoop> fabrics_;
};

}  // namespace wale
