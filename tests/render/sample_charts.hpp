// Charts and documents to test with: small ones by hand, and any number at random from a seed.
#pragma once

#include <random>
#include <string>

#include "render/document.hpp"

namespace wale::render::sample {

inline const std::string hostile =
    "<script>alert(1)</script> ]]> & \"quoted\" 'too' \x01\x02 \xFF\xFE \xED\xA0\x80 \xEF\xBF\xBE вязание "
    "編み物 e\xCC\x81\xCC\xA3 "
    "\xE2\x80\xAE"
    "reversed \xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D " +
    std::string("\0zero", 5);

/// What stands for one forbidden character.
inline const std::string replaced = "\xEF\xBF\xBD";

/// An empty square, a dot, and a mark over `span` squares.
inline std::vector<Mark> marks(int span) {
  return {
      {"plain", 1, "", "", "knit on the right side, purl on the wrong side", "k"},
      {"dot", 1, "", "M.62 .5A.12 .12 0 1 1 .38 .5A.12 .12 0 1 1 .62 .5Z", "purl on the right side", "p"},
      {"wide", span, "M.1 .9L" + std::to_string(span) + " .1", "", "a mark over several squares", "cross"}};
}

/// `rows` rows of plain squares and dots, two by two, begun on either side in turn.
inline Chart rib(int columns, int rows, double aspect = 1) {
  Chart chart;
  chart.name = "rib";
  chart.title = "Slipway rib";
  chart.description = "Two and two.";
  chart.columns = columns;
  chart.cell_aspect = aspect;
  chart.marks = marks(4);
  chart.notes = {"Repeat the framed squares."};
  for (int r = 0; r < rows; ++r) {
    ChartRow row;
    row.label = std::to_string(r + 1);
    row.label_right = r % 2 == 0;
    row.words = "Row " + row.label;
    for (int c = 0; c < columns; ++c) row.cells.push_back({c, 1, (c / 2) % 2, std::nullopt, false, false});
    row.repeat = ChartRow::Span{0, columns};
    chart.rows.push_back(std::move(row));
  }
  return chart;
}

using Random = std::mt19937;

inline int pick(Random& random, int low, int high) {
  return std::uniform_int_distribution<int>(low, high)(random);
}

inline std::string words(Random& random, int most) {
  static const char* const list[] = {
      "knit",      "purl",
      "to",        "the",
      "last",      "2",
      "sts,",      "*k2,",
      "p2;",       "rep",
      "from",      "*",
      "skerry",    "(42",
      "sts)",      "lighthouse-keeper's",
      "вязание",   "編み物を編む",
      "e\xCC\x81", "withoutanyspaceatallbecausethewordgoesonandonandonandonandonandonandonandon"};
  std::string text;
  for (int i = pick(random, 0, most); i > 0; --i)
    text += std::string(text.empty() ? "" : " ") + list[pick(random, 0, 19)];
  return text;
}

inline Chart chart(Random& random, int most_columns, int most_rows) {
  Chart chart = rib(pick(random, 1, most_columns), pick(random, 1, most_rows), pick(random, 2, 50) / 10.0);
  chart.title = words(random, 12);
  chart.tints = {{"M", "Kelp", {47, 93, 80}},
                 {"C", "Lamp " + words(random, 20), {233, 180, 76}},
                 {"D", "Moss", {60, 99, 70}}};
  chart.notes.push_back(words(random, 40));
  chart.absent_meaning = "no stitch";
  chart.marker_meaning = "marker";
  chart.repeat_meaning = words(random, 60);
  for (ChartRow& row : chart.rows) {
    row.label = std::to_string(pick(random, 1, 999)) + (pick(random, 0, 1) == 1 ? " M" : "");
    row.label_right = pick(random, 0, 1) == 1;
    row.cells.clear();
    for (int c = 0; c < chart.columns;) {
      Cell cell{c, 1, pick(random, 0, 1), std::nullopt, pick(random, 0, 9) == 0, pick(random, 0, 9) == 0};
      if (pick(random, 0, 5) == 0 && c + 4 <= chart.columns) cell = {c, 4, 2, std::nullopt, false, false};
      if (pick(random, 0, 2) == 0) cell.tint = pick(random, 0, 2);
      c += cell.span;
      row.cells.push_back(cell);
    }
    row.repeat = ChartRow::Span{pick(random, 0, chart.columns - 1), pick(random, 0, chart.columns)};
    if (pick(random, 0, 6) == 0) row.repeat.reset();
  }
  return chart;
}

inline Table table(Random& random) {
  Table table;
  const int columns = pick(random, 1, 14), rows = pick(random, 0, 60);
  for (int c = 0; c < columns; ++c) {
    table.header.push_back(words(random, 3));
    table.numeric.push_back(pick(random, 0, 1) == 1);
  }
  for (int r = 0; r < rows; ++r) {
    table.rows.emplace_back();
    for (int c = 0; c < columns; ++c)
      table.rows.back().push_back(words(random, pick(random, 0, 30) == 0 ? 80 : 3));
    table.swatches.push_back(Colour{47, 93, 80});
  }
  if (pick(random, 0, 1) == 1) table.swatches.clear();
  if (pick(random, 0, 3) == 0) table.header.clear();
  return table;
}

inline Document document(Random& random) {
  Document document;
  document.title = words(random, 30);
  document.author = words(random, 4);
  for (int i = pick(random, 0, 24); i > 0; --i) {
    switch (pick(random, 0, 5)) {
      case 0:
        document.blocks.emplace_back(Heading{pick(random, 2, 3), words(random, 14)});
        break;
      case 1:
        document.blocks.emplace_back(table(random));
        break;
      case 2:
        document.blocks.emplace_back(ChartBlock{chart(random, 90, 120)});
        break;
      case 3:
        document.blocks.emplace_back(Paragraph{words(random, 4), words(random, 200), true});
        break;
      default:
        document.blocks.emplace_back(Paragraph{words(random, 8), words(random, 90), false});
    }
  }
  return document;
}

}  // namespace wale::render::sample
