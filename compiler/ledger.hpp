/// What a build wrote, from what, and how: the ledger that lies in the output folder, so that the next build
/// does only what has changed.
///
/// An entry belongs to what a pattern is built into, a folder and the stem of its files. The latest entry
/// counts, and one that has read nothing says that the pattern is gone. The ledger is only ever added to, an
/// entry at a time and each with its length and its fingerprint before it: two builds at once add theirs one
/// after another, and what a build that was killed had told it stays told. Anything in it that is no whole
/// entry, or leads out of the output folder, is passed over, so a broken ledger costs work and nothing else.
///
///     = 213 5f0c...                           213 bytes with that fingerprint follow
///     for lace/shawl                          lace/shawl.pdf and so on
///     of ../patterns/lace/shawl.wale          from the output folder
///     as 91b2...                              program, options: whatever else decides what is written
///     read 03ad... 77e1... shawl.wale         stamp, fingerprint, from the pattern's folder
///     made 8c11... 0be4... shawl.pdf          stamp, fingerprint
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "compiler/fingerprint.hpp"

namespace wale {

/// A file as it was read or written. Its `stamp` stands for what the file system says of it (size, times,
/// number): where that is as it was, the bytes need not be looked at.
struct LedgerFile {
  Fingerprint stamp, bytes;
  std::string name;
  bool operator==(const LedgerFile&) const = default;
};

struct LedgerEntry {
  std::string key;               ///< below the output folder: "lace/shawl"
  std::string source;            ///< the pattern's file, seen from the output folder
  Fingerprint as;                ///< of all but the files that decides what is made
  std::vector<LedgerFile> read;  ///< names from the pattern's folder, the pattern first
  std::vector<LedgerFile> made;  ///< names in the folder of the key
  /// What was said of it, to be said again when it is not compiled: empty where nothing was.
  std::string said;
  Fingerprint said_as;                    ///< of the form that it was said in
  std::size_t warnings = 0, certain = 0;  ///< among what was said; of them those that can be mended
  std::vector<std::string> kinds;         ///< of what was said, by their slugs
  bool operator==(const LedgerEntry&) const = default;
};

/// The bytes to add.
std::string write_entry(const LedgerEntry& entry);

struct Ledger {
  std::map<std::string, LedgerEntry, std::less<>> entries;  ///< the latest of each key that is not gone
  std::size_t superseded = 0;                               ///< entries that count no more, and broken places
};

Ledger read_ledger(std::string_view bytes);

}  // namespace wale
