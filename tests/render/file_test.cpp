// The files: well formed whatever the words, the same every time, and refused when they would be too large.
#include <doctest/doctest.h>

#include <clocale>
#include <pugixml.hpp>
#include <set>

#include "render/chart_layout.hpp"
#include "render/document_layout.hpp"
#include "render/measure.hpp"
#include "render/pdf.hpp"
#include "render/png.hpp"
#include "render/svg.hpp"
#include "tests/render/geometry_check.hpp"
#include "tests/render/sample_charts.hpp"

using namespace wale::render;

namespace {

std::string bytes(const Bytes& result) {
  const auto* error = std::get_if<RenderError>(&result);
  INFO((error != nullptr ? error->message : std::string()));
  REQUIRE(error == nullptr);
  return std::get<std::string>(result);
}

Chart hostile_chart() {
  Chart chart = sample::rib(6, 2, 1.3);
  chart.name = "a\"><b";
  chart.title = chart.description = chart.notes[0] = sample::hostile;
  chart.marks[1].meaning = chart.marks[1].abbreviation = sample::hostile;
  chart.marks[1].id = "\" onload=\"x";
  chart.rows[0].words = chart.rows[0].label = sample::hostile;
  chart.tints = {{sample::hostile, sample::hostile, {1, 2, 3}}};
  chart.rows[1].cells[1].tint = 0;
  return chart;
}

/// Walks an element tree: names, ids and references.
struct Walker : pugi::xml_tree_walker {
  std::set<std::string> names, ids;
  std::vector<std::string> references;
  bool unique = true;
  bool for_each(pugi::xml_node& node) override {
    if (node.type() == pugi::node_element) names.insert(node.name());
    if (const auto id = node.attribute("id")) unique = ids.insert(id.value()).second && unique;
    if (const auto href = node.attribute("xlink:href")) references.emplace_back(href.value());
    return true;
  }
};

}  // namespace

TEST_CASE("hostile words stay words in SVG") {
  const std::string svg = write_svg(draw_chart(hostile_chart()));
  pugi::xml_document document;
  REQUIRE(document.load_string(svg.c_str(), pugi::parse_default | pugi::parse_ws_pcdata));
  Walker walker;
  document.traverse(walker);
  CHECK(walker.names ==
        std::set<std::string>{"svg", "title", "desc", "style", "defs", "g", "path", "rect", "use", "text"});
  CHECK(walker.unique);
  for (const std::string& reference : walker.references) CHECK(walker.ids.contains(reference.substr(1)));
  CHECK(document.child("svg").child("title").text().get() == clean_text(sample::hostile));
  for (const char c : svg) CHECK((static_cast<unsigned char>(c) >= 0x20 || c == '\n'));
}

TEST_CASE("a picture names itself, defines its marks once and gives each row its words") {
  const Chart chart = sample::rib(6, 2);
  const std::string svg = write_svg(draw_chart(chart));
  pugi::xml_document document;
  REQUIRE(document.load_string(svg.c_str()));
  const pugi::xml_node root = document.child("svg");
  CHECK(std::string(root.attribute("role").value()) == "img");
  CHECK(std::string(root.attribute("aria-labelledby").value()) == "rib-title rib-desc");
  CHECK(std::string(root.child("title").text().get()) == "Slipway rib");
  CHECK(std::string(root.child("g").child("title").text().get()) == "Row 1");
  std::size_t dots = 0;
  for (const pugi::xml_node& group : root.child("defs").children("g")) {
    dots += std::string(group.attribute("id").value()) == "rib-dot" ? 1 : 0;
  }
  CHECK(dots == 1);
}

TEST_CASE("a program can read a chart from its picture: rows by their labels, symbols by their stitches") {
  Chart chart = sample::rib(6, 3);
  chart.rows[1].label = "2 M";
  pugi::xml_document document;
  REQUIRE(document.load_string(write_svg(draw_chart(chart)).c_str()));
  std::vector<std::string> rows;
  std::size_t purls = 0;
  for (const pugi::xpath_node& group : document.select_nodes("//g[@data-row]")) {
    rows.push_back(group.node().attribute("data-row").value());
    for (const pugi::xml_node& use : group.node().children("use")) {
      const std::string target = use.attribute("xlink:href").value();
      const pugi::xpath_node symbol =
          document.select_node(("//defs/g[@id='" + target.substr(1) + "']").c_str());
      purls += std::string(symbol.node().attribute("data-stitch").value()) == "p" ? 1 : 0;
    }
  }
  CHECK(rows == std::vector<std::string>{"1", "2 M", "3"});
  CHECK(purls == 6);  // Two of the six squares of each row.
}

