/// A collection of made-up patterns, as many as are wanted, for measuring what checking many files costs.
///
/// Each is a project of some sixty lines: a scarf, hat, cowl, mitts, slipover, yoked pullover, wrap, blanket
/// or pad, with fabrics, measures and counts drawn by the number of the pattern, so that the same number is
/// the same text everywhere. They are knittable; one in fifty is warned of two colours that can hardly be
/// told apart. One in four brings its yarn in from a locker that all share.
///
///     pattern_of(7)    -- Pattern 7 ...  pattern "Ebb Mitts 7"  yarn ...  sizes S M L ...
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace wale::bench {

/// Numbers that look drawn by chance and are the same for one seed everywhere (splitmix64, Steele, Lea and
/// Flood, "Fast splittable pseudorandom number generators", 2014).
class Lots {
 public:
  explicit Lots(std::uint64_t seed) : state_(seed) {}
  /// From `first` to `last`, both included.
  int between(int first, int last);
  template <typename T>
  const T& one_of(const std::vector<T>& choices) {
    return choices[static_cast<std::size_t>(between(0, static_cast<int>(choices.size()) - 1))];
  }

 private:
  std::uint64_t state_;
};

/// A fabric of `multiple` n + `base` stitches that comes back to where it began after `rows` rows.
struct MadeFabric {
  std::string name, text;
  int multiple = 1, base = 0, rows = 2;

  /// `4n + 2`, with `more` added.
  std::string width(int more = 0) const;
};

// Fabrics in one yarn: rib, moss, squares of knit and purl, diagonals, cables, lace.
MadeFabric flat_fabric(Lots& lots, const std::string& name);
MadeFabric round_fabric(Lots& lots, const std::string& name);
MadeFabric lace(Lots& lots, const std::string& name);
/// In strands A and B, worked in the round from a picture that is `multiple` wide.
MadeFabric stranded(Lots& lots, const std::string& name, int multiple);
/// Narrowed from `from` stitches to 2, each time as often as they fit, in the round.
MadeFabric crown(const std::string& name, int from);

std::string pattern_of(std::size_t number);
/// The file that some use as `../locker.wale`.
std::string locker();

enum class Written {
  pattern,   ///< FOLDER/box-012/pattern-1234.wale, and FOLDER/locker.wale
  distinct,  ///< no two of their fabrics in the same words: blanks tell them apart
  escaped,   ///< each of them as the text of an XML element, `<` written as `&lt;`
  cdata,     ///< the same in a CDATA section
};
/// Writes so many patterns from number `first` on, a hundred to a folder, and the locker; returns the bytes
/// of the patterns and the locker.
std::size_t write_collection(const std::string& folder, std::size_t count, Written as, std::size_t first = 0);

}  // namespace wale::bench
