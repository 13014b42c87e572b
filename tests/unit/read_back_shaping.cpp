// How the fabrics on the needle are narrowed and widened.
#include <fmt/format.h>

#include <algorithm>

#include "tests/unit/read_back_piece.hpp"

namespace wale::read_back {

/// The stitches of a row that is worked without its edge stitches.
namespace {
std::vector<Item> of_line(const RowLine& line, bool without_edge, bool edge_first, Stitches& table) {
  RowLine own = line;
  if (without_edge && own.phrases.size() > 1)
    own.phrases.erase(edge_first ? own.phrases.begin() : own.phrases.end() - 1);
  long long takes = 0;
  for (const Phrase& each : own.phrases)
    takes += each.count * static_cast<long long>(table[*table.find(each.stitch)].takes.size());
  return own.phrases.empty() ? std::vector<Item>() : spread(own, takes, table).all();
}
}  // namespace

PieceReader::ShapingRow PieceReader::shaping_row(const std::string& lead, const std::string& text) {
  ShapingRow out;
  if (lead.find("(RS)") != std::string::npos) out.side = Side::right;
  if (lead.find("(WS)") != std::string::npos) out.side = Side::wrong;
  if (text.find("slip the marker") != std::string::npos) {
    const std::optional<Side> side = out.side;
    out = marker_row(lead, text);
    out.side = side;
    return out;
  }
  const std::string sign = "ork in pattern to ";
  const std::size_t found = text.find(sign);
  if (found == std::string::npos) {
    out.points = true;
    read_row(text, out.first, table_);
    return out;
  }
  if (found > 1) read_row(text.substr(0, found - 3) + ".", out.first, table_);
  Cursor in(std::string_view(text).substr(found + sign.size()));
  long long uses = 0;
  if (in.accept("last ")) {
    uses = 1;
    if (!in.accept("st, ")) uses = in.sts(), in.expect(", ");
  } else {
    in.expect("end");
    if (in.accept(", "))  // stitches that take none
      uses = 0;
    else
      return read_row(fmt::format("Work no stitch{}", in.rest()), out.last, table_), out;
  }
  read_row(in.rest(), out.last, table_);
  if (taken(of_line(out.last, false, false, table_)) != uses) in.stuck("another number of stitches");
  return out;
}

void PieceReader::work_shaping_row(ShapingRow& row, long long time, bool widens, long long without_edge) {
  if (row.points) return work_points_row(row, time, widens);
  if (!row.marker.empty()) return work_marker_row(row);
  if (!standing_) throw Misread("no fabric is being worked");
  const bool wrong = hands_.form() == Form::flat && hands_.side() == Side::wrong;
  const bool bare = hands_.all() < without_edge;
  const std::vector<Item> first = of_line(row.first, bare, true, table_),
                          last = of_line(row.last, bare, false, table_);
  long long low = 0, high = standing_->width();
  (wrong ? high : low) += wrong ? -taken(first) : taken(first);
  (wrong ? low : high) += wrong ? taken(last) : -taken(last);
  std::vector<std::string> with;
  std::vector<Item> items = first;
  if (low < high) {
    const std::vector<Item> middle = standing_row(low, high, with);
    items.insert(items.end(), middle.begin(), middle.end());
  }
  items.insert(items.end(), last.begin(), last.end());
  const long long before = hands_.all();
  work_row(items, Turn::none, false, with);
  const Claims& said = row.last.claims;
  if (said.change && *said.change != hands_.all() - before)
    misread(fmt::format("from {} sts to {}", before, hands_.all()), row.last.words);
  if (said.after && *said.after != hands_.all())
    misread(fmt::format("{} loops are on the needle", hands_.all()), row.last.words);
  const long long at_first = taken(first) - given(first), at_last = taken(last) - given(last);
  move_at_edge(true, wrong ? at_last : at_first);
  move_at_edge(false, wrong ? at_first : at_last);
  ++standing_->row;
}

/// At points: the numbers between them change from time to time.
void PieceReader::work_points_row(ShapingRow& row, long long time, bool widens) {
  if (!row.printed_for) row.printed_for = time;
  const long long change = (time - *row.printed_for) * (widens ? 1 : -1);
  const std::string between = hands_.form() == Form::flat && hands_.side() == Side::wrong ? "p" : "k";
  RowLine now = row.first;
  const auto adjust = [&](std::vector<Phrase>& list, auto& self) -> void {
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (list[i].kind == Phrase::Kind::group) {
        self(list[i].inner, self);
        continue;
      }
      if (list[i].stitch == between) {
        list[i].count += change;
        continue;
      }
      // "m1l 5 times": nothing stood between them so far.
      const bool wrong_side = between == "p";
      const bool has_between = wrong_side ? i + 1 < list.size() && list[i + 1].stitch == between
                                          : i > 0 && list[i - 1].stitch == between;
      if (has_between || change <= 0) continue;
      Phrase gap;
      gap.stitch = between;
      gap.count = change;
      Phrase group;
      group.kind = Phrase::Kind::group;
      group.count = list[i].count;
      Phrase one = list[i];
      one.count = 1;
      group.inner = wrong_side ? std::vector{one, gap} : std::vector{gap, one};
      list[i] = group;
    }
  };
  if (change != 0) adjust(now.phrases, adjust);
  if (change != 0) now.claims = {};
  now.side = row.side;
  written_row(now);
}

