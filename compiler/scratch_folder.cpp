#include "compiler/scratch_folder.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <climits>
#include <csignal>
#include <filesystem>
#include <mutex>

namespace wale {

namespace {

/// Folders that are looked for; more at a time than that are made and not looked for.
constexpr int most_looked_for = 64;
constexpr int most_made = 100'000;

std::string numbered(const std::string& parent, int number) {
  return (std::filesystem::path(parent) / fmt::format(".wale-{}", number)).string();
}

enum class Lock { held, taken, not_here };

struct Folder {
  int file = -1;
  Lock lock = Lock::taken;
};

/// Opens a folder and takes its lock, if nobody has it; `not_here` where there are no locks.
Folder open_folder(const std::string& path) {
  const int file = ::open(path.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
  if (file < 0) return {};
  const bool locked = ::flock(file, LOCK_EX | LOCK_NB) == 0;
  struct stat facts {};
  // It may have been removed before the lock was there.
  const bool there = ::fstat(file, &facts) == 0 && facts.st_nlink > 0;
  if (there && locked) return {file, Lock::held};
  if (there && errno != EWOULDBLOCK) return {file, Lock::not_here};
  ::close(file);
  return {};
}

void empty_and_remove(const std::string& path) {
  std::error_code ignored;
  std::filesystem::remove_all(path, ignored);
}

// --- where a signal ends the program

/// A scratch folder in use, where a signal's handler finds it: it may neither allocate nor lock.
struct Noted {
  std::atomic<bool> taken = false;
  std::atomic<int> folder = -1;  ///< descriptor; -1: nothing to remove
  std::atomic<std::size_t> files = 0;
  char path[PATH_MAX] = "";
};
std::array<Noted, 64> all_noted;

/// Only what may be called in a handler (POSIX.1-2017, System Interfaces 2.4.3).
extern "C" void remove_and_end(int signal) {
  for (Noted& each : all_noted) {
    const int folder = each.folder.load();
    if (folder < 0) continue;
    for (std::size_t number = 0; number < each.files.load(); ++number) {
      char name[] = "00000000000000000000.old";
      char* const end = name + sizeof name - sizeof ".old";
      char* digits = end;
      std::size_t rest = number;
      do *--digits = static_cast<char>('0' + rest % 10);
      while ((rest /= 10) > 0);
      ::unlinkat(folder, digits, 0);
      *end = '\0';
      ::unlinkat(folder, digits, 0);
    }
    ::rmdir(each.path);
  }
  ::signal(signal, SIG_DFL);
  ::raise(signal);
}

/// Where nobody else wants to know of them.
void mind_signals() {
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
    struct sigaction now {};
    if (::sigaction(signal, nullptr, &now) != 0 || now.sa_handler != SIG_DFL) continue;
    now.sa_handler = remove_and_end;
    ::sigaction(signal, &now, nullptr);
  }
}

/// Signals that end the program wait: a folder that is made is noted, too.
class NoEnding {
 public:
  NoEnding() {
    sigset_t ending;
    ::sigemptyset(&ending);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) ::sigaddset(&ending, signal);
    ::pthread_sigmask(SIG_BLOCK, &ending, &before_);
  }
  ~NoEnding() { ::pthread_sigmask(SIG_SETMASK, &before_, nullptr); }
  NoEnding(const NoEnding&) = delete;
  NoEnding& operator=(const NoEnding&) = delete;

 private:
  sigset_t before_;
};

/// Its index, or that behind the last where there is no room.
std::size_t note(const std::string& path, int folder) {
  static std::once_flag once;
  std::call_once(once, mind_signals);
  std::size_t at = 0;
  while (at < all_noted.size() && (path.size() >= PATH_MAX || all_noted[at].taken.exchange(true))) ++at;
  if (at == all_noted.size()) return at;
  all_noted[at].files = 0;
  std::copy_n(path.c_str(), path.size() + 1, all_noted[at].path);
  all_noted[at].folder = folder;
  return at;
}

void forget(std::size_t noted) {
  if (noted == all_noted.size()) return;
  all_noted[noted].folder = -1;
  all_noted[noted].taken = false;
}

}  // namespace

void remove_abandoned(const std::string& parent) {
  for (int number = 0; number < most_looked_for; ++number) {
    const std::string path = numbered(parent, number);
    const Folder folder = open_folder(path);
    if (folder.lock == Lock::held) empty_and_remove(path);
    if (folder.file >= 0) ::close(folder.file);
  }
}

ScratchFolder::ScratchFolder(const std::string& parent) {
  remove_abandoned(parent);
  const NoEnding until_noted;
  for (int number = 0; number < most_made; ++number) {
    const std::string path = numbered(parent, number);
    if (::mkdir(path.c_str(), 0700) != 0) {
      if (errno == EEXIST) continue;
      return;
    }
    // Somebody may have taken it for abandoned.
    const Folder folder = open_folder(path);
    if (folder.file < 0) continue;
    path_ = path;
    lock_ = folder.file;
    noted_ = note(path_, lock_);
    return;
  }
}

ScratchFolder::~ScratchFolder() {
  if (path_.empty()) return;
  empty_and_remove(path_);
  forget(noted_);
  ::close(lock_);
}

std::string ScratchFolder::file(std::size_t number, const char* ending) const {
  return fmt::format("{}/{}{}", path_, number, ending);
}

int ScratchFolder::make(std::size_t number) const {
  if (noted_ < all_noted.size())
    all_noted[noted_].files = std::max(all_noted[noted_].files.load(), number + 1);
  return ::open(file(number).c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
}

std::optional<std::size_t> ScratchFolder::move_all(const std::vector<std::string>& places) const {
  std::vector<bool> kept, fresh;  // what was there has a second name; nothing was there
  for (std::size_t i = 0; i < places.size(); ++i) {
    kept.push_back(::link(places[i].c_str(), file(i, ".old").c_str()) == 0);
    const bool nothing_there = !kept.back() && errno == ENOENT;
    if (::rename(file(i).c_str(), places[i].c_str()) == 0) {
      fresh.push_back(nothing_there);
      continue;
    }
    const int problem = errno;
    while (i-- > 0)
      if (kept[i])
        ::rename(file(i, ".old").c_str(), places[i].c_str());
      else if (fresh[i])
        ::unlink(places[i].c_str());
    errno = problem;
    return kept.size() - 1;
  }
  return {};
}

}  // namespace wale
