/// Where each strand hangs while a fabric or a piece is worked.
///
/// A strand's first row joins it where that row begins. From then on it hangs where its last row ended: at an
/// edge, in mid-row after a turn, or with stitches that were put on a holder. A row that begins anywhere else
/// cannot reach it. Edges are those of the right side; in the round there is one place only.
///
///     1 A: <k>    A joined at the right edge, hangs at the left
///     2 B: <p>    B joined at the left edge, hangs at the right
///     3 A: <k>    begins at the right edge: A is out of reach
#pragma once

#include <string>
#include <vector>

#include "compiler/flat_map.hpp"
#include "compiler/pattern.hpp"

namespace wale {

class YarnEnds {
 public:
  /// A row as the yarns see it.
  struct Row {
    StrandSet strands;  ///< that are worked in it
    YarnPlace begins, ends;
    long long number = 1;  ///< counted from the cast-on, or from the fabric's first row
    RowName name;
    Span span;
    bool in_piece = false;  ///< where a step can cut a strand and join it anew
    std::string when = "";  ///< "it is so for n = 3, ...", where it is a matter of n
  };
  /// Reports a strand that hangs elsewhere than where the row begins.
  void row(const Row& row, const std::vector<Strand>& known, Diagnostics& diagnostics);

  /// The strand is cut; its next row joins it anew. False where it was not attached.
  bool cut(short strand) {
    return at_.erase_if([&](const auto& each) { return each.first == strand; }) > 0;
  }
  bool attached(short strand) const { return at_.contains(strand); }
  /// Whether a row that begins there can work the strand.
  bool reaches(short strand, const YarnPlace& begins) const;
  /// The strand is drawn along without being worked, as behind a cord.
  void draw_to(short strand, YarnPlace place);
  /// Its last row was this one, which ended there; for rows that were counted and not worked.
  void worked_to(short strand, YarnPlace place, long long number);
  /// Stitches at one edge of the needle, or all of them, go to a holder, and the strands that hang there with
  /// them.
  void hold(const std::string& holder, YarnPlace::Where edge);
  void hold_all(const std::string& holder);
  void resume(const std::string& holder);
  /// The stitches held are taken up elsewhere, and the strands that hang there are cut.
  void drop(const std::string& holder);
  /// All stitches on the needle are bound off: what hangs at them is cut.
  void bind_off();
  /// Rows that were counted and not worked: strands worked after row `from` hang there `rows` later.
  void skip(long long from, long long rows);

  /// Equal where every strand hangs at the same place, whenever it came there.
  bool operator==(const YarnEnds& other) const;

 private:
  struct End {
    YarnPlace place;
    std::string holder;  ///< empty: at the stitches on the needle
    long long number = 0;
    Span span;

    bool hangs_at(const YarnPlace& where) const { return place == where && holder.empty(); }
  };
  FlatMap<short, End> at_;
};

}  // namespace wale
