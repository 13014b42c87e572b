// What a piece or a fabric comes to by its words, and what was checked.
#include "tests/unit/read_back_compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "compiler/size_documents.hpp"
#include "tests/unit/random_fabric.hpp"

namespace wale::read_back {

/// Times as many random fabrics as usual: `WALE_READ_BACK=10` for ten times.
int scale() {
  const char* text = std::getenv("WALE_READ_BACK");
  return text ? std::max(1, std::atoi(text)) : 1;
}

std::vector<std::string> names_of(const std::vector<Strand>& strands) {
  std::vector<std::string> out;
  for (const Strand& each : strands) out.push_back(each.name);
  return out;
}

std::vector<render::Block> blocks_of(const std::vector<InstructionPart>& parts) {
  std::vector<render::Block> out;
  out.emplace_back(std::in_place_type<render::Heading>, render::Heading{2, "Instructions"});
  for (const InstructionPart& part : parts) {
    out.emplace_back(std::in_place_type<render::Heading>, render::Heading{3, part.heading});
    for (const Instruction& line : part.lines) {
      render::Paragraph paragraph;
      paragraph.lead = line.lead;
      paragraph.text = line.text;
      out.emplace_back(std::in_place_type<render::Paragraph>, std::move(paragraph));
    }
  }
  return out;
}

namespace {

std::string made_words(const std::vector<naive::Made>& made, const Stitches& stitches) {
  std::string out;
  for (const naive::Made& each : made)
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

bool fits(const ReadFabric& fabric, long long width) {
  if (width < fabric.least) return false;
  return fabric.per_n == 0 ? width == fabric.base
                           : width >= fabric.base && (width - fabric.base) % fabric.per_n == 0;
}

/// One cycle of a fabric at one n, read and checked.
void compare_at(const ReadFabric& read, const Fabric& fabric, long long n, const Stitches& stitches,
                const std::vector<std::string>& strands, Stitches& table, bool faces) {
  // What it begins on is found out by hand: the words of a fabric do not tell.
  std::vector<Loop> loops =
      naive::work(naive::rows_of(fabric), fabric.form, fabric.width.at(n), stitches).entry;
  for (Loop& loop : loops) loop.face = Face::knit, loop.strand = -1;
  if (!fits(read, static_cast<long long>(loops.size())))
    throw Misread(fmt::format("the heading does not tell that {} loops fit", loops.size()));
  const naive::Outcome real = naive::work(naive::rows_of(fabric), fabric.form, loops, stitches, true);
  if (!real.good) throw Misread("the checked rows do not work: " + real.why);
  Hands hands(table);
  hands.take(loops, fabric.form, Side::right);
  std::size_t at = 0;
  for (long long row = 0; row < fabric.cycle_rows(); ++row)
    for (const RowLine* line : read.passes(row)) {
      if (at >= fabric.rows.size()) throw Misread("more rows are read than there are");
      work_line(*line, hands, table, "");
      const std::string want = made_words(real.made[at], stitches), have = made_words(hands.made, table);
      if (want != have)
        misread(fmt::format("row {} is\n   {}\n  and read\n   {}", row + 1, want, have), line->words);
      const std::string loops_want = loop_words(real.lines[at], strands, "", faces),
                        loops_have = loop_words(hands.line, hands.strands, "", faces);
      if (loops_want != loops_have)
        misread(fmt::format("row {} leaves\n   {}\n  and read\n   {}", row + 1, loops_want, loops_have),
                line->words);
      ++at;
    }
  if (at != fabric.rows.size()) throw Misread("fewer rows are read than there are");
  if (hands.side() != real.next_side) throw Misread("another side faces at the end");
}

}  // namespace

std::string compare_fabric(const Fabric& fabric, Reading& reading, const ReadFabric& read,
                           const Stitches& stitches, const std::vector<std::string>& strands, bool faces,
                           int tried, std::uint64_t seed) {
  Stitches& table = reading.table();
  naive::Dice dice(seed);
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

namespace {

/// What a checked piece comes to after each of its steps.
struct Checkpoint {
  long long rows = 0;
  bool at_an_edge = true;
  std::vector<Loop> loops;
  std::map<std::pair<std::string, std::string>, long long> tally;
};

using NamedTally = std::map<std::pair<std::string, std::string>, long long>;

std::vector<Checkpoint> checkpoints(const Piece& piece, const Pattern& pattern, const Stitches& stitches) {
  std::vector<Checkpoint> out;
  const std::string only = pattern.strands.size() == 1 ? pattern.strands[0].name : "";
  Tally sum;
  long long rows = 0;
  for (const Step& step : piece.steps) {
    add(sum, step.tally);
    rows = step.first_row - 1 + step.row_count;
    // What was held goes on with the rows that it had.
    const Step* after = &step == &piece.steps.back() ? nullptr : &step + 1;
    if (step.kind == Step::Kind::resume && after) rows = after->first_row - 1;
    Checkpoint next;
    next.rows = rows;
    next.at_an_edge = step.after == 0 || !step.needle.empty();
    if (step.after > 0 && next.at_an_edge) next.loops = step.needle.loops(1'000'000);
    for (const auto& [key, count] : sum)
      if (count.base > 0)
        next.tally[{stitches[key.first].name,
                    key.second < 0 ? only : pattern.strands[static_cast<std::size_t>(key.second)].name}] +=
            count.base;
    out.push_back(std::move(next));
  }
  return out;
}

/// One strand in all needs no name: who has no name for it has it in hand.
NamedTally named(const Place& place, const ReadPiece& read, const Stitches& table, const std::string& only) {
  NamedTally out;
  for (const auto& [key, count] : place.tally)
    if (count > 0)
      out[{table[key.first].name,
           key.second < 0 ? only : read.strands[static_cast<std::size_t>(key.second)]}] += count;
  return out;
}

std::string tally_words(const NamedTally& tally) {
  std::string out;
  for (const auto& [key, count] : tally) out += fmt::format(" {} {} in {};", count, key.first, key.second);
  return out;
}

}  // namespace

std::string compare_piece(const Piece& piece, const Pattern& pattern, const Stitches& stitches,
                          const ReadPiece& read, const Stitches& table, bool faces) {
  const std::string only = pattern.strands.size() == 1 ? pattern.strands[0].name : "";
  std::size_t at = 0;
  const std::vector<Checkpoint> all = checkpoints(piece, pattern, stitches);
  const auto same = [&](const Checkpoint& want, const Place& have) {
    if (want.rows != have.rows || want.tally != named(have, read, table, only)) return false;
    if (!want.at_an_edge || !have.at_an_edge) return want.at_an_edge == have.at_an_edge;
    if (want.loops.size() != have.loops.size()) return false;
    for (std::size_t i = 0; i < want.loops.size(); ++i) {
      const Loop &a = want.loops[i], &b = have.loops[i];
      if (a.type != b.type || (faces && a.face != b.face && a.face != Face::unknown)) return false;
      if (a.strand < 0) continue;
      const std::string strand = b.strand < 0 ? only : read.strands[static_cast<std::size_t>(b.strand)];
      if (pattern.strands[static_cast<std::size_t>(a.strand)].name != strand) return false;
    }
    return true;
  };
  for (std::size_t i = 0; i < all.size(); ++i) {
    std::size_t found = at;
    while (found < read.places.size() && !same(all[i], read.places[found])) ++found;
    if (found < read.places.size()) {
      at = found;
      continue;
    }
    std::string out = fmt::format("step {} of {} is not found: {} rows, {} loops,{}", i + 1, piece.name,
                                  all[i].rows, all[i].loops.size(), tally_words(all[i].tally));
    if (i > 0) out += fmt::format("\n  before it: {}", read.places[at].words);
    int shown = 0;
    for (const Place& place : read.places)
      if (place.rows == all[i].rows && ++shown <= 3)
        out += fmt::format("\n  read: {} rows, {} loops,{}\n   {}\n    {}\n    {}\n    after: {}", place.rows,
                           place.loops.size(), tally_words(named(place, read, table, only)),
                           all[i].at_an_edge == place.at_an_edge,
                           loop_words(all[i].loops, names_of(pattern.strands), only, true),
                           loop_words(place.loops, read.strands, only, true), place.words);
    return out;
  }
  return "";
}

namespace {

std::vector<const Pattern*> sizes_of(const Checked& checked) {
  std::vector<const Pattern*> out{&checked.pattern};
  for (const Pattern& each : checked.larger) out.push_back(&each);
  return out;
}

std::vector<std::string> size_names(const std::vector<const Pattern*>& sizes) {
  std::vector<std::string> out;
  for (const Pattern* each : sizes) out.push_back(each->size);
  return out;
}

/// The instructions and nothing else of a document.
render::Document bare_document(const Checked& checked, const DocumentSettings& settings) {
  const std::vector<const Pattern*> sizes = sizes_of(checked);
  const Stitches mirrored = checked.stitches->mirrored();
  std::vector<render::Document> documents;
  for (const Pattern* each : sizes) {
    render::Document document;
    document.blocks =
        blocks_of(all_instructions(*each, settings.mirror ? mirrored : *checked.stitches, settings));
    if (settings.mirror) {
      render::Paragraph note;
      note.lead = for_left_hands;
      document.blocks.emplace(document.blocks.begin(), std::move(note));
    }
    documents.push_back(std::move(document));
  }
  return merge_documents(size_names(sizes), std::move(documents));
}

/// Every size's words, taken out of the document of all sizes. `own`: it explains stitches of its own, of
/// which a reader knows what they take and give, and not how they look.
std::vector<std::string> compare_blocks(const Checked& checked, const std::vector<render::Block>& blocks,
                                        bool own, Count& count) {
  std::vector<std::string> out;
  const std::vector<const Pattern*> sizes = sizes_of(checked);
  for (std::size_t size = 0; size < sizes.size(); ++size) {
    const Pattern& pattern = *sizes[size];
    try {
      Reading reading(blocks, size);
      count.rows += reading.count.rows;
      count.sentences += reading.count.sentences;
      ++count.patterns;
      std::size_t fabric_at = 0;
      for (const Fabric& fabric : pattern.fabrics) {
        if (!fabric.good) continue;
        const auto& read = reading.fabrics();
        while (fabric_at < read.size() && read[fabric_at].worked_other_way) ++fabric_at;
        if (fabric_at == read.size()) throw Misread(fabric.name + " is not printed");
        const std::string found = compare_fabric(fabric, reading, read[fabric_at++], *checked.stitches,
                                                 names_of(pattern.strands), !own, 2, 5);
        if (!found.empty()) out.push_back(fmt::format("{} {}: {}", pattern.size, fabric.name, found));
        ++count.fabrics;
      }
      if (reading.pieces().size() != pattern.pieces.size()) throw Misread("not all pieces are printed");
      for (std::size_t i = 0; i < pattern.pieces.size(); ++i) {
        const std::string found = compare_piece(pattern.pieces[i], pattern, *checked.stitches,
                                                reading.pieces()[i], reading.table(), !own);
        if (!found.empty()) out.push_back(fmt::format("{} {}", pattern.size, found));
        ++count.pieces;
        count.places += static_cast<long long>(pattern.pieces[i].steps.size());
      }
    } catch (const Misread& why) {
      out.push_back(fmt::format("{}: {}", pattern.size, why.what()));
    }
  }
  return out;
}

}  // namespace

std::vector<std::string> compare_document(const Checked& checked, const DocumentSettings& settings,
                                          Count& count) {
  const std::vector<const Pattern*> sizes = sizes_of(checked);
  std::vector<render::Document> documents;
  for (const Pattern* each : sizes)
    documents.push_back(
        make_document(*each, *checked.stitches, estimate_yarn(*each, *checked.stitches), "x", settings));
  const render::Document document = merge_documents(size_names(sizes), std::move(documents));
  const bool own =
      std::any_of(document.blocks.begin(), document.blocks.end(), [](const render::Block& block) {
        const auto* table = std::get_if<render::Table>(&block);
        return table && std::any_of(table->rows.begin(), table->rows.end(), [](const auto& row) {
                 return row.size() == 2 && row[1].find(" (over ") != std::string::npos;
               });
      });
  return compare_blocks(checked, document.blocks, own, count);
}

std::vector<std::string> compare_instructions(const Checked& checked, const DocumentSettings& settings,
                                              Count& count) {
  return compare_blocks(checked, bare_document(checked, settings).blocks, false, count);
}

std::string printed_instructions(const Checked& checked, const DocumentSettings& settings) {
  std::string out;
  for (const render::Block& block : bare_document(checked, settings).blocks) {
    if (const auto* heading = std::get_if<render::Heading>(&block)) out += heading->text + "\n";
    if (const auto* paragraph = std::get_if<render::Paragraph>(&block))
      out += fmt::format("  {} {}\n", paragraph->lead, paragraph->text);
  }
  return out;
}

}  // namespace wale::read_back
