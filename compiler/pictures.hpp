/// Pictures become rows: each character says in which strand a stitch is worked.
///
/// A picture is drawn as the right side shows it, the top row knitted last. Right-side rows are read from the
/// right and knitted, wrong-side rows from the left and purled. In a picture of pairs each character is a
/// pair of double knitting: its strand lies on the right side and the other one behind it.
///
///     draw . A, x L {       1: <L(k2) A(k1)>
///       .xx                 (in pairs)  1 A L: <L(dk2) dk1>     2 L A: <...>
///     }
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/pattern.hpp"
#include "grammar/tree.hpp"

namespace wale {

/// A row of a picture: its label, and in the place of its stitches what each run of like characters stands
/// for.
struct DrawnRow : tree::Row {
  struct Run {
    const std::string* strand = nullptr;  ///< the picture's; null: what the row is worked in
    Span named;                           ///< where the key names it
    long long count = 1;
  };
  const char* stitch = "k";  ///< that all of them are
  std::vector<Run> runs;     ///< in the order in which they are worked
  bool repeats = false;      ///< over the whole row
};

/// Rows numbered from 1, the first one on side `first`; they refer to the pictures. `width` is that of the
/// fabric, which the picture must fill; a picture without one is repeated over the row. Reports pictures
/// whose rows or keys do not fit.
std::optional<std::vector<DrawnRow>> drawn_rows(const std::vector<tree::Picture>& pictures, Form form,
                                                Side first, std::optional<tree::Width> width,
                                                Diagnostics& diagnostics);

}  // namespace wale
