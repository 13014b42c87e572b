/// Standard output and standard error, where they are full, closed, or nobody reads them.
///
///     wale check p.wale >/dev/full        the exit status says that it was not told, standard error why
///     wale check p.wale | head -n 1       ends, without a word
///     wale build p.wale --to out >&-      no file gets the closed stream's number, and its words
///
/// Once they are prepared a write that fails is an error like any other: no signal ends the program while
/// files are half-written.
#pragma once

#include <exception>
#include <string>

namespace wale {

/// To be called before any file is opened.
void prepare_standard_streams();

/// Says why the program ends, where an exception ends it, if anyone can be told. Never throws.
void say_at_the_end(const std::exception& why) noexcept;

/// Writes out what waits. Whether all of standard output was written; if not, that is said, but for a reader
/// who has gone.
bool finish_standard_output() noexcept;

}  // namespace wale
