#include "compiler/loop_lengths.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <functional>
#include <set>

#include "compiler/swatch.hpp"

namespace wale {

namespace {

// Munden's constants, from memory: dry-relaxed, wet-relaxed, fully relaxed.
constexpr Range munden_ks{19.0, 21.6, 23.1};
constexpr double munden_kw = 4.1;
/// How far a fabric that is not plain may be from what its wales say (assumed).
constexpr double other_fabrics = 0.15;
/// How far another fabric's swatch may lead astray (assumed).
constexpr double between_fabrics = 0.10;
/// How evenly a knitter works, and a swatch is measured (assumed).
constexpr double evenness = 0.03;

using Per = LoopLength::Per;
using Use = YarnUse;

constexpr std::array table{
    LoopLength{Use::plain_loop,
               "knit, purl, decrease, each loop of an increase",
               Per::uses,
               {1, 1, 1},
               "the base loop itself"},
    LoopLength{Use::yarn_over,
               "yarn over",
               Per::uses,
               {0.7, 1, 1.1},
               "assumed: a loop without its legs through the row below, but a wide one"},
    LoopLength{Use::slipped,
               "slipped stitch",
               Per::uses,
               {0.95, 1, 1.4},
               "the width of the stitch, l / Kw with Munden's Kw 4.1 (from memory); slack assumed"},
    LoopLength{Use::slipped_yarn_over,
               "stitch slipped with its yarn over",
               Per::uses,
               {0.8, 1, 1.3},
               "assumed: as a yarn over; a brioche pair is this and a plain loop"},
    LoopLength{Use::crossing,
               "stitch of a crossing",
               Per::uses,
               {0.9, 1, 1.15},
               "assumed: pulled across its neighbours"},
    LoopLength{Use::float_behind,
               "float, for a stitch that it passes",
               Per::width,
               {1, 1.1, 1.3},
               "straight behind the stitch; slack of a tenth assumed"},
    LoopLength{Use::cord_back,
               "across the back of a cord, for a row",
               Per::width,
               {0, 1, 2},
               "assumed: the cord closes to one stitch's width"},
    LoopLength{Use::cast_on_loop,
               "loop of a cast-on",
               Per::loop,
               {0, 1, 1},
               "a base loop, unless the rule for the tail counts it in"},
    LoopLength{Use::cast_on_tail,
               "tail of a long-tail cast-on",
               Per::width,
               {2.5, 3, 4},
               "3 times the width (common practice); range assumed"},
    LoopLength{Use::bind_off,
               "bind-off",
               Per::width,
               {2.5, 3, 4.1},
               "3 times the width (common practice); at most a base loop each"},
    LoopLength{Use::graft,
               "grafting",
               Per::width,
               {2.5, 3, 4.1},
               "3 times the width (common practice); at most a base loop each"},
    LoopLength{Use::seam, "seam", Per::length, {1.2, 1.5, 3}, "assumed"},
    LoopLength{Use::end, "end of a strand, in cm", Per::cm, {10, 15, 20}, "assumed"},
};

bool all_plain(const std::vector<Op>& ops, Side side, const Stitches& stitches) {
  return std::all_of(ops.begin(), ops.end(), [&](const Op& op) {
    if (op.form == Op::Form::marker) return true;
    if (op.form == Op::Form::into || op.form == Op::Form::as_seen) return false;
    if (op.form != Op::Form::stitch) return all_plain(op.ops, side, stitches);
    return stitches[op.stitch].name == (side == Side::right ? "k" : "p");
  });
}

Range spread(double middle, double share) {
  return {middle * (1 - share), middle, middle * (1 + share)};
}

void add_cm(StrandMetres& sum, short strand, Range cm) {
  Range& all = sum[strand];
  all = all + cm * 0.01;
}

Range two_ends() {
  return loop_length_of(Use::end).factor * 2;
}

/// The first or the last step that works fabrics, also inside repeats; null where none does.
const Step* worked_at(const std::vector<Step>& steps, bool first) {
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const Step& each = steps[first ? i : steps.size() - 1 - i];
    if (!each.parts.empty()) return &each;
    if (const Step* inside = worked_at(each.steps, first)) return inside;
  }
  return nullptr;
}

/// Base loops blended by weight; what is known worst tells the evidence.
class Blend {
 public:
  void add(const BaseLoop& loop, double weight) {
    cm_ = cm_ + loop.cm * weight;
    width_ += loop.width * weight;
    weight_ += weight;
    worst_ = std::max(worst_, loop.evidence);
  }
  bool empty() const { return !(weight_ > 0); }
  BaseLoop loop() const { return {cm_ * (1 / weight_), width_ / weight_, worst_}; }

