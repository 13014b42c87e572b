#include "compiler/check_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>

#include "grammar/explanations.hpp"
#include "render/measure.hpp"
#include "render/xml_text.hpp"

namespace wale {

namespace {

using nlohmann::ordered_json;

/// A path may hold bytes that are no UTF-8; a report is not lost for them.
std::string bytes_of(const ordered_json& json) {
  return json.dump(1, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

std::string_view severity_name(Severity severity) {
  return severity == Severity::error ? "error" : severity == Severity::warning ? "warning" : "note";
}

/// Without a path where no source has the number.
Region region_of(Span span, const Sources& sources) {
  for (const Source& source : sources)
    if (source.number() == span.source)
      return Region{source.name(), source.place(span.begin), source.place(span.end)};
  return {};
}

/// Options of the command line are sources, too, and no files.
bool is_file(const Region& region) {
  return !region.path.empty() && !region.path.starts_with("--");
}

// --- Wale's own

ordered_json place_json(const Region& region) {
  return {{"path", region.path},
          {"line", region.begin.line},
          {"column", region.begin.column},
          {"end_line", region.end.line},
          {"end_column", region.end.column}};
}

ordered_json finding_json(const Finding& finding) {
  ordered_json out{{"kind", facts(finding.kind).slug},
                   {"severity", severity_name(finding.severity)},
                   {"message", finding.message},
                   {"place", place_json(finding.where)},
                   {"at", finding.at},
                   {"see", ordered_json::array()},
                   {"notes", finding.notes},
                   {"try", finding.help},
                   {"mend", ordered_json::array()}};
  for (const auto& [region, text] : finding.labels)
    out["see"].push_back({{"place", place_json(region)}, {"text", text}});
  for (const auto& [region, text] : finding.mend)
    out["mend"].push_back({{"place", place_json(region)}, {"text", text}});
  return out;
}

// --- SARIF

/// RFC 3986: what may stand in a path is kept, every other byte is written as %XX.
std::string uri_of(std::string_view path) {
  std::string out;
  for (const char c : path) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                       std::string_view("-._~/").find(c) != std::string_view::npos;
    out += plain ? std::string(1, c) : fmt::format("%{:02X}", static_cast<unsigned char>(c));
  }
  return path.starts_with('/') ? "file://" + out : out;
}

ordered_json physical(const Region& region) {
  return {{"artifactLocation", {{"uri", uri_of(region.path)}}},
          {"region",
           {{"startLine", region.begin.line},
            {"startColumn", region.begin.column},
            {"endLine", region.end.line},
            {"endColumn", region.end.column}}}};
}

/// What is said below the line, in one paragraph each.
std::string long_message(const Finding& finding) {
  std::string out = finding.message;
  if (!finding.at.empty()) out += ": " + finding.at;
  for (const std::string& note : finding.notes) out += "\n" + note;
  for (const std::string& help : finding.help) out += "\nTry: " + help;
  return out;
}

/// Edits by file: SARIF puts them together so.
ordered_json fix_json(const Finding& finding) {
  std::map<std::string, ordered_json> files;
  for (const auto& [region, text] : finding.mend)
    files[region.path].push_back(
        {{"deletedRegion", physical(region)["region"]}, {"insertedContent", {{"text", text}}}});
  ordered_json changes = ordered_json::array();
  for (auto& [path, replacements] : files)
    changes.push_back({{"artifactLocation", {{"uri", uri_of(path)}}}, {"replacements", replacements}});
  return {{"description", {{"text", "Mend what is certain"}}}, {"artifactChanges", changes}};
}

ordered_json result_json(const Finding& finding, std::size_t rule) {
  ordered_json out{{"ruleId", facts(finding.kind).slug},
                   {"ruleIndex", rule},
                   {"level", severity_name(finding.severity)},
                   {"message", {{"text", long_message(finding)}}},
                   {"locations", ordered_json::array()}};
  if (is_file(finding.where)) out["locations"].push_back({{"physicalLocation", physical(finding.where)}});
  ordered_json related = ordered_json::array();
  for (const auto& [region, text] : finding.labels)
    if (is_file(region))
      related.push_back({{"id", related.size() + 1},
                         {"physicalLocation", physical(region)},
                         {"message", {{"text", text}}}});
  if (!related.empty()) out["relatedLocations"] = related;
  if (!finding.mend.empty()) out["fixes"] = ordered_json::array({fix_json(finding)});
  return out;
}

ordered_json rule_json(Kind kind) {
  const KindFacts& known = facts(kind);
  ordered_json out{{"id", known.slug},
                   {"shortDescription", {{"text", known.summary}}},
                   {"defaultConfiguration", {{"level", severity_name(known.severity)}}}};
  if (const auto explained = explanation(kind); explained && !explained->paragraphs.empty()) {
    std::string text;
    for (const std::string& paragraph : explained->paragraphs)
      text += (text.empty() ? "" : "\n\n") + paragraph;
    out["fullDescription"] = {{"text", text}};
  }
  return out;
}

// --- test results

std::string line_of(const Finding& finding) {
  const Region& at = finding.where;
  return fmt::format("{}:{}:{}: {}: {}\n", at.path, at.begin.line, at.begin.column,
                     severity_name(finding.severity), long_message(finding));
}

/// Fit for an attribute: whatever is no character of XML, or ends a line, is shown as one that is.
std::string one_line(std::string_view text) {
  return render::clean_text(text);
}

void put_lines(render::XmlText& xml, std::string_view text) {
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    xml.words(render::clean_text(text.substr(0, end)));
    if (end < text.size()) xml.words("\n");
    text.remove_prefix(std::min(end + 1, text.size()));
  }
}

}  // namespace

std::size_t FileFindings::count(Severity severity) const {
  return static_cast<std::size_t>(std::count_if(
      findings.begin(), findings.end(), [&](const Finding& each) { return each.severity == severity; }));
}

std::vector<Finding> findings_of(const Diagnostics& diagnostics, const Sources& sources, bool strict) {
  std::vector<Finding> out;
  for (const Diagnostic& each : diagnostics.all()) {
    Finding& finding = out.emplace_back();
    finding.kind = each.kind;
    finding.severity = facts(each.kind).severity;
    finding.message = each.message;
    finding.at = each.at;
    finding.notes = each.notes;
    finding.help = each.help;
    if (strict && finding.severity == Severity::warning) finding.severity = Severity::error;
    finding.where = region_of(each.span, sources);
    for (const Label& label : each.labels)
      finding.labels.emplace_back(region_of(label.span, sources), label.text);
    for (const Edit& edit : each.edits)
      finding.mend.emplace_back(region_of(edit.span, sources), edit.replacement);
  }
  return out;
}

std::string check_report_json(const CheckRun& run) {
  ordered_json files = ordered_json::array();
  std::size_t errors = 0, warnings = 0, failed = 0, unreadable = 0;
  for (const FileFindings& file : run.files) {
    ordered_json findings = ordered_json::array();
    for (const Finding& finding : file.findings) findings.push_back(finding_json(finding));
    const std::size_t wrong = file.count(Severity::error);
    errors += wrong;
    warnings += file.count(Severity::warning);
    failed += wrong > 0;
    unreadable += !file.unreadable.empty();
    ordered_json entry{{"path", file.path}, {"findings", findings}};
    if (!file.unreadable.empty()) entry["unreadable"] = file.unreadable;
    files.push_back(std::move(entry));
  }
  return bytes_of({{"schema", "wale-check-1"},
                   {"wale", run.version},
                   {"summary",
                    {{"files", run.files.size()},
                     {"with_errors", failed},
                     {"unreadable", unreadable},
                     {"errors", errors},
                     {"warnings", warnings}}},
                   {"files", files}});
}

std::string check_report_sarif(const CheckRun& run, bool failed) {
  std::map<Kind, std::size_t> rules;
  ordered_json rule_list = ordered_json::array(), results = ordered_json::array(),
               notifications = ordered_json::array();
  for (const FileFindings& file : run.files) {
    for (const Finding& finding : file.findings) {
      const auto [rule, added] = rules.try_emplace(finding.kind, rules.size());
      if (added) rule_list.push_back(rule_json(finding.kind));
      results.push_back(result_json(finding, rule->second));
    }
    if (!file.unreadable.empty())
      notifications.push_back(
          {{"level", "error"},
           {"message", {{"text", file.unreadable}}},
           {"locations", {{{"physicalLocation", {{"artifactLocation", {{"uri", uri_of(file.path)}}}}}}}}});
  }
  ordered_json invocation{{"executionSuccessful", !failed}};
  if (!notifications.empty()) invocation["toolExecutionNotifications"] = notifications;
  return bytes_of(
      {{"$schema",
        "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"},
       {"version", "2.1.0"},
       {"runs",
        ordered_json::array(
            {{{"tool",
               {{"driver", {{"name", "Wale"}, {"semanticVersion", run.version}, {"rules", rule_list}}}}},
              {"columnKind", "unicodeCodePoints"},
              {"invocations", ordered_json::array({invocation})},
              {"results", results}}})}});
}

std::string check_report_junit(const CheckRun& run) {
  std::size_t failed = 0, unreadable = 0;
  for (const FileFindings& file : run.files) {
    unreadable += !file.unreadable.empty();
    failed += file.unreadable.empty() && file.count(Severity::error) > 0;
  }
  std::string out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
  render::XmlText xml(out);
  const auto counts = [&] {
    xml.set("tests", std::to_string(run.files.size()));
    xml.set("failures", std::to_string(failed));
    xml.set("errors", std::to_string(unreadable));
  };
  xml.open("testsuites");
  counts();
  xml.open("testsuite");
  xml.set("name", "wale check");
  counts();
  for (const FileFindings& file : run.files) {
    xml.open("testcase");
    xml.set("classname", "patterns");
    xml.set("name", one_line(file.path));
    if (!file.unreadable.empty()) {
      xml.open("error");
      xml.set("message", one_line(file.unreadable));
      xml.close();
    }
    // One failure for each pattern: not every reader of this format takes more.
    std::string errors, others;
    const Finding* first = nullptr;
    for (const Finding& finding : file.findings) {
      const bool wrong = finding.severity == Severity::error;
      if (wrong && !first) first = &finding;
      (wrong ? errors : others) += line_of(finding);
    }
    if (first) {
      xml.open("failure");
      xml.set("type", facts(first->kind).slug);
      xml.set("message", one_line(first->message));
      put_lines(xml, errors);
      xml.close();
    }
    if (!others.empty()) {
      xml.open("system-out");
      put_lines(xml, others);
      xml.close();
    }
    xml.close();
  }
  xml.close();
  xml.close();
  return out + "\n";
}

}  // namespace wale
