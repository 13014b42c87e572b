/// The loops of a fabric and what each was worked through: the knitting itself, as a net.
///
/// A row takes loops from the row below and makes new ones; every loop remembers those that it was drawn
/// through. A decrease has several, an increase shares one with its neighbours, a yarn over has none. From
/// this net follows how the fabric lies: each loop keeps its distance from its neighbours and would stand
/// over what it came from. Where both cannot be had the net gives way, as yarn does, and so cables draw in,
/// lace leans and waves, and short rows make wedges.
///
///     row 2      o   o---o          the loop on the left was drawn through two: a decrease
///               / \  |   |
///     row 1    o   o o   o
#pragma once

#include <vector>

#include "compiler/chart_rows.hpp"
#include "compiler/pattern.hpp"

namespace wale {

struct MeshLoop {
  /// How it lies where loops cross on the way to the next row.
  enum class Lies : unsigned char { level, over, under };

  int row = -1;  ///< that made it, from 0; -1: of the needle on which the rows began
  Face face = Face::knit;
  short strand = -1;
  bool hidden = false;       ///< behind the fabric: the far layer of double knitting
  bool open = false;         ///< drawn through nothing: a yarn over, a strand that was lifted
  bool veil = false;         ///< the yarn over of a stitch that was slipped with it
  std::vector<int> parents;  ///< what it was drawn through, from the right
  std::vector<int> children;
  int worked_in = -1;  ///< row that worked it; -1: still on the needle
  Lies lies = Lies::level;
  int strip = -1;             ///< near a crossing: which of its two strips it belongs to, 2 i or 2 i + 1
  int right = -1, left = -1;  ///< its neighbours when it was made
  double x = 0, y = 0;        ///< wales from the right edge, rows from the cast-on: the foot of the loop
};

/// Yarn that lies before a stitch which was slipped with the yarn in front.
struct MeshBar {
  int loop = -1;
  int row = 0;
  short strand = -1;
};

/// A loop that a crossing made.
struct MeshCrossed {
  int loop = -1;
  bool over = false;
  int strip = -1;
};

struct Mesh {
  std::vector<MeshLoop> loops;            ///< in the order in which they were made
  std::vector<std::vector<int>> needles;  ///< after each row: the loop at each place, from the right edge
  std::vector<MeshBar> bars;
  std::vector<MeshCrossed> crossed;
  std::vector<double> heights;  ///< of the foot of each row; passes over one row share its height
  double top = 0;
};

/// A row, worked at this n.
struct MeshRow {
  const CheckedRow* row = nullptr;
  long long n = 0;
};

/// The mesh of rows that follow one another, over a needle of loops that nobody has made. Passes over one row
/// share its height.
Mesh make_mesh(const std::vector<MeshRow>& rows, const Stitches& stitches);

/// Lets the mesh find its places.
void settle(Mesh& mesh);

}  // namespace wale
