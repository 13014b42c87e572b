#include "compiler/stash_document.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

namespace wale {

namespace {

// Exact by definition: the international yard and the avoirdupois pound of 1959.
constexpr double metres_per_yard = 0.9144, grams_per_ounce = 453.59237 / 16;

/// To what a kitchen scale tells: a gram, or a twentieth of an ounce.
std::string weighed(double grams, Units units) {
  return units == Units::inches ? fmt::format("{:.2f} oz", std::round(grams / grams_per_ounce * 20) / 20)
                                : fmt::format("{:g} g", std::round(grams));
}

/// What is left when what is used is said as round as it is: the two add up to what is there.
double shown_left(const StashUse& use) {
  return std::max(0.0, use.there - rounded(use.used.middle));
}

std::string share_words(const StashUse& use) {
  return fmt::format("{:.0f} %", 100 * use.share());
}

const StashUse* use_of(const std::vector<StashUse>& uses, int yarn) {
  const auto found =
      std::find_if(uses.begin(), uses.end(), [&](const StashUse& use) { return use.yarn == yarn; });
  return found == uses.end() ? nullptr : &*found;
}

render::Table one_size(const Pattern& pattern, const std::vector<StashUse>& uses, Units units) {
  render::Table out;
  out.header = {"From the stash", "On hand", "Used", "Share", "Left", "Buy besides"};
  out.numeric = {false, true, true, true, true, true};
  for (const StashUse& use : uses)
    out.rows.push_back({pattern.yarns[static_cast<std::size_t>(use.yarn)].label, weighed(use.there, units),
                        "about " + weighed(rounded(use.used.middle), units), share_words(use),
                        weighed(shown_left(use), units),
                        use.balls > 0 ? fmt::format("{}", use.balls) : "nothing"});
  return out;
}

render::Table several_sizes(const std::vector<const Pattern*>& sizes,
                            const std::vector<std::vector<StashUse>>& uses, Units units) {
  render::Table out;
  out.header = {"From the stash"};
  out.numeric = {false};
  for (const Pattern* each : sizes) {
    out.header.push_back(each->size);
    out.numeric.push_back(true);
  }
  const Pattern& pattern = *sizes.front();
  for (std::size_t yarn = 0; yarn < pattern.yarns.size(); ++yarn) {
    const std::string& label = pattern.yarns[yarn].label;
    std::vector<std::string> share{label + ": share used"}, left{label + ": left"},
        buy{label + ": balls to buy besides"};
    bool any = false, any_to_buy = false;
    for (const std::vector<StashUse>& size : uses) {
      const StashUse* use = use_of(size, static_cast<int>(yarn));
      any |= use != nullptr;
      any_to_buy |= use && use->balls > 0;
      share.push_back(use ? share_words(*use) : "-");
      left.push_back(use ? weighed(shown_left(*use), units) : "-");
      buy.push_back(use ? fmt::format("{}", use->balls) : "-");
    }
    if (!any) continue;
    out.rows.push_back(std::move(share));
    out.rows.push_back(std::move(left));
    if (any_to_buy) out.rows.push_back(std::move(buy));
  }
  return out;
}

/// Of a file that knits nothing: the shelf as it stands.
render::Table shelf(const Pattern& pattern, Units units) {
  render::Table out;
  out.header = {"In the stash", "Lot", "Weight", "Length"};
  out.numeric = {false, false, true, true};
  for (const Lot& lot : pattern.stash) {
    const Yarn& yarn = pattern.yarns[static_cast<std::size_t>(lot.yarn)];
    const double metres = lot.grams * yarn.metres / yarn.grams;
    out.rows.push_back({yarn.label, lot.name.empty() ? "-" : lot.name, weighed(lot.grams, units),
                        units == Units::inches ? fmt::format("{:.0f} yd", metres / metres_per_yard)
                                               : fmt::format("{:.0f} m", metres)});
  }
  return out;
}

nlohmann::ordered_json lots_of(const Pattern& pattern, const StashUse& use, std::vector<const Lot*>& lots) {
  auto out = nlohmann::ordered_json::array();
  for (const Lot& lot : pattern.stash) {
    if (lot.yarn != use.yarn) continue;
    lots.push_back(&lot);
    out.push_back({{"lot", lot.name.empty() ? nlohmann::ordered_json() : nlohmann::ordered_json(lot.name)},
                   {"grams", lot.grams}});
  }
  return out;
}

}  // namespace

std::vector<render::Block> stash_blocks(const std::vector<const Pattern*>& sizes,
                                        const std::vector<Estimate>& estimates, std::size_t here,
                                        Units units) {
  std::vector<render::Block> out;
  if (sizes.front()->pieces.empty() && !sizes.front()->stash.empty()) {
    out.push_back(shelf(*sizes.front(), units));
    return out;
  }
  std::vector<std::vector<StashUse>> uses;
  for (std::size_t i = 0; i < sizes.size(); ++i) uses.push_back(stash_use(*sizes[i], estimates[i]));
  if (std::all_of(uses.begin(), uses.end(), [](const auto& size) { return size.empty(); })) return out;
  out.push_back(sizes.size() == 1 ? one_size(*sizes.front(), uses.front(), units)
                                  : several_sizes(sizes, uses, units));
  for (const std::string& sentence : lot_sentences(*sizes[here], uses[here])) {
    render::Paragraph block;
    block.lead = "Dye lots:";
    block.text = sentence;
    out.push_back(std::move(block));
  }
  return out;
}

nlohmann::ordered_json stash_report(const Pattern& pattern, const Estimate& estimate) {
  auto out = nlohmann::ordered_json::array();
  for (const StashUse& use : stash_use(pattern, estimate)) {
    std::vector<const Lot*> lots;
    nlohmann::ordered_json each;
    each["yarn"] = pattern.yarns[static_cast<std::size_t>(use.yarn)].name;
    each["grams"] = use.there;
    each["lots"] = lots_of(pattern, use, lots);
    each["used"] = {{"about", rounded(use.used.middle)},
                    {"low", rounded(use.used.low)},
                    {"high", rounded(use.used.high)}};
    each["share"] = std::round(1000 * use.share()) / 1000;
    each["left"] = shown_left(use);
    each["balls_to_buy"] = use.balls;
    each["pieces"] = nlohmann::ordered_json::array();
    for (const LotPlan::Share& share : use.plan.shares)
      each["pieces"].push_back(
          {{"piece", pattern.pieces[share.piece].name},
           {"lot", lots[share.lot]->name.empty() ? nlohmann::ordered_json()
                                                 : nlohmann::ordered_json(lots[share.lot]->name)},
           {"grams", rounded(share.amount)}});
    out.push_back(std::move(each));
  }
  return out;
}

nlohmann::ordered_json repeats_by_yarn(const Pattern& pattern) {
  auto out = nlohmann::ordered_json::array();
  for (const Piece& piece : pattern.pieces)
    for (const Step& step : piece.steps)
      if (step.until_yarn && step.until_yarn->yarn >= 0)
        out.push_back(
            {{"piece", piece.name},
             {"until", step.until_yarn->half ? "half is used" : "it runs out"},
             {"yarn", pattern.yarns[static_cast<std::size_t>(step.until_yarn->yarn)].name},
             {"times", step.times},
             {"stitches", step.after},
             {"grams_left", std::round(step.until_yarn->left * 10) / 10},
             {"decided_by", step.until_yarn->by_upper_bound ? "the upper estimate"
                                                            : "the middle estimate with the reserve"}});
  return out;
}

std::string until_words(const UntilYarn& until, const Pattern& pattern) {
  const std::string name = pattern.strands.size() < 2 || until.strand < 0
                               ? "the yarn"
                               : pattern.strands[static_cast<std::size_t>(until.strand)].name;
  return until.half ? fmt::format("until half of {} is used", name) : fmt::format("until {} runs out", name);
}

std::string scales_sentence(const UntilYarn& until, const Pattern& pattern, Units units) {
  const Yarn& yarn = pattern.yarns[static_cast<std::size_t>(until.yarn)];
  return fmt::format(
      "Or go by the scales: begin the piece with {} of {}, weigh it before each time, and go on to what "
      "follows when "
      "{} or less remains. The number of times {}.",
      weighed(until.there, units), yarn.label, weighed(std::ceil(until.left), units),
      until.by_upper_bound
          ? "is what the upper estimate of the yarn allows"
          : fmt::format("is what the middle estimate of the yarn allows with {:g} % in reserve",
                        100 * reserve));
}

}  // namespace wale
