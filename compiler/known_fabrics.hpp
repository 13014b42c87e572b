/// Fabrics that one pattern after another has: read and proved once for all that are only looked at.
///
/// Most patterns of a collection have a fabric or two that others have as well, word for word: stockinette, a
/// rib, a border. What is proved of a fabric hangs on its words and on the strands that they may name, and on
/// nothing else as long as the pattern declares no stitches of its own. So it is kept by these words, and a
/// pattern that says them again takes it as it is. The places in the source that it points to are the first
/// one's: such a pattern can be asked whether all is well with it, and nothing else.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>

#include "compiler/effort.hpp"
#include "compiler/floats.hpp"
#include "compiler/pattern.hpp"

namespace wale {

/// The bytes of source whose fabrics are kept; what is known of them takes some two hundred times as much.
inline constexpr std::size_t most_bytes_known = 1 << 15;

class KnownFabrics {
 public:
  struct Known {
    Fabric fabric;  ///< proved, nothing wrong with it; its name and span are those of another one
    long long rows = 0, stitches = 0;  ///< what it took to prove it
    long long written = 0;             ///< rows and ops, see `Resolver::written`
    std::optional<Float> longest_float = {};
  };

  /// Before a pattern: its stitches, which are the vocabulary's and crossings. What was found before is gone
  /// where there is too much of it.
  Stitches& begin();
  /// The fabric of these words among the strands of these names, if it is known.
  const Known* find(const std::vector<Strand>& strands, std::string_view words);
  /// Call after a `find` that found nothing, with what it was asked for. Only words that come a second time
  /// are worth it.
  void keep(Known known);
  std::size_t size() const { return known_.size(); }

 private:
  std::unique_ptr<Stitches> stitches_;
  std::unordered_map<std::string, Known> known_;
  std::unordered_set<std::size_t> once_;  ///< hashes of words that came once
  std::size_t bytes_ = 0;
  std::string key_;
};

}  // namespace wale
