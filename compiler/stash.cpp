#include "compiler/stash.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace wale {

namespace {

/// More than this of one lot is a slip of the pen: a tonne, as for all weights.
constexpr double most_grams = 1e6;

std::optional<double> amount_in_grams(const tree::Stash::Lot& source, const Yarn& yarn, const Scope& scope,
                                      Diagnostics& diagnostics) {
  const auto amount = evaluate(source.amount, scope, diagnostics);
  if (!amount) return {};
  const Span span = source.amount.span;
  if (source.balls != (amount->dimension == Dimension::count)) {
    diagnostics
        .add(Kind::bad_measure, span,
             source.balls ? "balls are counted, but this is a weight or a length"
                          : fmt::format("{:g} what of {}: balls, grams, metres?", amount->value, yarn.name))
        .try_this(source.balls ? fmt::format("{} 3 balls", yarn.name)
                               : fmt::format("{0} {1:g} balls, or {0} {1:g} g", yarn.name, amount->value));
    return {};
  }
  const double grams = source.balls ? amount->value * yarn.grams
                       : amount->dimension == Dimension::length
                           ? amount->value / 100 * yarn.grams / yarn.metres
                           : amount->value;
  if (grams > 0 && grams <= most_grams) return grams;
  Diagnostic& added = diagnostics.add(
      Kind::bad_measure, span,
      grams > 0 ? "this is more yarn than anyone could knit" : "an amount of yarn must be more than nothing");
  if (!(grams > 0)) added.try_this("leave the line out: what is not in the stash is to be bought");
  return {};
}

std::string and_list(const std::vector<std::string>& words) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i)
    out += (i == 0 ? "" : i + 1 == words.size() ? " and " : ", ") + words[i];
  return out;
}

}  // namespace

void read_stash(const tree::Stash& source, const Scope& scope, const std::vector<std::string>& yarns,
                Pattern& pattern, Diagnostics& diagnostics) {
  for (const tree::Stash::Lot& each : source.lots) {
    const auto yarn = std::find_if(pattern.yarns.begin(), pattern.yarns.end(),
                                   [&](const Yarn& y) { return y.name == each.yarn.text; });
    if (yarn == pattern.yarns.end()) {
      // What is wrong with the yarn's own line has been said there.
      if (std::find(yarns.begin(), yarns.end(), each.yarn.text) != yarns.end()) continue;
      Diagnostic& added = diagnostics.add(Kind::unknown_yarn, each.yarn.span,
                                          fmt::format("no yarn is called `{}`", each.yarn.text));
      if (!added.try_nearest(each.yarn.span, each.yarn.text, yarns))
        added.try_this(fmt::format("yarn {} \"its name\" 100 g = 200 m", each.yarn.text));
      continue;
    }
    Lot lot{static_cast<int>(yarn - pattern.yarns.begin()), each.lot ? each.lot->text : "", 0,
            each.yarn.span};
    const auto twice = std::find_if(pattern.stash.begin(), pattern.stash.end(), [&](const Lot& other) {
      return other.yarn == lot.yarn && other.name == lot.name;
    });
    if (twice != pattern.stash.end()) {
      Diagnostic& added =
          diagnostics.add(Kind::duplicate_name, each.lot ? each.lot->span : each.yarn.span,
                          lot.name.empty() ? fmt::format("{} stands twice without a lot", yarn->name)
                                           : fmt::format("{} of lot {} stands twice", yarn->name, lot.name));
      added.label(twice->span, "here before").try_this("add the two up, or say of which lot each is");
      continue;
    }
    const auto grams = amount_in_grams(each, *yarn, scope, diagnostics);
    if (!grams) continue;
    lot.grams = *grams;
    pattern.stash.push_back(std::move(lot));
  }
}

std::optional<double> on_hand(const Pattern& pattern, int yarn) {
  std::optional<double> out;
  for (const Lot& lot : pattern.stash)
    if (lot.yarn == yarn) out = out.value_or(0) + lot.grams;
  return out;
}

std::vector<int> yarns_of(const Pattern& pattern, short strand) {
  std::vector<int> out;
  if (strand >= 0) out = pattern.strands[static_cast<std::size_t>(strand)].yarns;
  const bool none = std::all_of(pattern.strands.begin(), pattern.strands.end(),
                                [](const Strand& s) { return s.yarns.empty(); });
  if (none && pattern.yarns.size() == 1) out = {0};
  return out;
}

