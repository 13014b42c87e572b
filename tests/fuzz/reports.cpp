// Any bytes as what reports tell: as the texts of findings, and as a pattern whose findings and yarns are
// told. Every report is read again by a reader that is not ours, nlohmann::json or pugixml, and says what
// went in: no text of a pattern, a path or a name becomes markup, or is lost.
#include <map>
#include <nlohmann/json.hpp>
#include <pugixml.hpp>

#include "compiler/check_report.hpp"
#include "compiler/match.hpp"
#include "compiler/pattern_document.hpp"
#include "compiler/season_document.hpp"
#include "render/measure.hpp"
#include "tests/fuzz/target.hpp"

using namespace wale;
using nlohmann::json;

namespace {

json parsed(const std::string& text) {
  fuzz::must(text.ends_with('\n'), "a report does not end its line");
  json out = json::parse(text, nullptr, false);
  fuzz::must(!out.is_discarded(), "a report is no JSON");
  return out;
}

/// Broken UTF-8 is replaced, so it is not the same any more.
bool says(const json& value, const std::string& text) {
  return value.is_string() && (value == text || find_invalid_utf8(text) != std::string::npos);
}

// --- findings of any texts

/// The lines of the input, over and over.
class Texts {
 public:
  explicit Texts(const std::string& text) : lines_(fuzz::lines_of(text)) {
    if (lines_.empty()) lines_.emplace_back();
  }
  const std::string& next() { return lines_[at_++ % lines_.size()]; }
  std::size_t number() { return next().size(); }

