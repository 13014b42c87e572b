#include "compiler/match.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "compiler/strands.hpp"

namespace wale {

namespace {

/// Combinations of each strand that go into ways for the whole pattern, the nearest in weight first.
constexpr std::size_t most_combinations = 12;
/// Ways that are looked at.
constexpr std::size_t most_ways_matched = 20'000;

/// What the fabrics of a pattern are like, as far as it bears on the yarn.
struct FabricSense {
  bool textured = false;  ///< knits and purls make its surface, or cables
  bool colours = false;   ///< two strands meet in one fabric
  std::set<std::pair<short, short>> meet;
};

void look_at(const std::vector<CheckedRow>& rows, const Stitches& stitches, FabricSense& out) {
  std::set<short> strands;
  bool knits = false, purls = false;
  for (const CheckedRow& row : rows)
    for (const auto& [key, count] : row.tally) {
      const Stitch& stitch = stitches[key.first];
      if (key.second >= 0) strands.insert(key.second);
      out.textured |= stitch.crossing.has_value();
      if (stitch.crossing || stitch.passes_on || stitch.takes.size() != stitch.gives.size()) continue;
      (stitch.shows_purl == (row.row.side == Side::right) ? purls : knits) = true;
    }
  // Garter shows both, row by row, and is as plain as stockinette; moss, rib and brocade mix them in a row.
  bool mixed = false;
  for (const CheckedRow& row : rows) {
    bool knit = false, purl = false;
    for (const auto& [key, count] : row.tally) (stitches[key.first].shows_purl ? purl : knit) = true;
    mixed |= knit && purl;
  }
  out.textured |= mixed && knits && purls;
  for (const short a : strands)
    for (const short b : strands)
      if (a < b) out.meet.insert({a, b});
}

FabricSense sense_of(const Pattern& pattern, const Stitches& stitches) {
  FabricSense out;
  for (const Fabric& fabric : pattern.fabrics) look_at(fabric.rows, stitches, out);
  for (const Piece& piece : pattern.pieces)
    for (const Step& step : piece.steps) look_at(step.rows, stitches, out);
  out.colours = !out.meet.empty();
  return out;
}

class Matcher {
 public:
  Matcher(const Checked& pattern, const Checked& stash)
      : pattern_(pattern.pattern), stitches_(*pattern.stitches), stash_(stash.pattern) {
    sizes_.push_back(&pattern.pattern);
    for (const Pattern& each : pattern.larger) sizes_.push_back(&each);
  }

  MatchReport run() {
    for (const Pattern* size : sizes_) estimates_.push_back(estimate_yarn(*size, stitches_));
    if (!estimates_.front().missing.empty()) return nothing(estimates_.front().missing);
    if (stash_.stash.empty()) return nothing("the second file has no stash");
    for (const Piece& piece : pattern_.pieces)
      for (const Step& step : piece.steps) out_.any_amount |= step.until_yarn.has_value();
    for (const StrandEstimate& strand : estimates_.front().strands) strands_.push_back(strand.strand);
    std::vector<std::vector<Combination>> choices;
    for (const short strand : strands_) {
      const auto tex = tex_of(pattern_, strand);
      if (!tex)
        return nothing(fmt::format("the pattern does not say of which yarn {} is", strand_name(strand)));
      choices.push_back(combinations(*tex));
      if (choices.back().empty()) out_.unmatched.push_back(strand_name(strand));
    }
    if (out_.unmatched.empty()) {
      sense_ = sense_of(pattern_, stitches_);
      put_together(choices, {});
      std::stable_sort(out_.matches.begin(), out_.matches.end(),
                       [](const Match& a, const Match& b) { return a.given_up < b.given_up; });
      // What makes nothing is only worth naming where nothing else is there.
      const auto makes_some = [](const Match& each) { return !each.sizes.empty(); };
      if (std::any_of(out_.matches.begin(), out_.matches.end(), makes_some))
        std::erase_if(out_.matches, [&](const Match& each) { return !makes_some(each); });
      if (out_.matches.size() > most_matches) out_.matches.resize(most_matches);
    }
    return std::move(out_);
  }

 private:
  MatchReport nothing(std::string why) {
    out_.missing = std::move(why);
    return std::move(out_);
  }

  std::string strand_name(short strand) const {
    return strand < 0 ? "the yarn" : "strand " + pattern_.strands[static_cast<std::size_t>(strand)].name;
  }

