// Trees, and what is left of them after a mistake: one reading reports every mistake in the file.
#include "grammar/parser.hpp"

#include <doctest/doctest.h>

#include <random>

using namespace wale;

namespace {

struct Read {
  Source source;
  Diagnostics diagnostics;
  tree::Pattern tree;
};

Read read(const std::string& text) {
  Read out{Source("t.wale", text, 1), {}, {}};
  out.tree = parse(out.source, out.diagnostics);
  return out;
}

template <typename What>
const What& only(const Read& read, std::size_t index = 0) {
  REQUIRE(read.tree.declarations.size() > index);
  return std::get<What>(read.tree.declarations[index].what);
}

std::vector<std::size_t> lines_of(const Read& read) {
  std::vector<std::size_t> out;
  for (const Diagnostic& each : read.diagnostics.all())
    out.push_back(read.source.place(each.span.begin).line);
  return out;
}

using Lines = std::vector<std::size_t>;

}  // namespace

TEST_CASE("a fabric is read with its form, width, height and rows") {
  const Read found =
      read("fabric rope round 4n + 2 st x 8 rows {\n  1, 3..5 M: k <p2> 3(k1 A(p))\n  every: as seen\n}\n");
  CHECK(found.diagnostics.all().empty());
  const auto& fabric = only<tree::Fabric>(found);
  CHECK(fabric.name.text == "rope");
  CHECK(fabric.form == tree::Form::round);
  CHECK(fabric.width.per_n == 4);
  CHECK(fabric.width.base == 2);
  CHECK(fabric.height->value == 8);
  REQUIRE(fabric.rows.size() == 2);
  const tree::Row& row = fabric.rows[0];
  REQUIRE(row.label.numbers.size() == 2);
  CHECK(row.label.numbers[1].first == 3);
  CHECK(row.label.numbers[1].last == 5);
  CHECK(row.label.strand->text == "M");
  REQUIRE(row.items.size() == 3);
  CHECK(row.items[1].form == tree::RowItem::Form::fill);
  CHECK(row.items[2].count == 3);
  REQUIRE(row.items[2].items.size() == 2);
  CHECK(row.items[2].items[1].form == tree::RowItem::Form::strand);
  CHECK(found.source.text(row.span) == "k <p2> 3(k1 A(p))");
  CHECK(fabric.rows[1].label.by_default == tree::RowLabel::Default::every);
  CHECK(fabric.rows[1].items.at(0).form == tree::RowItem::Form::as_seen);
}

TEST_CASE("widths may be written in any order, and a minus takes away") {
  const auto width = [](const std::string& text) {
    const Read found = read("fabric f flat " + text + " st { 1: <k> }\n");
    CHECK(found.diagnostics.all().empty());
    const tree::Width& w = only<tree::Fabric>(found).width;
    return std::pair(w.per_n, w.base);
  };
  using Pair = std::pair<long long, long long>;
  CHECK(width("12") == Pair(0, 12));
  CHECK(width("n") == Pair(1, 0));
  CHECK(width("4n - 2") == Pair(4, -2));
  CHECK(width("3 + 4n") == Pair(4, 3));
  CHECK(width("5n - 2n + 1") == Pair(3, 1));
}

TEST_CASE("a row runs on over lines until the next label") {
  const Read found = read("fabric f flat 6 st {\n  1: k2\n     p2 -- still row 1\n     k2\n  2: p6\n}\n");
  CHECK(found.diagnostics.all().empty());
  const auto& fabric = only<tree::Fabric>(found);
  REQUIRE(fabric.rows.size() == 2);
  CHECK(fabric.rows[0].items.size() == 3);
}

TEST_CASE("a crossing is one word, a division by a measure is not") {
  const Read found =
      read("fabric f flat 4 st { 1: 2/2rc }\nmeasure a = 10 / 2 cm\nwritten for 75 m / 50 g\n");
  CHECK(found.diagnostics.all().empty());
  CHECK(only<tree::Fabric>(found).rows[0].items[0].word == "2/2rc");
  CHECK(only<tree::Measure>(found, 1).value.word == "/");
  CHECK(only<tree::WrittenFor>(found, 2).mass.unit == Keyword("g"));
}

