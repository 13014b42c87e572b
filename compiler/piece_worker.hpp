/// The state of a piece while it is worked. Used by piece.cpp only.
#pragma once

#include "compiler/piece.hpp"
#include "compiler/standing.hpp"
#include "compiler/yarn_ends.hpp"

namespace wale {

class PieceWorker {
 public:
  PieceWorker(const tree::Piece& piece, const Shelf& shelf, Diagnostics& diagnostics);

  Piece run();

  std::optional<long long> cast_on_instead;               ///< another number for the first cast-on
  const std::vector<Fabric>* converted_before = nullptr;  ///< by an earlier run of the same piece

  std::optional<long long> cast_on;  ///< the first one's number, once worked
  Span cast_on_span;

 private:
  /// What a row was found to do.
  struct Worked {
    std::vector<Linear> widths;  ///< where there are several parts, of each: loops given
    Linear unworked;
    Resolves resolves;
  };

  /// What a side of the work belongs to while it grows.
  struct EdgeNow {
    bool outer = false;
    std::string name;
    bool operator==(const EdgeNow&) const = default;
  };
  struct EdgesNow {
    EdgeNow right, left;
    bool operator==(const EdgesNow&) const = default;
  };

  /// Stitches on a holder, as they were on the needle.
  struct Held {
    Needle loops;  ///< from the first that would be worked next
    Side side = Side::right;
    Form form = Form::flat;
    long long row = 0;
    Span span;
    std::optional<Standing> standing;
    EdgesNow edges;
    std::vector<Marker> markers;
    bool operator==(const Held& other) const {
      return loops == other.loops && side == other.side && form == other.form && standing == other.standing &&
             edges == other.edges && markers == other.markers;
    }
  };

  /// All that the next step goes on from: equal states go on alike.
  struct State {
    Needles needles;
    YarnEnds ends;
    Side side = Side::right;
    Form form = Form::flat;
    short in_hand = -1;
    std::map<std::string, Held> held;
    std::optional<Standing> standing;
    EdgesNow edges;
    std::vector<Marker> markers;
    std::size_t uses = 0;  ///< edges picked up or joined so far
    bool operator==(const State&) const = default;
  };
  /// Writes the needle so that equal ones are compared at little cost.
  void settle();
  State settled();

  bool steps(const std::vector<tree::Step>& list, std::vector<Step>& out);
  bool step(const tree::Step& source, std::vector<Step>& out);
  bool work_step(const tree::Step& source, Step& made);
  bool do_cast_on(const tree::CastOn& source, Step& out);
  bool do_layout(const tree::Work& source, Step& out);
  bool do_rows(const tree::WorkRows& source, Step& out);
  bool do_repeat(const tree::Repeat& source, Step& out);
  void keep_time(std::vector<Step> made, long long time, long long alike, Step& out);
  bool do_repeat_times(const tree::Repeat& source, Step& out);
  bool do_repeat_until(const tree::Repeat& source, Step& out);
  std::optional<long long> how_often(const tree::Repeat& source, Step& out);  // piece_until.cpp
  long long or_instead(Span step, long long said) const;
  bool do_bind_off(const tree::BindOff& source, Step& out);
  bool do_hold(const tree::Hold& source, Step& out);
  bool do_resume(const tree::Resume& source, Step& out);
  bool do_join(const tree::JoinName& source, Step& out);
  bool do_join_round(Step& out);
  bool do_go_on_in_rows(Step& out);
  bool do_cord(const tree::Cord& source, Step& out);
  bool do_shape(const tree::Shape& source, Step& out);
  bool do_spread(const tree::Spread& source, Step& out);
  bool goes_on(const tree::Work& source) const;
  bool do_even(const tree::Work& source, Step& out);
  bool work_cord(long long rows, Step& out);
  bool cord_on_wrong_side(Span span);  ///< says so; always false
  bool do_cord_bind_off(const tree::BindOff& source, Step& out);
  bool bind_off_some(long long count, Span span, Step& out);
  bool do_divide(const tree::Divide& source, Step& out);
  void shape_columns_parted(long long from, long long bound);
  bool set_parts_aside(const tree::Divide& source, Span head, std::vector<Step>& out);
  bool at_an_edge(Span span, std::string_view what);
  bool not_in_use(Span span);
  bool not_yet(Span span, std::string_view what);

