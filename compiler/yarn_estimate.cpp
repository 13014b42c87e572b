#include "compiler/yarn_estimate.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace wale {

namespace {

// Munden's constants, from memory: dry-relaxed, wet-relaxed, fully relaxed.
constexpr Range munden_ks{19.0, 21.6, 23.1};
constexpr Range munden_kw{3.8, 4.1, 4.2};

bool all_plain(const std::vector<Op>& ops, Side side, const Stitches& stitches) {
  return std::all_of(ops.begin(), ops.end(), [&](const Op& op) {
    if (op.form == Op::Form::marker) return true;
    if (op.form == Op::Form::into || op.form == Op::Form::as_seen) return false;
    if (op.form != Op::Form::stitch) return all_plain(op.ops, side, stitches);
    return stitches[op.stitch].name == (side == Side::right ? "k" : "p");
  });
}

class Estimator {
 public:
  Estimator(const Pattern& pattern, const Stitches& stitches) : pattern_(pattern), stitches_(stitches) {}

  Estimate run() {
    if (pattern_.pieces.empty()) return missing("there is no piece, so there is nothing to knit yet");
    if (pattern_.gauges.empty()) return missing("there is no gauge, so the length of a stitch is not known");
    for (const Piece& piece : pattern_.pieces) {
      const auto copies = static_cast<double>(piece.copies);
      for (const Step& step : piece.steps) add_step(step, copies, piece);
      std::set<short> strands;
      for (const auto& [key, count] : piece.tally) strands.insert(key.second);
      for (const short strand : strands) add(strand, Range{2 * end_cm, 2 * end_cm, 2 * end_cm} * copies);
    }
    for (const auto& [strand, cm] : cm_) out_.strands.push_back({strand, cm * 0.01});
    yarns();
    assumptions();
    return std::move(out_);
  }

 private:
  Estimate missing(std::string why) {
    out_.missing = std::move(why);
    return std::move(out_);
  }

  void add(short strand, Range cm) {
    const auto found = cm_.try_emplace(strand).first;
    found->second = found->second + cm;
  }

  /// The gauge and the loop of a step: of the fabric that has most of its stitches.
  const Gauge& gauge_of(const Step& step, const Piece& piece, bool& plain) {
    plain = false;
    if (!step.parts.empty()) {
      const auto widest =
          std::max_element(step.parts.begin(), step.parts.end(),
                           [](const Step::Part& a, const Step::Part& b) { return a.width < b.width; });
      const Fabric& fabric = piece.fabrics[static_cast<std::size_t>(widest->fabric)];
      plain = is_plain_knitting(fabric, stitches_);
      return *pattern_.gauge_for(fabric.name);
    }
    if (step.kind == Step::Kind::cord || step.kind == Step::Kind::cord_bind_off ||
        step.kind == Step::Kind::pick_up)
      plain = true;
    if (step.kind == Step::Kind::rows)
      plain = std::all_of(step.rows.begin(), step.rows.end(), [&](const CheckedRow& row) {
        return all_plain(row.row.ops, row.row.side, stitches_);
      });
    return pattern_.gauges.front();
  }

  void add_step(const Step& step, double times, const Piece& piece) {
    bool plain = false;
    const Gauge& gauge = gauge_of(step, piece, plain);
    if (step.kind == Step::Kind::cast_on || step.kind == Step::Kind::bind_off) {
      const auto edge = static_cast<double>(std::abs(step.before - step.after));
      const double width = edge / gauge.stitches_per_cm;
      const double cm = edge_widths * width * times;
      add(step.strand, {cm, cm, cm});
      return;
    }
    using Kind = Step::Kind;
    if (step.kind == Kind::bind_off_together || step.kind == Kind::graft || step.kind == Kind::seam) {
      const AtEdges& at = *step.at_edges;
      const double cm = step.kind == Kind::seam
                            ? seam_lengths * std::max(at.first_length, at.second_length)
                            : edge_widths * static_cast<double>(at.count) / gauge.stitches_per_cm;
      const double all = (cm + 2 * end_cm) * times * static_cast<double>(at.each);
      add(step.strand, {all, all, all});
      (step.kind == Kind::seam ? any_seam_ : any_join_) = true;
      return;
    }
    if (step.kind == Kind::take_up && step.joins)
      add(step.strand, Range{2 * end_cm, 2 * end_cm, 2 * end_cm} * times);
    if (step.cuts || (step.kind == Kind::resume && step.joins))
      add(step.strand, Range{2 * end_cm, 2 * end_cm, 2 * end_cm} * times);
    const bool no_stitches = step.kind == Kind::hold || step.kind == Kind::resume ||
                             step.kind == Kind::join_strand || step.kind == Kind::join_round ||
                             step.kind == Kind::into_rows || step.kind == Kind::take_up ||
                             step.kind == Kind::call_edge || step.kind == Kind::markers;
    if (no_stitches) return;
    const LoopLength loop = loop_length(gauge, plain);
    (plain ? any_plain_ : any_other_) = true;
    if (step.kind == Step::Kind::repeat && step.steps.size() > 1) {
      // The stretches inside may be of different fabrics; the tally of the whole is theirs in proportion to
      // the first time through, which is exact where the repeat keeps its width.
      Tally once;
      for (const Step& inner : step.steps) wale::add(once, inner.tally);
      const double all = loops(step.tally), first = loops(once);
      for (const Step& inner : step.steps) add_step(inner, first > 0 ? times * all / first : 0, piece);
      return;
    }
    if (step.kind == Step::Kind::repeat) {
      bool inner_plain = false;
      const Gauge& inner_gauge = gauge_of(step.steps.front(), piece, inner_plain);
      add_tally(step.tally, loop_length(inner_gauge, inner_plain), times);
      return;
    }
    add_tally(step.tally, loop, times);
  }

