// Counts of the form a n + b, and their edges: nothing overflows, nothing is rounded.
#include "compiler/linear.hpp"

#include <doctest/doctest.h>

#include <limits>

using namespace wale;

TEST_CASE("counts with n in them add, subtract and multiply by their coefficients") {
  CHECK(Linear(4, 2) + Linear(3) == Linear(4, 5));
  CHECK(Linear(4, 2) - Linear(1, 2) == Linear(3, 0));
  CHECK(Linear(4, -2) * 3 == Linear(12, -6));
  CHECK(Linear(4, 2).at(13) == 54);
  CHECK(Linear(7).constant());
  CHECK(!Linear(1, 0).constant());
}

TEST_CASE("counts read as a knitter writes them") {
  CHECK(to_string(Linear(4, 2)) == "4n + 2");
  CHECK(to_string(Linear(1, 0)) == "n");
  CHECK(to_string(Linear(2, -3)) == "2n - 3");
  CHECK(to_string(Linear(12)) == "12");
  CHECK(to_string(Linear(0)) == "0");
}

TEST_CASE("counts stick at the largest work in place of overflowing") {
  const long long most = std::numeric_limits<long long>::max(), least = std::numeric_limits<long long>::min();
  CHECK(add_counts(most, most) == largest_work);
  CHECK(add_counts(least, least) == -largest_work);
  CHECK(multiply_counts(most, most) == largest_work);
  CHECK(multiply_counts(most, least) == -largest_work);
  CHECK(multiply_counts(least, least) == largest_work);
  CHECK(multiply_counts(most, 0) == 0);
  CHECK((Linear(largest_work) + Linear(1)).too_large());
  CHECK(!Linear(largest_work - 1).too_large());
  CHECK(Linear(largest_work, largest_work).at(largest_work) == largest_work);
}

TEST_CASE("division rounds down and leaves a rest that is not negative") {
  for (long long a = -20; a <= 20; ++a)
    for (long long b = 1; b <= 7; ++b) {
      CHECK(floor_divide(a, b) * b + floor_rest(a, b) == a);
      CHECK(floor_rest(a, b) >= 0);
      CHECK(floor_rest(a, b) < b);
    }
}

TEST_CASE("the smallest n is the first at which the count is large enough") {
  for (long long a = -2; a <= 4; ++a)
    for (long long b = -9; b <= 9; ++b)
      for (long long least = -3; least <= 8; ++least) {
        long long found = -1;
        for (long long n = 0; n <= 40 && found < 0; ++n)
          if (a * n + b >= least) found = n;
        // A count that shrinks with n is never large enough for all n from there on.
        if (a < 0) found = -1;
        CAPTURE(a);
        CAPTURE(b);
        CAPTURE(least);
        CHECK(smallest_n(Linear(a, b), least) == found);
      }
}
