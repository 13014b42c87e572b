// Markers and what is done at them, buttonholes, cords along an edge, and the row that parts the work.
#include <fmt/format.h>

#include <algorithm>

#include "tests/unit/read_back_piece.hpp"

namespace wale::read_back {

namespace {

/// Without the stitch between the marker and the shaping.
RowLine bare(RowLine line, bool edge_first) {
  if (line.phrases.size() > 1) line.phrases.erase(edge_first ? line.phrases.begin() : line.phrases.end() - 1);
  return line;
}

std::string lower_first(std::string words) {
  if (!words.empty() && words[0] >= 'A' && words[0] <= 'Z') words[0] = static_cast<char>(words[0] + 32);
  return words;
}

std::vector<Item> items_of(const RowLine& line, Stitches& table) {
  long long takes = 0;
  for (const Phrase& each : line.phrases)
    takes += each.count * static_cast<long long>(table[*table.find(each.stitch)].takes.size());
  return line.phrases.empty() ? std::vector<Item>() : spread(line, takes, table).all();
}

}  // namespace

/// "rnd, place 3 markers (raglan): after 20 sts, after another 12 sts and after another 20 sts; slip them
/// ..."
void PieceReader::markers(Cursor& in) {
  if (!in.accept("rnd, place ")) in.expect("row, place ");
  long long wanted = 1;
  if (!in.accept("a marker (")) {
    wanted = in.number();
    in.expect(" markers (");
  }
  const std::string name = in.up_to(")");
  in.accept(":");
  std::erase_if(markers_, [&](const auto& each) { return each.first == name; });
  long long at = 0, placed = 0;
  do {
    in.accept(",");
    in.accept(" and");
    in.expect(" after ");
    if (in.accept("another ") != (placed > 0)) in.stuck("from where is this counted?");
    at += in.sts();
    const bool from_left = hands_.form() == Form::flat && hands_.side() == Side::wrong;
    markers_.push_back({name, from_left ? hands_.all() - at : at});
    ++placed;
  } while (in.sees(", after") || in.sees(" and"));
  if (placed != wanted) in.stuck("another number of markers");
  const bool at_start = in.accept(", which is the beginning of the rnd");
  if (at_start ? at != hands_.all() || hands_.form() == Form::flat : at >= hands_.all())
    in.stuck("a marker behind the last stitch");
  in.expect(placed == 1 ? "; slip it in every " : "; slip them in every ");
  if (!in.accept("rnd.")) in.expect("row.");
}

/// "*Work in pattern to 3 sts before the next raglan marker, k2tog, k1, slip the marker, k1, ssk; rep from *
/// at every raglan marker, work in pattern to end (dec 8 sts)."
PieceReader::ShapingRow PieceReader::marker_row(const std::string&, const std::string& text) {
  ShapingRow out;
  Cursor in(text);
  // What is done behind a marker at the beginning of the round.
  std::string begins;
  if (!in.sees("*") && !in.sees("Work in pattern")) {
    const std::size_t star = text.find('*');
    begins = in.up_to(star == std::string::npos ? ", work" : ", *");
    in.back_to(in.at() - (star == std::string::npos ? 4 : 1));
  }
  const bool several = in.accept("*");
  if (!in.accept("Work in pattern to ")) in.expect("work in pattern to ");
  long long uses = 0;
  if (!in.sees("the ")) uses = in.sts(), in.expect(" before ");
  in.expect(several ? "the next " : "the ");
  out.marker = in.up_to(" marker, ");
  const std::string slips = "slip the marker";
  const std::string before = in.up_to(slips);
  if (!before.empty()) {
    read_row(before.substr(0, before.size() - 2) + ".", out.first, table_);
    if (taken(items_of(out.first, table_)) != uses) in.stuck("another number of stitches");
  } else if (uses > 0) {
    in.stuck("what is done with these stitches?");
  }
  const std::string after = in.up_to(several ? fmt::format("; rep from * at every {} marker", out.marker)
                                             : std::string(", work in pattern to "));
  if (!after.empty()) read_row(after.substr(2) + ".", out.last, table_);
  const bool inside = several && in.accept(" inside the rnd");
  if (several) in.expect(", work in pattern to ");
  std::string ends;
  if (!in.accept("end")) {
    in.expect("last ");
    long long last = 1;
    if (!in.accept("st, ")) last = in.sts(), in.expect(", ");
    ends = in.until("(");
    if (last != uses) in.stuck("another number of stitches than before the markers");
    in.back_to(in.at() - 1);
    if (before != ends.substr(0, ends.size() - 1) + ", ") in.stuck("something else than before the markers");
  }
  if (!begins.empty() && lower_first(begins) != after.substr(std::min<std::size_t>(2, after.size())))
    in.stuck("something else than behind the markers");
  out.at_start = !begins.empty() || !ends.empty();
  if (several && out.at_start != inside) in.stuck("which markers are these?");
  const bool gains = in.accept(" (inc ");
  if (!gains) in.expect(" (dec ");
  out.change = in.sts() * (gains ? 1 : -1);
  in.expect(").");
  if (!in.done()) in.stuck("more than this is not understood");
  return out;
}

void PieceReader::put(const std::string& stitch, long long count, std::vector<Item>& items) {
  Item item;
  item.op.stitch = *table_.find(stitch);
  item.takes = static_cast<long long>(table_[item.op.stitch].takes.size());
  item.gives = static_cast<long long>(table_[item.op.stitch].gives.size());
  items.insert(items.end(), static_cast<std::size_t>(count), item);
}

void PieceReader::work_marker_row(const ShapingRow& row) {
  if (!standing_) throw Misread("no fabric is being worked");
  const bool wrong = hands_.form() == Form::flat && hands_.side() == Side::wrong;
  const long long width = standing_->width(), before_row = hands_.all();
  std::vector<long long> at;  // in the order in which they are met
  bool at_start = false;
  for (const auto& [name, from_right] : markers_) {
    if (name != row.marker) continue;
    if (from_right == width)
      at_start = true;
    else
      at.push_back(wrong ? width - from_right : from_right);
  }
  std::sort(at.begin(), at.end());
  if (at.empty()) throw Misread("no marker of this name is on the needle");
  if (at_start != row.at_start) throw Misread("whether a marker hangs at the beginning of the round");
  // Between the right edge of what is worked and the left one: pieces that end at the markers.
  std::vector<Item> items;
  std::vector<std::string> with;
  const auto pattern = [&](long long from, long long to) {
    if (from > to) throw Misread("no room between the markers");
    const std::vector<Item> own =
        wrong ? standing_row(width - to, width - from, with) : standing_row(from, to, with);
    items.insert(items.end(), own.begin(), own.end());
  };
  const long long first = taken(items_of(row.first, table_)), last = taken(items_of(row.last, table_));
  long long from = 0;
  for (std::size_t i = 0; i <= at.size(); ++i) {
    const long long to = i < at.size() ? at[i] : width;
    const bool begins = (i > 0 || at_start) && !row.last.phrases.empty(),
               ends = (i < at.size() || at_start) && !row.first.phrases.empty();
    const bool no_room = to - from < (begins ? std::max(last, 1LL) : 0) + (ends ? std::max(first, 1LL) : 0);
    if (no_room && !bare_at_markers_)
      throw Misread("no room for the edge stitches, and nothing is said of it");
    std::vector<Item> head, tail;
    if (begins) head = items_of(no_room ? bare(row.last, true) : row.last, table_);
    if (ends) tail = items_of(no_room ? bare(row.first, false) : row.first, table_);
    items.insert(items.end(), head.begin(), head.end());
    pattern(from + taken(head), to - taken(tail));
    items.insert(items.end(), tail.begin(), tail.end());
    from = to;
  }
  work_row(items, Turn::none, false, with);
  if (hands_.all() - before_row != row.change) throw Misread("another number of stitches is lost or gained");
  // What was lost or gained is beside the marker; from the left, so that the others stay where they are.
  const auto change = [&](const RowLine& line) {
    const std::vector<Item> own = items_of(line, table_);
    return given(own) - taken(own);
  };
  const long long to_right = change(wrong ? row.last : row.first),
                  to_left = change(wrong ? row.first : row.last);
  std::vector<long long> from_right;
  if (at_start) from_right = {0, width};
  for (const long long each : at) from_right.push_back(wrong ? width - each : each);
  std::sort(from_right.rbegin(), from_right.rend());
  for (const long long place : from_right) {
    const long long right = place == 0 ? 0 : to_right, left = place == width ? 0 : to_left;
    if (right > 0 || left > 0)
      standing_->insert(place, std::max(right, 0LL), std::max(left, 0LL));
    else
      standing_->erase(place + right, place - left);
  }
  for (auto& [name, mark] : markers_) {
    long long moved = 0;
    for (const long long place : from_right)
      moved += (place <= mark && place > 0 ? to_right : 0) + (place < mark ? to_left : 0);
    mark += moved;
  }
  ++standing_->row;
}

// --- buttonholes

/// The next `count` stitches of the row, in pattern. `items` tell how far the row has come.
void PieceReader::put_in_pattern(long long count, std::vector<Item>& items, std::vector<std::string>& with) {
  const bool wrong = hands_.form() == Form::flat && hands_.side() == Side::wrong;
  const long long from = taken(items), width = standing_->width();
  if (from + count > width) throw Misread("there are fewer stitches");
  const std::vector<Item> own =
      wrong ? standing_row(width - from - count, width - from, with) : standing_row(from, from + count, with);
  items.insert(items.end(), own.begin(), own.end());
}

/// "Buttonhole row (RS):" "Work 3 sts in pattern, bind off 2 sts, work in pattern to end; on the next row
/// cast on 2 sts over the gap." and how often.
std::size_t PieceReader::buttonholes(const std::vector<render::Paragraph>& lines, std::size_t at) {
  if (!standing_) throw Misread("no fabric is being worked");
  const bool right_side = lines[at].lead.find("(RS)") != std::string::npos;
  // Stitches in pattern before each hole; -1: to the end.
  std::vector<long long> before;
  Cursor in(lines[at].text);
  long long width = 0;  // bound off; 0: an eyelet
  bool to_the_end = false;
  const auto hole = [&] {
    long long work = 0;
    if (in.accept_any_case("work ")) work = in.sts(), in.expect(" in pattern, ");
    if (in.accept_any_case("bind off "))
      width = in.sts();
    else if (!in.accept("yo, k2tog"))
      in.expect("Yo, k2tog");
    return work;
  };
  do {
    if (in.accept("work in pattern to end")) {
      to_the_end = true;
      break;
    }
    const bool bracket = in.accept("(");
    const long long work = hole();
    long long times = 1;
    if (bracket) in.expect(") "), times = in.times();
    before.insert(before.end(), static_cast<std::size_t>(times), work);
  } while (in.accept(", "));
  if (width > 0) {
    in.expect("; on the next ");
    if (!in.accept("rnd ")) in.expect("row ");
    in.expect("cast on ");
    if (in.sts() != width) in.stuck("another number than was bound off");
    in.expect(before.size() > 1 ? " over each gap" : " over the gap");
  }
  in.expect(".");
  if (!in.done()) in.stuck("more than this is not understood");
  ++count_.rows;
  const auto make = [&] {
    if (right_side && hands_.side() != Side::right) throw Misread("the wrong side faces");
    std::vector<Item> items;
    std::vector<std::string> with;
    std::vector<long long> holes;
    for (const long long work : before) {
      put_in_pattern(work, items, with);
      holes.push_back(taken(items));
      if (width > 0)
        put("bo", width, items);
      else
        put("yo", 1, items), put("k2tog", 1, items);
    }
    const long long all = standing_->width();
    if (to_the_end) put_in_pattern(all - taken(items), items, with);
    work_row(items, Turn::none, false, with);
    ++standing_->row;
    if (width == 0) return;
    const bool wrong = hands_.form() == Form::flat && hands_.side() == Side::wrong;
    items.clear();
    long long done = 0;  // columns, in the order of this row
    for (std::size_t k = 0; k <= holes.size(); ++k) {
      const std::size_t i = wrong ? holes.size() - 1 - k : k;
      const long long to = k == holes.size() ? all : wrong ? all - holes[i] - width : holes[i];
      const std::vector<Item> own =
          wrong ? standing_row(all - to, all - done, with) : standing_row(done, to, with);
      items.insert(items.end(), own.begin(), own.end());
      if (k < holes.size()) put("co", width, items);
      done = to + width;
    }
    work_row(items, Turn::none, false, with);
    ++standing_->row;
  };
  Cursor often(lines[at + 1].text);
  if (!often.accept("Work the ")) {
    often.expect("Work ");
    const long long lead = often.number();
    often.expect(" ");
    often.until(" ");
    often.expect(" even, then work the ");
    work_even(lead);
  }
  often.expect("buttonhole ");
  if (!often.accept("row")) often.expect("rnd");
  if (width > 0 && !often.accept(" and the row after it")) often.expect(" and the rnd after it");
  const auto rates = following(often, width > 0 ? "rep them" : "rep it");
  const long long even = even_after(often);
  const long long own = width > 0 ? 2 : 1;
  make();
  long long made = static_cast<long long>(before.size());
  for (const auto& [every, times] : rates)
    for (long long i = 0; i < times; ++i) {
      if (every < own) often.stuck("the buttonholes overlap");
      if (every > own) work_even(every - own);
      make();
      made += static_cast<long long>(before.size());
    }
  if (even > 0) work_even(even);
  often.expect(": ");
  if (often.number() != made) often.stuck(fmt::format("{} are made", made));
  often.expect(made == 1 ? " buttonhole." : " buttonholes.");
  ++count_.sentences;
  return at + 2;
}

// --- cords and parts

/// "Bind off all 55 sts with a cord of 3 sts: cast on 3 sts ...": a row of the cord for each stitch.
void PieceReader::cord_bind_off(Cursor& in) {
  if (!in.accept_any_case("bind off all ")) in.stuck("all are to be bound off");
  const long long edge = in.sts();
  if (edge != hands_.all()) in.stuck(fmt::format("{} loops are on the needle", hands_.all()));
  in.expect(" with a cord of ");
  const long long width = in.sts();
  in.expect(": cast on ");
  if (in.sts() != width) in.stuck("another width of the cord");
  in.expect(" at the tip of the left needle; *k");
  const long long alone = in.number();
  if (alone + 1 != width) in.stuck("all but one are knitted alone");
  in.expect(", ssk (the last st of the cord together with the next st of the edge), slip the ");
  if (in.sts() != width) in.stuck("another width of the cord");
  in.expect(" back to the left needle and draw the yarn firmly across the back; rep from * until only the ");
  if (in.sts() != width) in.stuck("another width of the cord");
  in.expect(" of the cord remain, and bind them off");
  const std::string name = name_of_edge(in);
  in.expect(".");
  const bool round = in.accept(" Sew the two ends of the cord together.");
  if (round != (hands_.form() == Form::round)) in.stuck("a ring has no ends, and flat work has two");
  const short strand = hands_.strand(hand_);
  hands_.tally[{*table_.find("co"), strand}] += width;
  hands_.tally[{*table_.find("k"), strand}] += alone * edge;
  hands_.tally[{*table_.find("ssk"), strand}] += edge;
  hands_.tally[{*table_.find("bo"), strand}] += width;
  note({EdgeRun::Of::bound_off, EdgeRun::Where::top, true, name, edge});
  hands_.take({}, hands_.form(), Side::right);
  on_needle_ = false;
  standing_.reset();
}

/// "Dividing row (RS):" "Work 20 sts in pattern, bind off 16 sts, work in pattern to end: 20 and 20 sts."
void PieceReader::divide(const std::string& lead, const std::string& text) {
  if (!standing_) throw Misread("no fabric is being worked");
  Cursor in(text);
  if (in.accept("With ")) hand_ = in.until(","), in.expect(", ");
  if ((lead.find("(WS)") != std::string::npos) != (hands_.side() == Side::wrong))
    in.stuck("the other side faces");
  if (!in.accept_any_case("work ")) in.stuck("what is worked first?");
  const long long first = in.sts();
  in.expect(" in pattern, ");
  long long bound = 0;
  if (in.accept("bind off ")) bound = in.sts(), in.expect(", ");
  in.expect("work in pattern to end: ");
  const long long width = standing_->width();
  if (in.number() != first) in.stuck("another number than was worked");
  in.expect(" and ");
  if (in.sts() != width - first - bound) in.stuck("another number than is left");
  between_ = in.accept("; the edge between them is the ") ? in.until(".") : "";
  in.expect(".");
  std::vector<Item> items;
  std::vector<std::string> with;
  put_in_pattern(first, items, with);
  put("bo", bound, items);
  put_in_pattern(width - first - bound, items, with);
  const bool wrong = hands_.side() == Side::wrong;
  work_row(items, Turn::none, false, with);
  const long long from = wrong ? width - first - bound : first;
  standing_->erase(from, from + bound);
  ++standing_->row;
  std::erase_if(markers_,
                [&](const auto& each) { return from <= each.second && each.second <= from + bound; });
  for (auto& each : markers_)
    if (each.second > from) each.second -= bound;
  if (bound > 0) note({EdgeRun::Of::bound_off, EdgeRun::Where::top, true, between_, bound});
}

}  // namespace wale::read_back
