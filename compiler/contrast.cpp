#include "compiler/contrast.hpp"

#include <fmt/format.h>

#include <set>

#include "render/colour.hpp"

namespace wale {

namespace {

void compare(const Pattern& pattern, const Fabric& fabric, short a, short b, Diagnostics& diagnostics) {
  const auto first = pattern.colour_of(a), second = pattern.colour_of(b);
  if (!first || !second) return;
  const double ratio = contrast_ratio(*first, *second);
  if (ratio >= least_contrast) return;
  const auto& strands = pattern.strands;
  diagnostics
      .add(Kind::hard_to_tell_apart, fabric.span,
           fmt::format("strands {} and {} are hard to tell apart: contrast {:.1f} : 1",
                       strands[static_cast<std::size_t>(a)].name, strands[static_cast<std::size_t>(b)].name,
                       ratio))
      .note("colours read apart when they differ in lightness, 3 : 1 or more by the WCAG 2.x formula")
      .try_this("look at both in a black-and-white photograph, or choose a lighter and a darker yarn");
}

}  // namespace

double contrast_ratio(Rgb a, Rgb b) {
  return render::contrast_ratio({a.red, a.green, a.blue}, {b.red, b.green, b.blue});
}

void warn_of_contrast(const Pattern& pattern, Diagnostics& diagnostics) {
  std::set<std::pair<short, short>> seen;
  for (const Fabric& fabric : pattern.fabrics) {
    StrandSet used;
    for (const CheckedRow& row : fabric.rows)
      for (const auto& [key, count] : row.tally)
        if (key.second >= 0) used.insert(key.second);
    for (const short a : used)
      for (const short b : used)
        if (a < b && seen.insert({a, b}).second) compare(pattern, fabric, a, b, diagnostics);
  }
}

}  // namespace wale
