// The yarn report, for programs to read. `format` names its shape; a change that breaks a reader makes it
// "wale-yarn-3".

#include <nlohmann/json.hpp>

#include "compiler/pattern_document.hpp"
#include "compiler/stash_document.hpp"

namespace wale {

namespace {

nlohmann::ordered_json range(Range value) {
  return {{"about", rounded(value.middle)}, {"low", rounded(value.low)}, {"high", rounded(value.high)}};
}

nlohmann::ordered_json of_size(const Pattern& pattern, const Estimate& estimate) {
  nlohmann::ordered_json out;
  out["size"] = pattern.size.empty() ? nlohmann::ordered_json() : nlohmann::ordered_json(pattern.size);
  out["pieces"] = nlohmann::ordered_json::array();
  for (const Piece& piece : pattern.pieces) {
    if (piece.widest == 0) continue;  // it only puts others together
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
  if (!pattern.stash.empty()) out["stash"] = stash_report(pattern, estimate);
  if (auto by_yarn = repeats_by_yarn(pattern); !by_yarn.empty()) out["repeats_by_yarn"] = std::move(by_yarn);
  out["assumptions"] = estimate.assumptions;
  if (!estimate.missing.empty()) out["missing"] = estimate.missing;
  return out;
}

}  // namespace

std::string yarn_report(const std::vector<const Pattern*>& sizes, const std::vector<Estimate>& estimates,
                        const std::string& name) {
  nlohmann::ordered_json out;
  out["format"] = "wale-yarn-2";
  out["pattern"] = sizes.front()->title.empty() ? name : sizes.front()->title;
  out["reserve"] = reserve;
  out["sizes"] = nlohmann::ordered_json::array();
  for (std::size_t i = 0; i < sizes.size(); ++i) out["sizes"].push_back(of_size(*sizes[i], estimates[i]));
  return out.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace wale
