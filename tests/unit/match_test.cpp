// Which yarns could knit a pattern: by weight, by quantity, by colour, and by what the trade says of fabrics.
#include "compiler/match.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

using namespace wale;

namespace {

const std::string scarf =
    "pattern \"Scarf\"\nyarn kelp \"Kelp\" 100 g = 200 m #2f5d50\nstrand A = kelp\n"
    "gauge 20 st x 28 rows = 10 cm\nfabric plain flat n st { rs: <k>  ws: <p> }\n"
    "piece scarf flat {\n  cast on 40 with A\n  work plain for 100 cm\n  bind off\n}\n";
const std::string mitts =
    "sizes S M L\nyarn kelp \"Kelp\" 100 g = 200 m #2f5d50\nyarn lamp \"Lamp\" 100 g = 200 m #e9b44c\n"
    "strand A = kelp\nstrand L = lamp\ngauge 20 st x 28 rows = 10 cm\n"
    "fabric pick round 4n st {\n  1: <A(k3) L(k)>\n  2: <L(k2) A(k2)>\n}\n"
    "measure hand = [18 22 60] cm\npiece mitt round {\n  cast on near(hand, 4n) with A\n"
    "  work pick for 40 rounds\n  bind off\n}\n";

Checked compiled(const std::string& text) {
  return check(Source("pattern.wale", text, 1));
}

MatchReport matched(const std::string& pattern, const std::string& stash) {
  const Checked first = compiled(pattern), second = compiled(stash);
  REQUIRE(!first.diagnostics.has_errors());
  REQUIRE(!second.diagnostics.has_errors());
  return match(first, second);
}

std::string yarn(const std::string& name, double grams, double metres, const std::string& more = "") {
  return fmt::format("yarn {0} \"{0}\" {1} g = {2} m {3}\n", name, grams, metres, more);
}

bool says(const Match& match, const std::string& part) {
  for (const MatchReason& reason : match.reasons)
    if (reason.words.find(part) != std::string::npos) return true;
  return false;
}

std::string first_of(const MatchReport& report, const std::string& stash) {
  REQUIRE(!report.matches.empty());
  const Checked shelf = compiled(stash);
  return combination_words(report.matches[0].strands[0].from, shelf.pattern);
}

}  // namespace

TEST_CASE("a yarn of the same weight goes before one that is near, and one far off is not named") {
  const std::string shelf = yarn("near", 100, 165) + yarn("same", 100, 201) + yarn("lace", 100, 1200) +
                            "stash { near 900 g  same 900 g  lace 900 g }\n";
  const MatchReport report = matched(scarf, shelf);
  CHECK(first_of(report, shelf) == "same");
  for (const Match& each : report.matches) {
    // Linear densities add (ISO 1144), and the ratio is to the pattern's own 500 tex.
    double tex = 0;
    for (const int end : each.strands[0].from.ends)
      tex += end == 0 ? 100'000.0 / 165 : end == 1 ? 100'000.0 / 201 : 100'000.0 / 1200;
    CHECK(each.strands[0].from.tex == doctest::Approx(tex));
    CHECK(each.strands[0].from.ratio == doctest::Approx(tex / 500));
    CHECK(each.strands[0].from.ratio < 1.31);
    CHECK(each.strands[0].from.ratio > 0.76);
  }
}

TEST_CASE("two ends of a thin yarn stand for a thick one, and take twice its length") {
  const std::string shelf = yarn("sock", 100, 400) + "stash { sock 150 g }\n";
  const MatchReport report = matched(scarf, shelf);
  CHECK(first_of(report, shelf) == "2 ends of sock");
  const Checked pattern = compiled(scarf);
  const Estimate estimate = estimate_yarn(pattern.pattern, *pattern.stitches);
  REQUIRE(report.matches[0].needs.size() == 1);
  CHECK(report.matches[0].needs[0].metres.middle == doctest::Approx(2 * estimate.strands[0].metres.middle));
  CHECK(report.matches[0].needs[0].there == doctest::Approx(600));
  CHECK(report.matches[0].sizes.size() == 1);
}

TEST_CASE("what does not suffice is named only where nothing does, and says so") {
  const std::string shelf =
      yarn("little", 100, 200) + yarn("much", 100, 180) + "stash { little 20 g  much 800 g }\n";
  const MatchReport report = matched(scarf, shelf);
  for (const Match& each : report.matches) CHECK(!each.sizes.empty());
  CHECK(first_of(report, shelf) == "much");
  const std::string poor = yarn("little", 100, 200) + "stash { little 20 g }\n";
  const MatchReport scant = matched(scarf, poor);
  REQUIRE(scant.matches.size() == 1);
  CHECK(scant.matches[0].sizes.empty());
  CHECK(says(scant.matches[0], "not enough"));
}

TEST_CASE("more yarn never suffices for fewer sizes") {
  std::size_t before = 0;
  for (const int grams : {5, 10, 15, 20, 30, 40, 60, 90, 140}) {
    const std::string shelf = yarn("kelp", 100, 200) + yarn("lamp", 100, 200) +
                              fmt::format("stash {{ kelp {0} g  lamp {0} g }}\n", grams);
    std::size_t most = 0;
    for (const Match& each : matched(mitts, shelf).matches) most = std::max(most, each.sizes.size());
    CHECK(most >= before);
    before = most;
  }
  CHECK(before == 3);
}

