/// A pattern that has been checked: everything that documents, charts and sums are made from.
///
/// Names have become indices, measures have become centimetres and grams, fabrics are proved, pieces are
/// worked. Nobody after this asks the tree or the source anything again, except to point at a place in it.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "compiler/course.hpp"
#include "compiler/edges.hpp"
#include "compiler/needle.hpp"
#include "compiler/row_worker.hpp"
#include "compiler/shaping.hpp"
#include "compiler/shared.hpp"
#include "grammar/boxed.hpp"

namespace wale {

enum class Form : unsigned char { flat, round };

struct Rgb {
  unsigned char red = 0, green = 0, blue = 0;
  bool operator==(const Rgb&) const = default;
};

struct Yarn {
  std::string name, label;
  double grams = 0, metres = 0;  ///< of one ball or skein
  std::optional<Rgb> colour;
  Span span;
  std::set<std::string> words = {};  ///< what it is like: `haloed`, `plied`
};

/// Yarn on the shelf, of one dye lot.
struct Lot {
  int yarn = -1;
  std::string name;  ///< of the dye lot; empty where it is not said
  double grams = 0;
  Span span;
};

/// `75 m / 50 g`: how far a weight of yarn goes.
struct Yardage {
  double metres = 0, grams = 0;
  Span span;
};

struct Strand {
  std::string name;
  std::vector<int> yarns;  ///< ends held together; empty where the pattern names no yarn for it
  Span span;
  /// The yarn that the pattern was made for in this strand's place.
  std::optional<Yardage> written_for = {};
};

struct Gauge {
  double stitches_per_cm = 0, rows_per_cm = 0;
  int layers = 1;  ///< 2: double knitting, whose stitches lie two deep
  std::optional<double> needle_mm;
  std::string fabric;  ///< empty: of no fabric in particular
  Span span;

  double wales_per_cm() const { return stitches_per_cm / layers; }
};

/// A swatch as it was measured; gauges and weights follow from it in swatch.hpp.
struct Swatch {
  struct Size {
    double width = 0, height = 0;  ///< in cm
  };
  std::string fabric;
  short strand = -1;  ///< in hand where the fabric's rows name none; -1: the pattern has none
  long long stitches = 0, rows = 0;
  int layers = 1;                              ///< 2: counted in pairs of double knitting
  long long edge_stitches = 0, edge_rows = 0;  ///< garter at each side, below and above, not measured
  double grams = 0;                            ///< edges and all; 0: not weighed
  std::optional<double> needle_mm;
  Size before, after;  ///< washing and drying
  Span span;
};

/// A row as it works out.
struct CheckedRow {
  Row row;
  Linear fills;          ///< how often its fill is worked
  Linear before, after;  ///< stitches on both needles
  Linear waiting;        ///< of those before: left by an earlier turn where this row does not reach
  Linear unworked;       ///< left by this row's own turn
  Resolves resolves;
  YarnPlace begins, ends;  ///< where its yarn hangs before and after it
  Tally tally;
  long long work = 0;  ///< of a fabric: stitches that were worked one by one to find this out
};

/// Shared rows, to be gone through like a list of them.
class SharedRows : public Shared<std::vector<CheckedRow>> {
 public:
  using Shared::Shared;

  auto begin() const { return (**this).begin(); }
  auto end() const { return (**this).end(); }
  const CheckedRow& front() const { return (**this).front(); }
  const CheckedRow& back() const { return (**this).back(); }
  const CheckedRow& operator[](std::size_t at) const { return (**this)[at]; }
  std::size_t size() const { return (**this).size(); }
  bool empty() const { return (**this).empty(); }
};

/// The rows of a fabric that makes every loop anew, whatever is on the needle.
struct Anew {
  std::vector<Needle> after;   ///< the needle after each row, in the order in which the next one works it
  Tally cycle;                 ///< of all rows together
  long long work = 0;          ///< of all rows, see `CheckedRow::work`
  std::vector<Linear> widths;  ///< after the rows, each once
  Linear most;                 ///< no row is wider than this, whatever n is
  /// The strand that every row is worked in, and no other; nothing where there are several. -1: in hand.
  std::optional<short> strand;
  /// Every row works something in it, from the first n on at which the fabric has a repeat.
  bool always_worked = false;
};

struct Fabric {
  std::string name;
  Form form = Form::flat;
  Linear width;
  long long height = 1;          ///< rows as the author numbers them
  bool every_row_alike = false;  ///< only `every:`: it can begin on either side
  SharedRows rows;               ///< one whole cycle, passes apart; in flat work an even number of rows
  bool good = false;             ///< proved for every n from `smallest_n`
  long long smallest_n = 0;
  Shared<Needle> entry;  ///< the loops that it asks for, by type; n in it, and large: see `entry_at`
  /// The same for n = `smallest_n` and on, as far as so few stitches may be asked for other loops than many.
  Shared<std::vector<Needle>> small_entries;
  bool needs_set_up = false;  ///< `entry` is more than plain loops
  bool returns = false;       ///< a cycle ends with the loops that it began with
  Linear gains;               ///< stitches more after a cycle
  Span span;
  /// What is known where its rows leave nothing of the loops that it began with, and for n that need no
  /// looking at one by one. Null where some do, and where rows are worked in several passes or turn.
  std::shared_ptr<const Anew> anew = {};

