#include "compiler/yarn_document.hpp"

#include <fmt/format.h>

#include "compiler/instruction_words.hpp"
#include "compiler/strand_blocks.hpp"

namespace wale {

namespace {

// Exact by definition: the international yard and the avoirdupois pound of 1959.
constexpr double metres_per_yard = 0.9144, grams_per_ounce = 453.59237 / 16;

std::string about(double value, double unit, std::string_view name) {
  return fmt::format("{:g} {}", rounded(value / unit), name);
}

std::string between(Range range, double unit, std::string_view name) {
  return fmt::format("{} and {}", about(range.low, unit, name), about(range.high, unit, name));
}

std::string strand_name(const Pattern& pattern, short strand) {
  return strand < 0 ? "-" : pattern.strands[static_cast<std::size_t>(strand)].name;
}

render::Table yarns_to_buy(const Pattern& pattern, const Estimate& estimate, Units units) {
  const bool inches = units == Units::inches;
  render::Table out;
  out.header = {"Yarn", "About", "By weight", "Between", "Balls"};
  out.numeric = {false, true, true, false, true};
  for (const YarnEstimate& each : estimate.yarns) {
    const Yarn& yarn = pattern.yarns[static_cast<std::size_t>(each.yarn)];
    const double length = inches ? metres_per_yard : 1, weight = inches ? grams_per_ounce : 1;
    out.rows.push_back({yarn.label, about(each.metres.middle, length, inches ? "yd" : "m"),
                        about(each.grams.middle, weight, inches ? "oz" : "g"),
                        between(each.grams, weight, inches ? "oz" : "g"),
                        fmt::format("{} of {:g} g", each.balls, yarn.grams)});
  }
  return out;
}

render::Block paragraph(std::string lead, std::string text) {
  render::Paragraph out;
  out.lead = std::move(lead);
  out.text = std::move(text);
  return out;
}

}  // namespace

render::Table amounts_by_piece(const Pattern& pattern, const Estimate& estimate, Units units) {
  const bool inches = units == Units::inches;
  render::Table out;
  out.header = {"Piece", "Strand", "About", "Between", "Known from"};
  out.numeric = {false, false, true, false, false};
  for (const PieceEstimate& piece : estimate.pieces)
    for (const StrandEstimate& each : piece.strands) {
      const double unit = inches ? metres_per_yard : 1;
      const std::string_view name = inches ? "yd" : "m";
      out.rows.push_back({capitalised(pattern.pieces[piece.piece].name), strand_name(pattern, each.strand),
                          about(each.metres.middle, unit, name), between(each.metres, unit, name),
                          std::string(evidence_words(each.evidence))});
    }
  return out;
}

render::Document make_yarn_document(const Pattern& pattern, const Stitches& stitches,
                                    const Estimate& estimate, const std::string& name, Units units) {
  render::Document out;
  out.title = fmt::format("Yarn for {}", pattern.title.empty() ? name : pattern.title);
  out.author = pattern.author;
  const auto append = [&](std::vector<render::Block> blocks) {
    for (render::Block& block : blocks) out.blocks.push_back(std::move(block));
  };
  if (!estimate.missing.empty()) {
    out.blocks.push_back(paragraph("", fmt::format("No amounts are given: {}.", estimate.missing)));
  } else {
    if (!estimate.yarns.empty()) {
      out.blocks.push_back(render::Heading{2, "Yarn to have"});
      out.blocks.push_back(yarns_to_buy(pattern, estimate, units));
    }
    out.blocks.push_back(render::Heading{2, "Piece by piece"});
    out.blocks.push_back(amounts_by_piece(pattern, estimate, units));
  }
  append(strand_blocks(pattern, stitches, units, 2));
  append(swatch_blocks(pattern, stitches, units, 2));
  if (!estimate.assumptions.empty()) out.blocks.push_back(render::Heading{2, "What the amounts rest on"});
  for (const std::string& each : estimate.assumptions) out.blocks.push_back(paragraph("", each));
  return out;
}

}  // namespace wale
