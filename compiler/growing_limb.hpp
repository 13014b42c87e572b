/// A limb of an outline while it is knitted: where its stitches stand, how high each of them has come, and
/// the edges that are behind it. Used by piece_outline.cpp.
///
/// Stitches stand in runs, counted from the right edge. All of a run is equally high, as after short rows; a
/// gap is what was bound off amid a row, until the next row goes over it.
///
///     k15 bo10 k15        15 | gap of 10, a row lower | 15
#pragma once

#include <optional>

#include "compiler/piece_outline.hpp"

namespace wale {

class GrowingLimb {
 public:
  struct Run {
    long long count = 0;
    double lift = 0;  ///< cm above `base`
    bool gap = false;
  };
  /// The work in the round, when all its stitches were last worked: stitches [from, to) of `all` are here.
  struct Tube {
    double all = 0, from = 0, to = 0;
    double left = 0, right = 0;
  };

  /// `count` stitches around x = 0, cast on or picked up.
  static GrowingLimb cast_on(long long count, double column);

  long long loops() const;
  double width() const { return right - left; }
  double height() const;  ///< of the stitch that has come the highest
  /// Another width of a stitch: the middle stays.
  void set_column(double cm);
  void move_edges(long long at_right, long long at_left);
  /// Stitches gained between the edges.
  void gain_inside(long long count);
  void close_gaps();
  /// Some of the stitches there are bound off amid the row that was worked, whose height is given.
  void open_gap(const Move::Gap& gap, double row);
  /// All stitches grow by so much. `within`: this is a step of a slope, and so is what moved before it.
  void rise(double cm, bool within);
  /// Those of them grow: `count` from the one that is `from` away from the right edge.
  void rise_in_part(double cm, long long from, long long count);
  /// What was gained or lost since the last row becomes a line of the edges.
  void flush(bool within);
  /// All stitches grow by so much, and the edges run straight to where they are now.
  void slope_up(double cm);
  /// A slope ends here, with a corner that is none of its steps.
  void end_slope();
  void bind_off(long long count, bool at_right, const std::string& name);
  void add(long long count, bool at_right);
  void call_edge(bool at_right, const std::string& name);

  /// The first stitches from an edge become a limb of their own, and so do the others; this one's polygon is
  /// done: its top is theirs, and what was bound off between them.
  std::pair<GrowingLimb, GrowingLimb> part(long long count, bool at_right, const std::string& name);
  /// Ends with all its stitches: its top is of that kind.
  void end(OutlineEdge::Kind kind, const std::string& name);
  /// One that goes on where this one, which has ended, was left.
  GrowingLimb going_on() const;
  /// Stitches of work in the round that nothing was worked on since lie flat, on the side where they were.
  void lay_flat();

  Limb limb;
  std::size_t outline = 0;
  bool first = false;  ///< of its outline
  bool round = false;
  double column = 1;  ///< cm of a stitch, as it lies
  double right = 0, left = 0, base = 0;
  std::optional<Tube> tube;
  const Gauge* gauge = nullptr;
  double wales = 1;
  int fabric = -1;
  bool cord = false;
  std::size_t corners = 0;  ///< of its edges so far

 private:
  void start(OutlineEdge::Kind bottom);
  void to(std::vector<OutlineEdge>& side, Corner corner);
  double right_height() const { return runs_.empty() ? base : base + runs_.front().lift; }
  double left_height() const { return runs_.empty() ? base : base + runs_.back().lift; }
  long long extent() const;
  void settle();
  void level();
  std::vector<Corner> front(const std::vector<Run>& runs, double from_x) const;
  std::vector<Run> take(long long count, bool at_right);
  void trim(long long count, bool at_right);

  std::vector<Run> runs_;  ///< from the right edge
  bool risen_ = false;
};

}  // namespace wale
