/// A collection of patterns looked through, and written up as charts, documents and reports: what `wale
/// check` and `wale build` do.
///
/// Files are compiled side by side, on as many cores as are wanted, and told one after another in their
/// order: what is printed does not hang on which was ready first. Few are on their way at a time, so a
/// collection of any size takes the memory of those few.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "compiler/command_compile.hpp"

namespace wale {

enum class Report { text, json, sarif, junit };

/// What is done with the whole collection.
struct Run {
  Task task;
  Report report = Report::text;
  std::size_t jobs = 0;  ///< files at a time; 0: as many as there are cores
  bool listed = false;   ///< only files named on standard input
  bool anew = false;     ///< what is up to date, too
  /// Where a rule is written for whoever else decides what to build; there is no ledger then.
  std::optional<std::string> depfile = {};
};

/// Calls `work` with each of the files, up to `jobs` at a time (0: as many as there are cores), and `tell`
/// with what came of each in the order of the files.
void compile_all(const std::vector<Found>& files, std::size_t jobs,
                 const std::function<Told(const Found&)>& work,
                 const std::function<void(const Found&, Told)>& tell);

/// Of patterns that would write the same files leaves the first, and adds the others to `problems`; a file
/// that is named twice is built once.
void part_clashing(std::vector<Found>& files, const Task& task, std::vector<Problem>& problems);

/// "14 patterns compiled, 1 warning".
std::string summary(const Sums& sums, const Task& task);

/// Returns the exit status.
int run_collection(const Run& run);

}  // namespace wale
