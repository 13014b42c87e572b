/// What of an output folder is up to date, and need not be made again.
///
/// A pattern is up to date when everything is as the ledger of the folder (ledger.hpp) has it: the files that
/// it was read from, those that were made, the program and what it was asked for. Where a file only looks
/// changed - it was checked out anew, say - its bytes are compared.
///
///     wale build patterns --to out     out/.wale-ledger    all compiled, and an entry written for each
///     wale build patterns --to out                         one entry no longer holds: one is compiled
///
/// Several threads may ask at once, and several programs may build into one folder.
#pragma once

#include <mutex>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "compiler/command_compile.hpp"
#include "compiler/ledger.hpp"

namespace wale {

class Freshness {
 public:
  /// With `anew` nothing counts as up to date.
  Freshness(const Task& task, bool anew);
  ~Freshness();
  Freshness(const Freshness&) = delete;
  Freshness& operator=(const Freshness&) = delete;

  /// What was said of the file when it was compiled, if it need not be compiled again.
  std::optional<Told> still(const Found& found);
  /// Enters what a pattern without errors came to, and removes those of its earlier files that it makes no
  /// more.
  void enter(const Found& found, const Told& told);
  /// Removes the files of patterns that are no longer in a folder that was looked through, but for those that
  /// somebody has changed since. Says so, a line for each.
  std::vector<std::string> clear_away(const std::vector<Found>& found);
  /// Whether files from an earlier build lie where a pattern now has errors.
  bool has_earlier(const Found& found) const;
  /// Why there will be no ledger; empty where there is one.
  const std::string& failure() const { return failure_; }

 private:
  bool holds(LedgerFile& file, const std::string& path, bool& changed) const;
  Fingerprint stamp_of(const FileFacts& facts) const;
  std::pair<std::size_t, bool> remove(const LedgerEntry& entry, const std::vector<LedgerFile>& kept) const;
  bool open();
  void append(const LedgerEntry& entry);
  void shorten();
  std::string path() const;

  /// Of a ledger that is looked at. It has about 2 kB a pattern.
  static constexpr std::int64_t most_ledger = 1 << 30;

  const Task& task_;
  bool anew_;
  std::int64_t began_;
  Fingerprint as_;
  Ledger ledger_;  ///< as it was when this build began
  std::mutex appending_;
  std::string waiting_;  ///< to be appended
  int file_ = -1;
  std::string failure_;
};

}  // namespace wale
