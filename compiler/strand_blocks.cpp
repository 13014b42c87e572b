#include "compiler/strand_blocks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <set>

#include "compiler/instruction_words.hpp"
#include "compiler/loop_lengths.hpp"
#include "compiler/swatch.hpp"

namespace wale {

namespace {

constexpr double metres_per_yard = 0.9144;  // exact: the international yard of 1959

render::Block paragraph(std::string lead, std::string text) {
  render::Paragraph out;
  out.lead = std::move(lead);
  out.text = std::move(text);
  return out;
}

/// "kelp", "2 ends of lamp", "oar and spray".
std::string ends_words(const Pattern& pattern, const Strand& strand) {
  std::map<int, int> ends;
  for (const int yarn : strand.yarns) ++ends[yarn];
  std::string out;
  for (const auto& [yarn, count] : ends) {
    const std::string& label = pattern.yarns[static_cast<std::size_t>(yarn)].label;
    out += (out.empty() ? "" : " with ") + (count > 1 ? fmt::format("{} ends of {}", count, label) : label);
  }
  return out;
}

std::string gauge_fit_words(const StrandFacts& facts, const std::optional<StrandGauge>& gauge) {
  if (!gauge) return "no gauge is given";
  const GaugeFit fit = fit_to_gauge(*facts.yarn_class, gauge->stitches, gauge->plain);
  return fmt::format("{:.3g} sts{}: {}", gauge->stitches,
                     gauge->plain || gauge->fabric.empty() ? "" : " in " + gauge->fabric, fit_words(fit));
}

std::string size_words(const Swatch::Size& size, Units units) {
  const double unit = units == Units::inches ? 2.54 : 1;
  return fmt::format("{:.3g} x {:.3g} {}", size.width / unit, size.height / unit,
                     units == Units::inches ? "in" : "cm");
}

std::string growth_words(double growth) {
  const double percent = std::round(growth * 1000) / 10;
  return percent == 0 ? std::string("0 %") : fmt::format("{:+.3g} %", percent);
}

std::string reading_words(const GaugeReading& reading) {
  return fmt::format("{:.1f} ± {:.1f}", reading.count, reading.plus_minus);
}

/// Lengths that a piece is worked to in this fabric, smallest first, in cm.
std::set<double> lengths_in(const Pattern& pattern, const std::string& fabric) {
  std::set<double> out;
  const std::function<void(const Step&, const Piece&)> look = [&](const Step& step, const Piece& piece) {
    const bool here = std::any_of(step.parts.begin(), step.parts.end(), [&](const Step::Part& part) {
      return piece.fabrics[static_cast<std::size_t>(part.fabric)].name == fabric;
    });
    if (here && step.length_cm) out.insert(*step.length_cm);
    for (const Step& inner : step.steps) look(inner, piece);
  };
  for (const Piece& piece : pattern.pieces)
    for (const Step& step : piece.steps) look(step, piece);
  return out;
}

/// "Knit to 46.5 cm to have 50 cm after washing."
std::string washing_words(const Swatch& swatch, const Pattern& pattern, Units units) {
  const double width = width_growth(swatch), height = height_growth(swatch);
  if (std::abs(width) < 0.005 && std::abs(height) < 0.005)
    return "Washing changes nothing that can be measured. ";
  std::string out = fmt::format("Washing changes its width by {} and its height by {}. ", growth_words(width),
                                growth_words(height));
  std::set<double> lengths = lengths_in(pattern, swatch.fabric);
  if (lengths.empty()) lengths.insert(50);
  std::string each;
  int told = 0;
  for (const double cm : lengths) {
    if (++told > 4) break;
    each += fmt::format("{}{} to have {}", each.empty() ? "" : ", ", tape_words(cm / (1 + height), units),
                        length_words(cm, units));
  }
  return out +
         fmt::format(
             "If you measure on the needles, knit to {} after washing; what is to be {} wide is {} then. ",
             each, length_words(50, units), tape_words(50 / (1 + width), units));
}

std::string gauge_words(const Swatch& swatch, const Pattern& pattern) {
  const Gauge& first = pattern.gauges.front();
  const Gauge* own = pattern.gauge_for(swatch.fabric);
  const Gauge& wanted = own->fabric == swatch.fabric && own->span != swatch.span ? *own : first;
  // The pattern's gauge says something of this fabric where it names it, or none.
  if (wanted.span == swatch.span || (!wanted.fabric.empty() && wanted.fabric != swatch.fabric))
    return "The pattern goes by this gauge. ";
  const auto needle = needle_for(swatch, wanted);
  if (!needle &&
      stitches_of(swatch).plus_minus >= std::abs(stitches_of(swatch).count - 10 * wanted.wales_per_cm()))
    return fmt::format("It is on the pattern's gauge of {:.3g} sts, as far as it can tell. ",
                       10 * wanted.wales_per_cm());
  const bool larger = stitches_of(swatch).count > 10 * wanted.wales_per_cm();
  return fmt::format(
      "It has {} sts than the pattern's gauge of {:.3g}: for that, try a {} needle{}. {}",
      larger ? "more" : "fewer", 10 * wanted.wales_per_cm(), larger ? "larger" : "smaller",
      needle ? fmt::format(", about {:g} mm", needle->mm) : "",
      own->span == swatch.span ? "As it is, the pattern goes by the swatch in this fabric. " : "");
}

std::string yarn_words(const Swatch& swatch, const Pattern& pattern, const Stitches& stitches) {
  const auto fabric = std::find_if(pattern.fabrics.begin(), pattern.fabrics.end(),
                                   [&](const Fabric& f) { return f.name == swatch.fabric; });
  if (fabric == pattern.fabrics.end() || !fabric->good) return "";
  const SwatchYarn yarn = yarn_of(swatch, *fabric, pattern, stitches);
  if (!(yarn.loop_cm > 0)) return "";
  return fmt::format("Its {:g} g are about {:.2g} m, {:.2g} cm of yarn in a plain stitch.", swatch.grams,
                     yarn.metres, yarn.loop_cm);
}

}  // namespace

std::optional<StrandGauge> gauge_of_strand(const Pattern& pattern, const Stitches& stitches, short strand) {
  if (pattern.gauges.empty()) return {};
  std::map<const Fabric*, double> worked;
  const std::function<void(const Step&, const Piece&)> look = [&](const Step& step, const Piece& piece) {
    for (const Step& inner : step.steps) look(inner, piece);
    if (step.parts.empty()) return;
    double loops = 0, width = 0;
    for (const auto& [key, count] : step.tally)
      if (key.second == strand) loops += static_cast<double>(count.base);
    for (const Step::Part& part : step.parts) width += static_cast<double>(part.width);
    for (const Step::Part& part : step.parts)
      if (loops > 0 && width > 0)
        worked[&piece.fabrics[static_cast<std::size_t>(part.fabric)]] +=
            loops * static_cast<double>(part.width) / width;
  };
  for (const Piece& piece : pattern.pieces)
    for (const Step& step : piece.steps) look(step, piece);
  const Gauge& first = pattern.gauges.front();
  if (worked.empty()) return StrandGauge{10 * first.wales_per_cm(), first.fabric.empty(), first.fabric};
  // Of fabrics that take as much, the one that comes first in the pieces: pointers have no order of their
  // own.
  const Fabric* most = nullptr;
  for (const Piece& piece : pattern.pieces)
    for (const Fabric& fabric : piece.fabrics)
      if (const auto found = worked.find(&fabric);
          found != worked.end() && (!most || found->second > worked[most]))
        most = &fabric;
  return StrandGauge{10 * pattern.gauge_for(most->name)->wales_per_cm(), is_plain_knitting(*most, stitches),
                     most->name};
}

std::string_view fit_words(GaugeFit fit) {
  switch (fit) {
    case GaugeFit::agrees:
      return "agrees";
    case GaugeFit::looser:
      return "looser than its class";
    case GaugeFit::tighter:
      return "tighter than its class";
    case GaugeFit::open:
      return "open, as lace yarn often is";
  }
  return "";
}

std::vector<render::Block> strand_blocks(const Pattern& pattern, const Stitches& stitches, Units units,
                                         int heading_level) {
  const bool inches = units == Units::inches;
  render::Table table;
  table.header = {"Strand",
                  inches ? "Yd to 3.5 oz (100 g)" : "M to 100 g",
                  "Wraps to 1 in",
                  "Weight class",
                  "Sts to 10 cm (4 in)",
                  "At this gauge"};
  table.numeric = {false, true, true, false, true, false};
  std::vector<render::Block> out;
  std::vector<short> strands;
  for (std::size_t i = 0; i < pattern.strands.size(); ++i) strands.push_back(static_cast<short>(i));
  if (strands.empty()) strands.push_back(-1);
  std::vector<render::Block> compared;
  for (const short strand : strands) {
    const auto facts = facts_of(pattern, strand);
    if (!facts) continue;
    const Strand* named = strand < 0 ? nullptr : &pattern.strands[static_cast<std::size_t>(strand)];
    table.rows.push_back({named ? fmt::format("{}: {}", named->name, ends_words(pattern, *named))
                                : pattern.yarns.front().label,
                          fmt::format("{:.0f}", facts->metres_per_100g / (inches ? metres_per_yard : 1)),
                          fmt::format("{:.0f}", facts->wraps_per_inch),
                          fmt::format("{} {}", facts->yarn_class->number, facts->yarn_class->name),
                          fmt::format("{:.0f}", facts->stitches),
                          gauge_fit_words(*facts, gauge_of_strand(pattern, stitches, strand))});
    if (const auto other = substitute_of(pattern, strand))
      compared.push_back(paragraph(
          fmt::format("Strand {}:", named->name),
          fmt::format("{}, by weight to the metre. {}",
                      capitalised(comparison_words(*other, *named->written_for)), advice_words(*other))));
  }
  if (table.rows.empty()) return out;
  if (table.rows.size() == 1) {
    // One strand needs no table.
    const std::vector<std::string>& only = table.rows.front();
    out.push_back(paragraph(
        "Weight:",
        fmt::format("{}; {} {} to {}, class {}, as for about {} sts of stockinette to 10 cm (4 in) and {} "
                    "wraps to 1 in (estimated). At the gauge, {}.",
                    only[0], only[1], inches ? "yd" : "m", inches ? "3.5 oz (100 g)" : "100 g", only[3],
                    only[4], only[2], only[5])));
  } else {
    out.push_back(render::Heading{heading_level, "Weight of the strands"});
    out.push_back(std::move(table));
    out.push_back(
        paragraph("",
                  "Stitches are those of stockinette that yarn of so many metres is usually knitted to, "
                  "and wraps lie lightly side by side (both assumed); the class is the Craft Yarn "
                  "Council's for such stitches. Ends held together add their weights."));
  }
  out.insert(out.end(), compared.begin(), compared.end());
  return out;
}

std::vector<render::Block> swatch_blocks(const Pattern& pattern, const Stitches& stitches, Units units,
                                         int heading_level) {
  if (pattern.swatches.empty() || pattern.gauges.empty()) return {};
  std::vector<render::Block> out;
  out.push_back(render::Heading{heading_level, pattern.swatches.size() == 1 ? "The swatch" : "The swatches"});
  render::Table table;
  table.header = {
      "Fabric", "Measured", "Before washing", "Washed", "Sts to 10 cm (4 in)", "Rows to 10 cm (4 in)"};
  for (const Swatch& swatch : pattern.swatches)
    table.rows.push_back(
        {swatch.fabric,
         fmt::format("{} {} x {} rows", swatch.stitches, swatch.layers == 2 ? "pairs" : "sts", swatch.rows),
         size_words(swatch.before, units), size_words(swatch.after, units),
         reading_words(stitches_of(swatch)), reading_words(rows_of(swatch))});
  out.push_back(std::move(table));
  for (const Swatch& swatch : pattern.swatches)
    out.push_back(paragraph(capitalised(swatch.fabric) + ":", gauge_words(swatch, pattern) +
                                                                  washing_words(swatch, pattern, units) +
                                                                  yarn_words(swatch, pattern, stitches)));
  return out;
}

}  // namespace wale