  // Edges: piece_edges.cpp.
  /// Where shaping stood before a step.
  struct Columns {
    long long low = 0, high = 0;
  };
  void record_edges(const tree::Step& source, const Step& made, std::optional<Columns> before);
  void set_gauge(Stretch& stretch, const Step& made) const;
  void record_side(bool right, Stretch stretch, const Step& made);
  void record_shape(const Step& made, const Columns& before);
  void record_rows(const std::vector<CheckedRow>& rows, const Step& made);
  void record_across(Stretch::Of of, Stretch::Where where, long long stitches, const std::string& name,
                     const Step& made);
  void repeat_edges(std::size_t from, long long times);
  void part_edges(bool at_right, Held& held, bool all);
  bool do_call_edge(const tree::CallEdge& source, Step& out);

  // What the outline is drawn from: piece_course.cpp.
  void record_course(const tree::Step& source, const Step& made);
  std::size_t begin_course();
  void repeat_course(std::size_t from, std::size_t groups_from, long long times);

  // What is picked up and joined: piece_joins.cpp.
  struct Found {
    std::vector<Stretch> stretches;
    std::vector<const Needle*> loops;  ///< of each stretch that is held
    std::vector<std::string> keys;     ///< of what is used
    const HeldStitches* elsewhere = nullptr;
    bool on_needle = false, held = false;
    long long copies = 1;  ///< of the piece that it is of; 1 of this piece itself
    long long used = 0;    ///< of them, before
    long long taken = 1;   ///< of them, here
    long long count() const;
    double length() const;
    bool measured() const;
  };
  const Piece* piece_called(const tree::EdgeName& name, bool& own);
  std::optional<Found> find_edge(const tree::EdgeName& name);
  bool find_held(const tree::EdgeName& name, const Piece& piece, bool own, Found& out);
  bool unknown_edge(const tree::EdgeName& name, const Piece& piece, bool own);
  bool use_up(Found& found, const tree::EdgeName& name, bool of_each = false);
  void take_away(const Found& found, const tree::EdgeName& name);
  std::string edge_words(const tree::EdgeName& name, const Found& found) const;
  const Gauge* gauge_of_next_work(Span after) const;
  std::optional<long long> count_to_pick_up(const tree::PickUp::Portion& source,
                                            const std::vector<Stretch>& from,
                                            const std::vector<double>& natural, Span span);
  /// Edges to pick up along.
  struct Gathered {
    std::vector<Found> found;
    std::vector<std::string> words;
    std::vector<Stretch> stretches;
    std::vector<const Needle*> loops;  ///< of each stretch that waits
  };
  bool gather(const tree::PickUp::Portion& source, Gathered& out);
  bool pick_up_portion(const tree::PickUp::Portion& source, const Gauge* gauge, Step& out, Needle& picked);
  bool has_room(const std::vector<Stretch>& from, long long count, Span said);
  bool all_plain(const Needle& loops, Span span);
  bool do_pick_up(const tree::PickUp& source, Step& out);
  bool pick_up_anew(long long count, Needle loops, Step& out);
  bool pick_up_beside(const tree::PickUp& source, Needle loops, Step& out);
  bool do_take_up(const tree::JoinName& source, Step& out);
  bool do_unite(const tree::Unite& source, Step& out);
  bool unite_edges(const tree::Unite& source, const Found& first, const Found& second, Step& out);

  // Markers: piece_markers.cpp.
  bool do_place_markers(const tree::PlaceMarkers& source, Step& out);
  bool plan_markers(const tree::Shape& source, Shaping& plan);
  void move_markers(long long lost_at_right);
  void drop_markers_outside(Span why);
  void forget_markers(Span why);
  void settle_markers(const Step& made);

