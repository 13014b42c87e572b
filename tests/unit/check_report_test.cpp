// A run over patterns as the programs that keep a collection read it. Each form is read by a parser that is
// not ours; the schemas are checked from outside, in tests/pages/reports.
#include "compiler/check_report.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <pugixml.hpp>

#include "compiler/check.hpp"

using namespace wale;
using nlohmann::json;

namespace {

/// Two wrong rows, a word with two letters exchanged, a warning, and a file that could not be read.
CheckRun run(bool strict = false) {
  const auto looked_at = [&](const std::string& path, const std::string& text) {
    const Source source(path, text, 1);
    const Checked checked = check(source);
    return FileFindings{path, "", findings_of(checked.diagnostics, {vocabulary_source(), source}, strict)};
  };
  return {"1.2.3",
          {looked_at("a b/räv.wale", "fabric f flat 4n st {\n  1: <k2 p2> k2\n  2: <p2 k2>\n}\n"),
           looked_at("typo.wale", "fabric f flat n st { every: <ssk k2tgo> }\n"),
           looked_at("warned.wale", R"(yarn kelp "Kelp" 100 g = 200 m
strand A = kelp
fabric f round n st {
  1 A: <k>
  2 B: <k>
}
)"),
           {"gone<&>\x01.wale", "permission denied", {}}}};
}

}  // namespace

TEST_CASE("a report as JSON holds every finding with its place and what would fit") {
  const json report = json::parse(check_report_json(run()));
  CHECK(report["schema"] == "wale-check-1");
  CHECK(report["summary"]["files"] == 4);
  CHECK(report["summary"]["with_errors"] == 2);
  CHECK(report["summary"]["unreadable"] == 1);
  const json& row = report["files"][0]["findings"][0];
  CHECK(row["kind"] == "fill-does-not-divide");
  CHECK(row["place"]["path"] == "a b/räv.wale");
  CHECK(row["place"]["line"] == 2);
  CHECK(!row["try"].empty());
  const json& typo = report["files"][1]["findings"][0];
  // Columns from 1: `fabric f flat n st { every: <ssk ` is 33 long.
  CHECK(typo["mend"] ==
        json::parse(R"([{"place": {"path": "typo.wale", "line": 1, "column": 34, "end_line": 1,
                                         "end_column": 39}, "text": "k2tog"}])"));
}

TEST_CASE("warnings are errors where the run is strict") {
  const auto errors = [](bool strict) { return run(strict).files[2].count(Severity::error); };
  CHECK(errors(false) == 0);
  CHECK(errors(true) > 0);
}

TEST_CASE("a report as SARIF points at each finding, and puts its mend where it belongs") {
  const json report = json::parse(check_report_sarif(run(), true));
  CHECK(report["version"] == "2.1.0");
  const json& log = report["runs"][0];
  CHECK(log["tool"]["driver"]["name"] == "Wale");
  CHECK(log["invocations"][0]["executionSuccessful"] == false);
  CHECK(log["invocations"][0]["toolExecutionNotifications"].size() == 1);
  for (const json& result : log["results"]) {
    const std::size_t rule = result["ruleIndex"];
    CHECK(log["tool"]["driver"]["rules"][rule]["id"] == result["ruleId"]);
    CHECK(result["locations"].size() == 1);
  }
  CHECK(log["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] ==
        "a%20b/r%C3%A4v.wale");
  bool fixed = false;
  for (const json& result : log["results"])
    if (result.contains("fixes")) {
      const json& change = result["fixes"][0]["artifactChanges"][0];
      CHECK(change["artifactLocation"]["uri"] == "typo.wale");
      CHECK(change["replacements"][0]["insertedContent"]["text"] == "k2tog");
      fixed = true;
    }
  CHECK(fixed);
}

TEST_CASE("a report as test results has a test for each pattern, and no text becomes markup") {
  pugi::xml_document document;
  const std::string bytes = check_report_junit(run());
  REQUIRE(document.load_string(bytes.c_str(), pugi::parse_default | pugi::parse_trim_pcdata));
  const pugi::xml_node suite = document.child("testsuites").child("testsuite");
  CHECK(suite.attribute("tests").as_int() == 4);
  CHECK(suite.attribute("failures").as_int() == 2);
  CHECK(suite.attribute("errors").as_int() == 1);
  std::vector<std::string> names;
  for (const pugi::xml_node test : suite.children("testcase"))
    names.emplace_back(test.attribute("name").value());
  CHECK(names ==
        std::vector<std::string>{"a b/räv.wale", "typo.wale", "warned.wale", "gone<&>\xEF\xBF\xBD.wale"});
  const pugi::xml_node failure = suite.child("testcase").child("failure");
  CHECK(std::string(failure.attribute("type").value()) == "fill-does-not-divide");
  CHECK(std::string(failure.text().get()).find("a b/räv.wale:2:") != std::string::npos);
}