  /// Rows of a cycle by number: passes over one row count once.
  long long cycle_rows() const { return rows.empty() ? 0 : rows.back().row.number; }
  /// The loops that it asks for at one n, from `smallest_n` on.
  Needle entry_at(long long n) const;
  /// Every n before this was looked at by itself.
  long long looked_at_until() const { return smallest_n + static_cast<long long>(small_entries->size()); }
  /// The n that makes it so wide, which it can be.
  long long n_of(long long stitches) const {
    return width.constant() ? 0 : (stitches - width.base) / width.per_n;
  }
};

/// How a stretch is narrowed or widened.
struct Shaping {
  enum class Where : unsigned char {
    each_side,
    start,
    end,
    points,
    markers,         ///< on both sides of each of them
    before_markers,  ///< where right-side rows come to them
    after_markers,
  };
  bool widen = false;
  Where where = Where::each_side;
  std::string marker = {};     ///< the name of the markers
  long long marker_count = 0;  ///< how many there are
  long long amount = 1;        ///< at each place, each time
  long long points = 0;        ///< `at 8 points`; at markers those that hang inside the row
  bool in_steps =
      false;  ///< bound off or cast on where a row begins, instead of decreased or increased in it
  std::vector<Rate> rates;  ///< in order; empty: no shaping is needed
  bool bare = false;        ///< somewhere there was no room for the edge stitch beside a marker
  long long lead = 0;       ///< rows worked even before the first shaping row
  long long even = 0;       ///< rows worked even after the last one
};

/// Buttonholes: one above the other along a band, or side by side in one row.
///
/// A buttonhole of `width` stitches is bound off in one row and cast on again in the next (common practice:
/// the horizontal buttonhole of two rows); an eyelet is a yarn over and two stitches knitted together.
struct Buttonholes {
  bool eyelets = false, across = false;
  long long count = 0, width = 2;
  long long lead = 0;            ///< rows worked even before the first one
  std::vector<Rate> rates = {};  ///< along: rows from one to the next
  long long even = 0;            ///< rows worked even behind the last one
  long long before = 0;          ///< along: stitches between the hole and the right edge
  /// Across: stitches before each hole, and behind the last one, from where a right-side row begins.
  std::vector<long long> between = {};
};

/// Markers on the needle: how many stitches lie between each and the right edge, or the beginning of the
/// round.
struct Marker {
  std::string name;
  long long from_right = 0;
  bool operator==(const Marker&) const = default;
};

/// Steps of later times through repeats that a piece keeps, to be told apart in words.
inline constexpr long long most_steps_kept = 4096;
/// Rows of a shaped stretch that are kept as they were worked.
inline constexpr std::size_t most_rows_kept = 60;
/// What `pick up` takes, or what `join`, `graft` and `seam` unite.
struct AtEdges {
  /// So many stitches out of one stretch of an edge.
  struct Share {
    Stretch stretch;
    long long stitches = 0;
    std::size_t edge = 0;  ///< index of the edge in `words`
  };
  std::vector<Share> shares;       ///< in the order in which they are picked up
  std::vector<std::string> words;  ///< "the armhole of front", each edge or each of the two that meet
  bool onto_needle = false;        ///< picked up beside stitches that are there, and worked with the next row
  double first_length = 0, second_length = 0;  ///< of a seam, in cm
  bool row_for_row = false;                    ///< of a seam: two sides of as many rows
  long long count = 0;                         ///< stitches of each side that are joined
  long long each = 1;  ///< both edges are of a piece that is made so often: done on each of them
};

/// What a repeat comes to that goes on until half of a strand's yarn is used, or until it runs out.
struct UntilYarn {
  bool half = false;
  short strand = -1;
  int yarn = -1;                ///< of the strand's, the one that decides; -1 where it is not known yet
  double there = 0, left = 0;   ///< grams of it where the piece begins, and when the repeat is done
  bool by_upper_bound = false;  ///< the upper estimate decided, not the middle one with the reserve
};

/// Stitches on a holder, for another piece to take up.
struct HeldStitches {
  Needle loops;  ///< from the first that would be worked next
  Side side = Side::right;
  Form form = Form::flat;
};

struct Step {
  enum class Kind : unsigned char {
    cast_on,
    layout,
    rows,
    repeat,
    bind_off,
    hold,
    resume,
    join_strand,
    join_round,
    into_rows,  ///< `go on in rows`: what was in the round is worked flat
    cord,
    even,   ///< `work even`: the fabrics go on as they stand
    shape,  ///< `narrow`, `widen`
    pick_up,
    take_up,            ///< `join NAME`: stitches that were held come onto the needle, beside those there
    call_edge,          ///< gives an edge a name
    bind_off_together,  ///< `join A to B`
    graft,
    seam,
    markers,        ///< `place markers`
    buttonholes,    ///< `make 7 buttonholes`
    cord_bind_off,  ///< `bind off with a cord`: `cord` stitches wide
    divide,         ///< the row of `divide into`: two parts with `bound_off` stitches between
  };
  struct Part {
    int fabric = -1;
    long long width = 0;
    bool operator==(const Part&) const = default;
  };
  Kind kind = Kind::cast_on;
  Form form = Form::flat;  ///< in which it is worked
  Span span;
  short strand = -1;                ///< in hand
  short far_strand = -1;            ///< cast on in pairs for double knitting: of the far layer
  bool names_strand = false;        ///< the strand is taken in hand here
  long long before = 0, after = 0;  ///< stitches on the needle
  Needle needle;            ///< after it, as the next row works it; empty where the last row turned, and
                            ///< where they are not kept, see `Effort`
  Side side = Side::right;  ///< of its first row
  long long first_row = 1;  ///< counted from the cast-on
  long long row_count = 0;
  std::optional<double> length_cm;  ///< as the author gave it
  std::vector<Part> parts;  ///< layout: from the first worked on a right-side row; even, shape: as laid out
  std::vector<CheckedRow> rows;  ///< `rows { }`, `spread`; of a shaping the first shaping rows, one of a side
  std::vector<CheckedRow> worked;  ///< shape, `spread`: every row, up to `most_rows_kept`; for charts
  MaybeBoxed<Shaping> shaping;
  MaybeBoxed<AtEdges> at_edges;
  MaybeBoxed<Buttonholes> buttonholes;
  std::vector<Marker> markers;  ///< markers: those placed, from the right
  long long cord = 0;
  long long first_part = 0, bound_off = 0;  ///< divide: stitches worked first, and those between
  std::string holder;     ///< hold, resume: the name of the stitches set aside; bind_off, divide: of the edge
  bool from_end = false;  ///< hold: the last stitches of the row to come
  bool joins = false;     ///< the yarn in hand is joined here
  bool cuts = false;      ///< it hung elsewhere, and is cut there
  bool paired = false;    ///< cast on, bind off: two layers lie on the needle
  long long times = 1;    ///< repeat
  bool until = false;     ///< repeat: until its `after` stitches are on the needle
  std::optional<UntilYarn> until_yarn;  ///< repeat: until the yarn says so
  std::vector<Step> steps;              ///< repeat: the first time through
  /// Repeat: the times through that had to be worked after that, in order. Each stands for `alike` times;
  /// none are kept where there are too many.
  struct Again {
    std::vector<Step> steps;
    long long alike = 1;
  };
  std::vector<Again> again;
  Tally tally;  ///< of the whole step, strand in hand resolved
};

struct Piece {
  std::string name;
  Form form = Form::flat;
  long long copies = 1;  ///< to be made; everything else is of one
  std::vector<Step> steps;
  std::vector<Fabric> fabrics;  ///< those worked, in the form they were; `Step::Part::fabric` counts here
  long long rows = 0;
  long long widest = 0;
  bool good = false;
  Tally tally;
  Span span;
  std::vector<Stretch> edges;                ///< in the order in which they were made
  Course course;                             ///< what its outline is drawn from
  std::map<std::string, HeldStitches> held;  ///< left for other pieces
  std::map<std::string, Span> uses;  ///< edges and stitches picked up or joined, by a key of the piece's own
};

struct Pattern {
  std::string title, author;
  std::string size;  ///< the one that this is; empty where the pattern has one and no name for it
  std::vector<Yarn> yarns;
  std::vector<Strand> strands;
  std::vector<Gauge> gauges;
  std::vector<Swatch> swatches;
  std::vector<Fabric> fabrics;
  std::vector<Piece> pieces;
  std::vector<Lot> stash;  ///< yarn on hand; a yarn that is not in it is to be bought

  /// The gauge that holds for a fabric: its own, else the first.
  const Gauge* gauge_for(const std::string& fabric) const;
  /// The colour in which a strand is seen: its first yarn's.
  std::optional<Rgb> colour_of(short strand) const;
};

/// "row 2 M" or "round 2 M".
std::string row_name(const Row& row, Form form, const std::vector<Strand>& strands);

}  // namespace wale
