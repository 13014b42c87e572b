/// The state of a piece while it is read. Only the reader of pieces uses it.
#pragma once

#include "tests/unit/read_back.hpp"

namespace wale::read_back {

/// Loops that items take from the needle, and give to it.
inline long long taken(const std::vector<Item>& items) {
  long long out = 0;
  for (const Item& each : items) out += each.takes;
  return out;
}
inline long long given(const std::vector<Item>& items) {
  long long out = 0;
  for (const Item& each : items) out += each.gives;
  return out;
}

inline constexpr std::string_view cut_repeats =
    "Where a repeat is no longer whole, work its sts plain: knit on RS rows, purl on WS rows.";
inline constexpr std::string_view new_stitches =
    "Work the new sts into the pattern, as it goes on at that edge.";
inline constexpr std::string_view new_stitches_at_markers =
    "Work the new sts into the pattern, as it goes on from the sts beside them.";

class PieceReader {
 public:
  PieceReader(const std::string& heading, const std::vector<ReadFabric>& fabrics, Stitches& table,
              Shelf& shelf, Count& count);
  ReadPiece read(const std::vector<render::Paragraph>& lines);

 private:
  /// A fabric on so many stitches.
  struct Part {
    const ReadFabric* fabric = nullptr;
    long long width = 0;
  };
  /// The fabrics as they stand, from the right: of which column of those that were set each stitch is.
  struct Standing {
    std::vector<Part> parts;
    std::vector<long long> columns;
    long long row = 0;
    long long set_on() const;
    long long width() const { return static_cast<long long>(columns.size()); }
    /// All columns that were set, and none else.
    bool whole() const;
    void erase(long long from, long long to);
    /// So many that go on with the column to the right of `at`, or with the one to its left.
    void insert(long long at, long long before, long long after);
  };
  /// Stitches between a marker and the right edge.
  using Markers = std::vector<std::pair<std::string, long long>>;
  /// A side of the work while it grows.
  struct EdgeNow {
    bool outer = false;
    std::string name;
  };
  /// What else is known of stitches on a holder of this piece.
  struct Held {
    long long rows = 0;
    std::optional<Standing> standing;
    EdgeNow right, left;
    Markers markers;
  };
  /// An edge, or stitches that wait.
  struct Found {
    std::vector<EdgeRun> runs;  ///< in the order in which they are picked up
    std::size_t held_after = 0;
    std::vector<Loop> loops;
    Side side = Side::right;
    Form form = Form::flat;
    bool waits = false, on_needle = false;
    std::optional<long long> counted;  ///< as the words say it
  };
  /// "15 sts down 20 rows (about 3 for every 4 rows)"
  struct Clause {
    enum class Of : unsigned char { rows, cast_on, bound_off, held };
    Of of = Of::rows;
    EdgeRun::Where way = EdgeRun::Where::top;  ///< down a left edge, up a right one; top: along both
    long long stitches = 0, rows = 0, places = 0;
  };
  /// "K1, ssk, work in pattern to last 3 sts, k2tog, k1 (dec 2 sts)."
  struct ShapingRow {
    bool points = false;
    RowLine first, last;  ///< what is done at the beginning and at the end; of points the whole row
    std::optional<Side> side;
    std::optional<long long> printed_for;  ///< points: the time for which its numbers stand
    std::string marker;                    ///< first, last: before it and behind it
    bool at_start = false;                 ///< one hangs at the beginning of the round
    long long change = 0;                  ///< "(dec 8 sts)"
  };

  void run(const std::vector<render::Paragraph>& lines, std::size_t from, std::size_t to);
  void place(const std::string& words);
  std::size_t group_of_rows(const std::vector<render::Paragraph>& lines, std::size_t at, std::size_t to);
  void work_group();
  std::size_t repeat(const std::vector<render::Paragraph>& lines, std::size_t at, std::size_t to);
  void check_count(Cursor& in);
  bool until_yarn(Cursor& in);
  void scales(Cursor& in);

  void sentence(const std::string& text);
  void rows_again(Cursor& in);
  void cast_on(Cursor& in);
  void bind_off(Cursor& in);
  std::string name_of_edge(Cursor& in);
  void hold(Cursor& in);
  void written_row(const RowLine& line);
  void resume(Cursor& in);
  void join(Cursor& in);
  void take_in_hand(Cursor& in);
  void cord(Cursor& in);
  long long extent(Cursor& in);

