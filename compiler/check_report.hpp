/// What was found in a collection of patterns, for the programs that keep it: CI, editors, code review.
///
/// A run is the files that were looked at, in order, each with what was said of it. It is written as JSON of
/// Wale's own (`check-report.schema.json`), as SARIF 2.1.0 (OASIS), which code review shows at the line, and
/// as the XML that CI servers read as test results: a test for each pattern, which fails with its errors.
///
///     rib.wale:3:6: error: row 2 leaves 1 stitch unworked [row-leaves-stitches]
///                                                      ->  {"kind": "row-leaves-stitches", "line": 3, ...}
#pragma once

#include <string>
#include <vector>

#include "grammar/diagnostics.hpp"

namespace wale {

/// A place in a file, both ends from line and column 1, the second just behind the last character.
struct Region {
  std::string path;
  Place begin, end;
};

/// One diagnostic, with its places worked out.
struct Finding {
  Kind kind = {};
  Severity severity = Severity::error;
  std::string message;
  Region where;
  std::string at;  ///< below the mark; may be empty
  std::vector<std::pair<Region, std::string>> labels;
  std::vector<std::string> notes, help;
  std::vector<std::pair<Region, std::string>> mend;  ///< what to put where; empty where nothing is certain
};

/// A file named or found, with what was said of it.
struct FileFindings {
  std::string path;
  std::string unreadable;  ///< why it could not be read or written; empty where it could
  std::vector<Finding> findings;

  std::size_t count(Severity severity) const;
};

struct CheckRun {
  std::string version;  ///< of the program
  std::vector<FileFindings> files;
};

/// All that is kept of `diagnostics`; `sources` go by number. With `strict` warnings are errors.
std::vector<Finding> findings_of(const Diagnostics& diagnostics, const Sources& sources, bool strict = false);

/// UTF-8, ending with a newline. `failed` is whether the program says so by its exit status.
std::string check_report_json(const CheckRun& run);
std::string check_report_sarif(const CheckRun& run, bool failed);
std::string check_report_junit(const CheckRun& run);

}  // namespace wale