  /// Of about this weight, the nearest first.
  std::vector<Combination> combinations(double tex) const {
    std::vector<int> there;
    for (std::size_t i = 0; i < stash_.yarns.size(); ++i)
      if (on_hand(stash_, static_cast<int>(i))) there.push_back(static_cast<int>(i));
    std::vector<Combination> out;
    const auto add = [&](std::vector<int> ends) {
      Combination each{std::move(ends), 0, 1};
      for (const int end : each.ends) each.tex += tex_of(stash_.yarns[static_cast<std::size_t>(end)]);
      each.ratio = each.tex / tex;
      if (std::abs(std::log(each.ratio)) <= std::log(1 + farthest_weight)) out.push_back(std::move(each));
    };
    for (std::size_t i = 0; i < there.size(); ++i) {
      for (const std::size_t ends : {1U, 2U, 3U}) add(std::vector<int>(ends, there[i]));
      for (std::size_t k = i + 1; k < there.size(); ++k) add({there[i], there[k]});
    }
    std::stable_sort(out.begin(), out.end(), [](const Combination& a, const Combination& b) {
      return std::abs(std::log(a.ratio)) < std::abs(std::log(b.ratio));
    });
    if (out.size() > most_combinations) out.resize(most_combinations);
    return out;
  }

  void put_together(const std::vector<std::vector<Combination>>& choices, std::vector<MatchStrand> chosen) {
    if (ways_ >= most_ways_matched) return;
    if (chosen.size() == choices.size()) {
      ++ways_;
      out_.matches.push_back(judged(std::move(chosen)));
      return;
    }
    for (const Combination& each : choices[chosen.size()]) {
      chosen.push_back({strands_[chosen.size()], each});
      put_together(choices, chosen);
      chosen.pop_back();
    }
  }

  Match judged(std::vector<MatchStrand> chosen) const {
    Match out;
    out.strands = std::move(chosen);
    for (const MatchStrand& each : out.strands) weigh(each, out);
    measure(out);
    compare_colours(out);
    hints(out);
    return out;
  }

  void weigh(const MatchStrand& each, Match& out) const {
    const double off = std::abs(std::log(each.from.ratio));
    const double per_100 = 100'000 / each.from.tex, wanted = per_100 * each.from.ratio;
    std::string words =
        fmt::format("{} from {}: {:.0f} m to 100 g, the pattern's own has {:.0f}", strand_name(each.strand),
                    combination_words(each.from, stash_), per_100, wanted);
    const double percent = 100 * std::abs(each.from.ratio - 1);
    if (percent >= 1)
      words += fmt::format(" ({:.0f} % {})", percent, each.from.ratio > 1 ? "heavier" : "lighter");
    const bool near = off <= std::log(1 + another_weight);
    if (!near)
      words += "; the fabric will be another one, so swatch first";
    else if (off > std::log(1 + same_weight))
      words += each.from.ratio > 1 ? "; try a thicker needle" : "; try a thinner needle";
    out.reasons.push_back({MatchReason::About::weight, near, false, words});
    out.given_up += 10 * off + 0.1 * static_cast<double>(each.from.ends.size() - 1);
  }

  /// Metres of each yarn of the stash, size by size.
  void measure(Match& out) const {
    bool doubtful = false;
    for (std::size_t size = 0; size < sizes_.size(); ++size) {
      std::map<int, Range> metres;
      for (const StrandEstimate& strand : estimates_[size].strands)
        for (const MatchStrand& each : out.strands)
          if (each.strand == strand.strand)
            for (const int yarn : each.from.ends) metres[yarn] = metres[yarn] + strand.metres;
      bool suffices = true, surely = true;
      for (const auto& [yarn, length] : metres) {
        const Yarn& facts = stash_.yarns[static_cast<std::size_t>(yarn)];
        out.needs.push_back(
            {sizes_[size]->size, yarn, length, *on_hand(stash_, yarn) * facts.metres / facts.grams});
        suffices &= out.needs.back().perhaps();
        surely &= out.needs.back().enough();
      }
      if (!suffices && !out_.any_amount) continue;
      if (out.sizes.empty()) doubtful = !surely && !out_.any_amount;
      out.sizes.push_back(sizes_[size]->size);
    }
    out.given_up +=
        10 * static_cast<double>(sizes_.size() - out.sizes.size()) / static_cast<double>(sizes_.size());
    if (doubtful) out.given_up += 1;
    out.reasons.push_back({MatchReason::About::quantity, out.sizes.size() == sizes_.size() && !doubtful,
                           false, quantity_words(out, doubtful)});
  }

