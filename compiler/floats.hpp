/// Floats: a strand that is carried behind stitches worked in another.
///
/// A float runs from the last stitch worked in its strand to the next one in the same row, past stitches that
/// were slipped or worked in another strand; in the round it also runs on into the next round. One that is
/// too long snags, and is caught on the way. A repeat is walked three times at most (its first copy, one that
/// shows how copies join, its last), the others are counted, so a float behind a million stitches costs what
/// one behind three repeats costs.
///
///     1: A(k) <B(k4) A(k)>     B floats behind 1 stitch, A behind 4
#pragma once

#include <optional>
#include <vector>

#include "compiler/pattern.hpp"

namespace wale {

/// Floats longer than this are caught: so many stitches, or so many centimetres where there is a gauge
/// (common practice: about five stitches, 2.5 cm).
inline constexpr long long longest_float = 5;
inline constexpr double longest_float_cm = 2.5;

struct Float {
  long long stitches = 0;  ///< that it runs behind
  short strand = -1;
  std::size_t row = 0;  ///< index into the rows
};

/// The longest float of rows worked at this n. In the round the rows follow each other without a turn.
std::optional<Float> find_longest_float(const std::vector<CheckedRow>& rows, Form form, long long n,
                                        const Stitches& stitches);

/// The longest float of a fabric, the same in every size; nothing where it has none, or does not work out.
std::optional<Float> float_of_fabric(const Fabric& fabric, const Stitches& stitches);

/// Warns of the longest float in each fabric, which is known, and in the rows of each piece, where it is to
/// be caught.
using FabricFloats = std::vector<std::optional<Float>>;
void warn_of_floats(const Pattern& pattern, const FabricFloats& of_fabrics, const Stitches& stitches,
                    Diagnostics& diagnostics);

}  // namespace wale