std::vector<Range> grams_of(const StrandMetres& metres, const Pattern& pattern) {
  std::vector<Range> out(pattern.yarns.size());
  for (const auto& [strand, length] : metres) {
    for (const int yarn : yarns_of(pattern, strand)) {
      const auto at = static_cast<std::size_t>(yarn);
      out[at] = out[at] + length * (pattern.yarns[at].grams / pattern.yarns[at].metres);
    }
  }
  return out;
}

std::vector<Range> need_of(const std::vector<Piece>& pieces, const LoopLengths& lengths,
                           const Pattern& pattern) {
  StrandMetres sum;
  if (!pattern.gauges.empty())
    for (const Piece& piece : pieces) {
      for (const Step& step : piece.steps) add(sum, lengths.of(step, piece));
      add(sum, lengths.ends_of(piece));
    }
  return grams_of(sum, pattern);
}

std::vector<StashUse> stash_use(const Pattern& pattern, const Estimate& estimate) {
  std::vector<StashUse> out;
  if (pattern.stash.empty() || !estimate.missing.empty()) return out;
  std::vector<std::vector<Range>> pieces(pattern.pieces.size(), std::vector<Range>(pattern.yarns.size()));
  for (const PieceEstimate& piece : estimate.pieces) {
    StrandMetres metres;
    for (const StrandEstimate& strand : piece.strands) metres[strand.strand] = strand.metres;
    pieces[piece.piece] = grams_of(metres, pattern);
  }
  for (std::size_t yarn = 0; yarn < pattern.yarns.size(); ++yarn) {
    const auto there = on_hand(pattern, static_cast<int>(yarn));
    if (!there) continue;
    StashUse use;
    use.yarn = static_cast<int>(yarn);
    use.there = *there;
    for (const YarnEstimate& each : estimate.yarns)
      if (each.yarn == use.yarn) use.used = each.grams;
    use.left = std::max(0.0, use.there - use.used.middle);
    use.lacking = std::max(0.0, use.used.middle - use.there);
    if (use.used.high > use.there) {
      const double wanted = std::max(use.used.middle * (1 + reserve), use.used.high);
      use.balls = static_cast<long long>(std::ceil((wanted - use.there) / pattern.yarns[yarn].grams - 1e-9));
    }
    std::vector<double> lots, middle, high;
    for (const Lot& lot : pattern.stash)
      if (lot.yarn == use.yarn) lots.push_back(lot.grams);
    for (const std::vector<Range>& piece : pieces) {
      middle.push_back(piece[yarn].middle);
      high.push_back(piece[yarn].high);
    }
    use.plan = plan_lots(high, lots);
    if (!use.plan.fits || !use.plan.mixed.empty()) use.plan = plan_lots(middle, lots);
    out.push_back(std::move(use));
  }
  return out;
}

std::string lot_words(const Lot& lot) {
  return lot.name.empty() ? "the lot without a name" : "lot " + lot.name;
}

std::vector<std::string> lot_sentences(const Pattern& pattern, const std::vector<StashUse>& uses) {
  std::vector<std::string> out;
  for (const StashUse& use : uses) {
    std::vector<const Lot*> lots;
    for (const Lot& lot : pattern.stash)
      if (lot.yarn == use.yarn) lots.push_back(&lot);
    if (lots.size() < 2 || !use.plan.fits) continue;
    std::vector<std::string> parts;
    const auto mixes = [&](std::size_t piece) {
      return std::find(use.plan.mixed.begin(), use.plan.mixed.end(), piece) != use.plan.mixed.end();
    };
    for (std::size_t lot = 0; lot < lots.size(); ++lot) {
      std::vector<std::string> names;
      for (const LotPlan::Share& share : use.plan.shares)
        if (share.lot == lot && !mixes(share.piece)) names.push_back(pattern.pieces[share.piece].name);
      if (!names.empty()) parts.push_back(fmt::format("{} from {}", and_list(names), lot_words(*lots[lot])));
    }
    for (const std::size_t piece : use.plan.mixed) {
      std::vector<std::string> from;
      for (const LotPlan::Share& share : use.plan.shares)
        if (share.piece == piece)
          from.push_back(
              fmt::format("about {:g} g of {}", rounded(share.amount), lot_words(*lots[share.lot])));
      parts.push_back(fmt::format("{} from {}", pattern.pieces[piece].name, and_list(from)));
    }
    if (!parts.empty())
      out.push_back(fmt::format("{}: knit {}.", pattern.yarns[static_cast<std::size_t>(use.yarn)].label,
                                fmt::join(parts, "; ")));
  }
  return out;
}

}  // namespace wale
