/// Charts to print at the size that they will be knitted: `wale build --true-size`.
///
///     gauge 20 st x 28 rows = 10 cm      a square is 5 mm wide and 3.57 mm high
///     two passes a row                   each of its two lines is half as high: together they are a row
#pragma once

#include "compiler/check.hpp"
#include "compiler/outputs.hpp"
#include "render/chart_grid.hpp"

namespace wale {

/// Adds an error for a pattern that has fabrics, and no gauge that says how large their stitches are.
void require_gauge(Checked& checked);

/// The size, in points, of a stitch of `fabric` as its chart draws it: a stitch as wide as the gauge has it,
/// and a line as high as its share of a row.
render::CellSize true_cell(const Fabric& fabric, const Gauge& gauge);

/// One PDF for each fabric's chart: `stem.rib.true-size.pdf`. The pattern must have a gauge.
Outputs make_true_size(const Checked& checked, const std::string& stem, std::optional<std::int64_t> date);

/// The names of these files, in their order.
std::vector<std::string> true_size_names(const Checked& checked, const std::string& stem);

}  // namespace wale
