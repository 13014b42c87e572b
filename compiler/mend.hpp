/// A pattern with its certain mistakes mended, as `wale check --fix` does it.
///
/// The text is checked, all mends that do not overlap are made, and the text that comes of it is checked
/// again: a statement that can be read now may hold further mistakes. It ends where nothing is certain any
/// more, or after so many rounds. Text in, text out; no file is touched here.
///
///     1: <k2tgo K>      rig.wale:3:7: `k2tgo` is now `k2tog`      1: <k2tog k>
///                       rig.wale:3:13: `K` is now `k`
#pragma once

#include <string>
#include <vector>

#include "compiler/check.hpp"

namespace wale {

/// Checks of one text at most. A round mends up to `Diagnostics::most` mistakes.
inline constexpr int most_rounds = 40;

/// One mend as it was made: the place in the text of its round, and the words that it touches before and
/// after.
struct Change {
  Place place;
  std::string before, after;
};

struct Mended {
  Source source;  ///< the text at last
  std::vector<Change> changes;
  Loaded loaded;    ///< that text, with what it uses
  Checked checked;  ///< of that
  /// Nothing is left that a mend could change; else what is left takes more rounds than are made.
  bool ended = false;
};

/// `access`: how the files that it uses are read. `effort` may be spent on each check.
Mended mend(Source source, const FileAccess& access = files_in_memory({}), const Effort& effort = {});

/// "rig.wale:3:7: `k2tgo` is now `k2tog`", a line each.
std::string show(const std::vector<Change>& changes, const std::string& name);

}  // namespace wale
