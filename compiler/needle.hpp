/// The needle: loops in the order in which they will be worked, kept as repeats of short runs.
///
/// A blanket of a million stitches in rib is "knit knit purl purl, 250,000 times": one segment. A fabric
/// proved for all n has one segment whose times grow with n. Whatever is done to the needle is done to its
/// segments, so its cost follows the pattern's source and not the number of stitches.
///
///     [ (k)x1  (k k p p)x(n + 3)  (k)x1 ]      4n + 14 loops in three segments
///
/// Loops of a fabric that nobody has made yet are of a type still to be found out: each carries the number of
/// a variable, which `EntryTypes` binds when the first stitch asks something of it.
#pragma once

#include <initializer_list>
#include <optional>
#include <span>
#include <vector>

#include "compiler/linear.hpp"
#include "compiler/stitches.hpp"

namespace wale {

/// The face that a loop turns to the right side of the work.
enum class Face : unsigned char { knit, purl, unknown };

struct Loop {
  LoopType type = LoopType::plain;  ///< `any`: as the variable says
  Face face = Face::knit;
  short strand = -1;  ///< index into the pattern's strands; -1 the strand in hand
  int variable = -1;
  bool turned = false;  ///< the variable tells its type from the other side of the work
  bool operator==(const Loop&) const = default;
};

/// A word of loops, so many times.
struct Segment {
  std::vector<Loop> word;
  Linear times = 1;
  bool operator==(const Segment&) const = default;
};

/// The longest word that a segment may have. A pattern's repeat is far shorter; the bound keeps any input
/// cheap.
inline constexpr std::size_t longest_word = 1 << 16;

class Needle {
 public:
  /// So many alike.
  static Needle of(Loop loop, Linear count);

  Linear width() const {
    Linear out = Linear(-static_cast<long long>(begun_));
    for (std::size_t i = first_; i < segments_.size(); ++i) {
      const auto& [word, times] = segments_[i];
      out = out + (word.size() == 1 ? times : times * static_cast<long long>(word.size()));
    }
    return out;
  }
  bool empty() const { return segments_.empty(); }
  /// What is left, in whole segments.
  std::vector<Segment> segments() const;
  /// Calls `visit(word, times)` for what is left, from the left, without copying it.
  template <typename Visit>
  void each_run(const Visit& visit) const {
    for (std::size_t i = first_; i < segments_.size(); ++i) {
      const std::span<const Loop> word(segments_[i].word);
      Linear times = segments_[i].times;
      if (i == first_ && begun_ > 0) {
        visit(word.subspan(begun_), Linear(1));
        times = times - Linear(1);
      }
      if (times != Linear(0)) visit(word, times);
    }
  }

  void push(std::span<const Loop> word, Linear times);
  void push(std::initializer_list<Loop> word, Linear times) {
    push(std::span<const Loop>(word.begin(), word.size()), times);
  }
  /// One loop, so many times.
  void push(const Loop& loop, Linear times);
  void push(const Segment& segment) { push(std::span<const Loop>(segment.word), segment.times); }
  void push(Segment&& segment);
  /// Puts another needle's loops behind these.
  void append(const Needle& other);
  void append(Needle&& other);

  bool spent() const { return first_ == segments_.size(); }
  /// The repeat that is next in line, of a needle that is not spent: its length, its copies of which nothing
  /// has been taken, and the loops left in all of it.
  std::size_t period() const { return segments_[first_].word.size(); }
  Linear whole_copies() const { return segments_[first_].times - Linear(begun_ > 0 ? 1 : 0); }
  Linear loops_ahead() const;
  /// Takes so many whole copies of it, one of which is returned; it must hold them.
  std::vector<Loop> take_copies(Linear copies);
  /// How many loops of this type come next, as far as their number is a plain one; `most` at most. Costs what
  /// the words are long.
  long long ahead_of(LoopType type, long long most) const;
  /// Takes so many loops from the left, unseen. There must be so many, in segments of a plain number of
  /// copies.
  void drop(long long count);
  /// Takes up to `count` loops from the left, one by one. `must_be_positive` is told of growing segments that
  /// had to hold enough copies; the caller turns this into the smallest n.
  std::vector<Loop> take(std::size_t count, std::vector<Linear>& must_be_positive);

  /// The first `count` loops as a needle of their own; all counts must be plain, and there must be so many.
  Needle split(long long count);

  /// The loop worked last comes first.
  void reverse();
  /// Seen from the other side of the work: the front layer of double knitting is the back one and the other
  /// way round.
  void swap_layers();
  /// With another number of n: every segment's times become plain.
  Needle at(long long n) const;
  /// Makes repeats short and runs long, so that the needle stays small while it is worked on. Costs what the
  /// words are long.
  void normalise();
  /// The same loops, however they are cut into segments; where counts grow with n, for every n that is large
  /// enough for both. Costs what the words are long, not what the needle holds.
  bool operator==(const Needle& other) const;

  /// Loops that its words are written with: what it costs to go through it.
  long long written_out() const;

  /// The first `most` loops one by one (for small needles in charts; n must have been put in).
  std::vector<Loop> loops(std::size_t most) const;

 private:
  void drop_spent();
  void settle();
  void trim();  ///< leaves nothing begun and nothing used up

  std::vector<Segment> segments_;
  std::size_t first_ = 0;  ///< segments before it are used up
  std::size_t begun_ = 0;  ///< loops taken from one copy of the first
};

/// Both needles between two rows: what lies ahead, and what a turn in mid-row left on the right needle.
///
///     10 loops, "k7 turn":   left: the 7 just worked, last one first;   behind: the 3 not worked, nearest
///     first
struct Needles {
  Needle left, behind;

  Linear width() const { return behind.empty() ? left.width() : left.width() + behind.width(); }
  long long written_out() const { return left.written_out() + behind.written_out(); }
  bool mid_row() const { return !behind.empty() && !(behind.width() == Linear(0)); }
  void normalise() {
    left.normalise();
    behind.normalise();
  }
  bool operator==(const Needles&) const = default;
};

/// What is known of the loops that a fabric finds when it begins.
class EntryTypes {
 public:
  int fresh();
  LoopType type_of(const Loop& loop) const;
  /// Binds the loop's variable. False where it is bound to another type already.
  bool require(const Loop& loop, LoopType type);
  /// Its type, or plain where nothing was asked of it.
  LoopType final_type(const Loop& loop) const;
  bool bound(int variable) const { return types_[static_cast<std::size_t>(variable)].has_value(); }

 private:
  std::vector<std::optional<LoopType>> types_;
};

}  // namespace wale
