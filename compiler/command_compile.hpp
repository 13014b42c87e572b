/// One pattern file from its name to what is said of it and what is written: what `wale check` and `wale
/// build` do with every file of a collection.
///
/// Nothing is printed here. What there is to say comes back as a value, so that files can be compiled side by
/// side and told in their order.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/check_report.hpp"
#include "compiler/document_settings.hpp"
#include "compiler/files.hpp"
#include "compiler/settings.hpp"

namespace wale {

/// What is asked for: to write the outputs below `to`, charts at their true size among them; to mend what is
/// certain; to put other values in; to take warnings for errors.
struct Task {
  std::vector<std::string> paths;
  std::optional<std::string> to;
  bool fix = false;
  bool true_size = false;
  bool strict = false;
  bool findings = false;  ///< are wanted for a report
  Settings settings = {};
  DocumentSettings document = {};
  Look look = {};  ///< of what is said
};

/// Of files, and of what was found in them.
struct Sums {
  std::size_t patterns = 0, failed = 0, warnings = 0, unreadable = 0, changes = 0, certain = 0;
  std::vector<Kind> told;  ///< each kind once

  void tell(Kind kind);
  void add(const Sums& others);
};

/// What one file came to.
struct Told {
  std::string out, err;  ///< to print to standard output and standard error
  Sums sums;
  FileFindings findings;          ///< where the task wants them
  std::vector<std::string> read;  ///< the paths of all files that it is made of, its own first
};

/// `access` reads the files that the pattern uses; it may be asked from several threads at once.
Told compile_file(const Found& found, const Task& task, const FileAccess& access);

}  // namespace wale