  // Edges: read_back_edges.cpp.
  void work_row(const std::vector<Item>& items, Turn turn, bool slides, const std::vector<std::string>& with);
  void outer_edges();
  void lengthen(bool right, EdgeRun::Of of, long long count);
  void note(const EdgeRun& run);
  void call_edge(Cursor& in);
  Found find(Cursor& in);
  bool next_copy(const std::string& what, const std::string& which, long long copies, Cursor& in);
  void find_in(Left& left, const std::string& name, bool waits, bool last, Found& out);
  void take_off(const Found& found);
  Clause clause(Cursor& in, long long alone);
  void check_edge(const std::vector<Clause>& clauses, const Found& found, Cursor& in);
  std::size_t pick_up(const std::vector<render::Paragraph>& lines, std::size_t at, Cursor& in);
  void along_one(Cursor& in, long long count, long long& sum);
  void pick_up_beside(Cursor& in);
  void append(std::vector<Loop> more, Cursor& in);
  void slip_beside(Cursor& in);
  void return_from(Cursor& in);
  void unite(Cursor& in, bool graft);
  void seam(Cursor& in);
  const ReadFabric& fabric(const std::string& name, Cursor& in) const;

  // Fabrics and shaping: read_back_shaping.cpp.
  void layout(Cursor& in);
  void times_of_fabric(Cursor& in);
  void side_by_side(Cursor& in);
  void begins_where_it_says(const std::vector<const ReadFabric*>& fabrics, bool second, Cursor& in);
  void even(Cursor& in);
  void work_parts(const std::vector<Part>& parts, long long first, long long rows);
  void work_joint_row(const std::vector<Part>& parts, std::vector<long long>& widths, long long row);
  void set(std::vector<Part> parts, long long rows);
  void lose(long long count, bool from_end);
  void work_even(long long rows);
  std::vector<Item> standing_row(long long from, long long to, std::vector<std::string>& with);
  std::vector<Item> row_of_columns(long long low, long long high, std::vector<std::string>& with);
  std::vector<Item> columns(const Part& part, const RowLine& line, long long from, long long to,
                            bool reversed);
  bool stitch_by_stitch(const Part& part);
  Item plain() const;
  static long long without_edges(const std::string& text);
  std::size_t shaping(const std::vector<render::Paragraph>& lines, std::size_t at, std::size_t to);
  ShapingRow shaping_row(const std::string& lead, const std::string& text);
  void work_shaping_row(ShapingRow& row, long long time, bool widens, long long without_edge);
  void work_points_row(ShapingRow& row, long long time, bool widens);
  void in_steps(Cursor& in, bool widens);
  void step_row(long long amount, bool widens, bool once);
  std::vector<std::pair<long long, long long>> following(Cursor& in, const std::string& again);
  long long even_after(Cursor& in);
  void move_at_edge(bool at_right, long long lost);

  // Markers, buttonholes, cords along an edge, the row that parts: read_back_steps.cpp.
  void markers(Cursor& in);
  ShapingRow marker_row(const std::string& lead, const std::string& text);
  void work_marker_row(const ShapingRow& row);
  std::size_t buttonholes(const std::vector<render::Paragraph>& lines, std::size_t at);
  void cord_bind_off(Cursor& in);
  void divide(const std::string& lead, const std::string& text);
  void put_in_pattern(long long count, std::vector<Item>& items, std::vector<std::string>& with);
  void put(const std::string& stitch, long long count, std::vector<Item>& items);

  const std::vector<ReadFabric>& fabrics_;
  Stitches& table_;
  Shelf& shelf_;
  Count& count_;
  Hands hands_;
  EdgeNow right_edge_, left_edge_;
  std::string between_;  ///< the edge between two parts that are about to be parted
  Left left_;
  bool picked_up_ = false, told_three_needles_ = false;
  bool round_ = false, on_needle_ = false, plain_between_ = false;
  bool told_plain_ = false, told_new_ = false;  ///< what to do at edges that have moved
  std::string hand_;
  std::vector<RowLine> rows_;  ///< the group of rows last worked
  std::optional<Standing> standing_;
  std::map<std::string, Held> held_;
  Markers markers_;
  bool bare_at_markers_ = false;  ///< edge stitches beside markers are left out where there is no room
  ReadPiece out_;
};

}  // namespace wale::read_back