/// "every other row twice and on every following 6th row 3 times": rows from one to the next, and how often.
std::vector<std::pair<long long, long long>> PieceReader::following(Cursor& in, const std::string& again) {
  std::vector<std::pair<long long, long long>> out;
  if (!in.accept(fmt::format(", then {} on ", again))) return out;
  do {
    long long every = 1;
    if (in.accept("every other ")) {
      every = 2;
    } else {
      in.expect("every following ");
      if (const auto number = in.maybe_number()) every = *number, in.until(" "), in.expect(" ");
    }
    if (!in.accept("row ")) in.expect("rnd ");
    out.push_back({every, in.times()});
  } while (in.accept(" and on "));
  return out;
}

/// "; work 3 rows even"
long long PieceReader::even_after(Cursor& in) {
  if (!in.accept("; work ")) return 0;
  const long long rows = in.number();
  if (!in.accept(rows == 1 ? " row even" : " rows even")) in.expect(rows == 1 ? " rnd even" : " rnds even");
  return rows;
}

/// "With fewer than 6 sts on the needle, work the decs without the edge sts."
long long PieceReader::without_edges(const std::string& text) {
  Cursor in(text);
  in.expect("With fewer than ");
  const long long out = in.number();
  in.expect(" sts on the needle, work the decs without the edge sts.");
  if (!in.done()) in.stuck("more than this is not understood");
  return out;
}

