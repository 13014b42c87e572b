/// The stitches that a pattern may use, looked up by the words of its rows.
///
/// The table is filled from `vocabulary.wale` and then from the pattern's own `stitch` declarations, both
/// read by the one parser. A crossing (`2/2rc`) is made from its family the first time that it is met.
/// The vocabulary is read once: patterns share it, and keep what they add to it by themselves.
///
///     lookup("k3")      knit, 3 times
///     lookup("k2tog")   knit 2 together, once: the whole word is a stitch
///     lookup("2/1rpc")  a crossing of 3 stitches, the front 2 knitted, the back 1 purled
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "grammar/diagnostics.hpp"
#include "grammar/tree.hpp"

namespace wale {

enum class LoopType : unsigned char {
  plain,
  veiled,   ///< slipped with its own yarn over
  front,    ///< near layer of double knitting
  back,     ///< far layer
  wrapped,  ///< its foot was wrapped at a short-row turn
  doubled,  ///< pulled up into two legs at a short-row turn
  any,      ///< in `takes` only: whatever is there
};
/// As the other side of the work shows it: the near layer of double knitting is the far one there.
inline LoopType from_behind(LoopType type) {
  return type == LoopType::front ? LoopType::back : type == LoopType::back ? LoopType::front : type;
}

/// "a plain stitch", "a stitch that carries its yarn over".
std::string name_of(LoopType type);

enum class Lean : unsigned char { none, right, left, centre };

using StitchId = int;

struct Stitch {
  std::string name;
  std::vector<LoopType> takes;
  std::vector<LoopType> gives;
  bool passes_on = false;   ///< `gives same`
  bool shows_purl = false;  ///< the face turned to the worker
  /// Takes and gives plain loops alone, made anew and all alike: what it is worked on need not be looked at.
  /// Known once the table is complete.
  bool plain = false;
  Lean lean = Lean::none;
  std::string twin_name;
  StitchId twin = -1;  ///< known once the table is complete
  double uses = 1;     ///< yarn, in plain loops of the fabric
  std::string says;
  std::string says_wrong;         ///< on wrong-side rows, where that differs (crossings)
  std::string mark, fills;        ///< SVG paths in a box `span` wide and 1 high
  std::string letters;            ///< in the middle of the mark: for a stitch that came without one
  Span span;                      ///< where it was declared
  std::optional<Span> twin_span;  ///< where its twin was said, if it was

  struct Crossing {
    int over = 0, between = 0, under = 0;
    bool right = true;
    bool under_purl = false, between_purl = false;
  };
  std::optional<Crossing> crossing;

  const std::string& says_on(bool right_side) const {
    return right_side || says_wrong.empty() ? says : says_wrong;
  }
  /// A pair of double knitting: a stitch of each layer.
  bool layered() const { return gives.size() == 2 && gives[1] == LoopType::back; }
  /// Squares that it takes up in a chart, at least 1.
  int cells() const { return crossing ? crossing->over + crossing->between + crossing->under : 1; }
};

struct Word {
  StitchId stitch = -1;
  long long count = 1;
};

/// The widest crossing that is accepted, in stitches.
inline constexpr int widest_crossing = 64;

class Stitches {
 public:
  /// The embedded vocabulary, complete; it is itself checked by the tests. Costs next to nothing after the
  /// first time.
  Stitches();
  /// Reads a vocabulary.
  explicit Stitches(const tree::Pattern& vocabulary, Diagnostics& diagnostics);

  /// Adds the pattern's own stitches; a name that the vocabulary has is taken over by the pattern's.
  void add(const tree::Stitch& declared, Diagnostics& diagnostics);
  /// Call after the last `add`: finds twins and reports those that are missing or do not match, and gives
  /// letters to stitches without a mark: the empty square is `k`'s alone.
  void complete(Diagnostics& diagnostics);

  /// The whole word if it is a stitch, else the word without its trailing digits and these as a count. The
  /// count is at most 1,000,000,000; `too_large` tells that it was more.
  std::optional<Word> lookup(const std::string& word, bool* too_large = nullptr);
  std::optional<StitchId> find(std::string_view name) const;
  /// Whether `lookup` would find it, crossings not yet made among them.
  bool knows(const std::string& word) const;

  const Stitch& operator[](StitchId id) const {
    const auto at = static_cast<std::size_t>(id);
    return at < shared_count_ ? shared_->stitches[at] : own_.stitches[at - shared_count_];
  }
  std::size_t size() const { return shared_count_ + own_.stitches.size(); }
  std::vector<std::string> names() const;
  /// The same stitches as a left-handed knitter names and describes them; marks stay. See mirror.hpp.
  Stitches mirrored() const;
  /// The letters of crossings: rc, lpc, ...
  std::vector<std::string> families() const;

 private:
  /// `2/1rpc`: the family, and the counts of its strips.
  struct CrossingWord {
    const tree::Stitch* family;
    std::vector<int> counts;
  };
  /// Of names, whether they are strings or parts of them.
  struct Hash : std::hash<std::string_view> {
    using is_transparent = void;
  };
  struct Table {
    std::vector<Stitch> stitches;
    std::unordered_map<std::string, StitchId, Hash, std::equal_to<>> by_name;
    std::map<std::string, tree::Stitch> families;
  };
  /// Read once for the whole program, and never changed.
  struct Vocabulary;
  static const Vocabulary& vocabulary();

  /// The family of that name, if there is one.
  const tree::Stitch* family(const std::string& letters) const;
  void mark_by_letters();
  std::optional<CrossingWord> read_crossing(const std::string& word) const;
  std::optional<StitchId> make_crossing(const std::string& word);

  const Table* shared_ =
      nullptr;  ///< what stands before the own stitches, as long as the pattern declares none
  std::size_t shared_count_ = 0;
  Table own_;
};

}  // namespace wale
