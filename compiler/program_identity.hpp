/// Which program this is, to the byte: a pattern compiled by another one has to be compiled again.
///
///     program_identity()  ->  "0.1.0 4605e4135d7dd21d762477ba1b31306c0f00e175"
#pragma once

#include <string>

namespace wale {

/// The version, and what the linker noted of all that the program was put together from (the build ID of ELF
/// files); where it noted nothing, size and time of the program's file.
std::string program_identity();

}  // namespace wale
