// A piece, sentence by sentence, from the cast-on to the last stitch bound off.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "tests/unit/read_back_piece.hpp"

namespace wale::read_back {

PieceReader::PieceReader(const std::string& heading, const std::vector<ReadFabric>& fabrics, Stitches& table,
                         Shelf& shelf, Count& count)
    : fabrics_(fabrics), table_(table), shelf_(shelf), count_(count), hands_(table) {
  Cursor in(heading);
  out_.name = in.until(",");
  // A heading begins with a large letter, a name may not.
  out_.name[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(out_.name[0])));
  if (in.done()) return;  // puts others together
  in.expect(", ");
  if (in.accept("in the round"))
    round_ = true;
  else
    in.expect("flat"), in.accept(", then in the round");
  if (in.accept(" (make ")) left_.copies = in.number(), in.expect(")");
  if (!in.done()) in.stuck("more than a piece's name and form");
}

ReadPiece PieceReader::read(const std::vector<render::Paragraph>& lines) {
  for (const render::Paragraph& line : lines) {
    told_plain_ |= line.text.starts_with(cut_repeats);
    told_new_ |= line.text.starts_with(new_stitches) || line.text.starts_with(new_stitches_at_markers);
  }
  run(lines, 0, lines.size());
  left_.strands = out_.strands = hands_.strands;
  out_.worked = hands_.worked;
  shelf_.pieces[out_.name] = std::move(left_);
  return std::move(out_);
}

/// What is known of the needle where a sentence ends.
void PieceReader::place(const std::string& words) {
  out_.places.push_back({hands_.rows, words, hands_.at_an_edge(),
                         hands_.at_an_edge() ? hands_.loops() : std::vector<Loop>(), hands_.tally});
}

void PieceReader::run(const std::vector<render::Paragraph>& lines, std::size_t from, std::size_t to) {
  for (std::size_t at = from; at < to;) {
    const render::Paragraph& line = lines[at];
    const std::string whole = line.lead.empty() ? line.text : line.lead + " " + line.text;
    try {
      const bool shapes = line.text.find("ork in pattern to ") != std::string::npos && !line.lead.empty();
      const bool row = !shapes && read_lead(line.lead).has_value();
      const std::size_t picks = line.text.find("pick up and knit ");
      if (row) {
        at = group_of_rows(lines, at, to);
      } else if (picks != std::string::npos && line.lead.empty()) {
        Cursor in(line.text);
        if (!in.accept("With the RS facing, ")) {
          in.expect("With ");
          hand_ = in.until(",");
          in.expect(", RS facing, ");
        }
        in.expect("pick up and knit ");
        at = pick_up(lines, at, in);
        ++count_.sentences;
      } else if (line.text.starts_with("Work the following "))
        at = repeat(lines, at, to);
      else if (line.lead.starts_with("Buttonhole "))
        at = buttonholes(lines, at);
      else if (line.lead.starts_with("Dividing row"))
        divide(line.lead, line.text), ++at, ++count_.rows;
      else if (!line.lead.empty())
        at = shaping(lines, at, to);
      else
        sentence(line.text), ++at, ++count_.sentences;
    } catch (const Misread& why) {
      throw Misread(fmt::format("{}\n    of: {}", why.what(), whole));
    }
    place(whole);
  }
}

// --- rows

std::size_t PieceReader::group_of_rows(const std::vector<render::Paragraph>& lines, std::size_t at,
                                       std::size_t to) {
  ReadFabric group;
  for (; at < to; ++at) {
    auto line = read_lead(lines[at].lead);
    if (!line) break;
    const bool begins_anew =
        line->next || (line->first == 1 && !(group.cycle() == 1 && !line->with.empty() && line->last == 1));
    if (!group.rows.empty() && begins_anew) break;
    if (line->every || line->others) misread("how many rows are these?", lines[at].text);
    read_row(lines[at].text, *line, table_);
    group.add(*line);
    ++count_.rows;
    if (line->next) {
      ++at;
      break;
    }
  }
  rows_ = group.rows;
  work_group();
  return at;
}

/// The rows last read.
void PieceReader::work_group() {
  const long long before = hands_.all(), rows = hands_.rows;
  for (const RowLine& line : rows_) {
    written_row(line);
  }
  if (standing_) standing_->row += hands_.rows - rows;
  if (hands_.all() != before) standing_.reset();
}