  double loops(const Tally& tally) const {
    double out = 0;
    for (const auto& [key, count] : tally) out += static_cast<double>(count.base) * stitches_[key.first].uses;
    return out;
  }

  void add_tally(const Tally& tally, const LoopLength& loop, double times) {
    for (const auto& [key, count] : tally) {
      const Stitch& stitch = stitches_[key.first];
      uneven_ |= stitch.uses != static_cast<double>(stitch.gives.size());
      add(key.second, loop.cm * (static_cast<double>(count.base) * stitch.uses * times));
    }
  }

  void yarns() {
    std::map<int, Range> metres;
    for (const StrandEstimate& strand : out_.strands) {
      if (strand.strand < 0) continue;
      for (const int yarn : pattern_.strands[static_cast<std::size_t>(strand.strand)].yarns) {
        const auto found = metres.try_emplace(yarn).first;
        found->second = found->second + strand.metres;
      }
    }
    // A pattern with one yarn and no strands is knitted from that yarn.
    if (metres.empty() && pattern_.yarns.size() == 1 && out_.strands.size() == 1)
      metres[0] = out_.strands[0].metres;
    for (const auto& [yarn, length] : metres) {
      const Yarn& facts = pattern_.yarns[static_cast<std::size_t>(yarn)];
      YarnEstimate each{yarn, length, length * (facts.grams / facts.metres), 0};
      each.balls = static_cast<long long>(std::ceil(each.grams.middle * (1 + reserve) / facts.grams - 1e-9));
      out_.yarns.push_back(each);
    }
  }

  void assumptions() {
    if (any_plain_)
      out_.assumptions.push_back(
          "Loop length of plain knitting from the gauge by Munden's geometry, washed and dried (Ks 21.6); "
          "the range is from Ks 19.0 to 23.1.");
    if (any_other_)
      out_.assumptions.push_back(
          "Loop length of other fabrics from their stitch gauge alone, as if they were plain (Kw 4.1; range "
          "3.8 to 4.2): a weighed swatch would be better.");
    if (uneven_)
      out_.assumptions.push_back(
          "Slipped stitches, yarn overs and cables count as fixed parts of a loop (assumed).");
    out_.assumptions.push_back(
        fmt::format("Cast-on and bind-off take {:g} times the width each (common practice); each end of a "
                    "strand {:g} cm (assumed).",
                    edge_widths, end_cm));
    if (any_join_)
      out_.assumptions.push_back(
          fmt::format("Binding off together and grafting take {:g} times the width each (common practice).",
                      edge_widths));
    if (any_seam_)
      out_.assumptions.push_back(
          fmt::format("A seam takes {:g} times its length of yarn (assumed).", seam_lengths));
    out_.assumptions.push_back(
        fmt::format("Balls to buy include {:.0f} % in reserve (common practice).", reserve * 100));
  }

  const Pattern& pattern_;
  const Stitches& stitches_;
  Estimate out_;
  std::map<short, Range> cm_;
  bool any_plain_ = false, any_other_ = false, uneven_ = false, any_join_ = false, any_seam_ = false;
};

}  // namespace

Range operator*(Range range, double factor) {
  return {range.low * factor, range.middle * factor, range.high * factor};
}
Range operator+(Range a, Range b) {
  return {a.low + b.low, a.middle + b.middle, a.high + b.high};
}

LoopLength loop_length(const Gauge& gauge, bool plain_knitting) {
  const double w = gauge.wales_per_cm(), c = gauge.rows_per_cm;
  const auto each = [&](double ks, double kw) { return plain_knitting ? std::sqrt(ks / (w * c)) : kw / w; };
  return {{each(munden_ks.low, munden_kw.low), each(munden_ks.middle, munden_kw.middle),
           each(munden_ks.high, munden_kw.high)},
          plain_knitting};
}

bool is_plain_knitting(const Fabric& fabric, const Stitches& stitches) {
  return std::all_of(fabric.rows.begin(), fabric.rows.end(),
                     [&](const CheckedRow& row) { return all_plain(row.row.ops, row.row.side, stitches); });
}

Estimate estimate_yarn(const Pattern& pattern, const Stitches& stitches) {
  return Estimator(pattern, stitches).run();
}

double rounded(double value) {
  if (!(value > 0)) return 0;
  const double unit = std::pow(10.0, std::floor(std::log10(value)) - 1);
  return std::round(value / unit) * unit;
}

}  // namespace wale
