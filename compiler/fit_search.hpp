/// The largest number for which something still fits, with as few tries as can be.
///
/// A try is dear (pieces are worked), but it says more than yes or no: how much of what there is would be
/// used. Numbers are doubled until one does not fit; between the two the next is where a straight line
/// through both says that it must end, and every third time the middle, so that no curve makes it slow.
///
///     pressure 0.48 at 64, 1.9 at 128: next 64 + 64 x 0.52 / 1.42 = 87
#pragma once

#include <functional>
#include <string>

namespace wale {

/// What one number was found to come to.
struct Probe {
  bool possible = false;  ///< the rows in question could be worked so often
  double pressure = 0;  ///< what it needs over what there is: up to 1 it fits. Does not fall with the number
  std::string why_not;  ///< where it is not possible
};

struct Largest {
  long long number = 0;       ///< 0: not even one
  bool ended_by_yarn = true;  ///< one more would take too much; otherwise one more cannot be worked
  bool tried_out = false;     ///< all numbers up to `most` fit
  std::string why_not;        ///< why one more cannot be worked
};

/// Of 1 to `most`.
Largest largest_that_fits(long long most, const std::function<Probe(long long)>& probe);

}  // namespace wale
