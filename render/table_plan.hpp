/// Which columns of a table stand side by side, and how wide each is; the same for pages and for plain text.
///
/// A column has a least width (its longest word, or a whole number) and a natural one (its longest cell).
/// When even the least widths do not fit side by side, the table is set in bands, one below the other, which
/// all begin with the first column.
///
///     Measure  Size 1 ... Size 5
///     Measure  Size 6 ... Size 9
#pragma once

#include <cstddef>
#include <vector>

namespace wale::render {

struct ColumnNeed {
  double least = 0, natural = 0;
};

struct TableBand {
  std::vector<std::size_t> columns;
  std::vector<double> widths;  ///< One per column, of any unit that `room` and `gap` share.
};

/// Bands of about equally many columns, each within `room`; every least width counts as a quarter of the room
/// at most.
std::vector<TableBand> plan_table(std::vector<ColumnNeed> needs, double room, double gap);

/// Shares `available` among `wishes`: those that ask for less than an even share get what they ask for, and
/// the others share the rest.
std::vector<double> share_width(const std::vector<double>& wishes, double available);

}  // namespace wale::render