 private:
  Range cm_;
  double width_ = 0, weight_ = 0;
  Evidence worst_ = Evidence::weighed;
};

}  // namespace

Range operator*(Range range, double factor) {
  return {range.low * factor, range.middle * factor, range.high * factor};
}
Range operator*(Range a, Range b) {
  return {a.low * b.low, a.middle * b.middle, a.high * b.high};
}
Range operator+(Range a, Range b) {
  return {a.low + b.low, a.middle + b.middle, a.high + b.high};
}

std::span<const LoopLength> loop_length_table() {
  return table;
}

const LoopLength& loop_length_of(YarnUse use) {
  return table[static_cast<std::size_t>(use)];
}

YarnUse use_of(const Stitch& stitch) {
  if (stitch.crossing) return Use::crossing;
  if (stitch.passes_on) return Use::slipped;
  if (stitch.gives.size() == 1 && stitch.gives[0] == LoopType::veiled) return Use::slipped_yarn_over;
  if (stitch.name == "yo") return Use::yarn_over;
  return Use::plain_loop;
}

BaseLoop loop_from_gauge(const Gauge& gauge, bool plain_knitting) {
  const double w = gauge.wales_per_cm(), c = gauge.rows_per_cm;
  if (!plain_knitting) return {spread(munden_kw / w, other_fabrics), 1 / w, Evidence::wale_spacing};
  const auto each = [&](double ks) { return std::sqrt(ks / (w * c)); };
  return {{each(munden_ks.low), each(munden_ks.middle), each(munden_ks.high)}, 1 / w, Evidence::plain_gauge};
}

bool is_plain_knitting(const Fabric& fabric, const Stitches& stitches) {
  return std::all_of(fabric.rows.begin(), fabric.rows.end(),
                     [&](const CheckedRow& row) { return all_plain(row.row.ops, row.row.side, stitches); });
}

void add(StrandMetres& sum, const StrandMetres& more, double times) {
  for (const auto& [strand, metres] : more) {
    Range& all = sum[strand];
    all = all + metres * times;
  }
}

LoopLengths::LoopLengths(const Pattern& pattern, const Stitches& stitches)
    : pattern_(pattern), stitches_(stitches) {
  for (const Swatch& swatch : pattern.swatches) weigh(swatch);
  // Known once: a file can work a tall fabric in thousands of steps.
  if (pattern.gauges.empty()) return;
  for (const Fabric& fabric : pattern.fabrics)
    fabrics_.emplace(fabric.name, improved(*pattern.gauge_for(fabric.name),
                                           is_plain_knitting(fabric, stitches), fabric.name));
}

/// The swatch's yarn, less its edges and floats, over its loops.
void LoopLengths::weigh(const Swatch& swatch) {
  const auto fabric = std::find_if(pattern_.fabrics.begin(), pattern_.fabrics.end(),
                                   [&](const Fabric& f) { return f.name == swatch.fabric; });
  if (fabric == pattern_.fabrics.end() || !fabric->good) return;
  const double over_gauge = weighed_over_gauge(swatch, *fabric, pattern_, stitches_);
  if (over_gauge < least_over_gauge || over_gauge > most_over_gauge) return;
  weighed_.push_back({swatch.fabric, is_plain_knitting(*fabric, stitches_),
                      spread(over_gauge, evenness + scale_reading_grams / swatch.grams)});
}

BaseLoop LoopLengths::improved(const Gauge& gauge, bool plain_knitting, const std::string& fabric) const {
  BaseLoop out = loop_from_gauge(gauge, plain_knitting);
  if (weighed_.empty()) return out;
  auto by = std::find_if(weighed_.begin(), weighed_.end(),
                         [&](const Weighed& w) { return !fabric.empty() && w.fabric == fabric; });
  const bool own = by != weighed_.end();
  if (!own)
    by = std::find_if(weighed_.begin(), weighed_.end(),
                      [&](const Weighed& w) { return w.plain == plain_knitting; });
  if (by == weighed_.end()) by = weighed_.begin();
  out.evidence = own ? Evidence::weighed : Evidence::weighed_other;
  out.cm =
      own ? by->over_gauge * out.cm.middle : spread(by->over_gauge.middle * out.cm.middle, between_fabrics);
  return out;
}

