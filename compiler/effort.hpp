/// What it takes to work a pattern out, counted and not timed.
///
/// A pattern that asks for too much is refused on every machine or on none. The unit is a stitch that has to
/// be worked on its own; what is worked as a repeat counts once, however often it is repeated.
///
///     rib on 42 stitches, 10 rows                    8 rows, some 70 stitches
///     rib on 1,000,002 stitches, 100,000 rows        the same
#pragma once

namespace wale {

struct Effort {
  long long most = 10'000'000;  ///< beyond this the pattern is refused: about a second
  bool for_charts = true;       ///< rows of shaped stretches are kept; else most of them are only counted
  bool keeps_needles = true;    ///< what is on the needle after each step is kept with it
  long long rows = 0;           ///< worked
  long long stitches = 0;       ///< worked, and loops looked at, one by one

  static constexpr long long stitches_in_a_row = 32;  ///< what a row costs besides its stitches
  static constexpr long long loops_in_a_stitch = 8;   ///< that are moved at the cost of working one

  void row(long long worked, long long moved) {
    ++rows;
    stitches += worked + moved / loops_in_a_stitch;
  }
  long long work() const { return rows * stitches_in_a_row + stitches; }
  bool too_much() const { return work() > most; }
};

}  // namespace wale
