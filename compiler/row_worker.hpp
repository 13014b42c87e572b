/// Works a row: takes loops from the left needle as its stitches ask for them and gives new ones to the
/// right.
///
/// The work is done on repeats, not on stitches. To work `<k2 p2>` over "(plain) 4n times", one copy of the
/// fill is worked on four plain loops and the outcome stands for all n of them. Where the fill (f loops) and
/// the needle's repeat (w loops) differ, they meet again after lcm(f, w) loops: that many are worked, once.
///
///     fill of 4 over (v p) 2n times:  v p v p | v p v p | ...   two needle copies a fill, n fills
///
/// Everything holds for all n at once because counts are `Linear`. Where an outcome needs n to be large
/// enough, the worker says so in `must_not_be_negative`, and the caller looks at the few smaller n one by
/// one.
#pragma once

#include <array>
#include <bit>
#include <cstdint>
#include <initializer_list>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <type_traits>

#include "compiler/flat_map.hpp"
#include "compiler/needle.hpp"
#include "compiler/row.hpp"

namespace wale {

/// How often each stitch was worked, by strand (-1: the strand in hand), and what each strand was carried
/// past.
struct Tally : FlatMap<std::pair<StitchId, short>, Linear> {
  /// Stitches in other strands behind which the strand floats. Known once rows are worked in a piece.
  FlatMap<short, Linear> behind;
  bool operator==(const Tally&) const = default;
};
void add(Tally& tally, const Tally& more, Linear times = 1);
/// Puts the strand in hand in the place of -1.
void resolve(Tally& tally, short in_hand);
/// Of the tally of one row, strand in hand resolved: every strand that is worked in it is carried along the
/// whole row, from where it hangs to where it will hang, behind what is worked in the others. The two of
/// double knitting run in layers of their own and float nowhere; past slipped stitches they pass all the
/// same, which is the slipped stitch's yarn.
void carry(Tally& row, const Stitches& stitches);
/// Adds the stitches of rows that are worked so often at this n, the strand in hand in the place of -1.
void add_at(Tally& to, const Tally& rows, long long n, short in_hand, long long times);
/// Adds what the strands of one such row are carried behind.
void carry_at(Tally& to, const Tally& row, long long n, short in_hand, long long times,
              const Stitches& stitches);

/// The face of a loop that the stitch makes when it is worked from this side. A stitch that is its own twin
/// shows the same on the right side from wherever it is worked.
Face face_made(const Stitches& stitches, StitchId stitch, LoopType type, Side side);

/// Part of a row: the ops of one fabric over its own stitches.
struct RowPart {
  const std::vector<Op>* ops = nullptr;
  Linear width;  ///< loops on the needle for it
  Linear fills;  ///< how often its fill is worked, see `fit_row`; 0 where it has none
};

/// Where a yarn hangs, as the right side shows it. In the round the beginning of the round is its right edge.
struct YarnPlace {
  enum class Where : unsigned char { right, left, mid };
  Where where = Where::right;
  Linear from_right;  ///< in mid-row: stitches between it and the right edge
  bool operator==(const YarnPlace&) const = default;
};
inline YarnPlace edge_where_begins(Side side, bool round) {
  return {round || side == Side::right ? YarnPlace::Where::right : YarnPlace::Where::left, 0};
}
/// Where a row on this side begins.
inline YarnPlace begins_at(const Needles& needles, Side side, bool round) {
  if (!needles.mid_row()) return edge_where_begins(side, round);
  if (needles.left.width() == Linear(0)) return edge_where_begins(other(side), round);
  return {YarnPlace::Where::mid, side == Side::right ? needles.behind.width() : needles.left.width()};
}

/// Strands, each once, in their order: -1, the one in hand, first. A pattern has at most 100 of them.
class StrandSet {
 public:
  class Iterator {
   public:
    Iterator(std::uint64_t low, std::uint64_t high) : low_(low), high_(high) {}
    short operator*() const {
      return static_cast<short>(low_ != 0 ? std::countr_zero(low_) - 1 : 63 + std::countr_zero(high_));
    }
    Iterator& operator++() {
      (low_ != 0 ? low_ : high_) &= (low_ != 0 ? low_ : high_) - 1;
      return *this;
    }
    bool operator==(const Iterator&) const = default;

   private:
    std::uint64_t low_, high_;  ///< a bit for each of those that are still to come
  };

  StrandSet() = default;
  StrandSet(std::initializer_list<short> strands) {
    for (const short strand : strands) insert(strand);
  }
  void insert(short strand) {
    const int bit = strand + 1;
    (bit < 64 ? low_ : high_) |= std::uint64_t{1} << (bit & 63);
  }
  Iterator begin() const { return {low_, high_}; }
  Iterator end() const { return {0, 0}; }
  void clear() { low_ = high_ = 0; }

 private:
  std::uint64_t low_ = 0, high_ = 0;
};

/// What a row is called in messages, "row 2 M of tide": words, or a function that makes them when there is
/// something to say. It refers to what it was made from.
class RowName {
 public:
  RowName(const std::string& words)  // NOLINT: words are a name
      : from_(&words), tell_([](const void* from) { return *static_cast<const std::string*>(from); }) {}
  RowName(const char* words)  // NOLINT
      : from_(words), tell_([](const void* from) { return std::string(static_cast<const char*>(from)); }) {}
  template <typename Words>
  requires std::is_invocable_r_v<std::string, const Words&> RowName(const Words& words)  // NOLINT
      : from_(&words), tell_([](const void* from) { return (*static_cast<const Words*>(from))(); }) {}
  std::string operator()() const { return tell_(from_); }

