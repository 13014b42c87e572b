#include "compiler/watch_memory.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace wale {

namespace {

WatchMemory::Key key_of(const Finding& finding) {
  return {finding.where.path, finding.kind, finding.message, finding.at};
}

/// Indices of those that stand in `these` more often than in `those`.
std::vector<std::size_t> beyond(const std::vector<Finding>& these, const std::vector<Finding>& those) {
  std::map<WatchMemory::Key, int> known;
  for (const Finding& each : those) ++known[key_of(each)];
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < these.size(); ++i)
    if (known[key_of(these[i])]-- <= 0) out.push_back(i);
  return out;
}

struct Counts {
  std::size_t errors = 0, warnings = 0;

  void add(const Finding& finding) { ++(finding.severity == Severity::error ? errors : warnings); }
};

/// "1 error", "2 errors and 1 warning".
std::string words_of(const Counts& counts) {
  const auto count = [](std::size_t number, std::string_view one, std::string_view many) {
    return count_of(static_cast<long long>(number), one, many);
  };
  std::string out;
  if (counts.errors > 0) out = count(counts.errors, "error", "errors");
  if (counts.warnings > 0)
    out += (out.empty() ? "" : " and ") + count(counts.warnings, "warning", "warnings");
  return out;
}

}  // namespace

Stamp stamp_of(const std::variant<std::string, Unreadable>& read) {
  const auto* text = std::get_if<std::string>(&read);
  const std::string& what = text ? *text : std::get<Unreadable>(read).reason;
  return {text != nullptr, fingerprint(what)};
}

std::string names_of(const std::set<std::string>& paths) {
  std::vector<std::string> out;
  for (const std::string& path : paths) out.push_back(std::filesystem::path(path).filename().string());
  return fmt::format("{}", fmt::join(out, ", "));
}

std::vector<std::string> WatchMemory::patterns() const {
  std::vector<std::string> out;
  for (const auto& [path, known] : patterns_) out.push_back(path);
  return out;
}

std::map<std::string, bool> WatchMemory::files() const {
  std::map<std::string, bool> out;
  for (const auto& [path, known] : patterns_)
    for (const auto& [file, stamp] : known.read) out[file] = out[file] || stamp.readable;
  return out;
}

const std::map<std::string, Stamp>& WatchMemory::read_by(const std::string& pattern) const {
  return patterns_.at(pattern).read;
}

std::set<std::string> WatchMemory::outdated(const std::map<std::string, Stamp>& now) const {
  std::set<std::string> out;
  for (const auto& [path, known] : patterns_)
    for (const auto& [file, stamp] : known.read)
      if (const auto found = now.find(file); found != now.end() && found->second != stamp) out.insert(path);
  return out;
}

void WatchMemory::count(const Outcome& compiled, int by) {
  for (const Finding& each : compiled.findings) {
    const auto at = found_.try_emplace(key_of(each), 0).first;
    at->second += by;
    if (at->second == 0) found_.erase(at);
  }
}

std::set<std::string> WatchMemory::orphans(const std::set<std::string>& files,
                                           const std::string& pattern) const {
  std::set<std::string> out;
  for (const std::string& file : files)
    if (std::none_of(patterns_.begin(), patterns_.end(), [&](const auto& each) {
          return each.first != pattern && each.second.made.count(file) > 0;
        }))
      out.insert(file);
  return out;
}

void WatchMemory::tell_new(const Outcome& before, const Outcome& now, News& news) const {
  for (const std::size_t i : beyond(now.findings, before.findings)) {
    if (found_.count(key_of(now.findings[i])) > 0) continue;
    news.err += now.shown[i];
    news.kinds.push_back(now.findings[i].kind);
  }
  for (std::size_t i = now.findings.size(); i < now.shown.size(); ++i)
    if (std::find(before.shown.begin(), before.shown.end(), now.shown[i]) == before.shown.end())
      news.err += now.shown[i];
  if (now.trouble != before.trouble) news.err += now.trouble;
}

/// By file, how many are gone. One that is only said otherwise now is not mended.
std::map<std::string, std::string> WatchMemory::mended(const Outcome& before, const Outcome& now) const {
  std::map<std::pair<std::string, Kind>, int> otherwise;
  for (const std::size_t i : beyond(now.findings, before.findings))
    ++otherwise[{now.findings[i].where.path, now.findings[i].kind}];
  std::map<std::string, Counts> gone;
  for (const std::size_t i : beyond(before.findings, now.findings)) {
    const Finding& each = before.findings[i];
    if (otherwise[{each.where.path, each.kind}]-- <= 0 && found_.count(key_of(each)) == 0)
      gone[each.where.path].add(each);
  }
  std::map<std::string, std::string> out;
  for (const auto& [path, counts] : gone) {
    Counts left;
    for (const Finding& each : now.findings)
      if (each.where.path == path) left.add(each);
    const std::string rest = words_of(left);
    out[path] = words_of(counts) + " mended" + (rest.empty() ? "" : ", " + rest + " left");
  }
  return out;
}

News WatchMemory::take(Outcome now, bool at_first) {
  News news;
  const auto known = patterns_.find(now.path);
  const bool is_new = known == patterns_.end();
  Outcome before = is_new ? Outcome{} : std::move(known->second);
  before.path = now.path;
  // What could not be read says nothing of the mistakes in it.
  if (!now.read[now.path].readable) {
    now.findings = before.findings;
    now.shown = before.shown;
  }
  count(before, -1);
  tell_new(before, now, news);
  std::map<std::string, std::string> lines = mended(before, now);
  std::string& line = lines[now.path];
  const auto add = [&](const std::string& part) { line += (line.empty() ? "" : "; ") + part; };
  if (!before.trouble.empty() && now.trouble.empty()) add("can be read and written again");
  if (is_new && !at_first) add(now.findings.empty() && now.trouble.empty() ? "new, and works out" : "new");
  if (now.complete) {
    std::set<std::string> unmade;
    std::set_difference(before.made.begin(), before.made.end(), now.made.begin(), now.made.end(),
                        std::inserter(unmade, unmade.end()));
    news.removed = orphans(unmade, now.path);
  } else {
    // With errors it makes nothing; what lies there is from before, and is still its own.
    now.made.insert(before.made.begin(), before.made.end());
  }
  if (!now.written.empty() && !at_first)
    add("written: " + names_of({now.written.begin(), now.written.end()}));
  if (!news.removed.empty()) add("removed: " + names_of(news.removed));
  for (const auto& [path, words] : lines)
    if (!words.empty()) news.out += fmt::format("{}: {}\n", path, words);
  count(now, 1);
  patterns_[now.path] = std::move(now);
  return news;
}

News WatchMemory::forget(const std::string& pattern) {
  News news;
  const auto known = patterns_.find(pattern);
  if (known == patterns_.end()) return news;
  news.removed = orphans(known->second.made, pattern);
  news.out = pattern + " is gone";
  if (!news.removed.empty()) news.out += "; removed: " + names_of(news.removed);
  news.out += "\n";
  count(known->second, -1);
  patterns_.erase(known);
  return news;
}

}  // namespace wale
