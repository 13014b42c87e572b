/// A folder within another, for files that are not complete yet.
///
///     out/.wale-0/0     written, then moved to out/scarf.pdf
///     out/.wale-0/1     being written
///
/// Its maker holds a lock on it for as long as it works. The system takes the lock from a program that is
/// killed; so whoever next makes a scratch folder in the same place finds those that nobody holds, and
/// removes them with what is in them. Several at a time, of one program or of many, do not touch each other.
/// A program that is asked to end (Ctrl-C, SIGTERM, SIGHUP) removes its own first.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace wale {

/// Removes the scratch folders in `parent` whose makers were killed.
void remove_abandoned(const std::string& parent);

class ScratchFolder {
 public:
  /// Made within `parent`, which must be there, and readable by nobody else. Where it cannot be made, `path`
  /// is empty and errno tells why.
  explicit ScratchFolder(const std::string& parent);
  /// Removed, with all that is still in it.
  ~ScratchFolder();
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;

  const std::string& path() const { return path_; }

  /// A new file in it, by number, to be written: its descriptor, or -1 and errno.
  int make(std::size_t number) const;
  /// Moves file 0 to the first of these places, file 1 to the second, and so on, each over what is there:
  /// all of them, or, where one cannot be moved, none. Returns the index of that one, and errno; what has
  /// been there before is back then, unless the file system knows no links.
  std::optional<std::size_t> move_all(const std::vector<std::string>& places) const;

 private:
  std::string file(std::size_t number, const char* ending = "") const;

  std::string path_;
  int lock_ = -1;
  std::size_t noted_ = 0;  ///< where it stands among those that are removed on a signal
};

}  // namespace wale