  std::string quantity_words(const Match& out, bool doubtful) const {
    if (out_.any_amount) return "the pattern goes by the yarn: it becomes as large as this makes it";
    std::string words;
    for (const MatchNeed& need : out.needs) {
      // Of the largest size that it suffices for, else of the smallest.
      if (need.size != (out.sizes.empty() ? sizes_.front()->size : out.sizes.back())) continue;
      words +=
          fmt::format("{}{:g} m of {} are needed{} and {:g} m are there", words.empty() ? "" : "; ",
                      rounded(need.metres.middle), stash_.yarns[static_cast<std::size_t>(need.yarn)].name,
                      need.size.empty() ? "" : " for size " + need.size, rounded(need.there));
    }
    if (out.sizes.empty()) return words + ": not enough" + (sizes_.size() > 1 ? " for any size" : "");
    if (sizes_.size() > 1)
      words += out.sizes.size() == sizes_.size() ? ": enough for all sizes"
                                                 : fmt::format(": size {} is the largest", out.sizes.back());
    return words + (doubtful ? ", if the estimate is not too low" : "");
  }

  std::optional<Rgb> colour_of(short strand, const Match& match) const {
    for (const MatchStrand& each : match.strands)
      if (each.strand == strand) return stash_.yarns[static_cast<std::size_t>(each.from.ends.front())].colour;
    return {};
  }

  void compare_colours(Match& out) const {
    bool unknown = false;
    for (const auto& [a, b] : sense_.meet) {
      const auto first = colour_of(a, out), second = colour_of(b, out);
      if (!first || !second) {
        unknown = true;
        continue;
      }
      const double ratio = contrast_ratio(*first, *second);
      if (!out.contrast || ratio < *out.contrast) out.contrast = ratio;
    }
    if (out.contrast) {
      const bool good = *out.contrast >= least_contrast;
      out.reasons.push_back({MatchReason::About::contrast, good, false,
                             fmt::format("the colours contrast {:.1f} : 1, {}", *out.contrast,
                                         good ? "and read apart" : "and will hardly read apart")});
      if (!good) out.given_up += 4 + 4 * (least_contrast - *out.contrast);
    }
    if (unknown)
      out.reasons.push_back({MatchReason::About::contrast, false, false,
                             "the stash does not say the colours of all these yarns"});
  }

  /// Rules of the trade; each is common practice, and none is a calculation.
  void hints(Match& out) const {
    std::set<int> used;
    for (const MatchStrand& each : out.strands) used.insert(each.from.ends.begin(), each.from.ends.end());
    const auto hint = [&](bool good, const std::string& words) {
      out.reasons.push_back({MatchReason::About::fabric, good, true, words});
      if (!good) out.given_up += 0.5;
    };
    for (const int yarn : used) {
      const Yarn& facts = stash_.yarns[static_cast<std::size_t>(yarn)];
      const auto is = [&](const char* word) { return facts.words.count(word) > 0; };
      const std::string& name = facts.name;
      if (sense_.textured && (is("haloed") || is("drapey")))
        hint(false, fmt::format("{} is {}: textured stitches lose definition in such yarn", name,
                                is("haloed") ? "haloed" : "drapey"));
      if (sense_.textured && is("plied") && !is("haloed"))
        hint(true, fmt::format("{} is plied: textured stitches stand out", name));
      if (sense_.colours && is("haloed"))
        hint(false, fmt::format("{} is haloed: the edges of a colour pattern blur", name));
      if (is("slippery"))
        hint(false, fmt::format("{} is slippery: knit it on wood, and weave its ends in far", name));
      if (is("single")) hint(false, fmt::format("{} is of one ply: it pills where it is rubbed", name));
      if (is("superwash"))
        hint(false, fmt::format("{} is superwash: it grows when washed, so wash the swatch", name));
    }
  }

  const Pattern& pattern_;
  const Stitches& stitches_;
  const Pattern& stash_;
  std::vector<const Pattern*> sizes_;
  std::vector<Estimate> estimates_;
  std::vector<short> strands_;
  FabricSense sense_;
  MatchReport out_;
  std::size_t ways_ = 0;
};

}  // namespace

MatchReport match(const Checked& pattern, const Checked& stash) {
  return Matcher(pattern, stash).run();
}

std::string combination_words(const Combination& from, const Pattern& stash) {
  const auto name = [&](std::size_t i) { return stash.yarns[static_cast<std::size_t>(from.ends[i])].name; };
  if (from.ends.size() == 1) return name(0);
  if (from.ends.front() == from.ends.back()) return fmt::format("{} ends of {}", from.ends.size(), name(0));
  return fmt::format("{} and {} held together", name(0), name(1));
}

}  // namespace wale
