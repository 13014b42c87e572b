// Patterns that were printed long before this program, held against it.
//
// Each file under `tests/published` is a transcription. Beside a row, a step or a declaration it repeats what
// the book says of it, so that the sum is the book's and not ours:
//
//     fabric peacock flat 9n + 4 st {      --= multiple of 9 + 4      and no other remainder will do
//       1: k2 <k2 4(yo k) yo k yo k2> k2   --= 15n + 4                stitches after the row
//     work border for 3 times              --= 30 rows                rows of a step, a fabric or a piece
//     3: k12 turn                          --= 12 worked              stitches of a short row
//
// Where a book misprints, `name-printed.wale` has the row as printed and the diagnostic (`--! slug`) that it
// must meet, and `name.wale` has the row that comes out.
#include "tests/unit/published.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <regex>

#include "tests/unit/naive.hpp"

using namespace wale;
using published::Figure, published::figures_in, published::is_printed, published::lines_of;

namespace {

/// What the compiler made of one line: all counts of this kind that belong to it.
class Measured {
 public:
  Measured(const Compiled& compiled, const Figure& figure) : source_(compiled.source), figure_(figure) {
    for (const Fabric& fabric : compiled.checked.pattern.fabrics) {
      if (here(fabric.span)) {
        add(Figure::Of::rows, fabric.height);
        add(Figure::Of::multiple, fabric.width);
      }
      rows(fabric.rows);
    }
    for (const Piece& piece : compiled.checked.pattern.pieces) {
      if (here(piece.span)) add(Figure::Of::rows, piece.rows);
      steps(piece.steps);
    }
  }
  std::vector<Linear> counts;

 private:
  bool here(Span span) const { return source_.place(span.begin).line == figure_.line; }
  void add(Figure::Of of, Linear count) {
    if (of == figure_.of) counts.push_back(count);
  }
  void rows(const std::vector<CheckedRow>& rows) {
    for (const CheckedRow& row : rows) {
      if (!here(row.row.label)) continue;
      add(Figure::Of::stitches, row.after);
      add(Figure::Of::worked, row.after - row.waiting - row.unworked);
    }
  }
  void steps(const std::vector<Step>& steps_of) {
    for (const Step& step : steps_of) {
      if (here(step.span)) {
        add(Figure::Of::stitches, step.after);
        add(Figure::Of::rows, step.row_count);
      }
      rows(step.rows);
      steps(step.steps);
    }
  }
  const Source& source_;
  const Figure& figure_;
};

/// Empty where the compiler counts what the book counts.
std::string difference(const Compiled& compiled, const Figure& figure) {
  const std::vector<Linear> counts = Measured(compiled, figure).counts;
  if (counts.empty()) return fmt::format("line {}: nothing to count for `{}`", figure.line, figure.text);
  for (const Linear count : counts)
    if (count != figure.count)
      return fmt::format("line {}: `{}` in the book, {} worked out", figure.line, figure.text,
                         to_string(count));
  return "";
}

const Fabric* fabric_on(const Compiled& compiled, std::size_t line) {
  for (const Fabric& fabric : compiled.checked.pattern.fabrics)
    if (compiled.source.place(fabric.span.begin).line == line) return &fabric;
  return nullptr;
}

}  // namespace

TEST_CASE("the published patterns are told what is wrong with them as printed, and nothing else") {
  CHECK(published::files().size() >= 100);
  for (const PatternFile& file : published::files()) {
    const Compiled compiled = compile(file);
    INFO(file.name, "\n", compiled.shown);
    for (const std::string& each : disagreements(compiled, file)) FAIL_CHECK(each);
    if (is_printed(file)) {
      CHECK(!file.expected.empty());
      continue;
    }
    CHECK(file.expected.empty());
    for (const Fabric& fabric : compiled.checked.pattern.fabrics) CHECK(fabric.good);
    for (const Piece& piece : compiled.checked.pattern.pieces) CHECK(piece.good);
  }
}

TEST_CASE("the published patterns come to the counts that the books give") {
  for (const PatternFile& file : published::files()) {
    const Compiled compiled = compile(file);
    INFO(file.name, "\n", compiled.shown);
    const std::vector<Figure> figures = figures_in(file);
    CHECK((is_printed(file) || !figures.empty()));
    for (const Figure& figure : figures) CHECK(difference(compiled, figure) == "");
  }
}

TEST_CASE("a figure of a book that were one more would be noticed, each of them") {
  int noticed = 0;
  for (const PatternFile& file : published::files()) {
    const Compiled compiled = compile(file);
    for (Figure figure : figures_in(file)) {
      INFO(file.name, " line ", figure.line, ": ", figure.text);
      figure.count = figure.count + Linear(1);
      CHECK(difference(compiled, figure) != "");
      figure.count = figure.count + Linear(1, -1);
      CHECK(difference(compiled, figure) != "");
      ++noticed;
    }
  }
  CHECK(noticed > 500);
}

TEST_CASE("where a book gives a multiple, its rows work with that remainder and with no other") {
  static const std::regex width(R"((fabric \S+ \S+ ).+? st\b)");
  int tried = 0;
  for (const PatternFile& file : published::files())
    for (const Figure& figure : figures_in(file)) {
      if (figure.of != Figure::Of::multiple) continue;
      std::vector<std::string> lines = lines_of(file.text);
      std::string& line = lines[figure.line - 1];
      const std::string written = line;
      for (long long more = 0; more < figure.count.per_n; ++more) {
        const Linear tries = figure.count + Linear(more);
        line = std::regex_replace(written, width, "$01" + to_string(tries) + " st");
        PatternFile other = file;
        other.text = fmt::format("{}\n", fmt::join(lines, "\n"));
        const Compiled compiled = compile(other);
        const Fabric* fabric = fabric_on(compiled, figure.line);
        INFO(file.name, " with ", to_string(tries), "\n", compiled.shown);
        REQUIRE(fabric != nullptr);
        CHECK(fabric->width == tries);
        CHECK(fabric->good == (more == 0));
        ++tried;
      }
    }
  CHECK(tried > 50);
}

TEST_CASE("a knitter who counts stitch by stitch gets through the published fabrics with the same counts") {
  int worked = 0;
  for (const PatternFile& file : published::files()) {
    const Compiled compiled = compile(file);
    for (const Fabric& fabric : compiled.checked.pattern.fabrics) {
      if (!fabric.good) continue;
      for (long long n = fabric.smallest_n; n < fabric.smallest_n + 3; ++n) {
        const long long stitches = fabric.width.at(n);
        if (stitches < 1) continue;
        INFO(file.name, ": ", fabric.name, " on ", stitches, " st");
        const naive::Outcome outcome =
            naive::work(naive::rows_of(fabric), fabric.form, stitches, *compiled.checked.stitches);
        CHECK(outcome.good);
        REQUIRE(outcome.widths.size() == fabric.rows.size());
        for (std::size_t i = 0; i < fabric.rows.size(); ++i)
          CHECK(outcome.widths[i] == fabric.rows[i].after.at(n));
        ++worked;
      }
    }
  }
  CHECK(worked > 50);
}

TEST_CASE("a pattern as it is printed has the one that comes out beside it") {
  for (const PatternFile& file : published::files()) {
    if (!is_printed(file)) continue;
    INFO(file.name);
    const std::string mended = published::pattern_name(file) + ".wale";
    CHECK(std::any_of(published::files().begin(), published::files().end(),
                      [&](const PatternFile& other) { return other.name == mended; }));
  }
}
