/// The small words that instructions are put together from. Used by the files that write them.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "compiler/instructions.hpp"

namespace wale {

/// "once", "twice", "3 times".
std::string times_words(long long count);
/// "1 st", "12 sts".
std::string sts(long long count);
/// Makes the first letter large, behind "*" and "(".
void capitalise(std::string& text);
std::string capitalised(std::string text);
/// "Row", "Rnds".
std::string row_word(Form form, bool many);
/// "1", "1 and 2", "3-6".
std::string number_range(long long first, long long last);
/// " (RS)", " (WS)"; in the round nothing but " (WS)", after a turn.
std::string side_words(Form form, Side side);
/// ", with M", ", with A and B" of double knitting; nothing where the row is worked in the strand in hand.
std::string with_words(const Row& row, const std::vector<Strand>& strands);

/// Rows as instructions, alike ones merged. `counts`: the number of stitches stands where it changes. One row
/// alone is the "Next row" where `next`. `endless`: a fabric's, of which "every row" may be said.
std::vector<Instruction> row_instructions(const std::vector<CheckedRow>& rows, Form form,
                                          const Stitches& stitches, const std::vector<Strand>& strands,
                                          bool counts, bool next, bool endless = false);

/// All of a fabric's rows: "rows 1-4 of rib", or "2 rows of garter" where it is told as "Every row: Knit.",
/// so that no row has a number.
std::string cycle_words(const Fabric& fabric, const Stitches& stitches, const std::vector<Strand>& strands);

/// A step that narrows or widens. `counts`: the number of stitches stands behind it.
std::vector<Instruction> shape_instructions(const Step& step, const Stitches& stitches,
                                            const std::vector<Strand>& strands, bool counts);

/// What becomes of the pattern at edges that a step has moved; nothing where none has.
std::vector<Instruction> cut_instructions(const Step& step, const std::vector<Fabric>& fabrics,
                                          const Stitches& stitches);

/// A step that picks up, takes up or joins. `with`: "With A, " where the yarn changes; `explain`: how the
/// three-needle bind-off is worked has not been told.
std::vector<Instruction> edge_instructions(const Step& step, const std::string& with,
                                           const DocumentSettings& settings, bool explain);

/// A step that places markers, makes buttonholes, binds off with a cord, or parts the work.
std::vector<Instruction> step_instructions(const Step& step, const std::string& with, bool mirror);

/// ", then rep it on every following 6th row 4 times and on every other row twice". `first_is_worked`: the
/// last rate counts the row that has been worked already.
std::string rate_words(const std::vector<Rate>& rates, const std::string& row, std::string_view again,
                       bool first_is_worked);

/// A shaping row at markers. `name`: what a stitch is called.
std::string marker_shaping_words(const Step& step, const CheckedRow& row,
                                 const std::function<std::string(const std::string&)>& name);

}  // namespace wale
