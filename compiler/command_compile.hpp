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
#include "compiler/drawn_files.hpp"
#include "compiler/files.hpp"
#include "compiler/known_fabrics.hpp"
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
  bool findings = false;    ///< are wanted for a report
  bool only_names = false;  ///< of what would be written are wanted
  Settings settings = {};
  DocumentSettings document = {};
  Look look = {};  ///< of what is said
};

/// Of files, and of what was found in them.
struct Sums {
  std::size_t patterns = 0, failed = 0, warnings = 0, unreadable = 0, changes = 0, certain = 0;
  std::size_t fresh = 0;   ///< patterns that were up to date
  std::vector<Kind> told;  ///< each kind once

  void tell(Kind kind);
  void add(const Sums& others);
};

/// A file that a pattern is made of, and what stood in it.
struct FileRead {
  std::string path;
  Fingerprint bytes;
};

/// What one file came to.
struct Told {
  std::string out, err;  ///< to print to standard output and standard error
  Sums sums;
  FileFindings findings;           ///< where the task wants them
  std::vector<std::string> shown;  ///< the text of each of these, and a line on those not kept
  std::vector<FileRead> read;      ///< where files are made: all that it is made of, its own first
  Written written;
};

/// Where its files go: the output folder, and below it the folder in which it was found.
std::string output_folder(const Found& found, const Task& task);
/// What their names begin with.
std::string output_stem(const Found& found);
/// Both, from the output folder on: "lace/shawl". No two patterns of a build may have one.
std::string output_key(const Found& found);

/// `access` reads the files that the pattern uses; it may be asked from several threads at once. `drawn`: as
/// `make_outputs` has it. `known`: fabrics of the files before, of one thread; null where all is to be
/// checked at once.
Told compile_file(const Found& found, const Task& task, const FileAccess& access, DrawnFiles* drawn = nullptr,
                  KnownFabrics* known = nullptr);

}  // namespace wale
