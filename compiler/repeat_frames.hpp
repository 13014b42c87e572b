/// Where the frame of a repeat stands in each row.
///
/// A row repeats wherever it looks alike one repeat further on, so the frame may often begin at several
/// stitches. A side of it stands between two stitches; where columns without a stitch lie between them, at
/// any of those. Of all these places each row takes the one nearest to where most rows can have it: the frame
/// is straight where it can be, and jogs where the row's fill begins elsewhere. A stitch, and so a crossing,
/// is never cut by the frame of its row.
///
///     row 2   . . X-X . .      begins at column 1 or 3 ...
///     row 1   . . . . . .      ... at any from 0 to 4: both are framed from column 1
#pragma once

#include <optional>
#include <vector>

namespace wale {

/// Columns, counted from the right, at which a side can stand; both included.
struct FrameSide {
  int least = 0, most = 0;
};

/// A repeat that could be framed.
struct FramePlace {
  FrameSide right, left;
};

struct RepeatFrame {
  int first = 0, end = 0;  ///< columns [first, end)
  bool operator==(const RepeatFrame&) const = default;
};

/// A frame for each row that has places for one.
std::vector<std::optional<RepeatFrame>> straight_frames(const std::vector<std::vector<FramePlace>>& rows,
                                                        int columns);

}  // namespace wale
