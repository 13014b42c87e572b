// What pieces work beside their fabrics, as text pictures worked by hand: a symbol a square, a space where
// there is no stitch, `|` before which a line stands, row 1 at the bottom.

#include "compiler/piece_charts.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "compiler/check.hpp"

namespace wale {

namespace {

std::vector<render::Chart> charts_of(const std::string& pieces) {
  Source source("test.wale", "pattern \"Test\"\n" + pieces);
  const Checked checked = check(source);
  REQUIRE(checked.diagnostics.errors() == 0);
  return piece_charts(checked.pattern, *checked.stitches);
}

std::vector<std::string> picture(const render::Chart& chart) {
  std::vector<std::string> out;
  for (auto row = chart.rows.rbegin(); row != chart.rows.rend(); ++row) {
    std::string line;
    for (const render::Cell& cell : row->cells) {
      std::string square = " ";
      if (cell.mark) {
        const std::string& id = chart.marks[static_cast<std::size_t>(*cell.mark)].id;
        square = id == "k2tog" ? "/"
                 : id == "ssk" ? "\\"
                 : id == "bo"  ? "n"
                 : id == "k"   ? "."
                 : id == "p"   ? "-"
                               : "?";
      }
      line.insert(0, square);
      if (cell.marker_after) line.insert(0, "|");
    }
    out.push_back(line);
  }
  return out;
}

using Lines = std::vector<std::string>;

}  // namespace

TEST_CASE("panels are drawn over the rows after which all begin again, with a line between them") {
  const auto charts = charts_of(
      "fabric rib flat 2n st { 1: <k p>\n2: <k p> }\n"
      "fabric garter flat n st { every: <k> }\n"
      "piece scarf flat {\ncast on 8\nwork garter 2 | rib 4 | garter 2 for 20 rows\nbind off\n}\n");
  REQUIRE(charts.size() == 1);
  CHECK(charts[0].title == "Chart of scarf, rows 1-20");
  CHECK(picture(charts[0]) == Lines{"--|-.-.|--", "..|-.-.|.."});
  CHECK(charts[0].marker_meaning.has_value());
}

TEST_CASE("a stretch that is narrowed at its sides steps at its edges") {
  const auto charts = charts_of(
      "fabric plain flat n st { rs: <k>\nws: <p> }\n"
      "piece yoke flat {\ncast on 10\nwork plain for 2 rows\nnarrow 1 each side every 2 rows 2 times\nbind "
      "off }\n");
  REQUIRE(charts.size() == 1);
  CHECK(picture(charts[0]) == Lines{" ...... ", " ./..\\. ", "........", "./....\\."});
  CHECK(charts[0].notes.at(0).starts_with("From 10 sts to 6 sts"));
}

TEST_CASE("rows written in a piece are drawn as one repeat in a frame, and say how often it is worked") {
  const auto charts = charts_of("piece band round {\ncast on 96\nrows { 1: <k2 p2> }\nbind off\n}\n");
  REQUIRE(charts.size() == 1);
  REQUIRE(charts[0].rows.size() == 1);
  REQUIRE(charts[0].rows[0].repeat);
  CHECK(charts[0].rows[0].repeat->count == 4);
  CHECK(charts[0].notes.at(0) ==
        "On 96 sts; the frame is worked 24 times in a row. Read every round from right to left.");
}

TEST_CASE("rows of one kind of stitch have no chart") {
  CHECK(charts_of("piece band flat {\ncast on 9\nrows { \n1: <k>\n2: <p>\n }\nbind off\n}\n").empty());
}

TEST_CASE(
    "every square of a piece chart is covered once, and a row has as many as stitches are on the needle") {
  for (int wide = 6; wide < 130; wide += 7) {
    const auto charts = charts_of(
        "fabric plain flat n st { rs: <k>\nws: <p> }\npiece yoke flat {\ncast on " + std::to_string(wide) +
        "\nwork plain for 2 rows\nnarrow 1 each side every 2 rows 2 times\nbind off\n}\n");
    REQUIRE(charts.size() == 1);
    for (const render::ChartRow& row : charts[0].rows) {
      int at = 0;
      for (const render::Cell& cell : row.cells) {
        CHECK(cell.column == at);
        at += cell.span;
      }
      CHECK(at == charts[0].columns);
    }
    if (charts[0].columns != wide - 2) continue;  // only its edges are drawn
    const auto lines = picture(charts[0]);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const auto row = static_cast<long long>(lines.size() - i);  // from 1
      const auto absent = std::count(lines[i].begin(), lines[i].end(), ' ');
      CHECK(static_cast<long long>(lines[i].size()) - absent == wide - 2 * ((row + 1) / 2));
    }
  }
}

}  // namespace wale
