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
#include <vector>

#include "compiler/pattern.hpp"
#include "grammar/tree.hpp"

namespace wale {

/// Rows numbered from 1, the first one on side `first`. `width` is that of the fabric, which the picture must
/// fill; a picture without one is repeated over the row. Reports pictures whose rows or keys do not fit.
std::optional<std::vector<tree::Row>> drawn_rows(const std::vector<tree::Picture>& pictures, Form form,
                                                 Side first, std::optional<tree::Width> width,
                                                 Diagnostics& diagnostics);

}  // namespace wale
