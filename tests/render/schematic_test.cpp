// Shapes with measures: labels keep off each other and off every line, nothing leaves the drawing, and what
// is drawn is as long as it is said to be.
#include "render/schematic.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>

#include "render/document_layout.hpp"
#include "render/schematic_lanes.hpp"
#include "render/schematic_layout.hpp"
#include "render/svg.hpp"
#include "render/text.hpp"
#include "tests/render/geometry_check.hpp"
#include "tests/render/sample_charts.hpp"

using namespace wale::render;

namespace {

/// A body with two shoulders, a neck and a border: most of what a shape can have.
Shape slipover(const std::vector<std::vector<std::string>>& labels) {
  using Side = Measure::Side;
  using Look = ShapeLine::Look;
  Shape out;
  out.name = "Front";
  out.description = "Front: width 46 cm.";
  const std::vector<Point> edge{{0, 60}, {46, 60}, {46, 22}, {42, 22}, {39, 18}, {39, 0}, {30, 0},
                                {28, 7}, {18, 7},  {16, 0},  {7, 0},   {7, 18},  {4, 22}, {0, 22}};
  out.grounds = {edge};
  std::vector<Point> closed = edge;
  closed.push_back(edge.front());
  out.lines = {{closed, Look::edge}, {{{0, 54}, {46, 54}}, Look::fine}, {{{7, 0}, {16, 0}}, Look::dashed}};
  out.labels = {{{39, 9}, -1, "left armhole"}, {{7, 9}, 1, "right armhole"}, {{11, 0}, 0, "shoulder"}};
  out.measures = {
      {{0, 60}, {46, 60}, Side::below, labels[0]},     {{7, 0}, {16, 0}, Side::above, labels[1]},
      {{16, 0}, {30, 0}, Side::above, labels[2]},      {{7, 0}, {39, 0}, Side::above, labels[3]},
      {{46, 60}, {39, 0}, Side::right, labels[4]},     {{46, 22}, {39, 0}, Side::right, labels[5]},
      {{0, 60}, {0, 54}, Side::left, labels[6]},       {{0, 60}, {0, 22}, Side::left, labels[7]},
      {{16, 7}, {16, 0}, Side::right, labels[8], 22.0}};
  out.arrow = Point{23, 40};
  return out;
}

std::vector<std::vector<std::string>> letters() {
  std::vector<std::vector<std::string>> out;
  for (char c = 'A'; c <= 'I'; ++c) out.push_back({std::string(1, c)});
  return out;
}
std::vector<std::vector<std::string>> figures() {
  return {{"46 cm", "(18 in)"},   {"9 cm", "(3.5 in)"},   {"14 cm", "(5.5 in)"},
          {"32 cm", "(12.5 in)"}, {"60 cm", "(23.5 in)"}, {"22 cm", "(8.75 in)"},
          {"6 cm", "(2.25 in)"},  {"38 cm", "(15 in)"},   {"7 cm", "(2.75 in)"}};
}

/// Lines that touch a text, which is given a little room less than its box.
std::string struck_out(const Drawing& drawing) {
  std::string out;
  const auto look = [&](const Box& box, const std::string& text, Point from, Point to) {
    if (meets(box, from, to))
      out += fmt::format("\"{}\" is struck by a line from ({:.1f}, {:.1f}) to ({:.1f}, {:.1f})\n", text,
                         from.x, from.y, to.x, to.y);
  };
  for (const TextItem* text : check::texts_of(drawing)) {
    Box box = text_box(*text);
    box.x += 0.3, box.width -= 0.6, box.y += 0.12 * text->size, box.height -= 0.2 * text->size;
    for (const Item& item : drawing.items) {
      if (const auto* line = std::get_if<LineItem>(&item)) look(box, text->text, line->from, line->to);
      if (const auto* path = std::get_if<PathItem>(&item); path && path->stroke)
        for (std::size_t i = 0; i + 1 < path->path.segments.size(); ++i)
          look(box, text->text, path->path.segments[i].to, path->path.segments[i + 1].to);
    }
  }
  return out;
}

Schematic schematic_of(std::vector<Shape> shapes) {
  Schematic out;
  out.title = "Harbour Slipover, schematic";
  out.description = "Front and back as they lie flat.";
  out.shapes = std::move(shapes);
  out.notes = {"Drawn in size M."};
  out.table.header = {"cm (in)", "S", "M"};
  out.table.numeric = {false, true, true};
  out.table.rows = {{"A. Front: width", "46 (18)", "50 (19.75)"}};
  out.table_in_picture = true;
  return out;
}

/// A closed outline of steps, with measures of random places on every side.
Shape random_shape(sample::Random& random, bool with_figures) {
  Shape out;
  out.name = sample::words(random, 2);
  const auto number = [&](int least, int most) {
    return static_cast<double>(sample::pick(random, least, most));
  };
  const double width = number(3, 90), height = number(2, 120), inset = number(0, static_cast<int>(width / 3));
  const double shoulder = height * 0.3;
  const std::vector<Point> edge{{0, height}, {width, height}, {width, shoulder}, {width - inset, 0},
                                {inset, 0},  {0, shoulder},   {0, height}};
  out.grounds = {edge};
  out.lines = {{edge, ShapeLine::Look::edge}};
  const int count = sample::pick(random, 1, 9);
  for (int i = 0; i < count; ++i) {
    Measure measure;
    measure.side = static_cast<Measure::Side>(sample::pick(random, 0, 3));
    const bool upright = measure.side == Measure::Side::left || measure.side == Measure::Side::right;
    const double most = upright ? height : width;
    // On a few levels, as those of corners are.
    const double from = most * sample::pick(random, 0, 3) / 4.0,
                 to = from + (most - from) * sample::pick(random, 1, 4) / 4.0;
    const double x = measure.side == Measure::Side::right ? width : 0,
                 y = measure.side == Measure::Side::below ? height : 0;
    measure.from = upright ? Point{x, from} : Point{from, y};
    measure.to = upright ? Point{x, to} : Point{to, y};
    measure.label = {with_figures ? fmt::format("{:g} cm", to - from)
                                  : std::string(1, static_cast<char>('A' + i))};
    if (with_figures) measure.label.push_back(fmt::format("({:.4g} in)", (to - from) / 2.54));
    out.measures.push_back(std::move(measure));
  }
  return out;
}

}  // namespace