TEST_CASE("one yarn in the place of two strands must suffice for both") {
  const std::string shelf = yarn("kelp", 100, 200, "#2f5d50") + "stash { kelp 500 g }\n";
  const MatchReport report = matched(mitts, shelf);
  REQUIRE(report.matches.size() == 1);
  REQUIRE(report.matches[0].contrast.has_value());
  CHECK(*report.matches[0].contrast == doctest::Approx(1));
  const Checked pattern = compiled(mitts);
  const Estimate estimate = estimate_yarn(pattern.pattern, *pattern.stitches);
  CHECK(report.matches[0].needs[0].metres.middle ==
        doctest::Approx(estimate.strands[0].metres.middle + estimate.strands[1].metres.middle));
}

TEST_CASE("colours that read apart go first; white on black is 21 : 1 by the WCAG 2.x formula") {
  const std::string shelf = yarn("black", 100, 200, "#000000") + yarn("coal", 100, 200, "#111111") +
                            yarn("white", 100, 200, "#ffffff") +
                            "stash { black 500 g  coal 500 g  white 500 g }\n";
  const MatchReport report = matched(mitts, shelf);
  REQUIRE(!report.matches.empty());
  REQUIRE(report.matches[0].contrast.has_value());
  CHECK(*report.matches[0].contrast > 18);
  bool weak = false, best = false;
  for (const Match& each : report.matches) {
    best |= std::abs(*each.contrast - 21) < 1e-9;
    if (*each.contrast >= least_contrast) continue;
    weak = true;
    CHECK(each.given_up > report.matches[0].given_up);
    CHECK(says(each, "hardly read apart"));
  }
  CHECK(best);
  CHECK(weak);
}

TEST_CASE("hints of the trade are marked as such, and only where the fabric has what they are about") {
  const std::string shelf =
      yarn("fog", 100, 200, "haloed") + yarn("rope", 100, 200, "plied") + "stash { fog 900 g  rope 900 g }\n";
  const MatchReport plain = matched(scarf, shelf);
  for (const Match& each : plain.matches) CHECK(!says(each, "definition"));
  std::string moss = scarf;
  moss.replace(moss.find("rs: <k>  ws: <p>"), 16, "1: <k p>");
  moss.replace(moss.find("flat n st"), 9, "flat 2n st");
  const MatchReport report = matched(moss, shelf);
  CHECK(first_of(report, shelf) == "rope");
  bool told = false;
  for (const Match& each : report.matches)
    for (const MatchReason& reason : each.reasons) {
      CHECK(reason.common_practice == (reason.about == MatchReason::About::fabric));
      told |= reason.words.find("textured stitches lose definition") != std::string::npos;
    }
  CHECK(told);
}

TEST_CASE("a pattern that goes by the yarn is made of any amount") {
  std::string open = scarf;
  open.replace(open.find("  work plain for 100 cm"), 23,
               "  repeat until A runs out { work plain for 2 rows }");
  open += "stash { kelp 50 g }\n";
  const std::string shelf = yarn("kelp", 100, 200) + "stash { kelp 30 g }\n";
  const MatchReport report = matched(open, shelf);
  CHECK(report.any_amount);
  CHECK(says(report.matches.at(0), "as large as"));
}

TEST_CASE("where nothing can be said, it is said why") {
  const std::string shelf = yarn("rope", 1000, 50) + "stash { rope 900 g }\n";
  CHECK(matched(scarf, shelf).unmatched == std::vector<std::string>{"strand A"});
  CHECK(matched(scarf, yarn("rope", 100, 200)).missing == "the second file has no stash");
  CHECK(matched("fabric plain flat n st { every: <k> }\n", shelf).missing.find("no piece") !=
        std::string::npos);
}

TEST_CASE("the three reports say the same") {
  const std::string shelf =
      yarn("kelp", 100, 200) + yarn("fog", 100, 210, "haloed") + "stash { kelp 150 g  fog 80 g lot \"4\" }\n";
  const Checked pattern = compiled(scarf), stash = compiled(shelf);
  const MatchReport report = match(pattern, stash);
  const std::string text = match_report(report, pattern, stash, ReportForm::text),
                    markdown = match_report(report, pattern, stash, ReportForm::markdown);
  const auto json = nlohmann::json::parse(match_report(report, pattern, stash, ReportForm::json));
  CHECK(json.at("format") == "wale-match-1");
  REQUIRE(json.at("matches").size() == report.matches.size());
  for (std::size_t i = 0; i < report.matches.size(); ++i)
    for (std::size_t k = 0; k < report.matches[i].reasons.size(); ++k) {
      const std::string& words = report.matches[i].reasons[k].words;
      CHECK(json["matches"][i]["reasons"][k]["words"] == words);
      CHECK(text.find(words) != std::string::npos);
      CHECK(markdown.find(words) != std::string::npos);
    }
}

TEST_CASE("a title is no markup in a report as Markdown, and no control in one as text") {
  const std::string shelf = yarn("kelp", 100, 200) + "stash { kelp 150 g }\n";
  std::string named = scarf;
  named.replace(named.find("Scarf"), 5, "<b>*Rig*</b> \x1B[31m\xE2\x80\xAE");
  const Checked pattern = compiled(named), stash = compiled(shelf);
  const MatchReport report = match(pattern, stash);
  const std::string clean = "<b>*Rig*</b> \uFFFD[31m\uFFFD\n";
  CHECK(match_report(report, pattern, stash, ReportForm::text).starts_with("Yarn on hand for " + clean));
  CHECK(match_report(report, pattern, stash, ReportForm::markdown)
            .starts_with("# Yarn on hand for \\<b\\>\\*Rig\\*\\</b\\> \uFFFD\\[31m\uFFFD\n"));
}
