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
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <regex>
#include <sstream>

#include "tests/unit/naive.hpp"
#include "tests/unit/pattern_files.hpp"

using namespace wale;

namespace {

struct Figure {
  enum class Of : unsigned char { stitches, rows, worked, multiple };
  std::size_t line = 0;
  Of of = Of::stitches;
  Linear count;
  std::string text;
};

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) out.push_back(line);
  return out;
}

/// `4n + 2`, `4n`, `n`, `12`; "multiple of 4 + 2" leaves the n out.
std::optional<Linear> read_count(const std::string& text, bool multiple) {
  static const std::regex linear(R"((\d*)n(?: \+ (\d+))?)"), plain(R"(\d+)"), of(R"((\d+)(?: \+ (\d+))?)");
  std::smatch found;
  if (!multiple && std::regex_match(text, plain)) return Linear(std::stoll(text));
  if (!std::regex_match(text, found, multiple ? of : linear)) return {};
  const auto number = [&](std::size_t i, long long otherwise) {
    return found[i].length() > 0 ? std::stoll(found[i].str()) : otherwise;
  };
  return Linear(number(1, 1), number(2, 0));
}

std::optional<Figure> read_figure(std::string text, std::size_t line) {
  Figure out{line, Figure::Of::stitches, {}, text};
  const auto ends = [&](const std::string& end, Figure::Of of) {
    if (!text.ends_with(end)) return;
    out.of = of;
    text.resize(text.size() - end.size());
  };
  if (text.starts_with("multiple of ")) {
    out.of = Figure::Of::multiple;
    text = text.substr(12);
  }
  ends(" rows", Figure::Of::rows);
  ends(" worked", Figure::Of::worked);
  const auto count = read_count(text, out.of == Figure::Of::multiple);
  if (!count) return {};
  out.count = *count;
  return out;
}

std::vector<Figure> figures_in(const PatternFile& file) {
  std::vector<Figure> out;
  const std::vector<std::string> lines = lines_of(file.text);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const std::size_t at = lines[i].find("--= ");
    if (at == std::string::npos) continue;
    std::istringstream parts(lines[i].substr(at + 4));
    for (std::string part; std::getline(parts, part, ',');) {
      const auto figure = read_figure(trimmed(part), i + 1);
      CHECK_MESSAGE(figure.has_value(), file.name, ":", i + 1, " is no figure: ", part);
      if (figure) out.push_back(*figure);
    }
  }
  return out;
}

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

const std::vector<PatternFile>& published() {
  static const std::vector<PatternFile> files = pattern_files("published");
  return files;
}

bool is_printed(const PatternFile& file) {
  return file.name.find("-printed") != std::string::npos;
}

}  // namespace

TEST_CASE("the published patterns are told what is wrong with them as printed, and nothing else") {
  CHECK(published().size() >= 60);
  for (const PatternFile& file : published()) {
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
  for (const PatternFile& file : published()) {
    const Compiled compiled = compile(file);
    INFO(file.name, "\n", compiled.shown);
    const std::vector<Figure> figures = figures_in(file);
    CHECK((is_printed(file) || !figures.empty()));
    for (const Figure& figure : figures) CHECK(difference(compiled, figure) == "");
  }
}

TEST_CASE("a figure of a book that were one more would be noticed, each of them") {
  int noticed = 0;
  for (const PatternFile& file : published()) {
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
  CHECK(noticed > 150);
}

TEST_CASE("where a book gives a multiple, its rows work with that remainder and with no other") {
  static const std::regex width(R"((fabric \S+ \S+ ).+? st\b)");
  int tried = 0;
  for (const PatternFile& file : published())
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
  for (const PatternFile& file : published()) {
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

TEST_CASE("every published pattern cites its book, and tests/published/README.md lists each of them once") {
  static const std::regex citation(
      R"(-- (Beeton 1870, no\. \d+|Dillmont 1886, fig\. \d+|Handbook 1918, ".+"): (\S.*)\.)");
  std::vector<std::string> wanted, listed;
  for (const PatternFile& file : published()) {
    std::smatch found;
    const std::string first = lines_of(file.text).front();
    INFO(file.name, " begins: ", first);
    REQUIRE(std::regex_match(first, found, citation));
    wanted.push_back(fmt::format("| [{0}]({0}) | {1} | {2} |", file.name, found[1].str(), found[2].str()));
  }
  for (const std::string& line : lines_of(read_project_file("tests/published/README.md")))
    if (line.starts_with("| [")) listed.push_back(line);
  INFO("the table should be\n", fmt::format("{}", fmt::join(wanted, "\n")));
  CHECK(listed == wanted);
}

TEST_CASE("a pattern as it is printed has the one that comes out beside it") {
  for (const PatternFile& file : published()) {
    if (!is_printed(file)) continue;
    INFO(file.name);
    const std::string mended = file.name.substr(0, file.name.find("-printed")) + ".wale";
    CHECK(std::any_of(published().begin(), published().end(),
                      [&](const PatternFile& other) { return other.name == mended; }));
  }
}