BaseLoop LoopLengths::of_fabric(const Fabric& fabric) const {
  const auto found = fabrics_.find(fabric.name);
  return found == fabrics_.end() ? of_no_fabric(false) : found->second;
}

BaseLoop LoopLengths::of_no_fabric(bool plain_knitting) const {
  const Gauge& gauge = pattern_.gauges.front();
  return improved(gauge, plain_knitting, gauge.fabric);
}

bool LoopLengths::all_plain(const Step& step) const {
  if (step.kind == Step::Kind::cord || step.kind == Step::Kind::cord_bind_off ||
      step.kind == Step::Kind::pick_up)
    return true;
  return step.kind == Step::Kind::rows &&
         std::all_of(step.rows.begin(), step.rows.end(), [&](const CheckedRow& row) {
           return wale::all_plain(row.row.ops, row.row.side, stitches_);
         });
}

BaseLoop LoopLengths::of_step(const Step& step, const Piece& piece) const {
  using Kind = Step::Kind;
  Blend blend;
  if (step.kind == Kind::repeat)
    for (const Step& inner : step.steps)
      if (const double weight = loops(inner.tally); weight > 0) blend.add(of_step(inner, piece), weight);
  for (const Step::Part& part : step.parts)
    if (part.width > 0)
      blend.add(of_fabric(piece.fabrics[static_cast<std::size_t>(part.fabric)]),
                static_cast<double>(part.width));
  if (!blend.empty()) return blend.loop();
  if (step.kind != Kind::cast_on && step.kind != Kind::bind_off) return of_no_fabric(all_plain(step));
  return beside_edge(step, piece);
}

/// An edge is as wide as what is worked beside it. A step that is still being made stands behind the others.
BaseLoop LoopLengths::beside_edge(const Step& edge, const Piece& piece) const {
  const std::vector<Step>& steps = piece.steps;
  const bool there = !steps.empty() && !std::less<>()(&edge, steps.data()) &&
                     std::less<>()(&edge, steps.data() + steps.size());
  const std::size_t at = there ? static_cast<std::size_t>(&edge - steps.data()) : steps.size();
  const bool cast_on = edge.kind == Step::Kind::cast_on;
  const Step::Kind other_edge = cast_on ? Step::Kind::bind_off : Step::Kind::cast_on;
  for (std::size_t i = cast_on ? at + 1 : at - 1; i < steps.size() && steps[i].kind != other_edge;
       cast_on ? ++i : --i) {
    if (!steps[i].parts.empty()) return of_step(steps[i], piece);
    if (const Step* inside = worked_at(steps[i].steps, cast_on)) return of_step(*inside, piece);
  }
  return of_no_fabric(false);
}

double LoopLengths::loops(const Tally& tally) const {
  double out = 0;
  for (const auto& [key, count] : tally) out += static_cast<double>(count.base) * stitches_[key.first].uses;
  return out;
}

StrandMetres LoopLengths::of_tally(const Tally& tally, const BaseLoop& loop) const {
  StrandMetres out;
  for (const auto& [key, count] : tally) {
    const Stitch& stitch = stitches_[key.first];
    const double uses = static_cast<double>(count.base) * stitch.uses;
    add_cm(out, key.second, loop.cm * loop_length_of(use_of(stitch)).factor * uses);
  }
  for (const auto& [strand, count] : tally.behind)
    add_cm(out, strand,
           loop_length_of(Use::float_behind).factor * (loop.width * static_cast<double>(count.base)));
  return out;
}

/// A cast-on or a bind-off. Pairs of double knitting are cast on in the strands of both layers.
void LoopLengths::edge(const Step& step, const BaseLoop& loop, StrandMetres& out) const {
  auto count = static_cast<double>(std::abs(step.before - step.after));
  if (step.paired) count /= 2;
  const double width = count * loop.width;
  if (step.kind == Step::Kind::bind_off) {
    add_cm(out, step.strand, loop_length_of(Use::bind_off).factor * width);
    return;
  }
  const Range each = loop_length_of(Use::cast_on_tail).factor * width +
                     loop.cm * loop_length_of(Use::cast_on_loop).factor * count;
  add_cm(out, step.strand, each);
  if (step.paired) add_cm(out, step.far_strand < 0 ? step.strand : step.far_strand, each);
}