TEST_CASE("the measures of a body are clear of its edges and of each other, as letters and as figures") {
  for (const bool in_letters : {true, false})
    for (const double scale : {1.5, 2.5, 4.0, 6.0, 9.0}) {
      const DrawnShape drawn = draw_shape(slipover(in_letters ? letters() : figures()), scale, {});
      INFO(in_letters, " at ", scale);
      CHECK(check::fault_report(drawn.drawing) == "");
      CHECK(struck_out(drawn.drawing) == "");
      // Every measure is there.
      std::size_t said = 0;
      for (const TextItem* text : check::texts_of(drawn.drawing))
        said += text->text.size() == 1 || text->text.ends_with(" cm");
      CHECK(said == 9);
    }
}

TEST_CASE("a measure's line is as long as what it measures") {
  const double scale = 5;
  Shape shape = slipover(letters());
  shape.measures.resize(1);
  const DrawnShape drawn = draw_shape(shape, scale, {});
  double left = 1e9, right = -1e9;
  for (const Item& item : drawn.drawing.items)
    if (const auto* line = std::get_if<LineItem>(&item); line && std::abs(line->from.y - line->to.y) < 0.01) {
      left = std::min({left, line->from.x, line->to.x});
      right = std::max({right, line->from.x, line->to.x});
    }
  CHECK(right - left == doctest::Approx(46 * scale));
  CHECK(drawn.foot > 60 * scale);
}

TEST_CASE("labels of random shapes are clear") {
  int measures = 0, struck = 0;
  for (unsigned seed = 0; seed < 400; ++seed) {
    sample::Random random(seed);
    const Shape shape = random_shape(random, seed % 2 == 1);
    const DrawnShape drawn = draw_shape(shape, 1.0 + static_cast<double>(seed % 7), {});
    INFO("seed ", seed);
    CHECK(check::fault_report(drawn.drawing) == "");
    struck += !struck_out(drawn.drawing).empty();
    measures += static_cast<int>(shape.measures.size());
  }
  MESSAGE(measures, " measures, ", struck, " shapes of 400 with a label on a line");
  CHECK(struck == 0);
}

TEST_CASE("shapes stand side by side at one scale, and on the next row where there is no room") {
  const Schematic three = schematic_of({slipover(letters()), slipover(letters()), slipover(letters())});
  SchematicStyle style;
  const double scale = schematic_scale(three, style);
  style.height = 2000;
  CHECK(schematic_scale(three, style) > scale);
  const Drawing sheet = draw_schematic(three);
  CHECK(check::fault_report(sheet) == "");
  CHECK(struck_out(sheet) == "");
  CHECK(sheet.height > sheet.width / 2);
}

TEST_CASE("a shape far too large for any page is drawn small, and a dot of one is drawn") {
  for (const double size : {0.5, 5000.0}) {
    Shape shape = slipover(letters());
    for (auto* points :
         {&shape.grounds.front(), &shape.lines[0].points, &shape.lines[1].points, &shape.lines[2].points})
      for (Point& p : *points) p = {p.x * size / 46, p.y * size / 46};
    shape.labels.clear();
    for (Measure& each : shape.measures) {
      each.from = {each.from.x * size / 46, each.from.y * size / 46};
      each.to = {each.to.x * size / 46, each.to.y * size / 46};
      each.opening.reset();
    }
    const Drawing sheet = draw_schematic(schematic_of({shape}));
    INFO(size);
    CHECK(check::fault_report(sheet) == "");
  }
}

TEST_CASE("a schematic is in the outline's section, says what it shows, and is a table in text") {
  Document document;
  document.title = "Harbour Slipover";
  document.blocks.push_back(Heading{2, "Schematic"});
  document.blocks.push_back(SchematicBlock{schematic_of({slipover(letters())})});
  const std::vector<Drawing> pages = lay_out(document);
  REQUIRE(pages.size() == 1);
  CHECK(check::fault_report(pages.front()) == "");
  const std::string text = write_text(document);
  CHECK(text.find("A. Front: width") != std::string::npos);
  CHECK(text.find("50 (19.75)") != std::string::npos);
  const std::string svg = write_svg(draw_schematic(schematic_of({slipover(letters())})));
  CHECK(svg.find("<title") != std::string::npos);
  CHECK(svg.find("Front and back as they lie flat.") != std::string::npos);
  CHECK(svg == write_svg(draw_schematic(schematic_of({slipover(letters())}))));
}
