// The yarn report, for programs to read. `format` names its shape, yarn-report.schema.json documents it; what
// is added there is no new shape, a change that breaks a reader makes it "wale-yarn-3".

#include <nlohmann/json.hpp>

#include "compiler/pattern_document.hpp"
#include "compiler/stash_document.hpp"
#include "compiler/strand_blocks.hpp"
#include "compiler/swatch.hpp"

namespace wale {

namespace {

using Json = nlohmann::ordered_json;

Json range(Range value) {
  return {{"about", rounded(value.middle)}, {"low", rounded(value.low)}, {"high", rounded(value.high)}};
}

/// Three digits: what is computed from a label, which has as many.
double of_label(double value) {
  return rounded(value, 3);
}

Json strand_name(const Pattern& pattern, short strand) {
  return strand < 0 ? Json() : Json(pattern.strands[static_cast<std::size_t>(strand)].name);
}

std::string_view slug(Evidence evidence) {
  switch (evidence) {
    case Evidence::weighed:
      return "weighed-swatch";
    case Evidence::weighed_other:
      return "weighed-swatch-of-another-fabric";
    case Evidence::plain_gauge:
      return "gauge-plain";
    case Evidence::wale_spacing:
      return "gauge-other";
  }
  return "";
}

std::string_view slug(GaugeFit fit) {
  switch (fit) {
    case GaugeFit::agrees:
      return "agrees";
    case GaugeFit::looser:
      return "looser";
    case GaugeFit::tighter:
      return "tighter";
    case GaugeFit::open:
      return "open";
  }
  return "";
}

Json amount(const Pattern& pattern, const StrandEstimate& strand) {
  return {{"strand", strand_name(pattern, strand.strand)},
          {"metres", range(strand.metres)},
          {"method", slug(strand.evidence)}};
}

/// What the strand is: its ends, its weight, and the yarn that it stands in for.
void add_facts(Json& out, const Pattern& pattern, const Stitches& stitches, short strand) {
  const auto facts = facts_of(pattern, strand);
  if (!facts) return;
  out["ends"] = Json::array();
  if (strand < 0)
    out["ends"].push_back(pattern.yarns.front().name);
  else
    for (const int yarn : pattern.strands[static_cast<std::size_t>(strand)].yarns)
      out["ends"].push_back(pattern.yarns[static_cast<std::size_t>(yarn)].name);
  out["tex"] = of_label(facts->tex);
  out["metres_per_100g"] = of_label(facts->metres_per_100g);
  out["wraps_per_inch"] = rounded(facts->wraps_per_inch);
  out["stockinette_stitches"] = rounded(facts->stitches);
  out["class"] = {{"number", facts->yarn_class->number}, {"name", facts->yarn_class->name}};
  if (const auto gauge = gauge_of_strand(pattern, stitches, strand))
    out["gauge_fit"] = slug(fit_to_gauge(*facts->yarn_class, gauge->stitches, gauge->plain));
  const auto other = substitute_of(pattern, strand);
  if (!other) return;
  const Yardage& written = *pattern.strands[static_cast<std::size_t>(strand)].written_for;
  out["written_for"] = {{"metres", written.metres},
                        {"grams", written.grams},
                        {"heavier_percent", std::round(other->heavier * 100)},
                        {"advice", advice_words(*other)}};
}

Json gauge_reading(const GaugeReading& reading) {
  return {{"to_10cm", of_label(reading.count)}, {"plus_minus", rounded(reading.plus_minus)}};
}

Json swatches_of(const Pattern& pattern, const Stitches& stitches) {
  Json out = Json::array();
  for (const Swatch& swatch : pattern.swatches) {
    Json each{{"fabric", swatch.fabric},
              {"strand", strand_name(pattern, swatch.strand)},
              {"stitches", gauge_reading(stitches_of(swatch))},
              {"rows", gauge_reading(rows_of(swatch))},
              {"width_growth_percent", std::round(width_growth(swatch) * 1000) / 10},
              {"height_growth_percent", std::round(height_growth(swatch) * 1000) / 10}};
    for (const Fabric& fabric : pattern.fabrics) {
      if (fabric.name != swatch.fabric || !fabric.good) continue;
      if (const double cm = yarn_of(swatch, fabric, pattern, stitches).loop_cm; cm > 0)
        each["loop_cm"] = rounded(cm);
    }
    out.push_back(std::move(each));
  }
  return out;
}

Json of_size(const Pattern& pattern, const Stitches& stitches, const Estimate& estimate) {
  Json out;
  out["size"] = pattern.size.empty() ? Json() : Json(pattern.size);
  out["pieces"] = Json::array();
  for (std::size_t i = 0; i < pattern.pieces.size(); ++i) {
    const Piece& piece = pattern.pieces[i];
    if (piece.widest == 0) continue;  // it only puts others together
    long long worked = 0;
    for (const auto& [key, count] : piece.tally) worked += count.base;
    out["pieces"].push_back(
        {{"name", piece.name}, {"rows", piece.rows}, {"widest", piece.widest}, {"stitches_worked", worked}});
    for (const PieceEstimate& own : estimate.pieces) {
      if (own.piece != i) continue;
      for (const StrandEstimate& strand : own.strands)
        out["pieces"].back()["strands"].push_back(amount(pattern, strand));
    }
  }
  out["strands"] = Json::array();
  for (const StrandEstimate& strand : estimate.strands) {
    Json each = amount(pattern, strand);
    add_facts(each, pattern, stitches, strand.strand);
    out["strands"].push_back(std::move(each));
  }
  out["yarns"] = Json::array();
  for (const YarnEstimate& each : estimate.yarns) {
    const Yarn& yarn = pattern.yarns[static_cast<std::size_t>(each.yarn)];
    out["yarns"].push_back({{"yarn", yarn.name},
                            {"label", yarn.label},
                            {"tex", rounded(1000 * yarn.grams / yarn.metres)},
                            {"metres", range(each.metres)},
                            {"grams", range(each.grams)},
                            {"ball_grams", yarn.grams},
                            {"balls", each.balls}});
  }
  if (!pattern.swatches.empty()) out["swatches"] = swatches_of(pattern, stitches);
  if (!pattern.stash.empty()) out["stash"] = stash_report(pattern, estimate);
  if (auto by_yarn = repeats_by_yarn(pattern); !by_yarn.empty()) out["repeats_by_yarn"] = std::move(by_yarn);
  out["assumptions"] = estimate.assumptions;
  if (!estimate.missing.empty()) out["missing"] = estimate.missing;
  return out;
}

}  // namespace

std::string yarn_report(const std::vector<const Pattern*>& sizes, const Stitches& stitches,
                        const std::vector<Estimate>& estimates, const std::string& name) {
  Json out;
  out["format"] = "wale-yarn-2";
  out["pattern"] = sizes.front()->title.empty() ? name : sizes.front()->title;
  out["reserve"] = reserve;
  out["sizes"] = Json::array();
  for (std::size_t i = 0; i < sizes.size(); ++i)
    out["sizes"].push_back(of_size(*sizes[i], stitches, estimates[i]));
  return out.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace wale
