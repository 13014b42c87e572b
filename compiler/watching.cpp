#include "compiler/watching.hpp"

#include <fmt/format.h>
#include <poll.h>
#include <sys/inotify.h>
#include <sys/signalfd.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <deque>
#include <filesystem>
#include <utility>

namespace wale {

namespace fs = std::filesystem;

namespace {

/// What happens to names, and what happens to the bytes behind them.
constexpr std::uint32_t of_names = IN_CREATE | IN_DELETE | IN_MOVED_FROM | IN_MOVED_TO | IN_ATTRIB;
constexpr std::uint32_t of_bytes = of_names | IN_MODIFY | IN_CLOSE_WRITE;

std::string join(const std::string& folder, const std::string& name) {
  return folder.ends_with('/') ? folder + name : folder + "/" + name;
}

/// A name for a file that was there before, or for another name: nobody is going to close it.
bool is_link(const std::string& path) {
  struct stat facts {};
  return ::lstat(path.c_str(), &facts) == 0 && (!S_ISREG(facts.st_mode) || facts.st_nlink > 1);
}

}  // namespace

std::vector<std::string> places_of(const std::string& path) {
  constexpr int most_links = 40;  // as many as Linux follows
  std::vector<std::string> out;
  std::error_code error;
  const fs::path given(path);
  fs::path here = given.is_absolute() ? fs::path("/") : fs::current_path(error);
  std::deque<fs::path> steps(given.begin(), given.end());
  for (int links = 0; !steps.empty();) {
    const fs::path step = steps.front();
    steps.pop_front();
    if (step.empty() || step == "." || step == "/") continue;
    if (step == "..") {
      here = here.parent_path();
      continue;
    }
    const fs::path there = here / step;
    out.push_back(there.string());
    const fs::file_status status = fs::symlink_status(there, error);
    if (fs::is_symlink(status)) {
      const fs::path target = fs::read_symlink(there, error);
      if (error || ++links > most_links) break;
      if (target.is_absolute()) here = "/";
      steps.insert(steps.begin(), target.begin(), target.end());
      continue;
    }
    if (!fs::exists(status)) break;
    here = there;
  }
  return out;
}

Watching::Watching() {
  sigset_t signals;
  sigemptyset(&signals);
  sigaddset(&signals, SIGINT);
  sigaddset(&signals, SIGTERM);
  ::sigprocmask(SIG_BLOCK, &signals, nullptr);
  signals_ = ::signalfd(-1, &signals, SFD_NONBLOCK | SFD_CLOEXEC);
  events_ = ::inotify_init1(IN_NONBLOCK | IN_CLOEXEC);
  if (events_ >= 0 && signals_ >= 0) return;
  if (errno == EMFILE && events_ < 0)
    trouble(
        "nothing can be watched: too many programs watch files already; the system's limit stands in "
        "/proc/sys/fs/inotify/max_user_instances");
  else
    trouble(fmt::format("nothing can be watched: {}", std::strerror(errno)));
}

Watching::~Watching() {
  if (events_ >= 0) ::close(events_);
  if (signals_ >= 0) ::close(signals_);
}

void Watching::trouble(const std::string& words) {
  if (said_.insert(words).second) troubles_.push_back(words);
}

std::vector<std::string> Watching::take_troubles() {
  return std::exchange(troubles_, {});
}

void Watching::add_folder(const std::string& path, std::uint32_t mask, bool all) {
  if (const auto known = numbers_.find(path); known != numbers_.end()) {
    Folder& folder = folders_[known->second];
    folder.all = folder.all || all;
    if ((folder.mask | mask) == folder.mask) return;
    mask |= folder.mask;
    all = folder.all;
  }
  // Added to what the folder is watched for: between two calls nothing may be missed.
  const int number = ::inotify_add_watch(events_, path.c_str(), mask | IN_ONLYDIR | IN_MASK_ADD);
  if (number >= 0) {
    // One folder may have two paths; events are told by the last one.
    if (const auto before = folders_.find(number); before != folders_.end() && before->second.path != path)
      numbers_.erase(before->second.path);
    folders_[number] = {path, mask, all};
    numbers_[path] = number;
  } else if (errno == ENOSPC || errno == ENOMEM) {
    trouble(
        "there are more folders than the system lets one watch; its limit stands in "
        "/proc/sys/fs/inotify/max_user_watches");
  } else if (errno != ENOENT && errno != ENOTDIR && mask == of_bytes) {
    // Above the files' own folders it can do without.
    trouble(fmt::format("{}: cannot be watched: {}", path, std::strerror(errno)));
  }
}

/// Each folder is watched before it is looked into: what comes to be in it is either seen now or told later.
void Watching::walk(const std::string& folder) {
  std::error_code error;
  const fs::path real = fs::canonical(folder, error);
  if (error || !fs::is_directory(real, error)) return;
  add_folder(real.string(), of_bytes, true);
  fs::recursive_directory_iterator each(real, fs::directory_options::skip_permission_denied, error), end;
  for (; !error && each != end; each.increment(error)) {
    std::error_code ignored;
    if (each->is_directory(ignored) && !each->is_symlink(ignored))
      add_folder(each->path().string(), of_bytes, true);
  }
}

/// Whether it lies elsewhere than before, or was not watched before.
bool Watching::watch_file(const std::string& path) {
  std::vector<std::string>& way = ways_[path];
  const std::vector<std::string> before = way;
  // The way may change before its folders are watched: until it stays the same.
  constexpr int most_tries = 5;
  std::vector<std::string> now = places_of(path);
  for (int tries = 0; tries < most_tries; ++tries) {
    for (const std::string& place : now)
      add_folder(fs::path(place).parent_path().string(), &place == &now.back() ? of_bytes : of_names, false);
    std::vector<std::string> again = places_of(path);
    if (again == now) break;
    now = std::move(again);
  }
  for (const std::string& place : before) places_[place].erase(path);
  for (const std::string& place : now) places_[place].insert(path);
  way = std::move(now);
  return way != before;
}

void Watching::release(const std::set<int>& before) {
  for (const int number : before)
    if (folders_.count(number) == 0) ::inotify_rm_watch(events_, number);
}

void Watching::forget() {
  anew_ = true;
}

std::set<std::string> Watching::watch(const std::vector<std::string>& folders,
                                      const std::set<std::string>& files) {
  std::set<std::string> fresh;
  if (events_ < 0) return fresh;
  std::set<int> before;
  const bool anew = std::exchange(anew_, false);
  if (anew) {
    for (const auto& [number, folder] : folders_) before.insert(number);
    folders_.clear();
    numbers_.clear();
    for (const std::string& folder : folders) walk(folder);
  }
  for (auto each = ways_.begin(); each != ways_.end();) {
    if (files.count(each->first) > 0) {
      ++each;
      continue;
    }
    for (const std::string& place : each->second) places_[place].erase(each->first);
    each = ways_.erase(each);
  }
  for (const std::string& path : files)
    if ((anew || ways_.count(path) == 0 || uncertain_.count(path) > 0) && watch_file(path))
      fresh.insert(path);
  std::erase_if(places_, [](const auto& place) { return place.second.empty(); });
  uncertain_.clear();
  release(before);
  return fresh;
}

void Watching::handle_folder(const inotify_event& event, const Folder& in, const std::string& place,
                             Changes& out, Settling& settling) {
  const bool known = places_.count(place) > 0;
  if (!known && !in.all) return;
  const bool came = (event.mask & (IN_CREATE | IN_MOVED_TO)) != 0;
  if (came && in.all) walk(place);
  if (known || !came) out.everything = true;
  out.names = true;
  settling.done(place, std::chrono::steady_clock::now());
}

void Watching::handle(const inotify_event& event, const std::string& name, Changes& out, Settling& settling) {
  const Time now = std::chrono::steady_clock::now();
  if ((event.mask & IN_Q_OVERFLOW) != 0) {
    out.everything = true;
    settling.done("", now);
    return;
  }
  const auto found = folders_.find(event.wd);
  if (found == folders_.end()) return;
  const Folder in = found->second;
  if ((event.mask & IN_IGNORED) != 0) {  // the folder is gone
    numbers_.erase(in.path);
    folders_.erase(found);
    out.everything = true;
    settling.done(in.path, now);
    return;
  }
  if (name.empty()) return;
  const std::string place = join(in.path, name);
  if ((event.mask & IN_ISDIR) != 0) return handle_folder(event, in, place, out, settling);
  const auto known = places_.find(place);
  if (known != places_.end()) {
    out.files.insert(known->second.begin(), known->second.end());
    uncertain_.insert(known->second.begin(), known->second.end());
    // A link on the way leads elsewhere.
    out.everything =
        out.everything || std::any_of(known->second.begin(), known->second.end(),
                                      [&](const auto& file) { return ways_[file].back() != place; });
  } else if (in.all && name.ends_with(".wale")) {
    out.names = true;
  } else {
    return;
  }
  if ((event.mask & IN_MODIFY) != 0 || ((event.mask & IN_CREATE) != 0 && !is_link(place)))
    settling.begun(place, now);
  else if ((event.mask & IN_ATTRIB) != 0)
    settling.touched(place, now);
  else
    settling.done(place, now);
}

void Watching::read_events(Changes& out, Settling& settling) {
  alignas(inotify_event) char buffer[1 << 16];
  for (;;) {
    const ssize_t got = ::read(events_, buffer, sizeof buffer);
    if (got <= 0) return;
    for (const char* at = buffer; at < buffer + got;) {
      inotify_event event{};
      std::memcpy(&event, at, sizeof event);
      // The name is filled up with zeros.
      const std::string name = event.len > 0 ? std::string(at + sizeof event) : std::string();
      handle(event, name, out, settling);
      at += sizeof event + event.len;
    }
  }
}

Changes Watching::next(std::optional<Time> until) {
  Changes out;
  Settling settling;
  while (!ended()) {
    const Time now = std::chrono::steady_clock::now();
    const std::optional<Time> wanted = out.any() ? settling.ready() : until;
    if (wanted && *wanted <= now) return out;
    timespec left{};
    if (wanted) {
      const auto time = std::chrono::duration_cast<std::chrono::nanoseconds>(*wanted - now).count();
      left = {static_cast<time_t>(time / 1'000'000'000), static_cast<long>(time % 1'000'000'000)};
    }
    pollfd files[] = {{events_, POLLIN, 0}, {signals_, POLLIN, 0}};
    ::ppoll(files, 2, wanted ? &left : nullptr, nullptr);
    read_events(out, settling);
  }
  return {};
}

bool Watching::ended() {
  signalfd_siginfo signal{};
  if (!ended_) ended_ = ::read(signals_, &signal, sizeof signal) == sizeof signal;
  return ended_;
}

}  // namespace wale