  // Buttonholes: piece_buttonholes.cpp.
  bool cannot_make(Span span, std::string message);
  bool do_buttonholes(const tree::Buttonholes& source, Step& out);
  const Gauge* gauge_of_standing() const;
  std::optional<long long> stitches_or_length(const tree::Expression& source, std::string_view what);
  std::optional<long long> hole_rows(const tree::Buttonholes::Distance& source, Step& out);
  std::optional<long long> hole_ends(const tree::Buttonholes& source);
  bool place_across_band(const tree::Buttonholes& source, Buttonholes& plan);
  bool plan_along(const tree::Buttonholes& source, Step& out, Buttonholes& plan);
  bool plan_across(const tree::Buttonholes& source, Buttonholes& plan);
  bool work_buttonholes(const Buttonholes& plan, Step& out);
  bool work_holes(const Buttonholes& plan, const std::vector<long long>& starts, Step& out);
  bool work_holes_row(const Buttonholes& plan, const std::vector<long long>& starts, bool cast_on, Step& out);

  // Shaping: piece_shape.cpp.
  /// A place in a row, so many stitches from the right edge, at which stitches are lost or gained: where a
  /// right-side row comes to it, behind it, or both. At the edges it is one of the two.
  struct Point {
    long long at = 0;
    bool before = false, after = false;
  };
  bool cannot_shape(Span span, std::string message);
  std::optional<Shaping> plan_shape(const tree::Shape& source, Step& out, long long& rows);
  std::optional<long long> shape_times(const tree::Shape& source, long long per, bool widen);
  bool shape_rows(const Shaping& plan, long long rows, Step& out);
  void points_now(const Shaping& plan, bool now, bool in_steps, std::vector<Point>& out) const;
  bool shape_row_at(const Shaping& plan, const std::vector<Point>& points, bool first, bool last, Step& out);
  bool shape_row_seen(const Shaping& plan, const std::vector<Point>& bounds, bool any, bool kept, Step& out);
  bool shape_stretch(const Shaping& plan, const Point& from, const Point& to, Row& row, bool& bare);
  void shape_columns(const Shaping& plan, const std::vector<Point>& points);
  // Rows of shapings that are counted and not worked: piece_unseen.cpp.
  struct Beside;
  static Beside beside(const Shaping& plan);
  std::optional<short> strand_unseen(const Step& out);
  void count_unseen(const Shaping& plan, StitchId stitch, short strand, long long at_right, long long at_left,
                    long long times, long long width_of_all, Step& out);
  long long shape_times_unseen(const Shaping& plan, const Rate& rate, long long times, Step& out);
  bool shape_row_unseen(const Shaping& plan, std::span<const Point> bounds, Step& out);
  bool all_plain_here(long long count) const;
  bool even_unseen(long long rows, Span span, Step& out);
  void see_needle();
  bool shape_points_row(const Shaping& plan, bool shaped, std::vector<long long>& sections, Step& out);

  // Fabrics as they stand: piece_standing.cpp.
  bool can_cut(Span span, std::string_view consequence, std::string_view help);
  bool work_standing(long long rows, Span span, Step& out);
  bool standing_row_here(long long low, long long high, Row& row);
  bool standing_stretch(long long from, long long to, Row& row);
  bool work_made_row(Row row, const RowName& name, bool keep, Step& out);
  Op made(std::string_view stitch, long long count, Span span) const;
  void lose_columns(long long count, bool from_end);