/// The shaping rows, how often they are worked, and what is said of them.
std::size_t PieceReader::shaping(const std::vector<render::Paragraph>& lines, std::size_t at,
                                 std::size_t to) {
  std::vector<ShapingRow> rows;
  const bool widens = lines[at].lead.starts_with("Inc ");
  const std::string word = widens ? "inc" : "dec";
  if (lines[at].lead.starts_with("Next ")) {
    ShapingRow row = shaping_row(lines[at].lead, lines[at].text);
    long long without_edge = 0;
    ++count_.rows;
    ++at;
    if (at < to && lines[at].lead.empty() && lines[at].text.starts_with("With fewer than "))
      without_edge = without_edges(lines[at++].text);
    if (row.side && *row.side != hands_.side()) misread("the other side faces", lines[at - 1].text);
    work_shaping_row(row, 0, false, without_edge);
    return at;
  }
  for (; at < to && (lines[at].lead.starts_with("Inc ") || lines[at].lead.starts_with("Dec ")); ++at) {
    rows.push_back(shaping_row(lines[at].lead, lines[at].text));
    ++count_.rows;
  }
  if (rows.empty()) misread("a lead that is not understood", lines[at].lead);
  if (at == to) misread("nothing says how often", lines[at - 1].text);
  Cursor in(lines[at++].text);
  const bool points = rows[0].points;
  long long lead = 0;
  if (!in.accept("Work the ")) {
    in.expect("Work ");
    lead = in.number();
    if (!in.accept(lead == 1 ? " row" : " rows")) in.expect(lead == 1 ? " rnd" : " rnds");
    in.expect(" even, then work the ");
  }
  in.expect(word);
  if (!in.accept(" row")) in.expect(" rnd");
  in.accept(" (RS or WS, as it comes)");
  const auto rates = following(in, "rep it");
  const long long even = even_after(in);
  long long without_edge = 0;
  bare_at_markers_ = plain_between_ = false;
  while (at < to && lines[at].lead.empty()) {
    Cursor more(lines[at].text);
    if (more.sees("With fewer than ")) {
      without_edge = without_edges(lines[at].text);
      more.back_to(lines[at].text.size());
    } else if (more.accept("Each time there is 1 st ")) {
      more.expect(widens ? "more" : "fewer");
      more.expect(fmt::format(" between the {0}s; the rows between are ", word).substr(0, 14));
      more.up_to(".");
      plain_between_ = points;
    } else if (more.accept("The rows worked even are knitted on the RS and purled on the WS.") ||
               more.accept("The rnds worked even are knitted.")) {
      plain_between_ = points;
    } else if (more.accept("Where there is no room for it beside a marker, leave out the st between the "
                           "marker and the ")) {
      more.expect(word);
      more.expect(".");
      bare_at_markers_ = true;
    } else {
      break;
    }
    if (!more.done()) more.stuck("more than this is not understood");
    ++at, ++count_.sentences;
  }
  if (points) standing_.reset();
  const auto shape = [&](long long time) {
    for (ShapingRow& row : rows)
      if (!row.side || *row.side == hands_.side() || hands_.form() == Form::round)
        return work_shaping_row(row, time, widens, without_edge);
    in.stuck("no shaping row is given for the side that faces");
  };
  if (lead > 0) work_even(lead);
  long long time = 0;
  shape(time++);
  for (const auto& [every, times] : rates)
    for (long long i = 0; i < times; ++i) {
      if (every > 1) work_even(every - 1);
      shape(time++);
    }
  if (even > 0) work_even(even);
  plain_between_ = false;
  check_count(in);
  return at;
}

/// One row that begins with stitches bound off or cast on.
/// `once`: they are an edge of their own; else a slope of steps.
void PieceReader::step_row(long long amount, bool widens, bool once) {
  if (!standing_) throw Misread("no fabric is being worked");
  Item item;
  item.op.stitch = *table_.find(widens ? "co" : "bo");
  item.takes = widens ? 0 : 1;
  item.gives = widens ? 1 : 0;
  std::vector<Item> items(static_cast<std::size_t>(amount), item);
  const bool wrong = hands_.side() == Side::wrong;
  long long low = 0, high = standing_->width();
  if (!widens) (wrong ? high : low) += wrong ? -amount : amount;
  std::vector<std::string> with;
  const std::vector<Item> rest = standing_row(low, high, with);
  if (once) lengthen(!wrong, widens ? EdgeRun::Of::cast_on : EdgeRun::Of::bound_off, amount);
  items.insert(items.end(), rest.begin(), rest.end());
  work_row(items, Turn::none, false, with);
  move_at_edge(!wrong, widens ? -amount : amount);
  ++standing_->row;
}

/// "4 sts at the beginning of the next 2 rows, then do so again on every following 4th row twice; ..."
void PieceReader::in_steps(Cursor& in, bool widens) {
  const long long amount = in.sts();
  in.expect(" at the beginning of the next ");
  long long edges = 1;
  if (in.accept("RS row") || in.accept("WS row")) {
    const Side wanted = in.at() >= 6 && in.before("RS row") ? Side::right : Side::wrong;
    if (hands_.side() != wanted) work_even(1);
  } else {
    edges = in.number();
    in.expect(" rows");
  }
  const auto rates = following(in, "do so again");
  const long long even = even_after(in);
  const auto once = [&] {
    for (long long i = 0; i < edges; ++i) step_row(amount, widens, edges <= 2 && rates.empty());
  };
  once();
  for (const auto& [every, times] : rates)
    for (long long i = 0; i < times; ++i) {
      if (every < edges) in.stuck("the rows overlap");
      if (every > edges) work_even(every - edges);
      once();
    }
  if (even > 0) work_even(even);
  check_count(in);
}

}  // namespace wale::read_back
