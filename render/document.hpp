/// What a document is, before anyone decides where its ink goes.
///
/// A `Document` is the one value that the compiler hands to this library: words, tables and charts in reading
/// order. Every file that Wale writes for people (PDF, SVG, text) is drawn from it, so no two of them can
/// disagree. Nothing here knows what a stitch is: a chart is a grid of cells, a cell carries a mark, a mark
/// is a path.
///
///     chart            columns count from the right edge, rows from the bottom
///     . . x x . |1     column 3 and 2 carry mark "x" in row 1, whose label stands on the right
///     4 3 2 1 0
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "render/calendar.hpp"
#include "render/colour.hpp"
#include "render/schematic.hpp"
#include "render/table.hpp"
#include "render/thread_picture.hpp"

namespace wale::render {

/// A symbol of a chart, drawn in a box `span` cells wide and one cell high.
struct Mark {
  std::string id;       ///< Unique within a chart; made of a-z, 0-9 and hyphens, so that it can be an XML id.
  int span = 1;         ///< Cells that it covers, at least 1.
  std::string stroke;   ///< SVG path data to stroke: x from 0 to `span` rightwards, y from 0 to 1 downwards.
                        ///< May be empty.
  std::string fill;     ///< SVG path data to fill, in the same box. May be empty.
  std::string meaning;  ///< One entry of the key, e.g. "k on RS, p on WS: knit on the right side ...".
  std::string abbreviation;  ///< Short name for the key's first column, e.g. "k2tog".
  std::string letters = {};  ///< One to three, written in the middle: for what has no picture of its own.
  bool operator==(const Mark&) const = default;
};

/// A background colour of cells, with the name that the key gives it (a strand).
struct Tint {
  std::string label;  ///< Short, one to three letters ("M"): colour never stands alone.
  std::string name;   ///< "Skerry Worsted, Kelp"
  Colour colour;
  bool operator==(const Tint&) const = default;
};

/// One mark in a row, or a place where the row has no stitch.
struct Cell {
  int column = 0;  ///< The rightmost column covered, counted from the right edge of the chart, from 0.
  int span = 1;    ///< Columns covered.
  std::optional<int> mark;    ///< Index into `Chart::marks`; nothing: an empty square.
  std::optional<int> tint;    ///< Index into `Chart::tints`.
  bool absent = false;        ///< No stitch here: a quiet grey square with no mark.
  bool marker_after = false;  ///< A marker line on the cell's left edge.
  bool operator==(const Cell&) const = default;
};

struct ChartRow {
  std::string label;        ///< "1", "1 M"
  bool label_right = true;  ///< The side on which the row begins.
  std::vector<Cell> cells;  ///< From the right edge to the left; they cover every column exactly once.
  /// The columns [first, first + count) of the repeat that is framed in this row; nothing: no frame in this
  /// row.
  struct Span {
    int first = 0, count = 0;
    bool operator==(const Span&) const = default;
  };
  std::optional<Span> repeat;
  std::string words;  ///< The row in words, for screen readers and tool tips.
  bool operator==(const ChartRow&) const = default;
};

struct Chart {
  std::string name;        ///< For file names: a-z, 0-9 and hyphens.
  std::string about = {};  ///< What it shows, as its author named it; empty where it has no name.
  std::string title;
  std::string description;  ///< One or two sentences for screen readers.
  std::vector<std::string>
      notes;  ///< Lines under the chart ("Repeat the framed 4 sts", "Read rows from the right").
  int columns = 0;
  bool numbered_from_left = false;  ///< Stitch 1 stands at the left edge, for those who work that way.
  std::vector<ChartRow> rows;       ///< From the bottom up.
  double cell_aspect = 1;           ///< Width of a cell over its height, as the knitting has it (0.3 to 4).
  std::vector<Mark> marks;          ///< Those used, in key order.
  std::vector<Tint> tints;          ///< Those used.
  std::optional<std::string> absent_meaning;  ///< Key entry for absent squares, if there are any.
  std::optional<std::string> marker_meaning;  ///< Key entry for marker lines; nothing: they have none.
  std::optional<std::string> repeat_meaning;  ///< Key entry for the frame of a repeat; nothing: it has none.
  bool operator==(const Chart&) const = default;
};

struct Heading {
  int level = 2;  ///< 2 for a section, 3 for a part of one (the title is level 1).
  std::string text;
  bool in_columns = false;  ///< What follows, up to the next section, is short and may stand in columns.
  std::string chart = {};   ///< The name of the chart that the part puts into words: they lead to each other.
};

/// Words in a paragraph that speak of a chart, and lead to it.
struct Mention {
  std::string words, chart;
};

/// A paragraph; `lead` is set in bold before it ("Row 1 (RS):").
struct Paragraph {
  std::string lead, text;
  bool caution = false;  ///< Stands in a frame: something that can hurt.
  /// The rows of a chart that it puts into words, each "chart name/row label" ("rope/3"): it leads to the
  /// first of them, and all of them lead back to it.
  std::vector<std::string> chart_rows = {};
  std::vector<Mention> mentions = {};
};

struct ChartBlock {
  Chart chart;
};

/// Pictures side by side, each with words below it.
struct PictureBlock {
  struct Each {
    ThreadPicture picture;
    std::string caption;  ///< Set below the picture's title; may be empty.
  };
  std::vector<Each> pictures;
};

struct CalendarBlock {
  Calendar calendar;
};

/// Outlines with measures, and the table of these.
struct SchematicBlock {
  Schematic schematic;
};

using Block =
    std::variant<Heading, Paragraph, Table, ChartBlock, PictureBlock, CalendarBlock, SchematicBlock>;

struct Document {
  std::string title;
  std::string author;  ///< May be empty.
  std::vector<Block> blocks;
};

}  // namespace wale::render