TEST_CASE("on a dark screen paper and ink change places, and colours of yarns and the ink on them stay") {
  Chart chart = sample::rib(4, 1);
  chart.tints = {{"M", "White as paper", paper}, {"C", "Black as ink", ink}};
  for (Cell& cell : chart.rows[0].cells) cell = {cell.column, 1, 1, cell.column % 2, false, false};
  chart.rows[0].cells[3].tint.reset();
  pugi::xml_document document;
  REQUIRE(document.load_string(write_svg(draw_chart(chart)).c_str()));
  const std::string style = document.child("svg").child("style").text().get();
  CHECK(style.starts_with("@media (prefers-color-scheme:dark){#rib{color:"));
  // What a rule would change has a class with a rule; what must stay has neither class nor inherited ink.
  std::set<std::string> classes;
  for (const pugi::xpath_node& each : document.select_nodes("//*[@class]")) {
    const std::string name = each.node().attribute("class").value();
    CHECK(style.find("#rib ." + name + "{") != std::string::npos);
    classes.insert(name);
  }
  CHECK(classes == std::set<std::string>{"paper", "grid", "ink", "halo", "quiet"});
  const pugi::xml_node row = document.select_node("//g[@data-row]").node();
  std::vector<std::string> colours;
  for (const pugi::xml_node& use : row.children("use")) colours.push_back(use.attribute("color").value());
  CHECK(colours == std::vector<std::string>{"#000000", "#ffffff", "#000000", ""});
  std::size_t grounds = 0;
  for (const pugi::xpath_node& path : document.select_nodes("//path[not(@stroke) and not(ancestor::defs)]"))
    grounds += path.node().attribute("class").empty() ? 1 : 0;
  CHECK(grounds >= 3);  // Two colours and the flags of the second.
}

TEST_CASE("numbers are short and the same in every locale") {
  CHECK(short_number(2.5) == "2.5");
  CHECK(short_number(-0.001) == "0");
  CHECK(short_number(100) == "100");
  CHECK(short_number(1.0 / 3) == "0.33");
  const std::string before = write_svg(draw_chart(sample::rib(5, 3, 1.3)));
  const char* const set = std::setlocale(LC_ALL, "de_DE.UTF-8");
  CHECK(write_svg(draw_chart(sample::rib(5, 3, 1.3))) == before);
  if (set != nullptr) std::setlocale(LC_ALL, "C");
}

TEST_CASE("equal input gives equal files, and no date of its own") {
  sample::Random random(7);
  const Document document = sample::document(random);
  const PdfInfo info{.title = sample::hostile, .author = "Skerry Row"};
  const std::string first = bytes(write_pdf(lay_out(document), info));
  CHECK(first.starts_with("%PDF-"));
  CHECK(first == bytes(write_pdf(lay_out(document), info)));
  CHECK(first.find("CreationDate") == std::string::npos);
  CHECK(bytes(write_png(lay_out(document)[0])) == bytes(write_png(lay_out(document)[0])));
}

TEST_CASE("a date that was asked for does not disturb the rest") {
  const std::vector<Drawing> pages = lay_out(Document{"Slipway Scarf", "", {}});
  const std::string dated = bytes(write_pdf(pages, {.date = 1796113800}));
  CHECK(dated == bytes(write_pdf(pages, {.date = 1796113800})));
  CHECK(dated != bytes(write_pdf(pages)));
  CHECK(dated != bytes(write_pdf(pages, {.date = 1796200200})));
  CHECK_FALSE(bytes(write_pdf(pages, {.date = INT64_MAX})).empty());
  CHECK_FALSE(bytes(write_pdf(pages, {.date = INT64_MIN})).empty());
}

TEST_CASE("a PDF needs a page") {
  CHECK(std::holds_alternative<RenderError>(write_pdf({})));
}

TEST_CASE("a picture has the size it was asked for, or is refused") {
  const Drawing drawing{.width = 72, .height = 36};
  const std::string png = bytes(write_png(drawing, {.dots_per_inch = 100}));
  REQUIRE(png.size() > 24);
  // PNG (ISO/IEC 15948): width and height stand big-endian at bytes 16 and 20.
  CHECK(static_cast<unsigned char>(png[19]) == 100);
  CHECK(static_cast<unsigned char>(png[23]) == 50);
  CHECK(std::holds_alternative<RenderError>(write_png(drawing, {.dots_per_inch = 100, .most_pixels = 4999})));
  CHECK(std::holds_alternative<RenderError>(write_png(drawing, {.dots_per_inch = 1e9})));
  CHECK(std::holds_alternative<RenderError>(write_png(drawing, {.dots_per_inch = 0})));
  CHECK(std::holds_alternative<RenderError>(write_png(drawing, {.dots_per_inch = -5})));
  CHECK(std::holds_alternative<RenderError>(write_png(Drawing{})));
}
