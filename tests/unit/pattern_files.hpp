// Patterns kept in files, with what Wale must say about them written in the files themselves.
//
//     2: <p2 k2> p3  --! row-leaves-stitches: part of the message
//
// stands on the line at which the diagnostic must show; `--! @3 slug: part` speaks of line 3, and so do the
// lines of `name.expect` beside files that can hold no comment. Nothing may be said that is not expected.
#pragma once

#include <string>
#include <vector>

#include "compiler/check.hpp"

namespace wale {

struct Expectation {
  std::size_t line = 0;
  std::string slug, part;
};

struct PatternFile {
  std::string name, text;
  std::vector<Expectation> expected;
  std::string folder = {};  ///< below `tests`, where the files that it uses lie; empty: it has none
};

/// The whole of a file below the project's root; empty where there is none.
std::string read_project_file(const std::string& path);
std::string trimmed(const std::string& text);

/// The patterns in `tests/FOLDER`, by name. A `.expect` alone says of how many blanks a file is made that is
/// too large to keep.
std::vector<PatternFile> pattern_files(const std::string& folder);

struct Compiled {
  Source source;
  Loaded loaded;
  Checked checked;
  std::string shown;  ///< all diagnostics, as the program prints them
};
Compiled compile(const PatternFile& file);

/// What is said and not expected, and what is expected and not said: empty where the file is told what it
/// expects.
std::vector<std::string> disagreements(const Compiled& compiled, const PatternFile& file);

}  // namespace wale
