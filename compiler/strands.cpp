#include "compiler/strands.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

namespace wale {

namespace {

/// Craft Yarn Council, Standards & Guidelines for Crochet and Knitting: standard yarn weight system.
constexpr std::array classes{
    YarnClass{0, "Lace", 33, 40, 1.5, 2.25},      YarnClass{1, "Super Fine", 27, 32, 2.25, 3.25},
    YarnClass{2, "Fine", 23, 26, 3.25, 3.75},     YarnClass{3, "Light", 21, 24, 3.75, 4.5},
    YarnClass{4, "Medium", 16, 20, 4.5, 5.5},     YarnClass{5, "Bulky", 12, 15, 5.5, 8},
    YarnClass{6, "Super Bulky", 7, 11, 8, 12.75}, YarnClass{7, "Jumbo", 1, 6, 12.75, 25},
};
/// A stitch more or less is the next needle's (common practice).
constexpr double near_enough = 1;
constexpr double other_fabrics = 0.15;
/// Nobody holds more ends together.
constexpr std::size_t most_ends = 6;

double distance(const YarnClass& each, double stitches) {
  return std::max({each.fewest - stitches, stitches - each.most, 0.0});
}

std::string percent(double share) {
  return fmt::format("{:.0f} %", std::abs(share) * 100);
}

std::string heavier_words(double share) {
  if (std::abs(share) < 0.005) return "as heavy";
  return fmt::format("{} {}", percent(share), share > 0 ? "heavier" : "lighter");
}

}  // namespace

double tex_of(const Yarn& yarn) {
  return 1000 * yarn.grams / yarn.metres;
}

double tex_of(const Yardage& yardage) {
  return 1000 * yardage.grams / yardage.metres;
}

std::optional<double> tex_of(const Pattern& pattern, short strand) {
  double tex = 0;
  if (strand >= 0)
    for (const int yarn : pattern.strands[static_cast<std::size_t>(strand)].yarns)
      tex += tex_of(pattern.yarns[static_cast<std::size_t>(yarn)]);
  else if (pattern.yarns.size() == 1)
    tex = tex_of(pattern.yarns.front());
  if (!(tex > 0)) return {};
  return tex;
}

const YarnClass& class_by_gauge(double stitches) {
  // Fine and Light share 23 and 24 stitches; the finer one has them.
  return *std::min_element(classes.begin(), classes.end(), [&](const YarnClass& a, const YarnClass& b) {
    return distance(a, stitches) < distance(b, stitches);
  });
}

std::optional<StrandFacts> facts_of(const Pattern& pattern, short strand) {
  const auto tex = tex_of(pattern, strand);
  if (!tex) return {};
  StrandFacts out;
  out.ends = strand < 0 ? 1 : pattern.strands[static_cast<std::size_t>(strand)].yarns.size();
  out.tex = *tex;
  out.metres_per_100g = 100'000 / *tex;
  out.wraps_per_inch = wraps_by_tex / std::sqrt(*tex);
  out.stitches = stitches_by_tex / std::sqrt(*tex);
  out.yarn_class = &class_by_gauge(out.stitches);
  return out;
}

GaugeFit fit_to_gauge(const YarnClass& yarn_class, double stitches, bool plain_knitting) {
  const double other = plain_knitting ? 0 : other_fabrics;
  if (stitches < (yarn_class.fewest - near_enough) * (1 - other))
    return yarn_class.number == 0 ? GaugeFit::open : GaugeFit::looser;
  if (stitches > (yarn_class.most + near_enough) * (1 + other)) return GaugeFit::tighter;
  return GaugeFit::agrees;
}

std::optional<Substitute> substitute_of(const Pattern& pattern, short strand) {
  const auto tex = tex_of(pattern, strand);
  if (!tex || strand < 0) return {};
  const Strand& facts = pattern.strands[static_cast<std::size_t>(strand)];
  if (!facts.written_for) return {};
  const double written = tex_of(*facts.written_for);
  Substitute out;
  out.heavier = *tex / written - 1;
  out.stitches = stitches_by_tex / std::sqrt(*tex);
  out.written_stitches = stitches_by_tex / std::sqrt(written);
  out.swatched = std::any_of(pattern.swatches.begin(), pattern.swatches.end(),
                             [&](const Swatch& swatch) { return swatch.strand == strand; });
  // Another number of ends, where it is one yarn.
  const bool one =
      std::adjacent_find(facts.yarns.begin(), facts.yarns.end(), std::not_equal_to<>()) == facts.yarns.end();
  if (!one || std::abs(out.heavier) <= same_weight) return out;
  const double end = *tex / static_cast<double>(facts.yarns.size());
  double best = std::abs(std::log(*tex / written));
  for (std::size_t ends = 1; ends <= most_ends; ++ends)
    if (const double off = std::abs(std::log(static_cast<double>(ends) * end / written)); off < best - 1e-9) {
      best = off;
      out.ends = ends;
      out.heavier_then = static_cast<double>(ends) * end / written - 1;
    }
  return out;
}

std::string yardage_words(const Yardage& yardage) {
  return fmt::format("{:g} m / {:g} g", yardage.metres, yardage.grams);
}

std::string comparison_words(const Substitute& substitute, const Yardage& written_for) {
  return fmt::format("{} {} the {} that the pattern was written for", heavier_words(substitute.heavier),
                     std::abs(substitute.heavier) < 0.005 ? "as" : "than", yardage_words(written_for));
}

std::string advice_words(const Substitute& substitute) {
  const double off = std::abs(substitute.heavier);
  if (off <= same_weight) return "Knit it as it is written.";
  if (substitute.swatched)
    return "A swatch in it has told what it knits up to: go by that, and look whether you like the fabric.";
  const bool heavier = substitute.heavier > 0;
  std::string out;
  if (substitute.ends > 0)
    out += fmt::format(
        "{} would be {}. ",
        substitute.ends == 1 ? "A single end" : fmt::format("{} ends held together", substitute.ends),
        heavier_words(substitute.heavier_then));
  if (off <= another_weight)
    return out +
           fmt::format("At the written gauge, on a {} needle if need be, the fabric will be a little {}.",
                       heavier ? "smaller" : "larger", heavier ? "firmer" : "airier");
  return out + fmt::format(
                   "It would like about {:.0f} sts to 10 cm of stockinette where the other had about {:.0f}: "
                   "take a {} "
                   "needle, swatch, and build the pattern at your own gauge (or follow a {} size); at the "
                   "written gauge the "
                   "fabric will be {}.",
                   substitute.stitches, substitute.written_stitches, heavier ? "larger" : "smaller",
                   heavier ? "smaller" : "larger", heavier ? "stiff" : "thin and open");
}

}  // namespace wale
