/// A chart cut into parts that fit a page each.
///
/// Every square belongs to one part; a part also shows, pale, the last rows and stitches of the parts before
/// it, so that one page can be laid or pasted over the next. Parts are as few as squares of the least legible
/// size allow, and about equally large. Where that costs little they end where a frame ends or a count of ten
/// is full, and no mark over several squares is cut.
///
///     part 4 | part 3        parts are numbered as a knitter meets them: from stitch 1 on, from row 1 up
///     -------+-------
///     part 2 | part 1
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "render/chart_grid.hpp"

namespace wale::render {

/// One direction of a chart cut into parts: [first, last) of each.
struct Cut {
  int first = 0, last = 0;
  bool operator==(const Cut&) const = default;
};

/// Cuts `count` columns or rows into parts of at most `most`, which overlap by `overlap`, as evenly as may
/// be. `most` must be greater than `overlap`.
std::vector<Cut> cut_evenly(int count, int most, int overlap);

/// The same number of parts of at most `most`, whose ends are moved a little to where `cost` is less. It is
/// asked about the first square that belongs to a part; a distance of seven squares from the even cut weighs
/// about 1.
std::vector<Cut> cut_well(int count, int most, int overlap, const std::function<double(int)>& cost);

/// The parts of a chart. Squares count as the chart numbers them: from stitch 1 and from row 1, from 0.
struct Tiling {
  CellSize cell;
  std::vector<Cut> stitches, rows;  ///< As shown, with what is shown again.
  bool whole() const { return stitches.size() * rows.size() == 1; }
};

/// The least that pages overlap by, in rows and in stitches; more where a wide mark would be cut.
inline constexpr int least_overlap = 2;

/// The room on a page. `whole` is the height that a chart in one piece may take, `part` that of one of
/// several.
struct TileRoom {
  double width = 0, whole = 0, part = 0;
};

/// A chart is made smaller to fit in one piece, as long as no side of a square is shorter than
/// `style.shortest_side`; then it is cut.
Tiling tile(const Chart& chart, const TileRoom& room, const ChartStyle& style);

/// A stitch, counted as the chart numbers them, to a column, counted from the right; and back.
int column_of(const Chart& chart, int stitch);

/// How many squares part `at` shares with the one before it.
int shared(const std::vector<Cut>& cuts, std::size_t at);

/// What belongs to a part and to no other.
Cut own(const std::vector<Cut>& cuts, std::size_t at);

/// "65-128", in the chart's labels and numbers.
std::string row_range(const Chart& chart, const Cut& rows);
std::string stitch_range(const Cut& stitches);

/// One part of a tiling, `across` of them from stitch 1 and `up` from row 1.
struct Tile {
  std::size_t across = 0, up = 0;
};

/// From 1, in rows of parts.
std::size_t number_of(const Tiling& tiling, Tile tile);

/// What to draw of the chart.
ChartWindow window_of(const Chart& chart, const Tiling& tiling, Tile tile);

/// "Part 5 of 9: rows 65-128, stitches 31-60", of what belongs to the part and no other.
std::string tile_title(const Chart& chart, const Tiling& tiling, Tile tile);

/// Which parts go on from this one, and what of it stands on others, too.
std::string tile_words(const Chart& chart, const Tiling& tiling, Tile tile);

/// How many parts there are, and by how much they overlap.
std::string tiling_words(const Tiling& tiling);

}  // namespace wale::render