 private:
  std::vector<std::string> lines_;
  std::size_t at_ = 0;
};

Region any_region(Texts& texts) {
  const Place begin{texts.number() + 1, texts.number() + 1};
  return {texts.next(), begin, {begin.line + texts.number(), texts.number() + 1}};
}

Finding any_finding(Texts& texts) {
  Finding out;
  out.kind = all_kinds()[texts.number() % all_kinds().size()];
  out.severity = facts(out.kind).severity;
  out.message = texts.next();
  out.where = any_region(texts);
  out.at = texts.next();
  if (texts.number() % 2 == 0) out.labels.emplace_back(any_region(texts), texts.next());
  if (texts.number() % 2 == 0) out.notes.push_back(texts.next());
  if (texts.number() % 2 == 0) out.help.push_back(texts.next());
  if (texts.number() % 2 == 0) out.mend.emplace_back(any_region(texts), texts.next());
  return out;
}

CheckRun any_run(const std::string& text) {
  Texts texts(text);
  CheckRun out{texts.next(), {}};
  for (std::size_t files = texts.number() % 4; files > 0; --files) {
    out.files.push_back({texts.next(), texts.number() % 4 == 0 ? texts.next() : "", {}});
    for (std::size_t findings = texts.number() % 3; findings > 0; --findings)
      out.files.back().findings.push_back(any_finding(texts));
  }
  return out;
}

// --- Wale's own

void must_say(const json& place, const Region& region) {
  fuzz::must(says(place["path"], region.path) && place["line"] == region.begin.line &&
                 place["column"] == region.begin.column && place["end_line"] == region.end.line &&
                 place["end_column"] == region.end.column,
             "a place is not where it was");
}

void must_say(const json& list, const std::vector<std::string>& texts) {
  fuzz::must(list.size() == texts.size(), "notes are lost");
  for (std::size_t i = 0; i < texts.size(); ++i) fuzz::must(says(list[i], texts[i]), "a note is another");
}

void must_say(const json& list, const std::vector<std::pair<Region, std::string>>& texts) {
  fuzz::must(list.size() == texts.size(), "labels or mends are lost");
  for (std::size_t i = 0; i < texts.size(); ++i) {
    must_say(list[i]["place"], texts[i].first);
    fuzz::must(says(list[i]["text"], texts[i].second), "a label or a mend is another");
  }
}

void must_hold_as_json(const CheckRun& run) {
  const json report = parsed(check_report_json(run));
  fuzz::must(says(report["wale"], run.version) && report["files"].size() == run.files.size(), "JSON: files");
  for (std::size_t i = 0; i < run.files.size(); ++i) {
    const FileFindings& file = run.files[i];
    const json& told = report["files"][i];
    fuzz::must(says(told["path"], file.path), "JSON: a path");
    fuzz::must(
        file.unreadable.empty() ? !told.contains("unreadable") : says(told["unreadable"], file.unreadable),
        "JSON: why a file is unreadable");
    fuzz::must(told["findings"].size() == file.findings.size(), "JSON: findings");
    for (std::size_t k = 0; k < file.findings.size(); ++k) {
      const Finding& finding = file.findings[k];
      const json& each = told["findings"][k];
      fuzz::must(each["kind"] == facts(finding.kind).slug && says(each["message"], finding.message) &&
                     says(each["at"], finding.at),
                 "JSON: a finding");
      must_say(each["place"], finding.where);
      must_say(each["notes"], finding.notes);
      must_say(each["try"], finding.help);
      must_say(each["see"], finding.labels);
      must_say(each["mend"], finding.mend);
    }
  }
}

// --- SARIF

/// RFC 3986, read back.
std::string path_of(std::string uri) {
  if (uri.starts_with("file://")) uri.erase(0, 7);
  std::string out;
  for (std::size_t i = 0; i < uri.size(); ++i) {
    fuzz::must(uri[i] > ' ' && uri[i] < 0x7F &&
                   std::string_view("\"<>\\^`{|}").find(uri[i]) == std::string_view::npos,
               "SARIF: a URI has what none may have");
    if (uri[i] != '%') {
      out += uri[i];
      continue;
    }
    fuzz::must(i + 2 < uri.size(), "SARIF: a URI is cut off");
    out += static_cast<char>(std::stoi(uri.substr(i + 1, 2), nullptr, 16));
    i += 2;
  }
  return out;
}

void must_hold_as_sarif(const CheckRun& run) {
  const json report = parsed(check_report_sarif(run, true));
  const json& told = report["runs"][0];
  std::size_t next = 0, unreadable = 0;
  for (const FileFindings& file : run.files) {
    if (!file.unreadable.empty()) {
      const json& note = told["invocations"][0]["toolExecutionNotifications"][unreadable++];
      fuzz::must(says(note["message"]["text"], file.unreadable), "SARIF: why a file is unreadable");
      const json& where = note["locations"][0]["physicalLocation"]["artifactLocation"]["uri"];
      fuzz::must(path_of(where.get<std::string>()) == file.path, "SARIF: which file is unreadable");
    }
    for (const Finding& finding : file.findings) {
      const json& result = told["results"][next++];
      const std::string slug(facts(finding.kind).slug);
      fuzz::must(result["ruleId"] == slug &&
                     told["tool"]["driver"]["rules"][result["ruleIndex"].get<std::size_t>()]["id"] == slug,
                 "SARIF: a rule");
      const std::string words = result["message"]["text"];
      if (find_invalid_utf8(finding.message) == std::string::npos)
        fuzz::must(words.starts_with(finding.message), "SARIF: a message");
      for (const std::string& help : finding.help)
        if (find_invalid_utf8(help) == std::string::npos)
          fuzz::must(words.find("Try: " + help) != std::string::npos, "SARIF: what would fit");
      if (result["locations"].empty()) continue;
      const json& where = result["locations"][0]["physicalLocation"];
      fuzz::must(path_of(where["artifactLocation"]["uri"]) == finding.where.path &&
                     where["region"]["startLine"] == finding.where.begin.line &&
                     where["region"]["endColumn"] == finding.where.end.column,
                 "SARIF: a place");
      if (!finding.mend.empty()) {
        const json& change = result["fixes"][0]["artifactChanges"][0];
        fuzz::must(
            path_of(change["artifactLocation"]["uri"]) == finding.mend.front().first.path &&
                says(change["replacements"][0]["insertedContent"]["text"], finding.mend.front().second),
            "SARIF: a mend");
      }
    }
  }
  fuzz::must(told["results"].size() == next, "SARIF: results");
}

// --- test results

/// XML 1.0, 2.2: the characters that a document may hold.
void must_be_characters(const std::string& xml) {
  fuzz::must(find_invalid_utf8(xml) == std::string::npos, "XML: it is not UTF-8");
  for (const char c : xml)
    fuzz::must(static_cast<unsigned char>(c) >= 0x20 || c == '\n', "XML: a control character");
}

void must_hold_as_junit(const CheckRun& run) {
  const std::string text = check_report_junit(run);
  must_be_characters(text);
  pugi::xml_document document;
  fuzz::must(
      static_cast<bool>(document.load_string(text.c_str(), pugi::parse_default | pugi::parse_ws_pcdata)),
      "XML: it cannot be read");
  std::size_t next = 0;
  for (const pugi::xml_node test : document.child("testsuites").child("testsuite").children("testcase")) {
    fuzz::must(next < run.files.size(), "XML: tests that are none");
    const FileFindings& file = run.files[next++];
    fuzz::must(test.attribute("name").value() == render::clean_text(file.path), "XML: a path");
    fuzz::must(test.child("error").attribute("message").value() == render::clean_text(file.unreadable),
               "XML: why a file is unreadable");
    const pugi::xml_node failure = test.child("failure");
    fuzz::must(failure.empty() == (file.count(Severity::error) == 0), "XML: a failure");
    for (const Finding& finding : file.findings) {
      const pugi::xml_node told = finding.severity == Severity::error ? failure : test.child("system-out");
      const std::string words = told.child_value();
      for (const std::string& line : fuzz::lines_of(finding.message))
        fuzz::must(words.find(render::clean_text(line)) != std::string::npos, "XML: a message");
      for (const pugi::xml_node child : told.children())
        fuzz::must(child.type() == pugi::node_pcdata, "XML: a text became markup");
    }
  }
  fuzz::must(next == run.files.size(), "XML: tests");
}

void must_hold(const CheckRun& run) {
  must_hold_as_json(run);
  must_hold_as_sarif(run);
  must_hold_as_junit(run);
}

// --- yarn

void must_tell_yarn(const Checked& checked) {
  std::vector<const Pattern*> sizes{&checked.pattern};
  for (const Pattern& each : checked.larger) sizes.push_back(&each);
  std::vector<Estimate> estimates;
  for (const Pattern* each : sizes) estimates.push_back(estimate_yarn(*each, *checked.stitches));
  const json report = parsed(yarn_report(sizes, *checked.stitches, estimates, "f"));
  const std::string& title = checked.pattern.title;
  fuzz::must(report["pattern"] == (title.empty() ? "f" : title), "yarn: the title");
  fuzz::must(report["sizes"].size() == sizes.size(), "yarn: sizes");
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    const json& size = report["sizes"][i];
    fuzz::must(sizes[i]->size.empty() ? size["size"].is_null() : size["size"] == sizes[i]->size,
               "yarn: a size");
    fuzz::must(size["yarns"].size() == estimates[i].yarns.size(), "yarn: yarns");
    for (std::size_t k = 0; k < estimates[i].yarns.size(); ++k)
      fuzz::must(size["yarns"][k]["label"] ==
                     sizes[i]->yarns[static_cast<std::size_t>(estimates[i].yarns[k].yarn)].label,
                 "yarn: a label");
  }
  const MatchReport found = match(checked, checked);
  const json ranked = parsed(match_report(found, checked, checked, ReportForm::json));
  fuzz::must(ranked["matches"].size() == found.matches.size(), "match: ways");
  fuzz::must(ranked["pattern"] == (title.empty() ? "the pattern" : title), "match: the title");
  for (const ReportForm form : {ReportForm::text, ReportForm::markdown})
    fuzz::must(match_report(found, checked, checked, form).ends_with('\n'), "match: a report is cut off");
}

void must_tell_season(const Season& season) {
  const json report = parsed(season_report(season));
  fuzz::must(report["season"] == season.name && report["projects"].size() == season.projects.size(),
             "season");
  for (std::size_t i = 0; i < season.projects.size(); ++i)
    fuzz::must(report["projects"][i]["title"] == season.projects[i].title &&
                   report["projects"][i]["file"] == season.projects[i].file,
               "season: a project");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text = fuzz::text_of(data, size);
  must_hold(any_run(text));
  const std::string path = text.substr(0, text.find('\n'));
  const Loaded loaded =
      load(Source(path, text, 1), files_in_memory({{"f.wale", text}, {"yarns.wale", text}}));
  const Checked checked = check(loaded, {}, fuzz::effort);
  must_hold({"1.2.3", {{path, "", findings_of(checked.diagnostics, sources_of(loaded))}}});
  if (checked.diagnostics.has_errors()) return 0;
  if (!checked.pattern.pieces.empty()) must_tell_yarn(checked);
  if (checked.season) must_tell_season(*checked.season);
  return 0;
}
