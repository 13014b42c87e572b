/// A pattern as its author wrote it: every statement, every stitch, every span; nothing worked out.
///
/// Plain structs, one for each rule of `grammar/README.md`, in the same order. A name is not yet looked up, a
/// count is not yet split from its stitch (`k3` is one word here: only the vocabulary knows whether the
/// digits belong).
///
///     3: k <k2 p2>   Row{label{numbers{3..3}}, items{Stitch "k", Fill{Stitch "k2", Stitch "p2"}}}
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "grammar/boxed.hpp"
#include "grammar/keywords.hpp"
#include "grammar/source.hpp"

namespace wale::tree {

struct Name {
  std::string text;
  Span span;
};

/// A text in quotes, without them.
struct Text {
  std::string text;
  Span span;
};

/// A whole number, 0 to 1,000,000,000.
struct Count {
  long long value = 0;
  Span span;
};

// --- expressions
// ---------------------------------------------------------------------------------------------

struct Expression {
  enum class Form : std::uint8_t {
    number,    ///< `value`, with `unit` if one follows
    name,      ///< `word`
    multiple,  ///< `4n`: `value` of them; with a sum behind it, a binary around it
    list,      ///< one operand per size
    call,      ///< `word` of the operands
    binary,    ///< `word` is + - * /
    negate,
  };
  Form form = Form::number;
  Keyword unit;  ///< none, or one of mm, cm, m, in, yd, g, oz; also on a list: `[86 97] cm`
  Span span;
  double value = 0;
  std::string word;
  std::vector<Expression> operands;
};

// --- rows
// ----------------------------------------------------------------------------------------------------

struct RowItem {
  enum class Form {
    stitch,   ///< `word`, its count still inside
    group,    ///< `count` times the items
    fill,     ///< the items as often as they fit
    strand,   ///< the items in strand `word`
    into,     ///< all items into the next `count` stitches together
    marker,   ///< `|`
    as_seen,  ///< work each stitch as it faces you
  };
  Form form = Form::stitch;
  Span span;
  std::string word;
  Span word_span;  ///< the stitch's or strand's name alone
  long long count = 1;
  std::vector<RowItem> items;
};

struct RowLabel {
  struct Range {
    long long first = 0, last = 0;
    Span span;
  };
  enum class Default { none, right_side, wrong_side, every };
  std::vector<Range> numbers;  ///< empty where it is a default
  Default by_default = Default::none;
  std::optional<Name> strand;
  std::optional<Name> back_strand;  ///< `1 A B:`, double knitting: the strand of the far layer
  Span span;
};

struct Row {
  RowLabel label;
  std::optional<Count> as_row;  ///< `4: as 2`
  std::vector<RowItem> items;
  Span span;          ///< the stitches, without the label
  bool whole = true;  ///< all of it could be read, so its sum says something
};

/// `draw . A, x L { ... }`
struct Picture {
  bool pairs = false;  ///< `draw pairs`: each character is a pair of double knitting
  struct Key {
    std::string character;
    Name strand;
    Span span;
  };
  std::vector<Key> keys;
  std::vector<Text> rows;  ///< top first
  Span span;
};

enum class Form { flat, round };

/// `a n + b st`
struct Width {
  long long per_n = 0, base = 0;
  Span span;
};

struct Fabric {
  Name name;
  Form form = Form::flat;
  Span form_span;
  Width width;
  std::optional<Count> height;
  std::vector<Row> rows;
  std::vector<Picture> pictures;
  Span span;
};

// --- pieces
// --------------------------------------------------------------------------------------------------

struct LayoutPart {
  Name fabric;
  std::optional<Expression> width;
};

struct Extent {
  enum class Form { rows, length, times };
  Form form = Form::rows;
  Expression amount;
};

struct Step;

struct CastOn {
  Expression stitches;
  bool pairs = false;  ///< `cast on 20 pairs with A B`: double knitting
  std::optional<Name> strand, back_strand;
};
struct Work {
  std::vector<LayoutPart> layout;
  std::optional<Name> strand;
  Extent extent;
  Span layout_span;
};
struct WorkRows {
  std::vector<Row> rows;
  std::vector<Picture> pictures;
};
struct Repeat {
  enum class Form { times, until_stitches, until_half, until_out };
  Form form = Form::times;
  std::optional<Expression> amount;
  std::optional<Name> strand;
  std::vector<Step> steps;
};
struct Hold {
  std::optional<Expression> stitches;  ///< nothing: all of them
  bool last = false;                   ///< the last ones of the row to come
  Name name;
};
struct Resume {
  Name name;
};
/// `left edge of front`, `armhole of front`, `left-shoulder`, `all`: an edge, or stitches that wait.
struct EdgeName {
  enum class Form { left, right, cast_on, bound_off, named };
  Form form = Form::named;
  Name name;                  ///< where it is named; `all`: what is on the needle
  std::optional<Name> piece;  ///< another one
  Span span;
};
struct PickUp {
  /// `18 along the left edge, neck`: one number shared out over its edges
  struct Portion {
    std::optional<Expression> stitches;  ///< a count or a multiple; nothing: as many as the gauge asks for
    std::vector<EdgeName> edges;
  };
  std::vector<Portion> portions;
  std::optional<Name> strand;
};
/// `call the left edge armhole`: from here on, until it is called otherwise
struct CallEdge {
  bool left = false;
  Name name;
};
/// `join A to B`, `graft A to B`, `seam A to B`
struct Unite {
  enum class How { bind_off, graft, seam };
  How how = How::bind_off;
  EdgeName first, second;
  std::vector<EdgeName> more;  ///< seam: further edges that lie behind the second
};
struct JoinRound {};
struct GoOnInRows {};
struct JoinName {
  Name name;
  std::optional<Name> piece;  ///< where stitches held in another one are taken up
};
struct Cord {
  Expression stitches;
  Extent extent;
};
struct BindOff {
  std::optional<Expression> stitches;
  std::optional<Name> name;        ///< of the edge that is made
  std::optional<Expression> cord;  ///< `bind off with a cord of 3 st`
};
struct Shape {
  enum class Where { each_side, start, end, points, markers, before_markers, after_markers };
  bool widen = false;
  Expression amount;
  Where where = Where::each_side;
  std::optional<Expression> points;  ///< `at 8 points`
  std::optional<Name> marker;        ///< `each side of raglan`, `before raglan`
  bool both_at_once = false;         ///< `2 at the markers raglan`: the amount counts both sides
  std::optional<Expression> every;   ///< rows
  std::optional<Expression> times;
  std::optional<Expression> to;    ///< a count of stitches, or a width to come near
  std::optional<Expression> over;  ///< rows or a length
  std::optional<Name> over_rows;   ///< the word behind `over 40`
  std::optional<Span> twice;       ///< where one of these is said a second time
};
struct Spread {
  Expression amount;
  bool more = true;
};
/// `place markers raglan after 20, 12, 40 and 12 st`
struct PlaceMarkers {
  Name name;
  std::vector<Expression> after;  ///< stitches, each counted from the marker before
};
/// `make 7 buttonholes of 2 st over 40 cm, 3 st from the left edge, 2 cm from the ends`
struct Buttonholes {
  /// A count of rows or of stitches, or a length.
  struct Distance {
    Expression amount;
    std::optional<Name> unit;  ///< `st`, `rows`
  };
  Expression count;
  bool eyelets = false;
  std::optional<Expression> width;  ///< stitches, or a length
  bool across = false;              ///< over the row: side by side
  std::optional<Distance> over, every, from_side, from_ends;
  bool from_left = false;
  std::optional<Span> twice;  ///< where a distance is said a second time
};
/// `divide into left-front and right-front after 20 st, 16 st bound off between as neck`
struct Divide {
  Name first, second;
  std::optional<Expression> after;  ///< stitches of the first part; nothing: halves
  std::optional<Expression> bound_off;
  std::optional<Name> name;  ///< of the edge between the parts
};

struct Step {
  std::variant<CastOn, Work, WorkRows, Repeat, Hold, Resume, PickUp, JoinRound, GoOnInRows, JoinName, Cord,
               BindOff, Boxed<Shape>, Spread, CallEdge, Unite, PlaceMarkers, Boxed<Buttonholes>,
               Boxed<Divide>>
      what;
  Span span;
  Span head;  ///< the words that begin it
};

struct Piece {
  Name name;
  Form form = Form::flat;
  std::optional<Count> copies;  ///< `piece sleeve flat twice`
  std::vector<Step> steps;
  bool whole = true;  ///< no step is left out because it could not be read
  Span span;
};

// --- declarations
// --------------------------------------------------------------------------------------------

struct Title {
  Text text;
};
struct By {
  Text text;
};
struct Yarn {
  Name name;
  Text label;
  Expression mass, length;
  std::optional<Name> colour;  ///< `#2f5d50`
  std::vector<Name> words;     ///< what the yarn is like: `haloed`
};
struct WrittenFor {
  Expression length, mass;
};
struct Strand {
  Name name;
  std::vector<Name> ends;
  std::optional<WrittenFor> written_for;
};
struct Gauge {
  Expression stitches, rows, over;
  bool pairs = false;  ///< counted in pairs of double knitting
  std::optional<Expression> needle;
  std::optional<Name> fabric;
};
struct Sizes {
  std::vector<Name> names;
};
struct Measure {
  Name name;
  Expression value;
};
struct Stash {
  struct Lot {
    Name yarn;
    Expression amount;   ///< a weight or a length, or a number of balls
    bool balls = false;  ///< `3 balls`
    std::optional<Text> lot;
  };
  std::vector<Lot> lots;
};
struct Swatch {
  Name fabric;
  std::optional<Name> strand;
  bool pairs = false;  ///< counted in pairs of double knitting
  std::optional<Expression> stitches, rows, mass, needle;
  std::vector<Expression> edges;          ///< stitches at each side, rows below and above; empty: none
  std::vector<Expression> before, after;  ///< width and height
  bool whole = true;                      ///< all of its lines could be read
};
/// Dates are as they were written, `2027-02-06`; whether there is such a day is not asked yet.
struct Season {
  struct Pace {
    Expression stitches;         ///< an hour
    std::optional<Name> fabric;  ///< in it alone
  };
  /// `6 hours per week`, behind a pace for the whole season; `9 hours per week from 2026-12-21` on a line of
  /// its own.
  struct Hours {
    Expression per_week;
    std::optional<Name> from, to;
  };
  /// `away 2026-12-24 to 2027-01-02`, both days included.
  struct Away {
    Name from;
    std::optional<Name> to;
  };
  struct Project {
    Text file;
    std::optional<Name> size;
    std::optional<Name> after;  ///< not begun on or before that day
    std::optional<Name> by;     ///< done on that day at the latest
  };
  Text name;
  Name from;
  std::vector<Pace> paces;
  std::vector<Hours> hours;
  std::vector<Away> away;
  std::vector<Project> projects;
};
struct Use {
  Text file;
};

/// `stitch k2tog { takes 2 gives 1 ... }`
struct Stitch {
  struct Attribute {
    Name name;
    std::vector<Name> words;
    std::optional<Text> text;
    std::optional<Expression> number;
  };
  Name name;
  bool crossing = false;  ///< `crossing rc { ... }`: a family of words such as 2/2rc
  std::vector<Attribute> attributes;
};

struct Declaration {
  std::variant<Title, By, Yarn, Strand, Gauge, WrittenFor, Sizes, Measure, Stash, Boxed<Swatch>, Season, Use,
               Stitch, Fabric, Piece>
      what;
  Span span;
};

struct Pattern {
  std::vector<Declaration> declarations;
  bool whole = true;  ///< no declaration is left out because it could not be read
  Span span;
};

}  // namespace wale::tree
