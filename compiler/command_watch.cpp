// `wale watch`: patterns checked, or built, once and then whenever they are saved.
//
//     what changed (watching.hpp) -> what to compile (watch_memory.hpp) -> compile -> what is new
//     (watch_memory.hpp)
//
// A round takes what has come to rest on the disk, compiles what that touches and tells what is new. In the
// first round that is everything.
#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <csignal>
#include <filesystem>
#include <map>
#include <memory>

#include "compiler/command_collection.hpp"
#include "compiler/command_line.hpp"
#include "compiler/command_options.hpp"
#include "compiler/command_terminal.hpp"
#include "compiler/commands.hpp"
#include "compiler/explain.hpp"
#include "compiler/watch_memory.hpp"
#include "compiler/watching.hpp"

namespace wale {

namespace {

namespace fs = std::filesystem;

Stamp stamp_on_disk(const std::string& path) {
  Unreadable why;
  if (auto text = read_file(path, why.reason)) return stamp_of(std::move(*text));
  return stamp_of(why);
}

/// Compiles one pattern, keeping note of what it asks for: files that are missing do not stand in `told`.
Outcome compile(const Found& found, const Task& task, DrawnFiles& drawn, Told& told) {
  Outcome out;
  out.path = found.path;
  // Its stamp is older than what is compiled, if anything: then it is compiled once more.
  out.read[found.path] = stamp_on_disk(found.path);
  FileAccess access = files_on_disk();
  access.read = [&out, read = access.read](const std::string& path) {
    auto text = read(path);
    out.read[path] = stamp_of(text);
    return text;
  };
  told = compile_file(found, task, access, &drawn);
  out.findings = std::move(told.findings.findings);
  out.shown = std::move(told.shown);
  if (!told.findings.unreadable.empty()) out.trouble = told.findings.unreadable + "\n";
  out.complete = out.trouble.empty() && told.sums.failed == 0;
  for (const LedgerFile& file : told.written.files)
    out.made.insert((fs::path(output_folder(found, task)) / file.name).string());
  out.written = told.written.changed;
  return out;
}

class Watch {
 public:
  explicit Watch(Run run) : run_(std::move(run)) {
    run_.task.findings = true;
    std::signal(SIGPIPE, SIG_IGN);  // the one who reads may go while files are written
  }

  int run() {
    for (const std::string& path : run_.task.paths) {
      std::error_code error;
      if (fs::exists(path, error)) continue;
      say(path + ": there is no such file or folder");
      return file_trouble;
    }
    watch_all();
    if (tell_troubles()) return file_trouble;
    tell(stdout, begins_with());
    Changes changes{{}, true, false};
    while (!watching_.ended() && heard_) {
      round(changes);
      // What was not watched while it was read is looked at once more.
      std::set<std::string> fresh = watch_all();
      tell_troubles();
      changes = fresh.empty() ? wait() : Changes{std::move(fresh), false, false};
    }
    return heard_ ? fine : file_trouble;
  }

 private:
  std::string begins_with() const {
    const Task& task = run_.task;
    constexpr std::size_t most_named = 3;
    const std::string what = task.paths.size() > most_named
                                 ? fmt::format("{} files and folders", task.paths.size())
                                 : fmt::format("{}", fmt::join(task.paths, ", "));
    const std::string writes = task.to ? fmt::format(", and writing into {}", *task.to) : "";
    return fmt::format("watching {}{}; Ctrl+C ends it\n", what, writes);
  }

  void tell(std::FILE* to, const std::string& text) {
    if (text.empty()) return;
    heard_ = std::fwrite(text.data(), 1, text.size(), to) == text.size() && std::fflush(to) == 0 && heard_;
  }

  /// Folders that were made for a file go with the last one; those with anything else in them stay.
  void remove_empty_above(const std::string& path) const {
    const fs::path top = fs::path(*run_.task.to).lexically_normal();
    std::error_code error;
    for (fs::path below = fs::path(path).parent_path().lexically_relative(top);
         !below.empty() && below != "." && *below.begin() != ".." && fs::remove(top / below, error);)
      below = below.parent_path();
  }

  void tell(const News& news) {
    for (const std::string& path : news.removed) {
      std::error_code error;
      fs::remove(path, error);
      if (error)
        tell(stderr, fmt::format("{}: cannot be removed: {}\n", path, error.message()));
      else
        remove_empty_above(path);
    }
    tell(stderr, news.err);
    tell(stdout, news.out);
  }

  bool tell_troubles() {
    const std::vector<std::string> troubles = watching_.take_troubles();
    for (const std::string& each : troubles) tell(stderr, each + "\n");
    return !troubles.empty();
  }

  std::set<std::string> watch_all() {
    std::set<std::string> files(run_.task.paths.begin(), run_.task.paths.end());
    for (const auto& [file, readable] : memory_.files()) files.insert(file);
    return watching_.watch(run_.task.paths, files);
  }

  /// Looks for the patterns again; says what cannot be looked at.
  void find() {
    std::vector<Problem> problems;
    found_ = find_patterns(run_.task.paths, problems);
    problems_.clear();
    std::set<std::string> named;
    std::erase_if(found_, [&](const Found& each) { return !named.insert(each.path).second; });
    if (run_.task.to) part_clashing(found_, run_.task, problems);
    for (const Problem& each : problems) problems_.insert(each.words());
  }

