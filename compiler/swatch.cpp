#include "compiler/swatch.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "compiler/loop_lengths.hpp"
#include "compiler/strands.hpp"

namespace wale {

namespace {

/// Yarn of one strand: `loops` times the base loop, and what does not depend on it.
struct Share {
  double loops = 0, cm = 0;
};

/// The cycle of the fabric that comes nearest to the swatch's width, scaled to its stitches and rows.
std::map<short, Share> shares_of(const Swatch& swatch, const Fabric& fabric, const Stitches& stitches,
                                 double width) {
  long long n = 0;
  const long long made = swatch.stitches * swatch.layers;
  if (!fabric.width.constant())
    n = std::max(fabric.smallest_n, (made - fabric.width.base) / fabric.width.per_n);
  const double cycle = static_cast<double>(fabric.width.at(n)) * static_cast<double>(fabric.cycle_rows());
  const double cycles = static_cast<double>(made) * static_cast<double>(swatch.rows) / cycle;
  std::map<short, Share> out;
  for (const CheckedRow& row : fabric.rows) {
    Tally tally = row.tally;
    resolve(tally, swatch.strand);
    carry(tally, stitches);
    for (const auto& [key, count] : tally)
      out[key.second].loops += static_cast<double>(count.at(n)) * stitches[key.first].uses * cycles;
    for (const auto& [strand, count] : tally.behind)
      out[strand].cm += static_cast<double>(count.at(n)) * width * cycles *
                        loop_length_of(YarnUse::float_behind).factor.middle;
  }
  return out;
}

}  // namespace

GaugeReading stitches_of(const Swatch& swatch) {
  const double per_10 = 10 * static_cast<double>(swatch.stitches) / swatch.after.width;
  return {per_10, per_10 / static_cast<double>(swatch.stitches)};
}

GaugeReading rows_of(const Swatch& swatch) {
  const double per_10 = 10 * static_cast<double>(swatch.rows) / swatch.after.height;
  return {per_10, per_10 / static_cast<double>(swatch.rows)};
}

double width_growth(const Swatch& swatch) {
  return swatch.after.width / swatch.before.width - 1;
}

double height_growth(const Swatch& swatch) {
  return swatch.after.height / swatch.before.height - 1;
}

Gauge gauge_of(const Swatch& swatch) {
  Gauge out;
  out.stitches_per_cm = static_cast<double>(swatch.stitches * swatch.layers) / swatch.after.width;
  out.rows_per_cm = static_cast<double>(swatch.rows) / swatch.after.height;
  out.layers = swatch.layers;
  out.needle_mm = swatch.needle_mm;
  out.fabric = swatch.fabric;
  out.span = swatch.span;
  return out;
}

SwatchYarn yarn_of(const Swatch& swatch, const Fabric& fabric, const Pattern& pattern,
                   const Stitches& stitches) {
  if (!(swatch.grams > 0)) return {};
  const double width = 1 / gauge_of(swatch).wales_per_cm();
  std::map<short, Share> shares = shares_of(swatch, fabric, stitches, width);
  // Cast on and bound off in the strand in hand, or the first of those that the fabric names.
  const auto own =
      shares.find(swatch.strand) != shares.end() || shares.empty() ? swatch.strand : shares.begin()->first;
  const auto measured_wide = static_cast<double>(swatch.stitches * swatch.layers);
  const double stitches_wide = measured_wide + 2 * static_cast<double>(swatch.edge_stitches);
  const auto rows_high = static_cast<double>(swatch.rows + 2 * swatch.edge_rows);
  // The cast-on's loops, and those of the edges, taken as base loops.
  shares[own].loops +=
      stitches_wide + stitches_wide * rows_high - measured_wide * static_cast<double>(swatch.rows);
  shares[own].cm +=
      stitches_wide * width *
      (loop_length_of(YarnUse::cast_on_tail).factor.middle + loop_length_of(YarnUse::bind_off).factor.middle);
  // Grams = the sum over strands of tex (loops l + cm) / 100,000, solved for l.
  double fixed = 0, per_cm = 0;
  for (const auto& [strand, share] : shares) {
    const auto tex = tex_of(pattern, strand);
    if (!tex) return {};
    fixed += *tex * share.cm / 100'000;
    per_cm += *tex * share.loops / 100'000;
  }
  SwatchYarn out;
  out.loop_cm = std::max(0.0, (swatch.grams - fixed) / per_cm);
  for (const auto& [strand, share] : shares) out.metres += (share.loops * out.loop_cm + share.cm) / 100;
  return out;
}

double weighed_over_gauge(const Swatch& swatch, const Fabric& fabric, const Pattern& pattern,
                          const Stitches& stitches) {
  const double weighed = yarn_of(swatch, fabric, pattern, stitches).loop_cm;
  return weighed / loop_from_gauge(gauge_of(swatch), is_plain_knitting(fabric, stitches)).cm.middle;
}

std::optional<NeedleAdvice> needle_for(const Swatch& swatch, const Gauge& wanted) {
  const GaugeReading found = stitches_of(swatch);
  const double want = 10 * wanted.wales_per_cm();
  if (!swatch.needle_mm || std::abs(found.count - want) <= found.plus_minus) return {};
  const double needle = *swatch.needle_mm, step = needle < 4 ? 0.25 : 0.5;
  const bool larger = found.count > want;
  // Many sizes off, the rule of thumb says no more than the direction: never over half as much again.
  const double share = std::clamp(2 * (found.count / want - 1), -0.33, 0.5);
  double mm = std::round(needle * (1 + share) / step) * step;
  if (std::abs(mm - needle) < step) mm = needle + (larger ? step : -step);
  return NeedleAdvice{larger, std::max(1.0, mm)};
}

}  // namespace wale