// --- repeats

std::size_t PieceReader::repeat(const std::vector<render::Paragraph>& lines, std::size_t at, std::size_t to) {
  Cursor in(lines[at].text);
  in.expect("Work the following ");
  std::optional<long long> goal;
  if (in.accept("until there are ")) {
    goal = in.sts();
    in.expect(" (");
  }
  const bool by_yarn = until_yarn(in);
  if (by_yarn) in.expect(" (");
  const long long times = in.times();
  if (goal || by_yarn) in.expect(")");
  in.expect(":");
  if (!in.done()) in.stuck("more than a repeat's beginning");
  std::size_t end = at + 1;
  for (int depth = 1; end < to; ++end) {
    if (lines[end].text.starts_with("Work the following ")) ++depth;
    if (lines[end].text.starts_with("End of what is worked ") && --depth == 0) break;
  }
  if (end == to) misread("nothing says where the repeat ends", lines[at].text);
  for (long long i = 0; i < times; ++i) run(lines, at + 1, end);
  Cursor last(lines[end].text);
  last.expect("End of what is worked ");
  if (last.times() != times) last.stuck("another number of times than at the beginning");
  check_count(last);
  if (goal && *goal != hands_.all()) in.stuck("another number of stitches");
  count_.sentences += 2;
  return end + 1;
}

/// "until half of A is used", "until the yarn runs out": the number beside it says how often that is.
bool PieceReader::until_yarn(Cursor& in) {
  const bool half = in.accept("until half of ");
  if (!half && (in.sees("until there") || !in.accept("until "))) return false;
  if (!in.accept("the yarn")) in.until(" ");
  in.expect(half ? " is used" : " runs out");
  return true;
}

/// "." or ": 50 sts."
void PieceReader::check_count(Cursor& in) {
  if (in.accept(": ")) {
    const long long said = in.sts();
    if (said != hands_.all()) in.stuck(fmt::format("{} loops are on the needle", hands_.all()));
  }
  in.expect(".");
  if (!in.done()) in.stuck("more than this is not understood");
}

// --- sentences

void PieceReader::sentence(const std::string& text) {
  Cursor in(text);
  // Read at the beginning.
  if (text == cut_repeats || text == new_stitches || text == new_stitches_at_markers) return;
  if (in.accept("With ")) {
    hand_ = in.until(",:");
    if (in.accept(":")) return;
    in.expect(", ");
  }
  const bool in_step = text.find(" at the beginning of the next ") != std::string::npos;
  if (in.accept_any_case("cast on ")) return in_step ? in_steps(in, true) : cast_on(in);
  if (text.find(" with a cord of ") != std::string::npos) return cord_bind_off(in);
  if (in.accept("In the next ")) return markers(in);
  if (in.accept("Bind off ") || in.sees("No sts are left")) return bind_off(in);
  if (in.accept_any_case("slip ")) {
    if (in.sees("the ") && text.find(" onto the needle") != std::string::npos) return slip_beside(in);
    return hold(in);
  }
  if (in.accept_any_case("return ")) {
    const std::size_t of = text.find(" of ");
    if (of != std::string::npos && of < text.find(" to the needle")) return return_from(in);
    in.expect("the ");
    return resume(in);
  }
  if (in.accept_any_case("at the end of the next ")) return pick_up_beside(in);
  if (in.accept("Place a marker at the ")) return call_edge(in);
  if (in.accept_any_case("graft ")) return unite(in, true);
  if (in.accept_any_case("sew ")) return seam(in);
  if (in.accept("Join in the round; place a marker for the beginning of the rnd.")) {
    hands_.form(Form::round);
    return standing_.reset();
  }
  if (text.find(" with a three-needle bind-off") != std::string::npos) {
    in.accept_any_case("join ");
    return unite(in, false);
  }
  if (in.accept_any_case("cut the yarn, slide the sts to the other end of the needle, so that the RS faces "
                         "again, and join the yarn there.")) {
    if (hands_.form() == Form::round || hands_.side() == Side::right || !in.done())
      in.stuck("the RS faces already");
    return hands_.take(hands_.loops(), Form::flat, Side::right);
  }
  if (in.accept("Join ") || in.accept("Cut ")) return join(in);
  if (in.accept("Work back and forth in rows from here, beginning with a RS row.")) {
    hands_.take(hands_.loops(), Form::flat, Side::right);
    outer_edges();
    return standing_.reset();
  }
  if (in.accept_any_case("work a cord of ")) return cord(in);
  if (in.accept_any_case("work even in pattern ")) return even(in);
  if (in.accept_any_case("work even ")) return even(in);
  if (in.accept_any_case("work in ")) return layout(in);
  if (text.find(" of ") != std::string::npos && in.accept_any_case("work ")) return times_of_fabric(in);
  if (in.accept_any_case("set up the fabrics on ")) return side_by_side(in);
  if (in.accept("Rep this ") || in.accept("Rep these ")) return rows_again(in);
  if (in.accept("Or go by the scales: begin the piece with ")) return scales(in);
  if (in.accept("So it is worked ")) {
    in.times();
    in.expect(" in all, ");
    if (!until_yarn(in)) in.stuck("until what?");
    return check_count(in);
  }
  if (in.accept("No increase is worked") || in.accept("No decrease is worked")) return check_count(in);
  in.stuck("a sentence that is not understood");
}

