#include "tests/unit/read_back.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "compiler/check.hpp"
#include "grammar/parser.hpp"

namespace wale::read_back {

// --- hands

void Hands::take(std::vector<Loop> loops, Form form, Side side) {
  loops_ = std::move(loops);
  form_ = form;
  side_ = side;
  pending_.clear();
}

long long Hands::ahead() const {
  return pending_.empty() ? static_cast<long long>(loops_.size()) : ahead_;
}
long long Hands::all() const {
  return pending_.empty() ? static_cast<long long>(loops_.size()) : all_;
}

short Hands::strand(const std::string& name) {
  if (name.empty()) return -1;
  const auto found = std::find(strands.begin(), strands.end(), name);
  if (found == strands.end()) strands.push_back(name);
  return static_cast<short>(std::find(strands.begin(), strands.end(), name) - strands.begin());
}

void Hands::work(const std::vector<Item>& items, Turn turn, bool slides, const std::vector<std::string>& with,
                 const std::string& hand) {
  Row row;
  row.number = static_cast<long long>(pending_.size()) + 1;
  row.side = side_;
  row.slides = slides;
  row.strand = strand(with.empty() ? hand : with[0]);
  row.back_strand = with.size() > 1 ? strand(with[1]) : static_cast<short>(-1);
  for (const Item& item : items) {
    Op op = item.op;
    if (!item.strand.empty()) {
      Op own;
      own.form = Op::Form::strand;
      own.strand = strand(item.strand);
      own.ops = {op};
      op = std::move(own);
    }
    row.ops.push_back(std::move(op));
  }
  if (turn != Turn::none) {
    Op op;
    op.form = Op::Form::turn;
    op.turn = turn;
    row.ops.push_back(op);
  }
  pending_.push_back(std::move(row));
  naive::Outcome out = naive::work(pending_, form_, loops_, *table_, true);
  if (!out.good) throw Misread("cannot be worked: " + out.why);
  // Only the last row is new; what the ones before it came to is there already.
  if (pending_.size() > 1) {
    const std::vector<Row> before(pending_.begin(), pending_.end() - 1);
    for (const auto& [key, count] : naive::work(before, form_, loops_, *table_).tally) tally[key] -= count;
  }
  for (const auto& [key, count] : out.tally) tally[key] += count;
  made = std::move(out.made.back());
  line = std::move(out.lines.back());
  if (!slides) {
    ++rows;
    const auto behind =
        std::count_if(line.begin(), line.end(), [](const Loop& loop) { return loop.type == LoopType::back; });
    double given = 0;
    for (const Item& item : items) given += static_cast<double>(item.gives);
    worked.push_back(
        {form_,
         line.empty() ? 0 : given * (1 - static_cast<double>(behind) / static_cast<double>(line.size()))});
  }
  side_ = out.next_side;
  if (out.at_an_end) {
    loops_ = std::move(out.end);
    pending_.clear();
    return;
  }
  all_ = out.widths.back();
  ahead_ = side_ == Side::right ? all_ - out.ends_at.back() : out.ends_at.back();
}

std::vector<Loop> Hands::loops_ahead() const {
  if (pending_.empty()) return loops_;
  if (side_ == Side::right) return {line.end() - static_cast<std::ptrdiff_t>(ahead_), line.end()};
  std::vector<Loop> out(line.begin(), line.begin() + static_cast<std::ptrdiff_t>(ahead_));
  std::reverse(out.begin(), out.end());
  return out;
}

namespace {

/// What earlier turns left and this row works.
struct Met {
  bool wraps = false, doubles = false;
};

Met met_of_turns(const Hands& hands, const Spread& row, const Stitches& table) {
  Met out;
  const std::vector<Loop> loops = hands.loops_ahead();
  std::size_t at = 0;
  const auto meet = [&](LoopType wanted) {
    const LoopType type = at < loops.size() ? loops[at++].type : LoopType::plain;
    if (wanted == LoopType::any) return;
    out.wraps |= type == LoopType::wrapped;
    out.doubles |= type == LoopType::doubled;
  };
  for (const Item& item : row.all()) {
    if (item.op.form == Op::Form::stitch)
      for (const LoopType wanted : table[item.op.stitch].takes) meet(wanted);
    else
      for (long long i = 0; i < (item.op.form == Op::Form::as_seen ? row.times : item.takes); ++i)
        meet(LoopType::plain);
  }
  return out;
}

}  // namespace

void work_line(const RowLine& line, Hands& hands, Stitches& table, const std::string& hand) {
  if (line.side && *line.side != hands.side())
    misread(fmt::format("the {} faces", hands.side() == Side::right ? "RS" : "WS"), line.words);
  const Side side = hands.side();
  const Spread row = spread(line, hands.ahead(), table);
  const bool turned_back = hands.form() == Form::round && side == Side::wrong && row.turn == Turn::none;
  if (line.claims.turns != turned_back)
    misread(turned_back ? "in the round nobody turns unless it is said" : "there is nothing to turn for",
            line.words);
  const Met met = met_of_turns(hands, row, table);
  if (met.wraps && !line.claims.wraps)
    misread("a wrap is worked with its st, and nothing says so", line.words);
  if (met.doubles && !line.claims.doubles) misread("a double st is worked, and nothing says so", line.words);
  const long long before = hands.all();
  try {
    hands.work(row.all(), row.turn, line.claims.slides, line.with, hand);
  } catch (const Misread& why) {
    misread(why.what(), line.words);
  }
  if (line.more && !line.claims.slides) --hands.rows, hands.worked.pop_back();
  const long long after = hands.all();
  if (line.claims.after && *line.claims.after != after)
    misread(fmt::format("{} loops are on the needle", after), line.words);
  if (line.claims.change && *line.claims.change != after - before)
    misread(fmt::format("from {} loops to {}", before, after), line.words);
  if (const auto& each = line.claims.in_each) {
    if (after != each->first * row.times + each->second)
      misread(fmt::format("{} loops after {} repeats", after, row.times), line.words);
  }
  if (const auto& multiple = line.claims.multiple)
    if (after < multiple->second || (after - multiple->second) % multiple->first != 0)
      misread(fmt::format("{} loops are on the needle", after), line.words);
}

// --- abbreviations

namespace {

/// "2 sts", "1 st with its yarn over, 1 st": kinds of loops as the vocabulary spells them.
std::string read_loops(Cursor& in) {
  if (in.accept("no st")) return "0";
  std::string out;
  do {
    const long long count = in.sts();
    std::string kind = "plain";
    if (in.accept(" with its yarn over") || in.accept(" with their yarn overs")) kind = "veiled";
    if (in.accept(" of the near layer")) kind = "front";
    if (in.accept(" of the far layer")) kind = "back";
    if (in.accept(" of any kind")) kind = "any";
    for (long long i = 0; i < count; ++i) out += (out.empty() ? "" : " ") + kind;
  } while (in.accept(" and "));
  return out;
}

/// "lattice | slip 3, knit 3, knit the slipped ones (over 6 sts, leaves 6 sts)"
std::string declaration_of(const std::string& name, const std::string& says) {
  const std::size_t over = says.rfind(" (over ");
  if (over == std::string::npos) return "";
  Cursor in(std::string_view(says).substr(over));
  in.expect(" (over ");
  const std::string takes = read_loops(in);
  std::string gives;
  if (in.accept(", leaves them as they are")) {
    gives = "same";
  } else {
    in.expect(", leaves ");
    gives = read_loops(in);
  }
  const bool purl = in.accept(", purl side towards you");
  in.expect(")");
  // "2/1 TC": how many it takes is its name.
  if (const std::size_t blank = name.find(' '); name.find('/') < blank && blank != std::string::npos) {
    std::string family = name.substr(blank + 1);
    for (char& c : family) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return fmt::format("crossing {} {{ over k under k leans right says \"cross\" }}\n", family);
  }
  return fmt::format("stitch {} {{ takes {} gives {} {}twin {} says \"as told\" mark \"M0 0 L1 1\" }}\n",
                     name, takes, gives, purl ? "shows purl " : "", name);
}

}  // namespace

std::unique_ptr<Stitches> table_of(const std::vector<render::Block>& blocks) {
  Diagnostics diagnostics;
  auto out = std::make_unique<Stitches>(parse(vocabulary_source(), diagnostics), diagnostics);
  std::string own;
  bool abbreviations = false;
  for (const render::Block& block : blocks) {
    if (const auto* heading = std::get_if<render::Heading>(&block))
      abbreviations = heading->text == "Abbreviations";
    else if (const auto* table = std::get_if<render::Table>(&block); table && abbreviations)
      for (const auto& row : table->rows) own += declaration_of(row.at(0), row.at(1));
  }
  const tree::Pattern declared = parse(Source("abbreviations", own, 1), diagnostics);
  for (const tree::Declaration& each : declared.declarations)
    if (const auto* stitch = std::get_if<tree::Stitch>(&each.what)) out->add(*stitch, diagnostics);
  out->complete(diagnostics);
  return out;
}

// --- fabrics

std::optional<ReadFabric> read_fabric_heading(std::string_view heading) {
  const std::size_t bracket = heading.find(" (");
  if (bracket == std::string_view::npos || heading.substr(bracket).starts_with(" (make ")) return {};
  ReadFabric out;
  out.name = heading.substr(0, bracket);
  Cursor in(heading.substr(bracket + 2));
  if (in.accept("any number of sts")) {
    out.per_n = 1;
  } else if (in.accept("multiple of ")) {
    out.per_n = in.sts();
    if (in.accept(" + ")) out.base = in.number();
    if (in.accept(" - ")) out.base = -in.number();
  } else {
    const long long count = in.number();
    if (in.accept(count == 1 ? " pair, " : " pairs, "))
      out.base = in.sts();
    else
      in.expect(count == 1 ? " st" : " sts"), out.base = count;
  }
  if (in.accept(", at least ")) out.least = in.number();
  in.expect(")");
  if (in.accept(", worked in the round")) out.round = out.worked_other_way = true;
  if (in.accept(", worked flat")) out.worked_other_way = true;
  if (!in.done()) in.stuck("more than a fabric's name and width");
  return out;
}

std::vector<const RowLine*> ReadFabric::passes(long long row) const {
  const long long height = cycle();
  if (row >= height && !every && !repeats)
    throw Misread(fmt::format("{} has {} rows and nothing says that they are repeated", name, height));
  const long long number = row % height + 1;
  std::vector<const RowLine*> out;
  for (const RowLine& each : rows)
    if (each.first == number) out.push_back(&each);
  return out;
}

void ReadFabric::add_other() {
  if (!others || (cycle() + 1) % 2 != 0) return;
  RowLine one = *others;
  one.first = one.last = cycle() + 1;
  rows.push_back(std::move(one));
}

void ReadFabric::add(const RowLine& line) {
  if (line.every) {
    every = true;
    rows = {line};
    return;
  }
  if (line.others) others = line;
  if (line.first == cycle() + 2) add_other();
  if (line.first != cycle() + 1 && !(line.first == cycle() && !line.with.empty()))
    misread(fmt::format("row {} comes after row {}", line.first, cycle()), line.words);
  for (long long number = line.first; number <= line.last; ++number) {
    RowLine one = line;
    if (line.again) {
      const auto [from, to] = *line.again;
      const long long wanted = from + (number - line.first) % (to - from + 1);
      const auto same =
          std::find_if(rows.begin(), rows.end(), [&](const RowLine& each) { return each.first == wanted; });
      if (same == rows.end()) misread("a copy of a row that is not there", line.words);
      if (same + 1 != rows.end() && (same + 1)->first == wanted)
        misread("a copy of a row that is worked twice", line.words);
      one = *same;
      if (line.side) one.side = line.side;
      if (line.first == line.last) one.with = line.with;
    }
    one.first = one.last = number;
    if (!rows.empty() && rows.back().first == number) rows.back().more = true;
    one.more = false;
    rows.push_back(std::move(one));
  }
}

// --- the document

Reading::Reading(const std::vector<render::Block>& blocks, std::size_t of) : table_(table_of(blocks)) {
  std::vector<render::Block> own = of_size(blocks, of);
  const auto* first = own.empty() ? nullptr : std::get_if<render::Paragraph>(&own[0]);
  if (first && first->lead.starts_with("Sizes:") && own.size() > 1)
    first = std::get_if<render::Paragraph>(&own[1]);
  if (first && first->lead == for_left_hands)
    for (render::Block& block : own)
      if (auto* paragraph = std::get_if<render::Paragraph>(&block)) {
        paragraph->lead = in_the_mirror(paragraph->lead);
        paragraph->text = in_the_mirror(paragraph->text);
      }
  instructions(own);
  ++count.patterns;
}

void Reading::instructions(const std::vector<render::Block>& blocks) {
  bool here = false;
  std::string heading;
  std::vector<render::Paragraph> lines;
  const auto finish = [&] {
    if (heading.empty()) return;
    if (auto fabric = read_fabric_heading(heading)) {
      for (const render::Paragraph& line : lines) {
        auto row = read_lead(line.lead);
        if (row) {
          read_row(line.text, *row, *table_);
          fabric->round |= row->round;
          fabric->add(*row);
          ++count.rows;
          continue;
        }
        Cursor in(line.text);
        if (in.accept("Rep this row for ") || in.accept("Rep this rnd for ")) {
          fabric->repeats = std::pair(1LL, 1LL);
        } else if (in.accept("Rep rows ") || in.accept("Rep rnds ")) {
          const long long first = in.number();
          if (!in.accept(" and ")) in.expect("-");
          fabric->repeats = std::pair(first, in.number());
          in.expect(" for ");
        } else {
          in.stuck("a sentence that is not understood");
        }
        if (fabric->repeats->second == fabric->cycle() + 1) fabric->add_other();
        if (fabric->repeats != std::pair(1LL, fabric->cycle())) in.stuck("these are not all rows");
        ++count.sentences;
      }
      ++count.fabrics;
      fabrics_.push_back(std::move(*fabric));
    } else {
      pieces_.push_back(work_piece(heading, lines, fabrics_, *table_, shelf_, count));
      ++count.pieces;
    }
    lines.clear();
    heading.clear();
  };
  for (const render::Block& block : blocks) {
    if (const auto* next = std::get_if<render::Heading>(&block)) {
      if (here) finish();
      if (next->level == 2) here = next->text == "Instructions";
      heading = next->level == 3 ? next->text : "";
    } else if (const auto* paragraph = std::get_if<render::Paragraph>(&block); paragraph && here) {
      lines.push_back(*paragraph);
    }
  }
  if (here) finish();
}

}  // namespace wale::read_back
