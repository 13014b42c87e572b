/// Files, the program's edge: found, read, and written whole or not at all.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/ledger.hpp"
#include "compiler/loading.hpp"
#include "compiler/outputs.hpp"

namespace wale {

/// A pattern file and the folder below the output folder in which its files belong.
struct Found {
  std::string path;
  std::string folder;  ///< relative; empty for a file named on the command line
};

/// What cannot be looked at, and why.
struct Problem {
  std::string path, reason;

  std::string words() const { return path + ": " + reason; }
};

/// Files named, and all `*.wale` below folders, sorted. What cannot be looked at is added to `problems`.
std::vector<Found> find_patterns(const std::vector<std::string>& paths, std::vector<Problem>& problems);

/// The file's bytes; of one larger than a pattern may be, just over that many. Nothing, and a reason, where
/// it cannot be read.
std::optional<std::string> read_file(const std::string& path, std::string& reason);

/// Files as they lie on the disk, for `load`.
FileAccess files_on_disk();
/// The pattern in the file and all that it uses. Nothing, and a reason, where the file cannot be read.
std::optional<Loaded> load_file(const std::string& path, std::string& reason);

/// What the file system says of a file.
struct FileFacts {
  Fingerprint stamp;         ///< of its size, times and number: as long as it is the same, so are the bytes
  std::int64_t changed = 0;  ///< when it was, in nanoseconds since 1970
};
/// Nothing where there is no ordinary file.
std::optional<FileFacts> facts_of(const std::string& path);
/// Of the bytes in it, however many. Nothing where it is no ordinary file or cannot be read.
std::optional<Fingerprint> fingerprint_of(const std::string& path);
/// Now, as `FileFacts::changed` counts.
std::int64_t file_time();

/// Files that were written, or the reason why none was.
struct Written {
  std::vector<LedgerFile> files = {};     ///< all that were to be, in their order
  std::vector<std::string> changed = {};  ///< names of those that are new or have other bytes than before
  std::optional<std::string> failure = {};
};

/// Writes all files into the folder, which is made if need be. They are first written in a `ScratchFolder`
/// and only then, when all are complete, moved to their places; on failure nothing new is left, and what was
/// there before still is. A file that already holds its bytes is left as it is.
Written write_files(const std::string& folder, const std::vector<OutputFile>& files);

/// Puts `after` in place of the file's text, if that still is `before`. It is written beside the file, with
/// the owner and the permissions of it, and moved there when it is complete, so the file holds either text
/// whole, whatever fails; a link is followed to its file. A file that may not be written is left alone.
/// Returns the reason, or nothing.
std::optional<std::string> replace_file(const std::string& path, const std::string& before,
                                        const std::string& after);

}  // namespace wale