/// "Rep these 2 rows 5 more times: 40 sts."
void PieceReader::rows_again(Cursor& in) {
  long long count = 1;
  if (auto number = in.maybe_number()) count = *number, in.expect(" ");
  if (!in.accept(count == 1 ? "row " : "rows ")) in.expect(count == 1 ? "rnd " : "rnds ");
  const long long more = in.number();
  in.expect(more == 1 ? " more time" : " more times");
  if (rows_.empty() || rows_.back().last != count) in.stuck("these are not the rows that were worked");
  if (in.accept(", ") && !until_yarn(in)) in.stuck("until what?");
  for (long long i = 0; i < more; ++i) work_group();
  check_count(in);
}

/// In grams or in ounces, which may have decimals.
static double weight(Cursor& in) {
  const double out = std::strtod(in.until(" ").c_str(), nullptr);
  if (!in.accept(" g")) in.expect(" oz");
  return out;
}

/// She has no scales and goes by the number of times; what is left is less than what was there.
void PieceReader::scales(Cursor& in) {
  const double there = weight(in);
  in.expect(" of ");
  in.up_to(", weigh it before each time, and go on to what follows when ");
  const double left = weight(in);
  in.expect(" or less remains. The number of times is what the ");
  if (!in.accept("upper estimate of the yarn allows."))
    in.expect("middle estimate of the yarn allows with "), in.number(), in.expect(" % in reserve.");
  if (!in.done()) in.stuck("more than this is not understood");
  if (left >= there) in.stuck("as much is left as there was");
}

void PieceReader::cast_on(Cursor& in) {
  std::vector<Loop> loops;
  const long long count = in.number();
  if (in.accept(count == 1 ? " pair (" : " pairs (")) {
    const long long both = in.sts();
    if (both != 2 * count) in.stuck("a pair is two stitches");
    in.expect(") for double knitting: one st");
    std::string far;
    if (in.accept(" with ")) hand_ = in.until(" ");
    in.expect(" for the near layer, one");
    if (in.accept(" with ")) far = in.until(" ");
    in.expect(" for the far layer, and so on.");
    for (long long i = 0; i < count; ++i) {
      loops.push_back({LoopType::front, Face::knit, hands_.strand(hand_), -1});
      loops.push_back({LoopType::back, Face::purl, hands_.strand(far), -1});
    }
  } else {
    in.expect(count == 1 ? " st." : " sts.");
    loops.assign(static_cast<std::size_t>(count), {LoopType::plain, Face::knit, hands_.strand(hand_), -1});
  }
  Form form = Form::flat;
  if (in.accept(" Join in the round, taking care not to twist; place a marker for the beginning of the rnd."))
    form = Form::round;
  if (!in.done()) in.stuck("more than this is not understood");
  if ((form == Form::round) != round_) in.stuck("the heading says otherwise");
  if (on_needle_) in.stuck("there are stitches on the needle");
  note({EdgeRun::Of::cast_on, EdgeRun::Where::bottom, true, "", static_cast<long long>(loops.size())});
  outer_edges();
  hands_.take(std::move(loops), form, Side::right);
  on_needle_ = true;
  picked_up_ = false;
  standing_.reset();
}

