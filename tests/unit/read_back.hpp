/// A reader of the instructions that Wale prints: it knows the English of knitting patterns and nothing else.
///
/// It takes the blocks of a document, finds the abbreviations, the fabrics and the pieces in them, and works
/// them on a needle of its own: every loop by the naive knitter's fingers. What comes off that needle is held
/// against what was checked, so a sentence that leaves something out, or can be taken in two ways, fails.
///
///     Row 2 (WS): *P2, k2; rep from * to last 2 sts, p2.     on 10 loops: p p k k p p k k p p
///
/// It asks neither the pattern's file nor the compiler's tree. Of the vocabulary it knows what a knitter
/// knows: what k2tog takes and gives. A pattern's own stitches it learns from the abbreviations. What it
/// cannot read it reports as a `Misread`; it skips nothing.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "render/document.hpp"
#include "tests/unit/naive.hpp"

namespace wale::read_back {

/// A sentence that cannot be read, or that says something else than what is on the needle.
struct Misread : std::runtime_error {
  using std::runtime_error::runtime_error;
};
[[noreturn]] void misread(const std::string& why, std::string_view words);

/// Goes through a sentence from its beginning to its end.
class Cursor {
 public:
  explicit Cursor(std::string_view words) : words_(words) {}
  bool done() const { return at_ >= words_.size(); }
  bool accept(std::string_view part);
  /// The same, whether the sentence begins with it or not.
  bool accept_any_case(std::string_view part);
  void expect(std::string_view part);
  bool sees(std::string_view part) const { return words_.substr(at_).starts_with(part); }
  char peek() const { return done() ? '\0' : words_[at_]; }
  std::optional<long long> maybe_number();
  long long number();
  /// Up to the first of `ends`, which stays ahead.
  std::string until(std::string_view ends);
  /// Up to `part`, which is passed over.
  std::string up_to(std::string_view part);
  /// "1 st", "12 sts".
  long long sts();
  /// "once", "twice", "5 times".
  long long times();
  std::string_view rest() const { return words_.substr(at_); }
  std::size_t at() const { return at_; }
  void back_to(std::size_t at) { at_ = at; }
  /// Whether `part` has just been passed.
  bool before(std::string_view part) const { return words_.substr(0, at_).ends_with(part); }
  [[noreturn]] void stuck(const std::string& why) const;

 private:
  std::string_view words_;
  std::size_t at_ = 0;
};

/// One thing to do in a row.
struct Phrase {
  enum class Kind : unsigned char { stitch, group, repeat, seen, into, turn };
  Kind kind = Kind::stitch;
  std::string stitch;     ///< as the vocabulary spells it
  long long count = 1;    ///< of the stitch or the group; for `into` the stitches taken together
  long long to_last = 0;  ///< repeat, seen: stitches that are left behind it
  Turn turn = Turn::none;
  std::string strand;  ///< "in A"; empty: the row's
  std::vector<Phrase> inner;
};

/// What a row's sentence says beside its stitches.
struct Claims {
  std::optional<long long> after;                           ///< ": 50 sts"
  std::optional<long long> change;                          ///< "(inc 2 sts)"
  std::optional<std::pair<long long, long long>> multiple;  ///< "(multiple of 6 sts + 2)"
  std::optional<std::pair<long long, long long>> in_each;   ///< "(6 sts in each repeat + 2)"
  bool slides = false, turns = false, wraps = false, doubles = false;
};

/// A row, or several alike, as one paragraph gives them.
struct RowLine {
  long long first = 1, last = 1;
  bool every = false, next = false;
  bool round = false;
  bool others = false;  ///< "... and all other WS rows": it stands for the even rows that are not given
  bool more = false;    ///< another pass over the same row follows
  std::optional<Side> side;
  std::vector<std::string> with;
  std::optional<std::pair<long long, long long>> again;  ///< "As row 2.", "Rep rows 1-4.": those rows
  std::vector<Phrase> phrases;
  Claims claims;
  std::string words;
};

/// "Row 2 (WS), with M:". Nothing where the lead is of no row.
std::optional<RowLine> read_lead(std::string_view lead);
/// The row's text; `table` knows the stitches.
void read_row(std::string_view text, RowLine& out, Stitches& table);

/// A stitch, or several worked into the same, in the strand in which it is worked.
struct Item {
  Op op;  ///< one stitch, `into`, or as seen
  std::string strand;
  long long takes = 0, gives = 0;
};

/// A row's stitches on so many loops.
struct Spread {
  std::vector<Item> before, fill, after;
  long long times = 0;  ///< that the fill is worked
  Turn turn = Turn::none;
  long long left = 0;  ///< loops that the turn leaves
  bool seen = false;   ///< the fill works each stitch as it faces

  std::vector<Item> all() const;
};
/// Misread where the words do not use up the loops that lie ahead.
Spread spread(const RowLine& row, long long ahead, Stitches& table);

struct ReadFabric {
  std::string name;  ///< as the heading has it, in lower case where it begins
  bool round = false, worked_other_way = false;
  long long per_n = 0, base = 0, least = 0;                ///< a multiple of, plus; at least
  bool every = false;                                      ///< "Every row: ..."
  std::optional<std::pair<long long, long long>> repeats;  ///< "Rep rows 1-4 for rib."
  std::vector<RowLine> rows;                               ///< ranges and "as" written out; passes apart

  std::optional<RowLine> others;  ///< "all other WS rows"

