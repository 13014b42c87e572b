/// What the program writes to: a terminal of some width, with colours or without, or a file or a pipe.
///
/// Only on a terminal does the program colour, cut and wrap; into a file or a pipe goes the same text always.
#pragma once

#include "grammar/quote.hpp"

namespace wale {

/// How mistakes look on standard error. Coloured on a terminal that is not "dumb", unless NO_COLOR is set to
/// anything but nothing (no-color.org).
Look look_of_errors();

/// The same of standard output, in no colours.
Look look_of_output();

/// Columns for help on standard output: the terminal's, within reason; 80 where it is none.
int help_columns();

}  // namespace wale
