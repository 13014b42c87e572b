// What `wale match` says: in words, as Markdown, or as JSON for programs. The JSON's shape is written down in
// match-report.schema.json; a change that breaks a reader makes it "wale-match-2".

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "compiler/match.hpp"
#include "render/markdown.hpp"
#include "render/measure.hpp"

namespace wale {

namespace {

std::string title_of(const Checked& pattern) {
  return pattern.pattern.title.empty() ? "the pattern" : pattern.pattern.title;
}

std::string_view about_words(MatchReason::About about) {
  switch (about) {
    case MatchReason::About::weight:
      return "weight";
    case MatchReason::About::quantity:
      return "quantity";
    case MatchReason::About::contrast:
      return "contrast";
    case MatchReason::About::fabric:
      return "fabric";
  }
  return "";
}

std::string heading(const Match& match, const Checked& pattern, const Pattern& stash) {
  std::string out;
  for (const MatchStrand& each : match.strands) {
    const std::string name =
        each.strand < 0 ? "" : pattern.pattern.strands[static_cast<std::size_t>(each.strand)].name + ": ";
    out += (out.empty() ? "" : ", ") + name + combination_words(each.from, stash);
  }
  return out;
}

std::string in_words(const MatchReport& report, const Checked& pattern, const Pattern& stash, bool markdown) {
  const auto words = [&](const std::string& text) {
    return markdown ? render::markdown_text(text) : render::clean_text(text);
  };
  std::string out = fmt::format("{}Yarn on hand for {}\n", markdown ? "# " : "", words(title_of(pattern)));
  if (!report.missing.empty())
    return out + fmt::format("\nNothing can be said: {}.\n", words(report.missing));
  for (const std::string& each : report.unmatched)
    out += fmt::format("\nNothing on the shelf is of about the weight of {}, alone or held together.\n",
                       words(each));
  for (std::size_t i = 0; i < report.matches.size(); ++i) {
    const Match& match = report.matches[i];
    out += fmt::format("\n{}{}. {}\n{}", markdown ? "## " : "", i + 1, words(heading(match, pattern, stash)),
                       markdown ? "\n" : "");
    for (const MatchReason& reason : match.reasons)
      out += fmt::format("{} {}{}\n",
                         markdown      ? "-"
                         : reason.good ? "   +"
                                       : "   -",
                         markdown ? (reason.good ? "for: " : "against: ") : "",
                         words(reason.words) + (reason.common_practice ? " (common practice)" : ""));
  }
  return out;
}

nlohmann::ordered_json range(Range metres) {
  return {{"about", rounded(metres.middle)}, {"low", rounded(metres.low)}, {"high", rounded(metres.high)}};
}

nlohmann::ordered_json name_or_null(const std::string& name) {
  return name.empty() ? nlohmann::ordered_json() : nlohmann::ordered_json(name);
}

nlohmann::ordered_json as_json(const Match& match, const Checked& pattern, const Pattern& stash) {
  nlohmann::ordered_json out;
  const auto yarn = [&](int index) { return stash.yarns[static_cast<std::size_t>(index)].name; };
  out["strands"] = nlohmann::ordered_json::array();
  for (const MatchStrand& each : match.strands) {
    auto ends = nlohmann::ordered_json::array();
    for (const int end : each.from.ends) ends.push_back(yarn(end));
    out["strands"].push_back(
        {{"strand", name_or_null(each.strand < 0
                                     ? ""
                                     : pattern.pattern.strands[static_cast<std::size_t>(each.strand)].name)},
         {"ends", std::move(ends)},
         {"tex", rounded(each.from.tex)},
         {"weight_ratio", std::round(each.from.ratio * 1000) / 1000}});
  }
  out["needs"] = nlohmann::ordered_json::array();
  for (const MatchNeed& need : match.needs)
    out["needs"].push_back({{"size", name_or_null(need.size)},
                            {"yarn", yarn(need.yarn)},
                            {"metres", range(need.metres)},
                            {"metres_on_hand", rounded(need.there)},
                            {"enough", need.enough()    ? "yes"
                                       : need.perhaps() ? "perhaps"
                                                        : "no"}});
  out["sizes"] = nlohmann::ordered_json::array();
  for (const std::string& size : match.sizes) out["sizes"].push_back(name_or_null(size));
  out["contrast"] = match.contrast ? nlohmann::ordered_json(std::round(*match.contrast * 100) / 100)
                                   : nlohmann::ordered_json();
  out["reasons"] = nlohmann::ordered_json::array();
  for (const MatchReason& reason : match.reasons)
    out["reasons"].push_back({{"about", about_words(reason.about)},
                              {"good", reason.good},
                              {"common_practice", reason.common_practice},
                              {"words", reason.words}});
  out["given_up"] = std::round(match.given_up * 100) / 100;
  return out;
}

}  // namespace

std::string match_report(const MatchReport& report, const Checked& pattern, const Checked& stash,
                         ReportForm form) {
  if (form != ReportForm::json) return in_words(report, pattern, stash.pattern, form == ReportForm::markdown);
  nlohmann::ordered_json out;
  out["format"] = "wale-match-1";
  out["pattern"] = title_of(pattern);
  out["any_amount"] = report.any_amount;
  out["missing"] = name_or_null(report.missing);
  out["unmatched"] = report.unmatched;
  out["matches"] = nlohmann::ordered_json::array();
  for (const Match& each : report.matches) out["matches"].push_back(as_json(each, pattern, stash.pattern));
  return out.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace wale