  /// Once everything that is missing is known to be gone.
  void tell_problems() {
    if (doubts_.ends()) return;
    for (const std::string& each : problems_)
      if (told_problems_.count(each) == 0) tell(stderr, each + "\n");
    told_problems_ = problems_;
  }

  /// What the files hold now, but for those that are expected back.
  std::map<std::string, Stamp> stamps(const std::set<std::string>& paths) {
    const std::map<std::string, bool> known = memory_.files();
    std::map<std::string, Stamp> out;
    const Time now = std::chrono::steady_clock::now();
    for (const std::string& path : paths) {
      const auto before = known.find(path);
      if (before == known.end()) continue;
      const Stamp stamp = stamp_on_disk(path);
      if (!doubts_.hold_back(path, stamp.readable, before->second, now)) out[path] = stamp;
    }
    return out;
  }

  bool waits(const std::string& pattern) const {
    const auto& read = memory_.read_by(pattern);
    return std::any_of(read.begin(), read.end(), [&](const auto& each) { return doubts_.about(each.first); });
  }

  /// Looks at what may have changed, forgets what is gone, and puts what is outdated with what waits.
  void look_at(const Changes& changes) {
    if (changes.everything) {
      watching_.forget();
      watch_all();
    }
    const std::vector<std::string>& asked = run_.task.paths;
    if (changes.names || changes.everything || std::any_of(asked.begin(), asked.end(), [&](const auto& path) {
          return changes.files.count(path) > 0;
        }))
      find();
    std::set<std::string> there, look = changes.files;
    for (const Found& each : found_) there.insert(each.path);
    for (const std::string& path : memory_.patterns())
      if (there.count(path) == 0) look.insert(path);
    if (changes.everything)
      for (const auto& [file, readable] : memory_.files()) look.insert(file);
    const std::map<std::string, Stamp> now = stamps(look);
    waiting_.merge(memory_.outdated(now));
    for (const std::string& path : memory_.patterns()) {
      const auto stamp = now.find(path);
      if (there.count(path) > 0 || stamp == now.end()) continue;
      // A folder that could not be looked through to its end is no proof.
      if (stamp->second.readable && !problems_.empty()) continue;
      waiting_.erase(path);
      tell(memory_.forget(path));
    }
  }

  /// New patterns, and those that wait for nothing any more, in their order.
  std::vector<Found> take_ready() {
    std::vector<Found> out;
    for (const Found& each : found_) {
      const bool known = memory_.knows(each.path);
      if (known && (waiting_.count(each.path) == 0 || waits(each.path))) continue;
      out.push_back(each);
      waiting_.erase(each.path);
    }
    return out;
  }

  void round(const Changes& changes) {
    look_at(changes);
    const std::vector<Found> files = take_ready();
    Sums sums;
    std::vector<Kind> kinds;
    std::map<std::string, Outcome> compiled;
    for (const Found& each : files) compiled[each.path];
    compile_all(
        files, run_.jobs,
        [&](const Found& each) {
          Told told;
          if (!ended_) compiled[each.path] = compile(each, run_.task, drawn_, told);
          return told;
        },
        [&](const Found& each, const Told& told) {
          if (ended_) return;
          sums.add(told.sums);
          const News news = memory_.take(std::move(compiled[each.path]), first_);
          tell(news);
          for (const Kind kind : news.kinds)
            if (hinted_.insert(kind).second) kinds.push_back(kind);
          ended_ = !heard_ || watching_.ended();
        });
    if (ended_) return;
    tell(stderr, explain_hint(kinds));
    tell_problems();
    if (first_) tell(stdout, summary(sums, run_.task));
    first_ = false;
  }

  /// For changes, or for the end of a doubt.
  Changes wait() {
    Changes out = watching_.next(doubts_.ends());
    std::set<std::string> gone = doubts_.ended(std::chrono::steady_clock::now());
    if (!gone.empty()) out.names = true;
    out.files.merge(gone);
    return out;
  }

  Run run_;
  Watching watching_;
  WatchMemory memory_;
  DrawnFiles drawn_;
  Doubts doubts_;
  std::vector<Found> found_;
  std::set<std::string> waiting_;  ///< outdated patterns
  std::set<std::string> problems_, told_problems_;
  std::set<Kind> hinted_;
  bool first_ = true;
  bool heard_ = true;                ///< somebody reads what is told
  std::atomic<bool> ended_ = false;  ///< nothing is begun any more
};

}  // namespace

void add_watch(CLI::App& app, Command& chosen) {
  const auto asked = std::make_shared<Run>();
  Task& task = asked->task;
  CLI::App* watch = app.add_subcommand(
      "watch",
      "Check patterns, and again whenever they or files that they use are saved; with --to, build them. Says "
      "only what is new. Ctrl+C ends it");
  add_pattern_options(*watch, task);
  add_jobs_option(*watch, asked->jobs);
  CLI::Option* to =
      watch
          ->add_option(
              "--to", task.to,
              "Build: the folder to write charts, documents and reports into, each when its bytes have "
              "changed. Without it nothing is written, and what says how to write has no use")
          ->type_name("DIR")
          ->group("Files");
  for (CLI::Option* option : add_output_options(*watch, task)) option->needs(to);
  watch->callback([&chosen, asked] {
    asked->task.look = look_of_errors();
    chosen = [asked] { return Watch(*asked).run(); };
  });
}

}  // namespace wale