void PieceReader::bind_off(Cursor& in) {
  const bool none = in.accept("No sts are left to bind off");
  if (none || in.accept("all ")) {
    if ((none ? 0 : in.sts()) != hands_.all())
      in.stuck(fmt::format("{} loops are on the needle", hands_.all()));
    in.accept(", knitting the 2 sts of each pair together");
    note({EdgeRun::Of::bound_off, EdgeRun::Where::top, true, name_of_edge(in), hands_.all()});
    in.expect(".");
    hands_.take({}, hands_.form(), hands_.side());
    on_needle_ = false;
    return standing_.reset();
  }
  const std::size_t here = in.at();
  const long long count = in.sts();
  in.expect(" at the beginning of the next ");
  if ((in.accept("row") || in.accept("rnd")) && (in.sees(": ") || in.sees(".") || in.sees(";"))) {
    const StitchId bind_off = *table_.find("bo");
    std::vector<Loop> loops = hands_.loops();
    if (count > hands_.all()) in.stuck("more than there are");
    loops.erase(loops.begin(), loops.begin() + static_cast<std::ptrdiff_t>(count));
    hands_.tally[{bind_off, hands_.strand(hand_)}] += count;
    hands_.take(std::move(loops), hands_.form(), hands_.side());
    lose(count, false);
    if (in.accept(": ") && in.sts() != hands_.all())
      in.stuck(fmt::format("{} loops are on the needle", hands_.all()));
    const std::string name = name_of_edge(in);
    if (!name.empty() || hands_.form() == Form::round)
      note({EdgeRun::Of::bound_off, EdgeRun::Where::top, true, name, count});
    else
      lengthen(hands_.side() == Side::right, EdgeRun::Of::bound_off, count);
    in.expect(".");
    return;
  }
  in.back_to(here);
  in_steps(in, false);
}

/// "; what is bound off here is the neck"
std::string PieceReader::name_of_edge(Cursor& in) {
  return in.accept("; what is bound off here is the ") ? in.until(".") : "";
}

void PieceReader::hold(Cursor& in) {
  const bool last = in.accept("the last ");
  const bool all = !last && in.accept("all ");
  if (!last && !all) in.expect("the next ");
  const long long count = in.sts();
  if (last) in.expect(" of the needle");
  in.expect(" onto a holder (");
  const std::string name = in.up_to(")");
  if (count > hands_.all() || (all && count != hands_.all())) in.stuck("another number than there is");
  std::vector<Loop> loops = hands_.loops();
  const auto cut = last ? loops.end() - static_cast<std::ptrdiff_t>(count)
                        : loops.begin() + static_cast<std::ptrdiff_t>(count);
  Waiting waiting{{loops.begin(), cut}, hands_.side(), hands_.form()};
  Held held{hands_.rows, standing_, right_edge_, left_edge_, {}};
  std::vector<Loop> rest(cut, loops.end());
  if (last) std::swap(waiting.loops, rest);
  const bool at_right = (hands_.side() == Side::right || hands_.form() == Form::round) != last;
  if (!rest.empty()) {
    (at_right ? held.left : held.right) = EdgeNow();
    (at_right ? right_edge_ : left_edge_) = EdgeNow();
    (at_right ? held.left : held.right).name = between_;
    (at_right ? right_edge_ : left_edge_).name = between_;
    between_.clear();
  }
  const long long others = static_cast<long long>(loops.size()) - count;
  if (standing_) at_right ? held.standing->erase(count, count + others) : held.standing->erase(0, others);
  for (const auto& [own, from_right] : markers_)
    held.markers.push_back({own, from_right - (at_right ? 0 : others)});
  lose(count, last);
  if (!left_.waiting.emplace(name, std::move(waiting)).second) in.stuck("a holder of this name is in use");
  held_[name] = std::move(held);
  on_needle_ = !rest.empty();
  hands_.take(std::move(rest), hands_.form(), hands_.side());
  if (on_needle_ && in.accept(": ")) {
    const long long there = in.number();
    in.expect(there == 1 ? " st" : " sts");
    if (!in.accept(" remain")) in.expect(" remains");
    if (there != hands_.all()) in.stuck(fmt::format("{} loops are on the needle", hands_.all()));
  }
  if (!on_needle_) standing_.reset();
  in.expect(".");
}