  std::optional<std::vector<Step::Part>> lay_out(const tree::Work& source);
  std::optional<int> use_fabric(const tree::Name& name);
  bool fits(const Fabric& fabric, long long width, Span span);
  std::string pairs_words(const std::vector<Step::Part>& parts, const Fabric& fabric) const;
  bool is_set_up(const std::vector<Step::Part>& parts) const;
  bool set_up(const std::vector<Step::Part>& parts, const tree::Work& source);
  bool starts_right(const std::vector<Step::Part>& parts, const tree::Work& source);
  std::optional<long long> extent_rows(const tree::Work& source, Step& out);
  std::optional<double> rows_of_length(const tree::Expression& length, const Gauge* gauge, Step& out);
  bool work_layout(const std::vector<Step::Part>& parts, long long first, long long rows, Span span,
                   Tally& tally);
  // Layouts that need not be worked: piece_evaluate.cpp.
  bool can_evaluate(const std::vector<Step::Part>& parts, long long first, long long rows) const;
  bool evaluate_layout(const std::vector<Step::Part>& parts, long long first, long long rows, Span span,
                       Tally& tally);
  void count_rows(const Tally& rows, bool one_strand, long long n, long long times, Tally& to);
  std::optional<short> strand_of_all(const std::vector<Step::Part>& parts) const;
  bool follow_strand(short strand, long long rows, const RowName& name, Span span);
  bool follow_yarns(const std::vector<Step::Part>& parts, long long first, long long rows, Span span);
  std::vector<Op> slip_all(Span span) const;
  bool work_joint_row(const std::vector<Step::Part>& parts, std::vector<Linear>& widths, long long row,
                      Span span, Tally& tally);

  std::optional<CheckedRow> work_one_row(Row row, const RowName& name, bool ends_row, Step& out);
  bool work_row(std::span<const RowPart> parts, const Row& row, const RowName& name, Span where, Tally& tally,
                Worked& worked);
  bool work_row(const RowPart& all, const Row& row, const RowName& name, Span where, Tally& tally,
                Worked& worked) {
    return work_row(std::span(&all, 1), row, name, where, tally, worked);
  }
  /// The strand, where none is named the one in hand.
  short or_in_hand(short strand) const { return strand < 0 ? in_hand_ : strand; }
  bool take_in_hand(const std::optional<tree::Name>& name);
  void skip_rows(long long from, long long rows);
  bool within_reason(Span span);
  std::string row_words(const Row& row) const;

  const tree::Piece& source_;
  const Shelf& shelf_;
  Diagnostics& diagnostics_;
  Resolver resolver_;
  Piece out_;
  TakenApart apart_;  ///< the fabrics of the piece
  EntryTypes types_;
  RowWorker worker_;
  std::vector<Point> bounds_;  ///< of the stretches of a row that is shaped
  Needles needles_;
  YarnEnds ends_;
  Side side_ = Side::right;
  Form form_ = Form::flat;
  short in_hand_ = -1;
  long long row_ = 0;  ///< rows worked since the cast-on
  bool on_needle_ = false;
  long long steps_kept_ = 0;     ///< of later times through repeats
  int repeats_ = 0;              ///< that are being worked, one inside the other
  std::optional<Span> emptied_;  ///< the step that left the needle empty
  std::map<std::string, Held> held_;
  std::optional<Standing> standing_;  ///< what `work even`, `narrow` and `widen` go on with
  EdgesNow edges_;
  std::size_t own_edges_from_ = 0;   ///< stretches before it belong to an earlier time through a repeat
  std::size_t own_course_from_ = 0;  ///< moves before it belong to what was done before a repeat
  double wales_ = 1;                 ///< to a loop of those on the needle
  std::size_t course_size_ = 0;      ///< moves put down for repeats
  std::vector<Marker> markers_;      ///< from the right
  std::map<std::string, Span> lost_markers_;  ///< the step that left them behind
  long long unseen_ = 0;                      ///< rows counted since the needle was last worked on
  bool picked_up_ = false;                    ///< the rows begin on stitches picked up in a right-side row
};

inline bool is_strand_name(std::string_view name) {
  return !name.empty() && name[0] >= 'A' && name[0] <= 'Z';
}

/// "work first: rows { ... }" for a fabric that asks for veiled loops.
std::string set_up_words(const Fabric& fabric, const Stitches& stitches);

}  // namespace wale
