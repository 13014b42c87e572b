/// Words of a row that are not stitches: those that turn the work, and those that nobody knows.
///
/// What an abbreviation takes and gives decides whether the row works out, so a word is never guessed. It is
/// mended only where one known word alone can have been meant: `K2TOG` in capitals, `k2 tog` with a blank too
/// many, `k2tgo` with two letters exchanged. For the rest there are suggestions; words of the trade that
/// stand for something else than a stitch (`rep`, `pm`, `c4f`) are answered with how it is written here.
#pragma once

#include "compiler/pattern.hpp"
#include "grammar/tree.hpp"

namespace wale {

/// `turn`, `wt` and `ds`, with the number of stitches left unworked behind them: fills `out` and returns
/// true.
bool read_turn(const std::string& word, Op& out);

/// Reports that `items[at]`, a word, is no stitch.
void report_unknown_stitch(const std::vector<tree::RowItem>& items, std::size_t at, const Stitches& stitches,
                           const std::vector<Strand>& strands, Diagnostics& diagnostics);

/// Reports a crossing written with blanks in it, `2/2 rc`; false if that is no crossing.
bool report_split_crossing(const tree::RowItem& item, const Stitches& stitches, Diagnostics& diagnostics);

}  // namespace wale
