#include "compiler/command_fresh.hpp"

#include <cairo.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <pango/pango.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <set>

#include "compiler/commands.hpp"
#include "compiler/program_identity.hpp"

namespace wale {

namespace fs = std::filesystem;

namespace {

/// Some file systems count time in steps of two seconds: what was changed as lately as this before it was
/// read may have been changed again without a trace.
constexpr std::int64_t too_lately = 2'000'000'000;

/// Nothing that was made in time, and never equal to what a file has.
constexpr Fingerprint unsure{};

/// All that decides what is written but the files that are read.
Fingerprint all_but_files(const Task& task) {
  std::string words =
      fmt::format("{}\n{}\n{}\n", program_identity(), cairo_version_string(), pango_version_string());
  const auto add = [&](std::string_view name, const auto& value) {
    words += fmt::format("{} {}\n", name, value);
  };
  add("size", task.settings.size.value_or(""));
  add("any size", !task.settings.size);
  add("gauge", task.settings.gauge.value_or(""));
  for (const std::string& measure : task.settings.measures) add("measure", measure);
  add("true size", task.true_size);
  add("strict", task.strict);
  add("paper", static_cast<int>(task.document.paper));
  add("units", static_cast<int>(task.document.units));
  add("large print", task.document.large_print);
  add("mirror", task.document.mirror);
  add("png", task.document.png);
  add("date", source_date().value_or(-1));
  return fingerprint(words);
}

/// A file that a pattern is made of, named as seen from its folder.
std::string from_pattern(const Found& found, const std::string& path) {
  const fs::path folder = fs::path(found.path).parent_path();
  if (folder.empty()) return path;
  const fs::path relative = fs::path(path).lexically_relative(folder);
  return relative.empty() ? path : relative.string();
}

/// Without links and steps back, so that one can be told from another.
fs::path real_path(const std::string& path) {
  std::error_code error;
  const fs::path out = fs::weakly_canonical(fs::absolute(path, error), error);
  return error ? fs::absolute(path, error).lexically_normal() : out;
}

/// `name` in the folder of the file `beside`.
std::string in_folder_of(const std::string& beside, const std::string& name) {
  const std::size_t slash = beside.find_last_of('/');
  return slash == std::string::npos || name.starts_with('/') ? name : beside.substr(0, slash + 1) + name;
}

/// For what is said again: of which path, and how it looked.
Fingerprint form_of(const Found& found, const Look& look) {
  return fingerprint(fmt::format("{} {} {}", look.colour, look.columns, found.path));
}

}  // namespace

Freshness::Freshness(const Task& task, bool anew)
    : task_(task), anew_(anew), began_(file_time()), as_(all_but_files(task)) {
  std::string bytes;
  const int file = ::open(path().c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
  if (file < 0) return;
  struct stat facts {};
  if (::fstat(file, &facts) == 0 && S_ISREG(facts.st_mode) && facts.st_size < most_ledger) {
    bytes.resize(static_cast<std::size_t>(facts.st_size));
    std::size_t have = 0;
    for (ssize_t got = 1; have < bytes.size() && got > 0; have += got > 0 ? static_cast<std::size_t>(got) : 0)
      got = ::read(file, bytes.data() + have, bytes.size() - have);
    bytes.resize(have);
  }
  ::close(file);
  ledger_ = read_ledger(bytes);
  if (ledger_.superseded > 100 && ledger_.superseded > 2 * ledger_.entries.size()) shorten();
}

Freshness::~Freshness() {
  if (file_ >= 0) ::close(file_);
}

std::string Freshness::path() const {
  return (fs::path(*task_.to) / ".wale-ledger").string();
}

/// Whether the file has the bytes that the ledger says. `changed`: it does, and looks different.
bool Freshness::holds(LedgerFile& file, const std::string& path, bool& changed) const {
  const auto facts = facts_of(path);
  if (!facts) return false;
  if (facts->stamp == file.stamp) return true;
  if (fingerprint_of(path) != file.bytes) return false;
  file.stamp = stamp_of(*facts);
  changed = changed || file.stamp != unsure;
  return true;
}

Fingerprint Freshness::stamp_of(const FileFacts& facts) const {
  return facts.changed + too_lately < began_ ? facts.stamp : unsure;
}

std::optional<Told> Freshness::still(const Found& found) {
  const auto at = ledger_.entries.find(output_key(found));
  if (anew_ || at == ledger_.entries.end() || at->second.as != as_) return {};
  LedgerEntry entry = at->second;
  // A report wants what was said as values, which the ledger does not keep.
  if (!entry.said.empty() && (task_.findings || entry.said_as != form_of(found, task_.look))) return {};
  bool changed = false;
  for (LedgerFile& each : entry.read)
    if (!holds(each, in_folder_of(found.path, each.name), changed)) return {};
  const std::string beside = in_folder_of((fs::path(*task_.to) / entry.key).string(), "");
  for (LedgerFile& each : entry.made)
    if (!holds(each, beside + each.name, changed)) return {};
  Told out;
  for (const std::string& slug : entry.kinds) {
    const auto kind = find_kind(slug);
    if (!kind) return {};
    out.sums.tell(*kind);
  }
  out.err = entry.said;
  out.findings.path = found.path;
  out.sums.patterns = out.sums.fresh = 1;
  out.sums.warnings = entry.warnings;
  out.sums.certain = entry.certain;
  if (changed) append(entry);
  return out;
}

void Freshness::enter(const Found& found, const Told& told) {
  LedgerEntry entry;
  entry.key = output_key(found);
  entry.source = real_path(found.path).lexically_relative(real_path(*task_.to)).string();
  entry.as = as_;
  for (const FileRead& each : told.read) {
    const auto facts = facts_of(each.path);
    entry.read.push_back({facts ? stamp_of(*facts) : unsure, each.bytes, from_pattern(found, each.path)});
  }
  entry.made = told.written.files;
  if (!told.err.empty()) {
    entry.said = told.err;
    entry.said_as = form_of(found, task_.look);
    entry.warnings = told.sums.warnings;
    entry.certain = told.sums.certain;
    for (const Kind kind : told.sums.told) entry.kinds.emplace_back(facts(kind).slug);
  }
  append(entry);
  const auto before = ledger_.entries.find(entry.key);
  if (before != ledger_.entries.end()) remove(before->second, entry.made);
}

/// Removes what the entry made, but for what is among `kept` and what somebody has changed. Returns how many
/// files that were, and whether one was left.
std::pair<std::size_t, bool> Freshness::remove(const LedgerEntry& entry,
                                               const std::vector<LedgerFile>& kept) const {
  std::size_t removed = 0;
  bool left = false;
  const fs::path folder = (fs::path(*task_.to) / entry.key).parent_path();
  for (LedgerFile each : entry.made) {
    const auto same = [&](const LedgerFile& other) { return other.name == each.name; };
    const std::string path = (folder / each.name).string();
    bool changed = false;
    if (std::any_of(kept.begin(), kept.end(), same) || !facts_of(path)) continue;
    if (!holds(each, path, changed))
      left = true;
    else if (::unlink(path.c_str()) == 0)
      ++removed;
  }
  // Folders that were made for it go with the last file; those with anything else in them stay.
  std::error_code error;
  for (fs::path below = fs::path(entry.key).parent_path();
       removed > 0 && !below.empty() && fs::remove(fs::path(*task_.to) / below, error);)
    below = below.parent_path();
  return {removed, left};
}

std::vector<std::string> Freshness::clear_away(const std::vector<Found>& found) {
  std::vector<std::string> out;
  std::set<std::string> here;
  std::vector<std::string> folders;
  if (ledger_.entries.empty()) return out;
  for (const Found& each : found) here.insert(output_key(each));
  for (const std::string& path : task_.paths) {
    std::error_code error;
    if (fs::is_directory(path, error)) folders.push_back((real_path(path) / "").string());
  }
  for (const auto& [key, entry] : ledger_.entries) {
    std::error_code error;
    const fs::path source = (real_path(*task_.to) / entry.source).lexically_normal();
    const bool looked_for = std::any_of(folders.begin(), folders.end(), [&](const std::string& folder) {
      return source.string().starts_with(folder);
    });
    if (here.count(key) > 0 || !looked_for || fs::exists(source, error) || error) continue;
    const auto [removed, left] = remove(entry, {});
    LedgerEntry gone;
    gone.key = key;
    append(gone);
    const std::string name = source.lexically_proximate(fs::current_path(error)).string();
    if (removed > 0)
      out.push_back(fmt::format("{} is no longer there: {} that it made in {} {} removed", name,
                                count_of(static_cast<long long>(removed), "file", "files"), *task_.to,
                                removed == 1 ? "was" : "were"));
    if (left)
      out.push_back(fmt::format(
          "{} is no longer there: of its files in {} those are left that somebody changed", name, *task_.to));
  }
  return out;
}

bool Freshness::has_earlier(const Found& found) const {
  const auto at = ledger_.entries.find(output_key(found));
  if (at == ledger_.entries.end()) return false;
  const fs::path folder = (fs::path(*task_.to) / at->second.key).parent_path();
  return std::any_of(at->second.made.begin(), at->second.made.end(), [&](const LedgerFile& each) {
    return facts_of((folder / each.name).string()).has_value();
  });
}

// --- the file

/// Opens the ledger to add to it, shared with other programs that do; whether that could be done.
bool Freshness::open() {
  if (file_ >= 0) return true;
  if (!failure_.empty()) return false;
  for (int tries = 0; tries < 10; ++tries) {
    file_ = ::open(path().c_str(), O_WRONLY | O_APPEND | O_CREAT | O_CLOEXEC | O_NONBLOCK, 0644);
    struct stat own {
    }, there{};
    if (file_ < 0 || ::flock(file_, LOCK_SH) != 0 || ::fstat(file_, &own) != 0) break;
    // Another program may have put a shorter one in its place just now.
    if (::stat(path().c_str(), &there) == 0 && own.st_ino == there.st_ino && own.st_dev == there.st_dev)
      return true;
    ::close(file_);
    file_ = -1;
  }
  failure_ = fmt::format("{}: cannot be written: {}", path(), std::strerror(errno));
  if (file_ >= 0) ::close(file_);
  file_ = -1;
  return false;
}

/// In one write, so that it stands whole between those of others. A folder is not made for a ledger alone: it
/// waits until there is something else in it.
void Freshness::append(const LedgerEntry& entry) {
  const std::lock_guard lock(appending_);
  waiting_ += write_entry(entry);
  std::error_code error;
  if ((file_ < 0 && !fs::is_directory(*task_.to, error)) || !open()) return;
  if (::write(file_, waiting_.data(), waiting_.size()) != static_cast<ssize_t>(waiting_.size()) &&
      failure_.empty())
    failure_ = fmt::format("{}: cannot be written: {}", path(), std::strerror(errno));
  waiting_.clear();
}

/// Leaves out what counts no more, unless another program is adding to it just now.
void Freshness::shorten() {
  const int file = ::open(path().c_str(), O_WRONLY | O_CLOEXEC | O_NONBLOCK);
  if (file < 0) return;
  if (::flock(file, LOCK_EX | LOCK_NB) == 0) {
    std::string bytes;
    for (const auto& [key, entry] : ledger_.entries) bytes += write_entry(entry);
    write_files(*task_.to, {{fs::path(path()).filename().string(), std::move(bytes)}});
  }
  ::close(file);
}

}  // namespace wale
