/// The edges of a piece: what they are made of, how long they are, and how stitches picked up along them are
/// shared out.
///
/// An edge is a list of stretches. A stretch of rows is a side of the work: so many rows, over which the edge
/// may have moved by so many stitches. A stretch of stitches was cast on, bound off, or waits on a holder.
///
///     armhole    5 st bound off | 12 rows that lose 6 st | 40 rows
///
/// Length: stitches lie side by side, s / (stitches per cm); along rows it is the slant of the edge,
/// sqrt((r / rows per cm)^2 + (s / stitches per cm)^2), which is the straight edge's r / (rows per cm) where
/// nothing was lost or gained. Along rows as many stitches are picked up as that length has at the gauge of
/// the border; a stitch that was bound off or cast on gives one, one that waits is knitted (common practice).
#pragma once

#include <string>
#include <vector>

namespace wale {

struct Stretch {
  enum class Of : unsigned char { rows, cast_on, bound_off, held };
  enum class Where : unsigned char { right, left, bottom, top };
  Of of = Of::rows;
  Where where = Where::right;
  bool outer = false;  ///< an edge of the piece as it was cast on; else of stitches parted from the others
  std::string name;    ///< as `call the left edge armhole` says
  long long rows = 0;
  long long stitches = 0;                       ///< of a stretch of rows: by which the edge has moved
  double rows_per_cm = 0, stitches_per_cm = 0;  ///< 0: no gauge is known

  bool measured() const { return rows_per_cm > 0 && stitches_per_cm > 0; }
  /// Its length in cm; without a gauge in stitches, of which three are as long as four rows (common
  /// practice).
  double length() const;
  /// Stitches that can be picked up at most: one in each stitch and row.
  long long places() const;
};

/// Puts the stretch behind the others, or lengthens the last one of its edge (index from `from` on) where it
/// runs on in the same direction. Beyond `most_stretches` directions are not told apart.
/// True where all of them had to be looked through.
bool lengthen(std::vector<Stretch>& edges, std::size_t from, Stretch more);
inline constexpr std::size_t most_stretches = 1024;

/// Stitches that the stretch gives by itself at so many to the cm.
double natural_count(const Stretch& stretch, double stitches_per_cm);

/// `count` stitches over the stretches, in proportion to `natural` and none with more than its places. What
/// waits is taken whole; stitches that were bound off or cast on give one each as long as the rows can make
/// up the rest. Needs: what waits <= count <= places.
std::vector<long long> share_out(const std::vector<Stretch>& stretches, const std::vector<double>& natural,
                                 long long count);

/// A rate that a knitter can keep, "3 stitches for every 4 rows": the nearest with at most 4 rows (common
/// practice).
struct PickUpRate {
  long long stitches = 1, rows = 1;
  bool operator==(const PickUpRate&) const = default;
};
PickUpRate pick_up_rate(long long stitches, long long rows);

}  // namespace wale
