// What the files under `tests/published` say of themselves, in their comments.
//
//     -- Beeton 1870, no. 321: knitted border, its seventh row as printed.    source and subject
//     -- Shows: rib, edgings.                                                 what the pattern is an example
//     of
//     -- Misprint: row 7: 36 × 6 = 216 of 220                                 the sum by hand, one for each
//     `--!`
//
// A `Misprint` is a number or a row that, worked as it is printed, does not come out; with `Unsaid` it is
// what the book leaves out, or a wording that can be read in two ways of which this one does not come out.
// The figures behind rows and steps (`--= 79`) are told in `published_test.cpp`.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/linear.hpp"
#include "tests/unit/pattern_files.hpp"

namespace wale::published {

struct Figure {
  enum class Of : unsigned char { stitches, rows, worked, multiple };
  std::size_t line = 0;
  Of of = Of::stitches;
  Linear count;
  std::string text;
};

struct Finding {
  bool misprint = false;
  std::string where, sum;  ///< "row 7", "36 × 6 = 216 of 220"
};

struct Head {
  std::string source, subject;  ///< "Beeton 1870, no. 321", "knitted border, its seventh row as printed"
  std::vector<std::string> shows;
  std::vector<Finding> findings;
};

std::vector<std::string> lines_of(const std::string& text);
const std::vector<PatternFile>& files();
/// `name-printed.wale`: as the book has it, and refused.
bool is_printed(const PatternFile& file);
/// The name without `.wale` and `-printed`: that of the pattern, which the file and its twin have in common.
std::string pattern_name(const PatternFile& file);

/// Nothing where the file does not begin as it should.
std::optional<Head> head_of(const PatternFile& file);
/// All that stands behind `--=`, each checked to be a figure.
std::vector<Figure> figures_in(const PatternFile& file);

/// A sum by hand, `1 + 57 × 5 - 2`; nothing where it is none.
std::optional<long long> worked_out(const std::string& sum);

}  // namespace wale::published
