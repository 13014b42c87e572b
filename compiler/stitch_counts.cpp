#include "compiler/stitch_counts.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numeric>

namespace wale {

namespace {

class Counter {
 public:
  explicit Counter(const Stitches& stitches) : stitches_(stitches) {}

  StitchCounts run(const Pattern& pattern) {
    for (const Piece& piece : pattern.pieces)
      for (const Step& step : piece.steps) {
        add("", edges_of(step));
        spread(step, worked(step.tally), piece);
      }
    return std::move(out_);
  }

 private:
  void add(const std::string& fabric, long long count) {
    if (count > 0) out_[fabric] = add_counts(out_[fabric], count);
  }

  long long loops(StitchId stitch) const {
    return std::max<long long>(1, static_cast<long long>(stitches_[stitch].gives.size()));
  }

  long long worked(const Tally& tally) const {
    long long out = 0;
    for (const auto& [key, count] : tally)
      out = add_counts(out, multiply_counts(count.base, loops(key.first)));
    return out;
  }

  /// Stitches cast on, bound off and joined, which no tally has.
  long long edges_of(const Step& step) const {
    using Kind = Step::Kind;
    if (step.kind == Kind::cast_on || step.kind == Kind::bind_off) return std::abs(step.before - step.after);
    if (step.kind == Kind::bind_off_together || step.kind == Kind::graft)
      return step.at_edges ? step.at_edges->count : 0;
    long long inside = 0;
    for (const Step& inner : step.steps) inside = add_counts(inside, edges_of(inner));
    return multiply_counts(inside, step.times);
  }

  /// Stitches of an average row of the fabric, so many wide.
  double row_of(const Fabric& fabric, long long width) const {
    const long long n =
        fabric.width.per_n > 0 ? std::max(0LL, (width - fabric.width.base) / fabric.width.per_n) : 0;
    double out = 0;
    for (const CheckedRow& row : fabric.rows)
      for (const auto& [key, count] : row.tally)
        out += static_cast<double>(count.at(n)) * static_cast<double>(loops(key.first));
    return out / static_cast<double>(std::max(1LL, fabric.cycle_rows()));
  }

  /// The stitches of a step, `whole` of them, among the fabrics that are worked in it side by side or, in a
  /// repeat, one after the other: as the first time through, which is exact where a repeat keeps its width.
  void spread(const Step& step, long long whole, const Piece& piece) {
    if (whole == 0) return;
    std::vector<double> weights;
    if (!step.steps.empty()) {
      for (const Step& inner : step.steps) weights.push_back(static_cast<double>(worked(inner.tally)));
      const std::vector<long long> parts = shares(whole, weights);
      for (std::size_t i = 0; i < parts.size(); ++i) spread(step.steps[i], parts[i], piece);
      return;
    }
    if (step.parts.empty()) return add("", whole);
    for (const Step::Part& part : step.parts)
      weights.push_back(row_of(piece.fabrics[static_cast<std::size_t>(part.fabric)], part.width));
    const std::vector<long long> parts = shares(whole, weights);
    for (std::size_t i = 0; i < parts.size(); ++i)
      add(piece.fabrics[static_cast<std::size_t>(step.parts[i].fabric)].name, parts[i]);
  }

  const Stitches& stitches_;
  StitchCounts out_;
};

}  // namespace

std::vector<long long> shares(long long whole, const std::vector<double>& weights) {
  std::vector<long long> out(weights.size(), 0);
  if (out.empty()) return out;
  const double sum = std::accumulate(weights.begin(), weights.end(), 0.0);
  if (!(sum > 0)) {
    out.front() = whole;
    return out;
  }
  // Each ends where its weights end, so that nothing is lost in rounding.
  double so_far = 0;
  long long given = 0;
  for (std::size_t i = 0; i < out.size(); ++i) {
    so_far += weights[i];
    const long long end = i + 1 == out.size()
                              ? whole
                              : std::min(whole, std::llround(static_cast<double>(whole) * so_far / sum));
    out[i] = std::max(0LL, end - given);
    given += out[i];
  }
  return out;
}

StitchCounts count_stitches(const Pattern& pattern, const Stitches& stitches) {
  return Counter(stitches).run(pattern);
}

}  // namespace wale
