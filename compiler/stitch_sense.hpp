/// Whether the stitches that a pattern declares make sense, beyond being spelt right.
///
/// Every row's sum rests on what a stitch takes and gives, every fabric turned into the other form of work on
/// its twin, every chart on its mark and every key on its words. A mistake there is far from where it shows,
/// so it is told where the stitch is declared:
///
///     stitch kl { takes 2 gives 1 leans left  twin pr says "..." }
///     stitch pr { takes 2 gives 1 leans right twin kl says "..." }   the right side cannot show both
///
/// `check_stitch` and `check_crossing` look at one declaration by itself; `check_among` at each stitch among
/// the others, once all of them are known. The vocabulary goes through the same checks in the tests.
#pragma once

#include "compiler/stitches.hpp"
#include "grammar/diagnostics.hpp"
#include "grammar/tree.hpp"

namespace wale {

/// `read` is what was made of `declared`, as far as it could be read; `sound` tells that nothing was amiss so
/// far.
void check_stitch(const tree::Stitch& declared, const Stitch& read, bool sound, Diagnostics& diagnostics);

/// A family of crossings: which way it leans, what its strips are, and how it is worked.
void check_crossing(const tree::Stitch& declared, Diagnostics& diagnostics);

/// Names that rows would read as something else, and twins that are none.
void check_among(const Stitches& stitches, Diagnostics& diagnostics);

}  // namespace wale
