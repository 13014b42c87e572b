/// How many stitches a pattern takes to knit, fabric by fabric: what its hours follow from.
///
/// A stitch counts as the loops that it makes, and as one where it makes none: a crossing of four is four
/// stitches, a pair of double knitting two, `k2tog` one (assumed: they take about as long as so many plain
/// ones; who knits a fabric more slowly gives it a pace of its own). Each stitch of a cast-on, of a bind-off
/// and of an edge that is joined or grafted counts as one. Seams and ends are not counted.
///
///     cast on 42, rib for 100 rows, bind off      rib 4200, no fabric 84
#pragma once

#include <map>
#include <string>

#include "compiler/pattern.hpp"

namespace wale {

/// By the name of the fabric; edges and rows that belong to no fabric stand under "".
using StitchCounts = std::map<std::string, long long>;

StitchCounts count_stitches(const Pattern& pattern, const Stitches& stitches);

/// `whole` in parts that are as the weights and add up to it; all of it to the first where no weight is over
/// 0.
std::vector<long long> shares(long long whole, const std::vector<double>& weights);

}  // namespace wale