TEST_CASE("each mistake is reported where it stands, and the rest is read") {
  const Read found = read(
      "pattern Scarf\n"               // 1: no quotes
      "by \"Skerry Row\"\n"           //
      "yarn kelp 100 g = 200 m\n"     // 3: no label
      "fabric rib flat 4n st {\n"     //
      "  1: <k2 p2\n"                 // 5: not closed
      "  2: <p2 k2>, p\n"             // 6: a comma
      "  3: k ) p\n"                  // 7: closes nothing
      "}\n"                           //
      "fabrik other flat n st { }\n"  // 9: no such statement, and yet it is read
      "piece p flat {\n"              //
      "  cast on\n"                   // 11: how many?
      "  knit on\n"                   // 12: no such step
      "  bind off\n"                  //
      "}\n"                           //
      "by \"again\"\n");              //
  CHECK(lines_of(found) == Lines{1, 3, 5, 6, 7, 9, 11, 12});
  CHECK(!found.tree.whole);
  REQUIRE(found.tree.declarations.size() == 5);
  CHECK(only<tree::By>(found, 0).text.text == "Skerry Row");
  CHECK(only<tree::Fabric>(found, 1).rows.size() == 3);
  CHECK(only<tree::Fabric>(found, 2).name.text == "other");
  CHECK(only<tree::Piece>(found, 3).steps.size() == 1);
}

TEST_CASE("a declaration that is left half written is shown as it is written") {
  for (const auto& [text, form] :
       {std::pair{"gauge 22 x 30\n", "gauge 22 st x 30 rows = 10 cm"},
        {"yarn kelp \"Kelp\"\n", "yarn kelp \"Skerry Worsted, Kelp\" 100 g = 200 m"},
        {"strand A kelp\n", "strand A = kelp"},
        {"measure width 20 cm\n", "measure width = 20 cm"},
        {"by Skerry\n", "by \"Skerry Row\""}}) {
    const Read found = read(text);
    CAPTURE(text);
    REQUIRE(found.diagnostics.all().size() == 1);
    CHECK(found.diagnostics.all()[0].help == std::vector<std::string>{form});
  }
  // Each form can be read.
  CHECK(read("gauge 22 st x 30 rows = 10 cm\nstrand A = kelp\nmeasure width = 20 cm\nby \"Skerry Row\"\n"
             "yarn kelp \"Skerry Worsted, Kelp\" 100 g = 200 m\nwritten for 75 m / 50 g\nsizes S M L\n"
             "use \"locker.wale\"\npattern \"Fog Scarf\"\n")
            .diagnostics.all()
            .empty());
}

TEST_CASE("a brace that is missing or too many does not hide what follows") {
  const Read missing = read("fabric a flat n st {\n  1: <k>\n");
  CHECK(lines_of(missing) == Lines{1});
  CHECK(only<tree::Fabric>(missing).rows.size() == 1);
  const Read extra = read("fabric a flat n st { 1: <k> }\n}\nfabric b flat n st { 1: <k> }\n");
  CHECK(lines_of(extra) == Lines{2});
  CHECK(extra.tree.declarations.size() == 2);
}

TEST_CASE("a slip in a statement's word is mended") {
  const Read found = read("fabirc rib flat n st { 1: <k> }\n");
  REQUIRE(found.diagnostics.all().size() == 1);
  const Mend& edits = found.diagnostics.all()[0].edits;
  REQUIRE(edits.size() == 1);
  CHECK(edits[0].replacement == "fabric");
  CHECK(found.source.text(edits[0].span) == "fabirc");
  CHECK(found.tree.declarations.size() == 1);
}

TEST_CASE("whatever is read, the parser comes to an end and keeps its tree in the source") {
  const std::vector<std::string> scraps{
      "fabric", "piece", "flat", "n",    "st",    "{",    "}",      "(",     ")",    "<", ">",
      "1:",     "2..8:", "k2",   "p",    "\n",    "3",    "A(",     "in1(",  "draw", ",", "as",
      "\"",     "#12",   "--",   "|",    "2/2rc", "[",    "]",      "=",     "+",    "-", "/",
      "*",      "cast",  "on",   "work", "for",   "rows", "repeat", "times", "ä",    "→", "rs:"};
  for (unsigned seed = 0; seed < 3000; ++seed) {
    std::mt19937 random(seed);
    std::string text;
    for (std::size_t length = random() % 60; length > 0; --length) {
      text += scraps[random() % scraps.size()];
      if (random() % 4) text += ' ';
    }
    CAPTURE(seed);
    const Read found = read(text);
    for (const Diagnostic& each : found.diagnostics.all()) {
      CHECK(each.span.begin <= each.span.end);
      CHECK(each.span.end <= text.size());
    }
  }
}
