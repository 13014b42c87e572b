// The words that are printed, read and worked again: what comes off the needle must be what was checked.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "compiler/check.hpp"
#include "compiler/fabric.hpp"
#include "compiler/instructions.hpp"
#include "compiler/pattern_document.hpp"
#include "compiler/size_documents.hpp"
#include "tests/unit/naive.hpp"
#include "tests/unit/pattern_files.hpp"
#include "tests/unit/random_fabric.hpp"
#include "tests/unit/read_back.hpp"

using namespace wale;
using namespace wale::naive;
using read_back::Hands;
using read_back::Misread;
using read_back::ReadFabric;
using read_back::Reading;
using read_back::RowLine;

namespace {

/// Times as many random fabrics as usual: `WALE_READ_BACK=10` for ten times.
int scale() {
  const char* text = std::getenv("WALE_READ_BACK");
  return text ? std::max(1, std::atoi(text)) : 1;
}

std::string made_words(const std::vector<Made>& made, const Stitches& stitches) {
  std::string out;
  for (const Made& each : made)
    out +=
        fmt::format(" {}{}{}", each.stitch < 0 ? "seen" : stitches[each.stitch].name,
                    each.into > 0 ? fmt::format("~{}", each.into) : "", each.side == Side::wrong ? "'" : "");
  return out;
}

std::string loop_words(const std::vector<Loop>& loops, const std::vector<std::string>& strands,
                       const std::string& hand, bool faces) {
  std::string out;
  for (const Loop& loop : loops)
    out += fmt::format(" {}{}{}", static_cast<int>(loop.type),
                       !faces                    ? ""
                       : loop.face == Face::purl ? "p"
                       : loop.face == Face::knit ? "k"
                                                 : "?",
                       loop.strand < 0 ? hand : strands[static_cast<std::size_t>(loop.strand)]);
  return out;
}

std::vector<std::string> names_of(const std::vector<Strand>& strands) {
  std::vector<std::string> out;
  for (const Strand& each : strands) out.push_back(each.name);
  return out;
}

std::vector<render::Block> blocks_of(const InstructionPart& part) {
  std::vector<render::Block> out{render::Heading{2, "Instructions"}, render::Heading{3, part.heading}};
  for (const Instruction& line : part.lines) {
    render::Paragraph paragraph;
    paragraph.lead = line.lead;
    paragraph.text = line.text;
    out.push_back(std::move(paragraph));
  }
  return out;
}

std::string printed(const InstructionPart& part) {
  std::string out = part.heading + "\n";
  for (const Instruction& line : part.lines) out += fmt::format("  {} {}\n", line.lead, line.text);
  return out;
}

bool fits(const ReadFabric& fabric, long long width) {
  if (width < fabric.least) return false;
  return fabric.per_n == 0 ? width == fabric.base
                           : width >= fabric.base && (width - fabric.base) % fabric.per_n == 0;
}

/// One cycle of a fabric at one n, read and checked.
void compare_at(const ReadFabric& read, const Fabric& fabric, long long n, const Stitches& stitches,
                const std::vector<std::string>& strands, Stitches& table, bool faces) {
  std::vector<Loop> loops = fabric.entry.at(n).loops(1'000'000);
  for (Loop& loop : loops) loop.face = Face::knit, loop.strand = -1;
  if (!fits(read, static_cast<long long>(loops.size())))
    throw Misread(fmt::format("the heading does not tell that {} loops fit", loops.size()));
  const Outcome real = work(rows_of(fabric), fabric.form, loops, stitches, true);
  if (!real.good) throw Misread("the checked rows do not work: " + real.why);
  Hands hands(table);
  hands.take(loops, fabric.form, Side::right);
  std::size_t at = 0;
  for (long long row = 0; row < fabric.cycle_rows(); ++row)
    for (const RowLine* line : read.passes(row)) {
      if (at >= fabric.rows.size()) throw Misread("more rows are read than there are");
      read_back::work_line(*line, hands, table, "");
      const std::string want = made_words(real.made[at], stitches), have = made_words(hands.made, table);
      if (want != have)
        read_back::misread(fmt::format("row {} is\n   {}\n  and read\n   {}", row + 1, want, have),
                           line->words);
      const std::string loops_want = loop_words(real.lines[at], strands, "", faces),
                        loops_have = loop_words(hands.line, hands.strands, "", faces);
      if (loops_want != loops_have)
        read_back::misread(
            fmt::format("row {} leaves\n   {}\n  and read\n   {}", row + 1, loops_want, loops_have),
            line->words);
      ++at;
    }
  if (at != fabric.rows.size()) throw Misread("fewer rows are read than there are");
  if (hands.side() != real.next_side) throw Misread("another side faces at the end");
}

std::string compare_fabric(const Fabric& fabric, const Reading& reading, const ReadFabric& read,
                           const Stitches& stitches, const std::vector<std::string>& strands, bool faces,
                           int tried, std::uint64_t seed) {
  Stitches& table = const_cast<Reading&>(reading).table();
  Dice dice(seed);
  const long long last = fabric.width.constant() ? 0 : tried;
  for (long long i = 0; i <= last; ++i) {
    const long long n = fabric.smallest_n + (i < last ? i : last > 0 ? dice.number(tried, 20) : 0);
    try {
      if (read.round != (fabric.form == Form::round)) throw Misread("flat or round is taken for the other");
      if ((read.repeats || read.every) != fabric.returns) throw Misread("whether it is repeated");
      compare_at(read, fabric, n, stitches, strands, table, faces);
    } catch (const Misread& why) {
      return fmt::format("n = {}: {}", n, why.what());
    }
  }
  return "";
}

/// What is wrong with the words of a sketch; nothing where they are read as they were meant, or where it is
/// no good fabric.
std::string read_sketch(const Sketch& sketch, std::string* words, read_back::Count& count) {
  Fabric fabric = fabric_of(sketch);
  fabric.name = "feather";
  if (smallest_n(fabric.width, 1) < 0) return "";
  Diagnostics diagnostics;
  prove(fabric, vocabulary(), two_strands(), diagnostics);
  if (!fabric.good) return "";
  const InstructionPart part = fabric_instructions(fabric, vocabulary(), two_strands());
  if (words) *words = printed(part);
  try {
    const Reading reading(blocks_of(part));
    count.rows += reading.count.rows;
    count.fabrics += 1;
    if (reading.fabrics().size() != 1) return "no fabric is found";
    return compare_fabric(fabric, reading, reading.fabrics()[0], vocabulary(), names_of(two_strands()), true,
                          3, static_cast<std::uint64_t>(fabric.width.base + 77));
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
