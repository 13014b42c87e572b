/// When files have come to rest after they were written, so that half a file is not read.
///
/// An editor empties a file, writes it and closes it; or writes another and moves it over; or takes the file
/// away and makes it anew; and whoever changes many files does so one soon after another. `Settling` says
/// when what was noticed can be looked at, `Doubts` when a file that is not there is taken to be gone.
///
///     opened and emptied   0 ms   begun
///     written              1 ms   begun
///     closed               2 ms   done      ready at 7 ms
///
/// Both are told the time and have no clock.
#pragma once

#include <chrono>
#include <map>
#include <optional>
#include <set>
#include <string>

namespace wale {

using Time = std::chrono::steady_clock::time_point;

class Settling {
 public:
  /// After the last change, where few files changed, and where many did: more are to come.
  static constexpr std::chrono::milliseconds quiet{5}, quiet_of_many{30};
  static constexpr std::size_t few = 3;
  /// For a file that is written and not closed: some programs keep their files open.
  static constexpr std::chrono::milliseconds quiet_of_open{250};
  /// Nothing waits for longer, whatever goes on.
  static constexpr std::chrono::milliseconds longest{2000};

  /// It was made, or written to, and will be closed.
  void begun(const std::string& path, Time now);
  /// It was closed, moved, or taken away.
  void done(const std::string& path, Time now);
  /// Something about it changed that says nothing of its bytes.
  void touched(const std::string& path, Time now);

  /// When to look; nothing where nothing was noticed.
  std::optional<Time> ready() const;

 private:
  std::set<std::string> paths_;
  std::map<std::string, Time> open_;  ///< when each was written to last
  Time first_, last_;
};

class Doubts {
 public:
  static constexpr std::chrono::milliseconds grace{400};

  /// Whether to wait for the file, which was there before, to come back.
  bool hold_back(const std::string& path, bool there, bool was_there, Time now);
  bool about(const std::string& path) const { return since_.count(path) > 0; }
  /// When the first of them ends; nothing where there is none.
  std::optional<Time> ends() const;
  /// Those that have ended.
  std::set<std::string> ended(Time now) const;

 private:
  std::map<std::string, Time> since_;
};

}  // namespace wale
