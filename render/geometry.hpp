/// The one geometry of a page, whatever file it ends in.
///
/// A `Drawing` is a flat list of things to put on paper, in order, with every position settled: the exporters
/// measure nothing, wrap nothing and move nothing, so a PDF and an SVG of one drawing are the same picture.
/// Lengths are points (1/72 inch), x runs to the right and y downwards from the upper left corner.
///
///     Drawing d{.width = 60, .height = 20};
///     add_box(d, {5, 5, 10, 10}, Stroke{.width = 0.5});
///     add_text(d, {20, 14}, "k2tog", {.size = 9});
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "render/colour.hpp"
#include "render/path.hpp"

namespace wale::render {

/// A pen; caps and joins are round, except that a `square` pen draws crisp corners. `dash` is the length of a
/// dash and of the gap after it; 0 draws solid.
struct Stroke {
  double width = 0.5;
  Colour colour = ink;
  double dash = 0;
  bool square = false;
};

/// A broader pen of another colour that goes the same way first: the edge of what is drawn.
struct Edge {
  double width = 0;
  Colour colour = ink;
};

struct PathItem {
  Path path;
  std::optional<Stroke> stroke;
  std::optional<Colour> fill;
  bool kept = false;  ///< The colour of a thing, such as a yarn: stays what it is on a dark screen, too.
  std::optional<Edge> edge = {};
};

struct RectItem {
  Box box;
  std::optional<Stroke> stroke;
  std::optional<Colour> fill;
  bool kept = false;  ///< As in `PathItem`.
};

struct LineItem {
  Point from, to;
  Stroke stroke;
};

enum class Anchor { start, middle, end };

/// One line of text; `at` lies on the baseline, at the start, the middle or the end of the text.
struct TextItem {
  Point at;
  std::string text;  ///< Clean: see `clean_text`.
  double size = 9;   ///< Font size in points.
  bool bold = false;
  Anchor anchor = Anchor::start;
  Colour colour = ink;
  double width = 0;  ///< As measured.
};

/// Places `Drawing::symbols[symbol]` with its upper left corner at `at`. Symbols and texts between two other
/// items must not cover each other: they may be drawn in any order.
struct SymbolItem {
  std::size_t symbol = 0;
  Point at;
  Colour colour = ink;
};

/// Names what follows, up to its `GroupEnd`, for screen readers and tool tips; `area` is where the tip shows.
/// `row` is the label of the chart's row that it is, for programs that read the picture; empty for none.
struct GroupStart {
  std::string title;
  std::optional<Box> area;
  std::string row = {};
};
struct GroupEnd {};

using Item = std::variant<PathItem, RectItem, LineItem, TextItem, SymbolItem, GroupStart, GroupEnd>;

/// A shape that is used many times, in its final size, without a colour of its own.
struct Symbol {
  std::string id;  ///< Unique within a drawing; a-z, 0-9 and hyphens.
  double width = 0, height = 0;
  Path stroke = {}, fill = {};
  double stroke_width = 1;
  std::string name = {}, meaning = {};  ///< What it stands for, short and in words; may be empty.
  bool operator==(const Symbol&) const = default;
};

/// A place that can be gone to: by links that know its name, or from the outline of the document.
struct Place {
  std::string name = {};  ///< Unique in a document, or empty: no link leads here.
  Point at;
  int level = 0;           ///< In the outline: 1 for a section, 2 for a part of one; 0: not there.
  std::string title = {};  ///< In the outline.
};

/// An area that leads to the place of that name; nothing where no place has it.
struct Link {
  Box area;
  std::string to;
};

struct Drawing {
  std::string name = "drawing";  ///< Begins every id in an SVG, so that several can stand in one web page.
  double width = 0, height = 0;
  std::string title = {}, description = {};
  std::vector<Symbol> symbols = {};
  std::vector<Item> items = {};
  std::vector<Place> places = {};  ///< For files that can be navigated; no ink.
  std::vector<Link> links = {};
};

/// Why a file could not be made.
struct RenderError {
  std::string message;
};

/// The content of a file, or why there is none.
using Bytes = std::variant<std::string, RenderError>;

/// How a text looks.
struct TextLook {
  double size = 9;
  bool bold = false;
  Anchor anchor = Anchor::start;
  Colour colour = ink;
};

/// Cleans and measures `text` and adds it; nothing is added for a text without characters.
void add_text(Drawing& drawing, Point at, std::string_view text, const TextLook& look = {});

/// Adds a rectangle, a path or a line.
void add_box(Drawing& drawing, const Box& box, const std::optional<Stroke>& stroke,
             const std::optional<Colour>& fill = std::nullopt, bool kept = false);
void add_path(Drawing& drawing, Path path, const std::optional<Stroke>& stroke,
              const std::optional<Colour>& fill = std::nullopt, bool kept = false);
void add_line(Drawing& drawing, Point from, Point to, const Stroke& stroke);

/// Places a symbol of the drawing.
void place_symbol(Drawing& drawing, std::size_t symbol, Point at, Colour colour = ink);

/// Opens and closes a group.
void begin_group(Drawing& drawing, std::string title, const std::optional<Box>& area = std::nullopt,
                 std::string row = {});
void end_group(Drawing& drawing);

/// The box that a line of text claims: its measured width, and the height of its letters with their
/// descenders.
Box text_box(const TextItem& text);

/// Adds `symbol`, or finds the equal one that is there; a taken id gets a number. Returns its index.
std::size_t add_symbol(Drawing& drawing, Symbol symbol);

/// Draws `part` onto `drawing`, moved by `offset`. A part that is given away is not copied.
void append(Drawing& drawing, const Drawing& part, Point offset);
void append(Drawing& drawing, Drawing&& part, Point offset);

/// `text` made fit for an id: lower-case letters, digits and single hyphens; "x" if nothing is left.
std::string id_from(std::string_view text);

}  // namespace wale::render
