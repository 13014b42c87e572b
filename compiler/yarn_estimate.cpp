#include "compiler/yarn_estimate.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace wale {

namespace {

class Estimator {
 public:
  Estimator(const Pattern& pattern, const Stitches& stitches)
      : pattern_(pattern), stitches_(stitches), lengths_(pattern, stitches) {}

  /// Evidence and assumptions are told to people; who compares amounts needs neither.
  Estimate run(bool with_evidence) {
    with_evidence_ = with_evidence;
    for (std::size_t i = 0; i < pattern_.pieces.size(); ++i) {
      PieceEstimate each{i, of_piece(pattern_.pieces[i])};
      for (const StrandEstimate& strand : each.strands) add(strand, all_);
      if (!each.strands.empty()) out_.pieces.push_back(std::move(each));
    }
    for (const auto& [strand, estimate] : all_) out_.strands.push_back(estimate);
    yarns();
    if (with_evidence_) assumptions();
    return std::move(out_);
  }

 private:
  using ByStrand = std::map<short, StrandEstimate>;

  static void add(const StrandEstimate& more, ByStrand& sum) {
    const auto found = sum.try_emplace(more.strand, StrandEstimate{more.strand, {}, Evidence::weighed}).first;
    found->second.metres = found->second.metres + more.metres;
    found->second.evidence = std::max(found->second.evidence, more.evidence);
  }

  std::vector<StrandEstimate> of_piece(const Piece& piece) {
    ByStrand sum;
    for (const Step& step : piece.steps) {
      const StrandMetres taken = lengths_.of(step, piece);
      if (taken.empty()) continue;
      const Evidence evidence = with_evidence_ ? lengths_.of_step(step, piece).evidence : Evidence::weighed;
      for (const auto& [strand, metres] : taken) add({strand, metres, evidence}, sum);
      if (with_evidence_) seen(step, evidence);
    }
    for (const auto& [strand, metres] : lengths_.ends_of(piece))
      add({strand, metres, Evidence::weighed}, sum);
    std::vector<StrandEstimate> out;
    for (auto& [strand, estimate] : sum) {
      estimate.metres = estimate.metres * static_cast<double>(piece.copies);
      out.push_back(estimate);
    }
    return out;
  }

  /// Notes what the estimate rests on.
  void seen(const Step& step, Evidence evidence) {
    using Kind = Step::Kind;
    evidence_.insert(evidence);
    for (const auto& [key, count] : step.tally) uses_.insert(use_of(stitches_[key.first]));
    if (!step.tally.behind.empty()) uses_.insert(YarnUse::float_behind);
    if (step.kind == Kind::cast_on) uses_.insert({YarnUse::cast_on_tail, YarnUse::cast_on_loop});
    if (step.kind == Kind::bind_off || step.kind == Kind::bind_off_together) uses_.insert(YarnUse::bind_off);
    if (step.kind == Kind::graft) uses_.insert(YarnUse::graft);
    if (step.kind == Kind::seam) uses_.insert(YarnUse::seam);
    if (step.kind == Kind::cord) uses_.insert(YarnUse::cord_back);
    for (const Step& inner : step.steps) seen(inner, evidence);
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
    for (const Evidence evidence : evidence_) out_.assumptions.push_back(evidence_sentence(evidence));
    std::string parts;
    for (const YarnUse use : uses_) {
      if (use == YarnUse::plain_loop) continue;
      const LoopLength& line = loop_length_of(use);
      parts += fmt::format("{}{} ({})", parts.empty() ? "" : "; ", line.name, line.source);
    }
    if (!parts.empty()) out_.assumptions.push_back(fmt::format("Beside plain loops there are: {}.", parts));
    const Range end = loop_length_of(YarnUse::end).factor;
    out_.assumptions.push_back(fmt::format("Each end of a strand takes {:g} cm (assumed).", end.middle));
    out_.assumptions.push_back(
        fmt::format("Balls to buy include {:.0f} % in reserve (common practice).", reserve * 100));
  }

  static std::string evidence_sentence(Evidence evidence) {
    switch (evidence) {
      case Evidence::weighed:
        return "Loop length from a weighed swatch of the fabric; the range is for the scale and for how "
               "evenly "
               "one knits (assumed).";
      case Evidence::weighed_other:
        return "Loop length from a weighed swatch of another fabric, in the proportion of the two fabrics' "
               "loops "
               "by their gauges; the range is 10 % either way (assumed).";
      case Evidence::plain_gauge:
        return "Loop length of plain knitting from the gauge by Munden's geometry, washed and dried (Ks "
               "21.6); "
               "the range is from Ks 19.0 to 23.1.";
      case Evidence::wale_spacing:
        return "Loop length of other fabrics from their stitch gauge alone, as if they were plain (Kw 4.1), "
               "and "
               "15 % either way (assumed): a weighed swatch would be better.";
    }
    return "";
  }

  const Pattern& pattern_;
  const Stitches& stitches_;
  LoopLengths lengths_;
  bool with_evidence_ = true;
  Estimate out_;
  ByStrand all_;
  std::set<Evidence> evidence_;
  std::set<YarnUse> uses_;
};

}  // namespace

namespace {

Estimate estimate(const Pattern& pattern, const Stitches& stitches, bool with_evidence) {
  Estimate out;
  if (pattern.pieces.empty())
    out.missing = "there is no piece, so there is nothing to knit yet";
  else if (pattern.gauges.empty())
    out.missing = "there is no gauge, so the length of a stitch is not known";
  return out.missing.empty() ? Estimator(pattern, stitches).run(with_evidence) : out;
}

}  // namespace

Estimate estimate_yarn(const Pattern& pattern, const Stitches& stitches) {
  return estimate(pattern, stitches, true);
}

Estimate estimate_amounts(const Pattern& pattern, const Stitches& stitches) {
  return estimate(pattern, stitches, false);
}

double rounded(double value, int digits) {
  if (!(value > 0)) return 0;
  const double places = digits - 1 - std::floor(std::log10(value));
  // Divided by a power of ten that is a whole number, so that 3.9 is the 3.9 nearest to it.
  const double unit = std::pow(10.0, std::abs(places));
  return places > 0 ? std::round(value * unit) / unit : std::round(value / unit) * unit;
}

std::string_view evidence_words(Evidence evidence) {
  switch (evidence) {
    case Evidence::weighed:
      return "a weighed swatch of the fabric";
    case Evidence::weighed_other:
      return "a weighed swatch of another fabric";
    case Evidence::plain_gauge:
      return "the gauge, by Munden's geometry of plain knitting";
    case Evidence::wale_spacing:
      return "the stitch gauge alone";
  }
  return "";
}

}  // namespace wale
