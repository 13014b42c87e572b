/// How a knitter wants her document: the one value that `wale build` makes from its options and passes down.
///
///     wale build hat.wale --paper Letter --units in    ->  {.paper = Paper::letter, .units = Units::inches}
#pragma once

namespace wale {

enum class Paper : unsigned char { a4, letter };
/// The unit that stands first; the other one follows in brackets.
enum class Units : unsigned char { metric, inches };

struct DocumentSettings {
  Paper paper = Paper::a4;
  bool large_print = false;  ///< type of 16 points, squares to match
  Units units = Units::metric;
  bool mirror = false;  ///< for a left-handed knitter: see mirror.hpp
  bool png = false;     ///< each chart as a PNG picture, too
};

}  // namespace wale