 private:
  const void* from_;
  std::string (*tell_)(const void*);
};

struct RowSetting {
  Side side = Side::right;
  short strand = -1;
  short back_strand = -1;  ///< of double knitting
  RowName name;
};

/// What a row meets of earlier turns, and works together with its stitches.
struct Resolves {
  bool wraps = false, doubles = false;
  bool operator==(const Resolves&) const = default;
};

struct RowOutcome {
  bool good = false;
  bool alike = false;  ///< its stitches all asked for the same, and made their loops anew
  Needle needle;       ///< the loops given, first worked first
  Needle unworked;     ///< loops that a turn left on the left needle
  Resolves resolves;
  std::vector<Linear> widths;  ///< where there are several parts, of each: loops given
  Tally tally;
  StrandSet strands;  ///< that were worked with
};

class RowWorker {
 public:
  RowWorker(const Stitches& stitches, EntryTypes& entry, Diagnostics& diagnostics)
      : stitches_(stitches), entry_(entry), diagnostics_(diagnostics) {}

  /// The parts must take exactly the needle (see `fit_row`). Reports stitches that meet loops of another
  /// type.
  RowOutcome work(Needle left, std::span<const RowPart> parts, const RowSetting& setting);

  /// What the needles hold when the row is done: turned, slid back, or going on round. `round`: the piece is
  /// worked in the round. Flips `side` where the work is turned. A wrap and a double stitch are made here.
  /// Tells where the yarn hangs then.
  YarnPlace end_row(Needles& needles, RowOutcome& outcome, const Row& row, bool round, Side& side);

  std::vector<Linear> must_not_be_negative;

  /// Stitches that the last row took to be worked singly: what it cost.
  long long worked() const;

 private:
  /// Copies of a fill this long are worked as one word; longer ones are worked piece by piece.
  static constexpr long long longest_flat = 4096;

  /// What a row asks for and what it comes to, where its stitches all ask for the same.
  struct Alike {
    /// A stitch in one strand.
    struct Kind {
      StitchId stitch = -1;
      short strand = -1;
      long long takes = 0;
      std::size_t gives = 0;
      std::array<Loop, 2> loops;  ///< that it gives
      Linear times;               ///< in all
      std::span<const Loop> given() const { return {loops.data(), gives}; }
    };
    struct Run {
      std::size_t kind = 0;
      long long count = 0;
    };

    void begin(Linear fills_of_row);
    bool spelled() const;
    bool asks(const std::vector<LoopType>& loops);

    std::vector<Kind> kinds;  ///< few: looked through for each run
    std::vector<Run> runs;    ///< as the row's words name them, repeats once
    Linear fills, takes;
    /// The loops that each stitch asks for, or a part of them: one plain loop, or a pair. Null where they ask
    /// for none.
    const std::vector<LoopType>* unit = nullptr;
    long long gives = 0;
    bool repeats = false;
  };

  struct Hand {
    const std::vector<Loop>* from = nullptr;
    std::size_t at = 0;
    std::vector<Loop> to;
  };

  void mark_first(Needle& needle, LoopType type);
  bool run(std::span<const Op> ops, short strand, Linear fills);
  bool add_alike(std::span<const Op> ops, short strand, Linear times, Linear& takes);
  bool add_alike(const Op& op, short strand, Linear times, Linear& takes);
  bool add_repeat(std::span<const Op> ops, short strand, Linear times, Linear in_all, Linear& takes);
  bool all_alike(const std::vector<LoopType>& unit);
  bool give(std::span<const Op> ops, std::size_t& run, std::vector<Loop>* to);
  std::optional<bool> run_alike(std::span<const Op> ops, short strand, Linear fills);
  bool run_stitch(const Op& op, short strand);
  bool repeat(std::span<const Op> ops, short strand, long long takes, Linear times);
  bool repeat_counted(std::span<const Op> ops, short strand, long long takes, Linear times);
  Linear batches(Linear copies, long long per_batch, Linear times, long long times_per_batch, bool& provable);
  bool work_flat(std::span<const Op> ops, short strand, Hand& hand);
  bool meets(const Loop& loop, LoopType wanted);
  bool work_stitch(const Op& op, short strand, Hand& hand);
  void count(std::span<const Op> ops, short strand, Linear times);
  void count(StitchId stitch, short strand, Linear times);
  bool give_up(Span span);
  void wrong_loop(const Op& op, LoopType wanted, LoopType met);
  Loop made(StitchId stitch, LoopType type, short strand) const;
  short far_strand(short near) const;

  const Stitches& stitches_;
  EntryTypes& entry_;
  Diagnostics& diagnostics_;
  const RowSetting* setting_ = nullptr;  ///< while a row is worked
  Needle left_, right_;
  std::vector<Loop> word_;  ///< that is spelled out; kept so that each need not make its own
  Alike alike_;
  Tally tally_;
  StrandSet strands_;
  std::set<std::uint32_t> complained_;
  Resolves resolves_;
  long long budget_ = 0;
  bool good_ = true;
};

/// The row's sum against the needle, without working it: how often the fill goes, or a diagnostic with the
/// sum part by part, what would fit, and, where the width grows with n, an n from `from_n` on at which the
/// sum is wrong.
std::optional<Linear> fit_row(const std::vector<Op>& ops, Linear width, const Stitches& stitches, Span span,
                              const RowName& row_name, Diagnostics& diagnostics, long long from_n = 0);

/// Widths near `width` that the row's parts would use up exactly, smaller first; with a step of `step` for
/// all n.
std::vector<long long> nearest_fits(const Parts& parts, long long width);

}  // namespace wale
