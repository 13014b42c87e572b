/// A gauge as its declaration tells it: stitches and rows to the centimetre.
///
///     gauge 20 st x 28 rows = 10 cm, needle 4.5 mm     2 st, 2.8 rows, 4.5 mm
#pragma once

#include <optional>
#include <vector>

#include "compiler/values.hpp"

namespace wale {

/// Nothing where it cannot be told, or is none that anyone could knit, which is reported.
std::optional<Gauge> read_gauge(const tree::Gauge& source, Span span, const Scope& scope,
                                Diagnostics& diagnostics);

/// The written gauges, at least one, with `own` in the place of the first; the others keep their proportion
/// to it. On which needles is not known then.
std::vector<Gauge> in_proportion(Gauge own, std::vector<Gauge> written);

}  // namespace wale
