// The words that are printed, read and worked again: what comes off the needle must be what was checked.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check.hpp"
#include "compiler/fabric.hpp"
#include "compiler/instructions.hpp"
#include "render/text.hpp"
#include "tests/unit/naive.hpp"
#include "tests/unit/pattern_files.hpp"
#include "tests/unit/random_fabric.hpp"
#include "tests/unit/read_back_compare.hpp"

using namespace wale;
using namespace wale::naive;
using read_back::Misread;
using read_back::Reading;
using read_back::scale;

namespace {

std::string printed(const InstructionPart& part) {
  std::string out = part.heading + "\n";
  for (const Instruction& line : part.lines) out += fmt::format("  {} {}\n", line.lead, line.text);
  return out;
}

/// What is wrong with the words of a sketch; nothing where they are read as they were meant, or where it is
/// no good fabric.
std::string read_sketch(Sketch sketch, std::string* words, read_back::Count& count) {
  std::vector<bool> slides;
  for (const Row& row : sketch.rows) slides.push_back(row.slides);
  number_rows(sketch, slides);  // a turn may have been taken out
  Fabric fabric = fabric_of(sketch);
  fabric.name = "feather";
  if (smallest_n(fabric.width, 1) < 0) return "";
  Diagnostics diagnostics;
  prove(fabric, vocabulary(), two_strands(), diagnostics);
  if (!fabric.good) return "";
  const InstructionPart part = fabric_instructions(fabric, vocabulary(), two_strands());
  if (words) *words = printed(part);
  try {
    Reading reading(read_back::blocks_of({part}));
    count.rows += reading.count.rows;
    count.fabrics += 1;
    if (reading.fabrics().size() != 1) return "no fabric is found";
    return read_back::compare_fabric(fabric, reading, reading.fabrics()[0], vocabulary(),
                                     read_back::names_of(two_strands()), true, 3,
                                     static_cast<std::uint64_t>(fabric.width.base + 77));
  } catch (const Misread& why) {
    return why.what();
  }
}

void read_many(Sketch (*make)(Dice&), std::uint64_t seed, int usual) {
  const int many = usual * scale();
  int wrong = 0;
  read_back::Count count;
  for (int i = 0; i < many && wrong < 3; ++i) {
    Dice dice(seed + static_cast<std::uint64_t>(i));
    const Sketch sketch = make(dice);
    if (read_sketch(sketch, nullptr, count).empty()) continue;
    ++wrong;
    read_back::Count ignored;
    const Sketch small =
        shrink(sketch, [&](const Sketch& s) { return !read_sketch(s, nullptr, ignored).empty(); });
    std::string words;
    const std::string why = read_sketch(small, &words, ignored);
    FAIL_CHECK("seed ", seed + static_cast<std::uint64_t>(i), ": ", why, "\n", words_of(small), words);
  }
  MESSAGE(count.fabrics, " fabrics and ", count.rows, " lines of rows are read back");
  CHECK(count.fabrics > usual / 4);
}

}  // namespace

TEST_CASE("the rows of plain fabrics are read back from their words as they were checked") {
  read_many(random_plain, 500'000, 700);
}

TEST_CASE("the rows of brioche fabrics are read back from their words as they were checked") {
  read_many(random_typed, 510'000, 500);
}

TEST_CASE("rows that turn in mid-row are read back from their words as they were checked") {
  read_many(random_turning, 520'000, 500);
}

TEST_CASE("the rows of two layers are read back from their words as they were checked") {
  read_many(random_layered, 530'000, 400);
}

namespace {

/// Stitches times rows that are still worked one by one.
constexpr long long most_by_hand = 300'000;

bool by_hand(const Checked& checked) {
  return std::all_of(checked.pattern.pieces.begin(), checked.pattern.pieces.end(),
                     [](const Piece& piece) { return piece.widest * piece.rows < most_by_hand; });
}

/// Files of the tree that compile, but for those that are too large to be worked by hand: these are named in
/// `left`.
std::vector<std::pair<std::string, Compiled>> good_files(std::string& left) {
  std::vector<std::pair<std::string, Compiled>> out;
  for (const std::string folder : {"../examples", "patterns", "published"})
    for (const PatternFile& file : pattern_files(folder)) {
      Compiled compiled = compile(file);
      if (compiled.checked.diagnostics.has_errors()) {
        INFO(folder, "/", file.name, " is not read, and nothing in it says that it is refused");
        CHECK_FALSE(file.expected.empty());
        continue;
      }
      if (!by_hand(compiled.checked))
        left += " " + file.name;
      else
        out.emplace_back(folder + "/" + file.name, std::move(compiled));
    }
  return out;
}

void read_all(const std::string& kind, const DocumentSettings& settings) {
  read_back::Count count;
  std::string left;
  std::size_t pieces = 0, sizes = 0, fabrics = 0;
  for (const auto& [name, compiled] : good_files(left)) {
    const std::size_t own_sizes = compiled.checked.larger.size() + 1;
    sizes += own_sizes;
    pieces += own_sizes * compiled.checked.pattern.pieces.size();
    for (const Fabric& each : compiled.checked.pattern.fabrics) fabrics += each.good ? own_sizes : 0;
    for (const std::string& wrong : read_back::compare_document(compiled.checked, settings, count))
      FAIL_CHECK(kind, name, ": ", wrong);
  }
  MESSAGE(kind, count.patterns, " sizes of patterns are read back: ", count.fabrics, " fabrics, ",
          count.pieces, " pieces, ", count.places, " steps, ", count.rows, " lines of rows, ",
          count.sentences, " sentences");
  // Wide and long ones are for the engine's own tests; no other may be left out.
  CHECK(left == " rows-and-repeats.wale");
  CHECK(count.patterns == static_cast<long long>(sizes));
  CHECK(count.pieces == static_cast<long long>(pieces));
  CHECK(count.fabrics == static_cast<long long>(fabrics));
  CHECK(count.patterns >= 95);
  CHECK(count.sentences > 1200);
}

}  // namespace

TEST_CASE("every pattern of the tree is read back from its words, size by size, as it was checked") {
  read_all("", {});
}

TEST_CASE("documents in inches are read back as they were checked") {
  DocumentSettings inches;
  inches.units = Units::inches;
  read_all("in inches: ", inches);
}

TEST_CASE("documents for left-handed knitters are read back by one, as they were checked") {
  DocumentSettings mirrored;
  mirrored.mirror = true;
  read_all("mirrored: ", mirrored);
}

TEST_CASE("documents in large print say what those in small print say") {
  DocumentSettings large;
  large.large_print = true;
  std::string left;
  int compared = 0;
  for (const auto& [name, compiled] : good_files(left)) {
    const Pattern& pattern = compiled.checked.pattern;
    const Stitches& stitches = *compiled.checked.stitches;
    const auto words = [&](const DocumentSettings& settings) {
      return render::write_text(
          make_document(pattern, stitches, estimate_yarn(pattern, stitches), "x", settings));
    };
    INFO(name);
    CHECK(words({}) == words(large));
    ++compared;
  }
  CHECK(compared > 95);
}