void PieceReader::resume(Cursor& in) {
  const long long count = in.sts();
  in.expect(" held as ");
  const std::string name = in.up_to(" to the needle");
  const auto found = held_.find(name);
  if (found == held_.end()) in.stuck("nothing is held by this name");
  if (on_needle_) in.stuck("there are stitches on the needle");
  const Held held = std::move(found->second);
  const Waiting waiting = std::move(left_.waiting.at(name));
  held_.erase(found);
  left_.waiting.erase(name);
  if (count != static_cast<long long>(waiting.loops.size())) in.stuck("another number was held");
  std::optional<Side> side;
  if (in.accept(", with the RS facing")) side = Side::right;
  if (in.accept(", with the WS facing")) side = Side::wrong;
  if (waiting.form == Form::flat && side != waiting.side)
    in.stuck("another side faced when they were set aside");
  if (in.accept(", and join ")) take_in_hand(in);
  in.expect(".");
  hands_.take(waiting.loops, waiting.form, waiting.side);
  hands_.rows = held.rows;
  standing_ = held.standing;
  markers_ = held.markers;
  right_edge_ = held.right;
  left_edge_ = held.left;
  on_needle_ = true;
}

/// "the yarn", or a strand.
void PieceReader::take_in_hand(Cursor& in) {
  if (!in.accept("the yarn")) hand_ = in.until(" .,");
}

void PieceReader::join(Cursor& in) {
  take_in_hand(in);
  in.accept(" and join it anew");
  in.expect(" at the beginning of the next ");
  if (!in.accept("row.")) in.expect("rnd.");
}

void PieceReader::cord(Cursor& in) {
  if (in.sts() != hands_.all()) in.stuck(fmt::format("{} loops are on the needle", hands_.all()));
  in.expect(": *knit all sts; do not turn, slide the sts back to the right");
  in.expect(" end of the needle and draw the yarn firmly across the back; rep from * ");
  const long long rows = extent(in);
  in.expect(".");
  Phrase knit;
  knit.stitch = "k";
  RowLine line;
  line.phrases.emplace_back();
  line.phrases.back().kind = Phrase::Kind::repeat;
  line.phrases.back().inner = {knit};
  for (long long i = 0; i < rows; ++i)
    hands_.work(spread(line, hands_.ahead(), table_).all(), Turn::none, true, {}, hand_), ++hands_.rows;
}

/// "for 16 rows, about 6 cm (2.25 in), ending with a WS row": the rows decide.
long long PieceReader::extent(Cursor& in) {
  in.expect("for ");
  const long long rows = in.number();
  const bool round = in.accept(rows == 1 ? " rnd" : " rnds");
  if (!round) in.expect(rows == 1 ? " row" : " rows");
  if (in.accept(", about ")) {
    in.until(" ");
    if (in.accept(" cm (")) {
      in.until(" ");
      in.expect(" in)");
    } else {
      in.expect(" in (");
      in.until(" ");
      in.expect(" cm)");
    }
  }
  if (in.accept(", ending with a ")) {
    const Side last = rows % 2 == 1 ? hands_.side() : other(hands_.side());
    in.expect(last == Side::right ? "RS row" : "WS row");
  }
  return rows;
}

const ReadFabric& PieceReader::fabric(const std::string& name, Cursor& in) const {
  const bool round = hands_.form() == Form::round;
  for (auto each = fabrics_.rbegin(); each != fabrics_.rend(); ++each) {
    std::string own = each->name;
    if (!name.empty() && own.size() == name.size()) own[0] = name[0] == own[0] ? own[0] : own[0] + 32;
    if (own == name && each->round == round) return *each;
  }
  in.stuck(fmt::format("no fabric {} is printed that is worked {}", name, round ? "in the round" : "flat"));
}

ReadPiece work_piece(const std::string& heading, const std::vector<render::Paragraph>& lines,
                     const std::vector<ReadFabric>& fabrics, Stitches& table, Shelf& shelf, Count& count) {
  return PieceReader(heading, fabrics, table, shelf, count).read(lines);
}

}  // namespace wale::read_back
