// Edges and stitches that wait: what a knitter sees who holds the finished piece and counts its rows.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tests/unit/read_back_piece.hpp"

namespace wale::read_back {

using Of = EdgeRun::Of;
using Where = EdgeRun::Where;

// --- while the piece grows

/// A row over the needle lengthens the edges at which it begins and ends.
void PieceReader::work_row(const std::vector<Item>& items, Turn turn, bool slides,
                           const std::vector<std::string>& with) {
  const bool begins = hands_.at_an_edge(), right = hands_.side() == Side::right;
  const bool flat = hands_.form() == Form::flat;
  hands_.work(items, turn, slides, with, hand_);
  if (!flat || slides) return;
  if (begins) lengthen(right, Of::rows, 1);
  if (hands_.at_an_edge()) lengthen(!right, Of::rows, 1);
}

/// Both sides are those of the piece.
void PieceReader::outer_edges() {
  EdgeNow outer;
  outer.outer = true;
  right_edge_ = outer;
  left_edge_ = outer;
}

/// A row that is written out; what is bound off at its beginning or end is a part of the edge.
void PieceReader::written_row(const RowLine& line) {
  const bool begins = hands_.at_an_edge(), right = hands_.side() == Side::right;
  const bool counts = hands_.form() == Form::flat && !line.claims.slides;
  const StitchId bind_off = *table_.find("bo");
  std::ptrdiff_t first = 0, last = 0;
  const std::vector<Item> items = spread(line, hands_.ahead(), table_).all();
  const auto binds = [&](const Item& item) {
    return item.op.form == Op::Form::stitch && item.op.stitch == bind_off;
  };
  for (auto each = items.begin(); each != items.end() && binds(*each); ++each) ++first;
  // Where all are, they are at its beginning.
  const std::ptrdiff_t most = std::ssize(items) - first;
  for (auto each = items.rbegin(); last < most && binds(*each); ++each) ++last;
  work_line(line, hands_, table_, hand_);
  if (!counts) return;
  if (begins) {
    lengthen(right, Of::bound_off, first);
    lengthen(right, Of::rows, 1);
  }
  if (hands_.at_an_edge()) {
    lengthen(!right, Of::rows, 1);
    lengthen(!right, Of::bound_off, last);
  }
}

void PieceReader::lengthen(bool right, Of of, long long count) {
  const EdgeNow& now = right ? right_edge_ : left_edge_;
  if (count == 0 || (!now.outer && now.name.empty())) return;
  note({of, right ? Where::right : Where::left, now.outer, now.name, count});
}

void PieceReader::note(const EdgeRun& run) {
  for (auto each = left_.edges.rbegin(); each != left_.edges.rend(); ++each) {
    if (each->where != run.where) continue;
    if (each->of != run.of || each->name != run.name || each->outer != run.outer) break;
    each->count += run.count;
    return;
  }
  left_.edges.push_back(run);
}

/// "Place a marker at the left edge: from here on this edge is the armhole."
void PieceReader::call_edge(Cursor& in) {
  const bool right = in.accept("right");
  if (!right) in.expect("left");
  in.expect(" edge: from here on this edge is the ");
  const std::string name = in.up_to(".");
  if (!in.done()) in.stuck("more than this is not understood");
  if (hands_.form() == Form::round) in.stuck("work in the round has no such edge");
  (right ? right_edge_ : left_edge_).name = name;
}

// --- what lies there

/// "the sts held as neck of the back", "the 18 sts on the needle", "the left edge of the front"
PieceReader::Found PieceReader::find(Cursor& in) {
  Found out;
  in.expect("the ");
  out.counted = in.maybe_number();
  if (out.counted) in.expect(*out.counted == 1 ? " st " : " sts ");
  const bool waits = out.counted || in.accept("sts ");
  if (waits && in.accept("on the needle")) {
    if (!on_needle_) in.stuck("the needle is empty");
    out.loops = hands_.loops();
    out.side = hands_.side();
    out.on_needle = out.waits = true;
  } else {
    if (waits) in.expect("held as ");
    std::string name = in.until(" ,.:;");
    if (!waits && in.sees(" edge")) in.expect(" edge"), name += " edge";
    const std::size_t here = in.at();
    std::string piece = out_.name, which = "the";
    if (in.accept(" of ")) {
      for (const std::string word : {"the other ", "the next ", "the ", "one ", "each "})
        if (in.accept(word)) {
          which = word.substr(0, word.size() - 1);
          break;
        }
      piece = in.until(" ,.:;");
      if (!shelf_.pieces.contains(piece)) in.back_to(here), piece = out_.name, which = "the";
    }
    Left& left = piece == out_.name ? left_ : shelf_.pieces.at(piece);
    const bool last = next_copy(piece + "/" + name, which, piece == out_.name ? 1 : left.copies, in);
    find_in(left, name, waits, last, out);
    if (out.runs.empty() && !out.waits) in.stuck("there is no such edge, and nothing waits there");
  }
  if (out.counted && *out.counted != static_cast<long long>(out.loops.size()))
    in.stuck(fmt::format("{} stitches wait", out.loops.size()));
  return out;
}

/// The copy that comes next, as it is called; whether it is the last one.
bool PieceReader::next_copy(const std::string& what, const std::string& which, long long copies, Cursor& in) {
  long long& used = shelf_.used[what];
  if (used == copies) in.stuck("this has been used before");
  const std::string own = copies == 1          ? "the"
                          : used == 0          ? "one"
                          : used + 1 == copies ? "the other"
                                               : "the next";
  const bool each = which == "each" && copies > 1 && used == 0;
  if (!each && which != own) in.stuck(fmt::format("{} of {} are used, so this is {}", used, copies, own));
  used = each ? copies : used + 1;
  return used == copies;
}

/// As one picks up along it with the right side facing: down a left edge, across, up a right one.
void PieceReader::find_in(Left& left, const std::string& name, bool waits, bool last, Found& out) {
  if (const auto held = left.waiting.find(name); held != left.waiting.end()) {
    for (Loop loop : held->second.loops) {
      if (loop.strand >= 0 && &left != &left_)
        loop.strand = hands_.strand(left.strands[static_cast<std::size_t>(loop.strand)]);
      out.loops.push_back(loop);
    }
    out.side = held->second.side;
    out.form = held->second.form;
    out.waits = true;
    if (&left == &left_) held_.erase(name);
    if (last) left.waiting.erase(held);
  }
  if (waits) return;
  std::string side;
  if (name == "left edge") side = "left";
  if (name == "right edge") side = "right";
  std::vector<EdgeRun> down, across, up;
  for (const EdgeRun& run : left.edges) {
    const bool here = side == "left"             ? run.outer && run.name.empty() && run.where == Where::left
                      : side == "right"          ? run.outer && run.name.empty() && run.where == Where::right
                      : name == "cast-on edge"   ? run.where == Where::bottom
                      : name == "bound-off edge" ? run.where == Where::top
                                                 : run.name == name;
    if (here) (run.where == Where::left ? down : run.where == Where::right ? up : across).push_back(run);
  }
  std::reverse(down.begin(), down.end());
  std::reverse(across.begin(), across.end());
  out.runs = down;
  out.held_after = down.size();
  for (const auto& part : {across, up}) out.runs.insert(out.runs.end(), part.begin(), part.end());
}

void PieceReader::take_off(const Found& found) {
  if (!found.on_needle) return;
  hands_.take({}, hands_.form(), hands_.side());
  on_needle_ = false;
  standing_.reset();
}

// --- picking up

/// "15 sts down 20 rows (about 3 for every 4 rows), 1 st in each of the 23 bound-off sts"
PieceReader::Clause PieceReader::clause(Cursor& in, long long alone) {
  Clause out;
  if (in.accept_any_case("knit the ")) {
    out.of = Clause::Of::held;
    out.stitches = out.places = in.sts();
    return out;
  }
  const bool each = in.accept_any_case("1 st in each of the ") || in.accept_any_case("1 st in the ");
  if (each) {
    const bool one = in.before("in the ");
    out.places = one ? 1 : in.number();
    if (!one) in.expect(" ");
    out.stitches = out.places;
  } else if (in.sees("down ") || in.sees("up ") || in.sees("along ")) {
    out.stitches = alone;
  } else if (in.accept_any_case("none ")) {
    out.stitches = 0;
  } else {
    out.stitches = in.sts();
    in.expect(" ");
    if (in.accept("over the ")) out.places = in.number(), in.expect(" ");
  }
  if (out.places > 0) {
    out.of = in.accept("bound-off ") ? Clause::Of::bound_off : Clause::Of::cast_on;
    if (out.of == Clause::Of::cast_on) in.expect("cast-on ");
    in.expect(out.places == 1 ? "st" : "sts");
    return out;
  }
  out.way = in.accept("down ") ? Where::left : in.accept("up ") ? Where::right : Where::top;
  if (out.way == Where::top) in.expect("along ");
  out.rows = in.number();
  in.expect(out.rows == 1 ? " row" : " rows");
  if (out.stitches == 0) return out;
  in.expect(" (about ");
  const long long stitches = in.number();
  if (!in.accept(stitches == 1 ? " st" : " sts") && in.sees(" st")) in.stuck("a number that does not agree");
  in.expect(" for ");
  long long rows = 1;
  if (!in.accept("each row")) {
    in.expect("every ");
    rows = in.number();
    in.expect(rows == 1 ? " row" : " rows");
  }
  in.expect(")");
  // A rate of at most four rows is at most an eighth of a stitch a row off, but for the densest.
  const double by_rate = static_cast<double>(stitches * out.rows) / static_cast<double>(rows);
  const double off = std::abs(by_rate - static_cast<double>(out.stitches));
  const bool least = stitches == 1 && by_rate > static_cast<double>(out.stitches);
  if (!least && off > static_cast<double>(out.rows) / 8 + 1e-9)
    in.stuck(fmt::format("{} sts by the rate, and {} are meant", by_rate, out.stitches));
  return out;
}

/// What one edge's clauses say is what the edge has, and they come in its order. A row more or less may lie
/// on either side of stitches bound off: those at a left edge go where a wrong-side row begins.
void PieceReader::check_edge(const std::vector<Clause>& clauses, const Found& found, Cursor& in) {
  struct Part {
    Clause::Of of;
    Where way;
    long long count;
  };
  const auto add = [](std::vector<Part>& to, Part part) {
    const bool same =
        !to.empty() && to.back().of == part.of && (part.of != Clause::Of::rows || to.back().way == part.way);
    if (same)
      to.back().count += part.count;
    else if (part.count > 0)
      to.push_back(part);
  };
  std::vector<Part> said, there;
  bool kinds_only = false;
  for (const Clause& each : clauses) {
    kinds_only |= each.of == Clause::Of::rows && each.way == Where::top;
    add(said, {each.of, each.way, each.of == Clause::Of::rows ? each.rows : each.places});
  }
  for (std::size_t i = 0; i <= found.runs.size(); ++i) {
    if (i == found.held_after && found.waits)
      add(there, {Clause::Of::held, Where::top, static_cast<long long>(found.loops.size())});
    if (i == found.runs.size()) break;
    const EdgeRun& run = found.runs[i];
    add(there, {run.of == Of::rows      ? Clause::Of::rows
                : run.of == Of::cast_on ? Clause::Of::cast_on
                                        : Clause::Of::bound_off,
                run.where, run.count});
  }
  std::string have, want;
  const auto words = [](const std::vector<Part>& parts) {
    std::string out;
    for (const Part& each : parts)
      out += fmt::format(" {}{}{}", each.count, "rcbh"[static_cast<int>(each.of)],
                         each.of != Clause::Of::rows ? ""
                         : each.way == Where::left   ? "v"
                                                     : "^");
    return out;
  };
  const auto differ = [&] {
    in.stuck(fmt::format("the edge has{} and the words{}", words(there), words(said)));
  };
  if (kinds_only) {
    std::map<Clause::Of, long long> all;
    for (const Part& each : said) all[each.of] += each.count;
    for (const Part& each : there) all[each.of] -= each.count;
    for (const auto& [of, count] : all)
      if (count != 0) differ();
    return;
  }
  // The row in which a left edge ends lies above or below what is bound off there.
  for (auto* list : {&said, &there})
    while (!list->empty() && list->back().of == Clause::Of::rows && list->back().count <= 1 &&
           list->size() > 1 && said.size() != there.size())
      list->pop_back();
  if (said.size() != there.size()) differ();
  long long rows = 0;
  for (std::size_t i = 0; i < said.size(); ++i) {
    if (said[i].of != there[i].of) differ();
    const long long off = said[i].count - there[i].count;
    if (said[i].of != Clause::Of::rows ? off != 0 : said[i].way != there[i].way || std::abs(off) > 1)
      differ();
    rows += off;
  }
  if (std::abs(rows) > 1) differ();
}

/// "With the RS facing, pick up and knit 84 sts ..."
std::size_t PieceReader::pick_up(const std::vector<render::Paragraph>& lines, std::size_t at, Cursor& in) {
  if (on_needle_) in.stuck("there are stitches on the needle");
  const long long count = in.sts();
  long long sum = 0;
  const auto finish = [&](Cursor& last) {
    const bool round = last.accept("Join in the round; place a marker for the beginning of the rnd.");
    if (!round) last.expect("The next row is a WS row.");
    if (!last.done()) last.stuck("more than this is not understood");
    if (round != round_) last.stuck("the heading says otherwise");
    if (sum != count) in.stuck(fmt::format("the parts come to {} sts", sum));
    std::vector<Loop> loops(static_cast<std::size_t>(count),
                            {LoopType::plain, Face::knit, hands_.strand(hand_), -1});
    hands_.tally[{*table_.find("k"), hands_.strand(hand_)}] += count;
    hands_.take(std::move(loops), round ? Form::round : Form::flat, round ? Side::right : Side::wrong);
    on_needle_ = picked_up_ = true;
    outer_edges();
    standing_.reset();
  };
  if (in.accept(" in all, in this order:")) {
    for (++at; at < lines.size() && !lines[at].lead.empty(); ++at) {
      std::string lead = "the " + lines[at].lead;
      // A lead begins with a large letter, a name may not.
      lead[4] = static_cast<char>(std::tolower(static_cast<unsigned char>(lead[4])));
      Cursor edge(lead), parts(lines[at].text);
      const Found found = find(edge);
      long long here = 0;
      const long long said = edge.accept(", ") ? edge.sts() : -1;
      edge.expect(":");
      std::vector<Clause> clauses;
      do clauses.push_back(clause(parts, 0)), here += clauses.back().stitches;
      while (parts.accept(", "));
      parts.expect(".");
      if (!parts.done()) parts.stuck("more than this is not understood");
      check_edge(clauses, found, parts);
      if (said >= 0 && said != here) edge.stuck(fmt::format("the parts come to {} sts", here));
      sum += here;
      ++count_.sentences;
    }
    if (at == lines.size()) in.stuck("nothing says what follows");
    Cursor last(lines[at].text);
    finish(last);
    return at + 1;
  }
  along_one(in, count, sum);
  in.expect(". ");
  finish(in);
  return at + 1;
}

/// " along the armhole of the front: 15 sts down 20 rows (...), ..."
void PieceReader::along_one(Cursor& in, long long count, long long& sum) {
  const bool from = in.accept(" from ");
  if (!from) in.expect(" along ");
  std::vector<Found> found{find(in)};
  while (in.accept(" and ") || (in.sees(", the ") && in.accept(", "))) found.push_back(find(in));
  std::vector<Clause> clauses;
  if (from) {
    Clause waits;
    waits.of = Clause::Of::held;
    waits.stitches = waits.places = static_cast<long long>(found[0].loops.size());
    clauses.push_back(waits);
  } else if (in.accept(": ")) {
    do clauses.push_back(clause(in, 0));
    while (in.accept(", "));
  } else {
    in.expect(", ");
    clauses.push_back(clause(in, count));
  }
  for (const Clause& each : clauses) sum += each.stitches;
  if (found.size() > 1) return;  // which clause is of which edge is for the knitter to see
  check_edge(clauses, found[0], in);
}

/// "At the end of the next rnd, pick up and work 12 sts along the left edge, ... . There are then 36 sts."
void PieceReader::pick_up_beside(Cursor& in) {
  if (!in.accept("row, ")) in.expect("rnd, ");
  in.expect("pick up and work ");
  const long long count = in.sts();
  long long sum = 0;
  along_one(in, count, sum);
  if (sum != count) in.stuck(fmt::format("the parts come to {} sts", sum));
  append(std::vector<Loop>(static_cast<std::size_t>(count),
                           {LoopType::plain, Face::knit, hands_.strand(hand_), -1}),
         in);
}

/// ". There are then 36 sts."
void PieceReader::append(std::vector<Loop> more, Cursor& in) {
  std::vector<Loop> loops = hands_.loops();
  loops.insert(loops.end(), more.begin(), more.end());
  const bool at_left = hands_.side() == Side::right || hands_.form() == Form::round;
  hands_.take(std::move(loops), hands_.form(), hands_.side());
  in.expect(". There are then ");
  if (in.sts() != hands_.all()) in.stuck(fmt::format("{} loops are on the needle", hands_.all()));
  in.expect(".");
  if (!in.done()) in.stuck("more than this is not understood");
  (at_left ? left_edge_ : right_edge_) = EdgeNow();
  standing_.reset();
}

// --- taking up and joining

/// "Slip the 24 sts held as instep onto the needle, to be worked at the end of the next rnd. There are ..."
void PieceReader::slip_beside(Cursor& in) {
  const Found found = find(in);
  if (!found.waits) in.stuck("no stitches wait there");
  in.expect(" onto the needle, to be worked at the end of the next ");
  if (!in.accept("row")) in.expect("rnd");
  append(found.loops, in);
}

/// "Return the 32 sts held as front of the body to the needle, with the RS facing, and join the yarn."
void PieceReader::return_from(Cursor& in) {
  const Found found = find(in);
  if (on_needle_) in.stuck("there are stitches on the needle");
  in.expect(" to the needle");
  std::optional<Side> side;
  if (in.accept(", with the RS facing")) side = Side::right;
  if (in.accept(", with the WS facing")) side = Side::wrong;
  if (in.accept(", and join ")) take_in_hand(in);
  in.expect(".");
  const Form form = round_ ? Form::round : Form::flat;
  if (form == Form::flat && side != found.side) in.stuck("another side faced when they were set aside");
  hands_.take(found.loops, form, form == Form::round ? Side::right : found.side);
  outer_edges();
  standing_.reset();
  on_needle_ = true;
}

/// "Join the 18 sts on the needle to the 18 sts held as neck with a three-needle bind-off ..."
void PieceReader::unite(Cursor& in, bool graft) {
  const Found first = find(in);
  in.expect(" to ");
  const Found second = find(in);
  if (!first.counted || !second.counted || *first.counted != *second.counted)
    in.stuck("as many stitches on the one as on the other");
  if (graft) {
    in.expect(", st for st, with a tail of about 3 times their width.");
  } else {
    in.expect(" with a three-needle bind-off");
    told_three_needles_ |= in.accept(
        ": hold the two needles side by side, RS together; with a third needle knit 1 st of "
        "each together, and bind off as you go");
    in.expect(".");
    if (!told_three_needles_) in.stuck("nothing says how that is done");
  }
  if (!in.done()) in.stuck("more than this is not understood");
  take_off(first);
  take_off(second);
}

/// "Sew the left edge of the front to the right edge of the back, row for row."
void PieceReader::seam(Cursor& in) {
  const auto rows = [&in, this] {
    long long out = 0;
    do
      for (const EdgeRun& each : find(in).runs) out += each.of == Of::rows ? each.count : 1'000'000;
    while (in.accept(" and ") || (in.sees(", the ") && in.accept(", ")));
    return out;
  };
  const long long first = rows();
  in.expect(" to ");
  const long long second = rows();
  const auto length = [&] {
    if (in.until(" ").empty()) in.stuck("how long?");
    if (in.accept(" cm (")) {
      in.until(" ");
      in.expect(" in)");
    } else {
      in.expect(" in (");
      in.until(" ");
      in.expect(" cm)");
    }
  };
  if (in.accept(", row for row")) {
    if (first != second) in.stuck(fmt::format("{} rows and {}", first, second));
  } else if (in.accept(", about ")) {
    length();
    in.expect(" each");
  } else if (in.accept(": about ")) {
    length();
    in.expect(" to ");
    length();
    in.expect(", easing in what is longer");
  }
  in.expect(".");
  if (!in.done()) in.stuck("more than this is not understood");
}

}  // namespace wale::read_back