  long long cycle() const { return rows.empty() ? 0 : rows.back().last; }
  /// Writes out the row after those that are there where it is one of the others.
  void add_other();
  /// The next line: ranges, copies and repeats are written out, one line a row or pass.
  void add(const RowLine& line);
  /// The passes over a row, counted from 0 and going on in cycles where the words say so.
  std::vector<const RowLine*> passes(long long row) const;
};

/// "Rib (multiple of 4 sts + 2)". Nothing where it heads no fabric.
std::optional<ReadFabric> read_fabric_heading(std::string_view heading);

/// A row that was worked, as wide as it is seen: the far layer of double knitting lies behind the near one.
struct WorkedRow {
  Form form = Form::flat;
  double wales = 0;
};

/// Loops on the needle, rows worked on them one at a time.
class Hands {
 public:
  explicit Hands(Stitches& table) : table_(&table) {}

  void take(std::vector<Loop> loops, Form form, Side side);
  /// Loops ahead of the yarn, and on the whole needle.
  long long ahead() const;
  long long all() const;
  Side side() const { return side_; }
  Form form() const { return form_; }
  void form(Form form) { form_ = form; }
  /// Whether all loops lie ahead.
  bool at_an_edge() const { return pending_.empty(); }
  /// In the order in which the next row works them.
  std::vector<Loop>& loops() { return loops_; }
  const std::vector<Loop>& loops() const { return loops_; }
  std::vector<Loop> loops_ahead() const;
  /// Works one row, and adds what it worked to the tally. `hand`: what rows that name no strand are worked
  /// in.
  void work(const std::vector<Item>& items, Turn turn, bool slides, const std::vector<std::string>& with,
            const std::string& hand);

  std::vector<std::string> strands;  ///< by index
  short strand(const std::string& name);
  std::map<std::pair<StitchId, short>, long long> tally;
  long long rows = 0;
  std::vector<WorkedRow> worked;  ///< all of them, passes apart counted once
  std::vector<naive::Made> made;  ///< of the last row
  std::vector<Loop> line;         ///< after the last row, as the right side shows it

 private:
  Stitches* table_;
  Form form_ = Form::flat;
  Side side_ = Side::right;
  std::vector<Loop> loops_;
  std::vector<Row> pending_;  ///< worked since all loops lay ahead
  long long ahead_ = 0, all_ = 0;
};

/// The vocabulary, with the stitches that the abbreviations explain.
std::unique_ptr<Stitches> table_of(const std::vector<render::Block>& blocks);

/// A place in a piece at which something is known of the needle.
struct Place {
  long long rows = 0;
  std::string words;  ///< the last read
  bool at_an_edge = true;
  std::vector<Loop> loops;
  std::map<std::pair<StitchId, short>, long long> tally;
};

struct ReadPiece {
  std::string name;
  std::vector<Place> places;
  std::vector<std::string> strands;  ///< of the loops and the tally
  std::vector<WorkedRow> worked;
};

/// Part of an edge, as somebody counts it who looks at the piece: so many rows of a side, or so many stitches
/// that were cast on or bound off there.
struct EdgeRun {
  enum class Of : unsigned char { rows, cast_on, bound_off };
  enum class Where : unsigned char { right, left, bottom, top };
  Of of = Of::rows;
  Where where = Where::right;
  bool outer = false;  ///< of the piece as it was cast on, not of stitches parted from others
  std::string name;    ///< as the marker there is called
  long long count = 0;
};
/// Stitches on a holder.
struct Waiting {
  std::vector<Loop> loops;
  Side side = Side::right;
  Form form = Form::flat;
};
/// What a piece leaves to others.
struct Left {
  std::vector<EdgeRun> edges;  ///< as they were made
  std::map<std::string, Waiting> waiting;
  std::vector<std::string> strands;  ///< of the loops
  long long copies = 1;
};
struct Shelf {
  std::map<std::string, Left> pieces;
  std::map<std::string, long long>
      used;  ///< edges picked up along or sewn, stitches joined: of how many copies
};

/// Counts what is read, so that a test can tell that something was.
struct Count {
  long long rows = 0, sentences = 0, fabrics = 0, pieces = 0, patterns = 0;
  long long places = 0;  ///< steps of pieces at which the needle was compared
};

/// A document, read.
class Reading {
 public:
  /// Reads the instructions of a document of one size, or of the size `of` of `sizes`.
  explicit Reading(const std::vector<render::Block>& blocks, std::size_t of = 0);

  Stitches& table() { return *table_; }
  const std::vector<ReadFabric>& fabrics() const { return fabrics_; }
  const std::vector<ReadPiece>& pieces() const { return pieces_; }
  Count count;

 private:
  void instructions(const std::vector<render::Block>& blocks);

  std::unique_ptr<Stitches> table_;
  std::vector<ReadFabric> fabrics_;
  std::vector<ReadPiece> pieces_;
  Shelf shelf_;
};

/// With this begins a document for a left-handed knitter.
inline constexpr std::string_view for_left_hands = "Mirrored for left-handed knitting:";
/// What a left-handed knitter reads, as a right-handed one would read it: left for right, m1l for m1r.
std::string in_the_mirror(std::string_view words);

/// One size's numbers out of a document of all sizes: 66 out of "60 (66, 72) sts".
std::vector<render::Block> of_size(const std::vector<render::Block>& blocks, std::size_t size);
std::string of_size(std::string_view words, std::size_t size, std::size_t sizes);

/// Works one row of a fabric as its line says, on what the hands hold.
void work_line(const RowLine& line, Hands& hands, Stitches& table, const std::string& hand);

/// A piece's paragraphs, worked from the cast-on to the end. `shelf`: what the pieces before it left.
ReadPiece work_piece(const std::string& heading, const std::vector<render::Paragraph>& lines,
                     const std::vector<ReadFabric>& fabrics, Stitches& table, Shelf& shelf, Count& count);

}  // namespace wale::read_back
