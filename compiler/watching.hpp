/// Files watched on the disk: which of them may have changed, told when they have come to rest.
///
/// The system (inotify(7), Linux) tells what happens to the names in a folder. A path leads through several
/// folders, and through links that lead elsewhere; whatever happens to one of the names on the way may change
/// what the path means. So each step of the way is watched, the first that is missing among them.
///
///     yarns/locker.wale, where yarns -> /shelf     ./yarns, /shelf, /shelf/locker.wale
///
/// What is told is a hint: the files are to be read and compared. Nothing is lost between asking for a file
/// and the first hint, for what is newly watched is handed back to be looked at once more.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "compiler/settling.hpp"

struct inotify_event;

namespace wale {

/// What may be another than it was.
struct Changes {
  std::set<std::string> files;  ///< by the paths by which they were asked for
  bool names = false;           ///< pattern files came or went below the folders
  bool everything = false;      ///< folders moved, or the system lost count

  bool any() const { return names || everything || !files.empty(); }
};

/// Each name that the path leads through, from the working folder or from the root, as `FOLDER/NAME` with the
/// folder's own path; as far as they are there, and the first that is not.
std::vector<std::string> places_of(const std::string& path);

class Watching {
 public:
  /// From here on SIGINT and SIGTERM wait to be asked for.
  Watching();
  ~Watching();
  Watching(const Watching&) = delete;
  Watching& operator=(const Watching&) = delete;

  /// Watches these files, there or not, and all folders below those named, and no others. Returns the files
  /// that were not watched before as they lie now.
  std::set<std::string> watch(const std::vector<std::string>& folders, const std::set<std::string>& files);
  /// Takes nothing for granted when `watch` is called next.
  void forget();
  /// Why something is not watched, each said once.
  std::vector<std::string> take_troubles();

  /// Waits for changes to come to rest; empty when `until` came first, or a signal.
  Changes next(std::optional<Time> until);
  /// Whether it is to end: a signal came.
  bool ended();

 private:
  struct Folder {
    std::string path;
    std::uint32_t mask = 0;
    bool all = false;  ///< patterns are found in it
  };

  void add_folder(const std::string& path, std::uint32_t mask, bool all);
  void walk(const std::string& folder);
  bool watch_file(const std::string& path);
  void release(const std::set<int>& before);
  void trouble(const std::string& words);
  void read_events(Changes& out, Settling& settling);
  void handle(const inotify_event& event, const std::string& name, Changes& out, Settling& settling);
  void handle_folder(const inotify_event& event, const Folder& in, const std::string& place, Changes& out,
                     Settling& settling);

  int events_ = -1, signals_ = -1;
  bool ended_ = false, anew_ = true;
  std::map<int, Folder> folders_;                         ///< by the system's number
  std::map<std::string, int> numbers_;                    ///< and by path
  std::map<std::string, std::vector<std::string>> ways_;  ///< the places of each file
  std::map<std::string, std::set<std::string>> places_;   ///< the files that each place leads to
  std::set<std::string> uncertain_;                       ///< files whose way may have changed
  std::vector<std::string> troubles_;
  std::set<std::string> said_;
};

}  // namespace wale
