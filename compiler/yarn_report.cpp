// The yarn report, for programs to read. `format` names its shape; a change that breaks a reader makes it
// "wale-yarn-2".

#include <nlohmann/json.hpp>

#include "compiler/pattern_document.hpp"

namespace wale {

namespace {

nlohmann::ordered_json range(Range value) {
  return {{"about", rounded(value.middle)}, {"low", rounded(value.low)}, {"high", rounded(value.high)}};
}

}  // namespace

std::string yarn_report(const Pattern& pattern, const Estimate& estimate, const std::string& name) {
  nlohmann::ordered_json out;
  out["format"] = "wale-yarn-1";
  out["pattern"] = pattern.title.empty() ? name : pattern.title;
  out["reserve"] = reserve;
  out["pieces"] = nlohmann::ordered_json::array();
  for (const Piece& piece : pattern.pieces) {
    long long stitches = 0;
    for (const auto& [key, count] : piece.tally) stitches += count.base;
    out["pieces"].push_back({{"name", piece.name},
                             {"rows", piece.rows},
                             {"widest", piece.widest},
                             {"stitches_worked", stitches}});
  }
  out["strands"] = nlohmann::ordered_json::array();
  for (const StrandEstimate& strand : estimate.strands) {
    nlohmann::ordered_json each;
    each["strand"] =
        strand.strand < 0
            ? nlohmann::ordered_json()
            : nlohmann::ordered_json(pattern.strands[static_cast<std::size_t>(strand.strand)].name);
    each["metres"] = range(strand.metres);
    out["strands"].push_back(std::move(each));
  }
  out["yarns"] = nlohmann::ordered_json::array();
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
  out["assumptions"] = estimate.assumptions;
  if (!estimate.missing.empty()) out["missing"] = estimate.missing;
  return out.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace wale