/// Stitches bound off together or grafted, or edges sewn, with a strand of its own.
void LoopLengths::union_of(const Step& step, const BaseLoop& loop, StrandMetres& out) const {
  const AtEdges& at = *step.at_edges;
  const double width = static_cast<double>(at.count) * loop.width;
  const bool sewn = step.kind == Step::Kind::seam, grafted = step.kind == Step::Kind::graft;
  const Use use = sewn ? Use::seam : grafted ? Use::graft : Use::bind_off;
  const double length = sewn ? std::max(at.first_length, at.second_length) : width;
  add_cm(out, step.strand, (loop_length_of(use).factor * length + two_ends()) * static_cast<double>(at.each));
}

/// What does not hang on the tally: edges, seams, the backs of cords, and ends of strands that are joined.
StrandMetres LoopLengths::beside_loops(const Step& step, const Piece& piece) const {
  using Kind = Step::Kind;
  StrandMetres out;
  const bool joins = step.joins && (step.kind == Kind::take_up || step.kind == Kind::resume);
  if (joins || step.cuts) add_cm(out, step.strand, two_ends());
  if (step.kind == Kind::cast_on || step.kind == Kind::bind_off) edge(step, of_step(step, piece), out);
  if (step.kind == Kind::bind_off_together || step.kind == Kind::graft || step.kind == Kind::seam)
    union_of(step, of_no_fabric(false), out);
  if (step.kind == Kind::cord)
    add_cm(out, step.strand,
           loop_length_of(Use::cord_back).factor *
               (of_step(step, piece).width * static_cast<double>(step.row_count)));
  if (step.kind == Kind::cord_bind_off)  // a row of the cord for each stitch of the edge
    add_cm(out, step.strand,
           loop_length_of(Use::cord_back).factor *
               (of_step(step, piece).width * static_cast<double>(step.before - step.after)));
  for (const Step& inner : step.steps) add(out, beside_loops(inner, piece), static_cast<double>(step.times));
  return out;
}

StrandMetres LoopLengths::of(const Step& step, const Piece& piece) const {
  using Kind = Step::Kind;
  StrandMetres out = beside_loops(step, piece);
  if (step.kind == Kind::repeat)
    add(out, repeated(step, piece));
  else if (step.kind != Kind::cast_on && step.kind != Kind::bind_off)
    add(out, of_tally(step.tally, of_step(step, piece)));
  return out;
}

/// The loops of a repeat. Each stitch is shared out among the steps inside as it was the first time through,
/// which is exact where they are of one fabric, or keep their proportion.
StrandMetres LoopLengths::repeated(const Step& step, const Piece& piece) const {
  const BaseLoop all = of_step(step, piece);
  std::map<std::pair<StitchId, short>, Blend> loops;
  std::map<short, Blend> floats;
  for (const Step& inner : step.steps) {
    const BaseLoop own = of_step(inner, piece);
    for (const auto& [key, count] : inner.tally) loops[key].add(own, static_cast<double>(count.base));
    for (const auto& [strand, count] : inner.tally.behind)
      floats[strand].add(own, static_cast<double>(count.base));
  }
  const auto blended = [&](const auto& blends, const auto& key) {
    const auto found = blends.find(key);
    return found == blends.end() || found->second.empty() ? all : found->second.loop();
  };
  StrandMetres out;
  for (const auto& [key, count] : step.tally) {
    Tally one;
    one[key] = count;
    add(out, of_tally(one, blended(loops, key)));
  }
  for (const auto& [strand, count] : step.tally.behind) {
    Tally one;
    one.behind[strand] = count;
    add(out, of_tally(one, blended(floats, strand)));
  }
  return out;
}

StrandMetres LoopLengths::once(const Step& repeat, const Piece& piece) const {
  StrandMetres out;
  for (const Step& inner : repeat.steps) add(out, of(inner, piece));
  return out;
}

StrandMetres LoopLengths::ends_of(const Piece& piece) const {
  StrandMetres out;
  std::set<short> strands;
  for (const auto& [key, count] : piece.tally) strands.insert(key.second);
  for (const Step& step : piece.steps)
    if (step.kind == Step::Kind::cast_on) strands.insert(step.strand);
  for (const short strand : strands) add_cm(out, strand, two_ends());
  return out;
}

}  // namespace wale
