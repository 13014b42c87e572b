/// What `wale watch` remembers of its patterns, and what follows from it: which to compile again when files
/// have changed, and what there is to tell when that is done.
///
/// Values only: no file is touched here. A file is known by a `Stamp` of what it held when a pattern read it,
/// so a file that was saved and says the same as before changes nothing. A diagnostic is known by what it
/// says and in which file, not by its line: one that only moved down is not told again.
///
///     before   scarf.wale:8:8: error: rib is 4n + 2 st wide, and here it gets 44
///     now      fine; scarf.pdf and scarf.txt have other bytes, scarf.old.svg is no longer made
///     told     scarf.wale: 1 error mended; written: scarf.pdf, scarf.txt; removed: scarf.old.svg
#pragma once

#include <map>
#include <set>
#include <string>
#include <tuple>
#include <variant>
#include <vector>

#include "compiler/check_report.hpp"
#include "compiler/fingerprint.hpp"
#include "compiler/loading.hpp"

namespace wale {

/// Of what a file held, or of why it could not be read.
struct Stamp {
  bool readable = false;
  Fingerprint what = {};
  bool operator==(const Stamp&) const = default;
};
Stamp stamp_of(const std::variant<std::string, Unreadable>& read);

/// What compiling one pattern came to.
struct Outcome {
  std::string path;
  std::map<std::string, Stamp> read;  ///< all files that it asked for, its own and missing ones among them
  std::vector<Finding> findings;
  std::vector<std::string> shown;    ///< as text, one for each finding; more where some were not kept
  std::string trouble;               ///< why something could not be read or written; ends its line
  bool complete = false;             ///< no error, nor trouble: `made` is all that it makes
  std::set<std::string> made;        ///< paths of the files that it makes
  std::vector<std::string> written;  ///< names of those that were not on the disk with the same bytes
};

/// What there is to tell.
struct News {
  std::string out, err;
  std::vector<Kind> kinds;        ///< of what is told in `err`
  std::set<std::string> removed;  ///< paths of files that nobody makes any more
};

class WatchMemory {
 public:
  bool knows(const std::string& pattern) const { return patterns_.count(pattern) > 0; }
  std::vector<std::string> patterns() const;
  /// All files that any pattern asked for, and whether it could read them.
  std::map<std::string, bool> files() const;
  /// The files that this pattern, which is known, asked for.
  const std::map<std::string, Stamp>& read_by(const std::string& pattern) const;
  /// The patterns that read something else than what the files hold now.
  std::set<std::string> outdated(const std::map<std::string, Stamp>& now) const;

  /// Remembers it in the place of what was known. At first, when everything is new, that is not said of each.
  News take(Outcome compiled, bool at_first = false);
  /// The pattern is no more.
  News forget(const std::string& pattern);

  /// What a diagnostic says, wherever it stands: its file, its kind, and its words.
  using Key = std::tuple<std::string, Kind, std::string, std::string>;

 private:
  void count(const Outcome& compiled, int by);
  std::set<std::string> orphans(const std::set<std::string>& files, const std::string& pattern) const;
  void tell_new(const Outcome& before, const Outcome& now, News& news) const;
  std::map<std::string, std::string> mended(const Outcome& before, const Outcome& now) const;

  std::map<std::string, Outcome> patterns_;
  /// How often each is found. A mistake in a file that many use is each one's mistake, and is told once.
  std::map<Key, int> found_;
};

/// "scarf.pdf, scarf.txt", of paths and names alike.
std::string names_of(const std::set<std::string>& paths);

}  // namespace wale
