// Fabrics on the needle, one or several side by side, and how they go on while stitches are lost and gained.
#include <fmt/format.h>

#include <algorithm>

#include "tests/unit/read_back_piece.hpp"

namespace wale::read_back {

namespace {

long long taken(const std::vector<Item>& items) {
  long long out = 0;
  for (const Item& each : items) out += each.takes;
  return out;
}
long long given(const std::vector<Item>& items) {
  long long out = 0;
  for (const Item& each : items) out += each.gives;
  return out;
}

long long rest(long long a, long long b) {
  return ((a % b) + b) % b;
}

}  // namespace

long long PieceReader::Standing::set_on() const {
  long long out = 0;
  for (const Part& each : parts) out += each.width;
  return out;
}

// --- fabrics as they are set on the needle

/// "rib for 16 rows, about 6 cm (2.25 in), ending with a WS row."
void PieceReader::layout(Cursor& in) {
  const ReadFabric& own = fabric(in.up_to(" "), in);
  const long long rows = extent(in);
  set({{&own, hands_.all()}}, rows);
  check_count(in);
}

/// "1 and 2 of rising 60 times: 64 sts."
void PieceReader::times_of_fabric(Cursor& in) {
  const long long first = in.number();
  long long last = first;
  if (in.accept(" and ") || in.accept("-")) last = in.number();
  in.expect(" of ");
  const ReadFabric& own = fabric(in.up_to(" "), in);
  if (first != 1 || last != own.cycle()) in.stuck("these are not all rows of it");
  const long long times = in.times();
  for (long long i = 0; i < times; ++i) set({{&own, hands_.all()}}, last);
  check_count(in);
}

/// "a RS row: 4 sts in garter, 73 sts in lantern. Work on so for 9 rows, each fabric in its own rows; ..."
void PieceReader::side_by_side(Cursor& in) {
  if (in.accept("the next rnd: ")) {
    if (hands_.form() == Form::flat) in.stuck("the work is flat");
  } else {
    const bool right = in.accept("a RS row: ");
    if (!right) in.expect("a WS row: ");
    if (right != (hands_.side() == Side::right)) in.stuck("the other side faces");
  }
  std::vector<Part> parts;
  do {
    const long long width = in.sts();
    in.expect(" in ");
    parts.push_back({&fabric(in.until(",."), in), width});
  } while (in.accept(", "));
  in.expect(". Work on so ");
  const long long rows = extent(in);
  in.expect(", each fabric in its own rows");
  const bool flat = hands_.form() == Form::flat;
  if (flat) in.expect("; on WS rows they come in the opposite order");
  in.expect(".");
  in.accept(
      " Where a row is worked twice, the fabrics that have it once are worked the first time and slipped the "
      "second.");
  set(std::move(parts), rows);
  if (!in.done()) {
    if (!in.accept(" There are now ")) in.stuck("this is not understood");
    if (in.sts() != hands_.all()) in.stuck(fmt::format("{} loops are on the needle", hands_.all()));
    in.expect(".");
  }
}

/// The fabrics are worked from their first row on; where the wrong side faces, from their first WS row.
void PieceReader::set(std::vector<Part> parts, long long rows) {
  const long long before = hands_.all();
  long long all = 0;
  for (const Part& each : parts) {
    all += each.width;
    const long long over = each.width - each.fabric->base;
    if (each.width < each.fabric->least || over < 0 ||
        (each.fabric->per_n == 0 ? over != 0 : over % each.fabric->per_n != 0))
      throw Misread(fmt::format("{} does not go into {} sts", each.fabric->name, each.width));
  }
  if (all != before) throw Misread(fmt::format("the fabrics take {} sts of {}", all, before));
  const long long first = hands_.form() == Form::flat && hands_.side() == Side::wrong ? 1 : 0;
  standing_.reset();
  work_parts(parts, first, rows);
  if (hands_.all() == before) standing_ = Standing{std::move(parts), 0, before, first + rows};
}

void PieceReader::work_parts(const std::vector<Part>& parts, long long first, long long rows) {
  std::vector<long long> widths;
  for (const Part& each : parts) widths.push_back(each.width);
  for (long long i = 0; i < rows; ++i) work_joint_row(parts, widths, first + i);
}

void PieceReader::work_joint_row(const std::vector<Part>& parts, std::vector<long long>& widths,
                                 long long row) {
  if (parts.size() == 1) {
    for (const RowLine* line : parts[0].fabric->passes(row)) work_line(*line, hands_, table_, hand_);
    return;
  }
  std::vector<std::vector<const RowLine*>> all;
  std::size_t most = 1;
  for (const Part& each : parts) {
    all.push_back(each.fabric->passes(row));
    most = std::max(most, all.back().size());
  }
  const bool reversed = hands_.form() == Form::flat && hands_.side() == Side::wrong;
  for (std::size_t pass = 0; pass < most; ++pass) {
    std::vector<Item> items;
    std::vector<std::string> with;
    for (std::size_t k = 0; k < parts.size(); ++k) {
      const std::size_t i = reversed ? parts.size() - 1 - k : k;
      RowLine line;
      if (pass < all[i].size()) {
        line = *all[i][pass];
        if (line.side && *line.side != hands_.side()) misread("the other side faces", line.words);
      } else {
        Phrase slip;
        slip.stitch = "sl";
        line.phrases.emplace_back();
        line.phrases.back().kind = Phrase::Kind::repeat;
        line.phrases.back().inner = {slip};
      }
      const Spread own = spread(line, widths[i], table_);
      const std::vector<Item> worked = own.all();
      items.insert(items.end(), worked.begin(), worked.end());
      if (!own.seen) widths[i] += given(worked) - taken(worked);
      if (with.empty()) with = line.with;
    }
    hands_.work(items, Turn::none, pass + 1 < most, with, hand_);
  }
}

// --- fabrics as they stand

/// Stitches leave the needle where the next row begins, or where it ends.
void PieceReader::lose(long long count, bool from_end) {
  if (!standing_) return;
  const bool at_right = (hands_.side() == Side::right || hands_.form() == Form::round) != from_end;
  if (at_right)
    standing_->low += count;
  else
    standing_->high -= count;
}

void PieceReader::even(Cursor& in) {
  const long long rows = extent(in);
  work_even(rows);
  check_count(in);
}

void PieceReader::work_even(long long rows) {
  if (plain_between_ && !standing_) {
    for (long long i = 0; i < rows; ++i) {
      std::vector<Item> items(static_cast<std::size_t>(hands_.all()), plain());
      hands_.work(items, Turn::none, false, {}, hand_);
    }
    return;
  }
  if (!standing_) throw Misread("no fabric is being worked");
  if (standing_->low == 0 && standing_->high == standing_->set_on()) {
    work_parts(standing_->parts, standing_->row, rows);
    standing_->row += rows;
    if (hands_.all() != standing_->high) standing_.reset();
    return;
  }
  for (long long i = 0; i < rows; ++i) {
    std::vector<std::string> with;
    const std::vector<Item> items = standing_row(standing_->low, standing_->high, with);
    hands_.work(items, Turn::none, false, with, hand_);
    ++standing_->row;
  }
}

Item PieceReader::plain() const {
  Item out;
  out.op.stitch = *table_.find(hands_.form() == Form::flat && hands_.side() == Side::wrong ? "p" : "k");
  out.takes = out.gives = 1;
  return out;
}

/// Whether every row of it works each stitch alone, so that it can be cut anywhere.
bool PieceReader::stitch_by_stitch(const Part& part) {
  for (const RowLine& line : part.fabric->rows) {
    if (part.fabric->passes(line.first - 1).size() > 1)
      throw Misread(part.fabric->name + " is worked twice a row and cannot be cut");
    const Spread row = spread(line, part.width, table_);
    for (const Item& each : row.all())
      if (each.takes != 1 || each.gives != 1) return false;
  }
  return true;
}

/// The columns from `low` to `high` of the next row, in the order in which they are worked.
std::vector<Item> PieceReader::standing_row(long long low, long long high, std::vector<std::string>& with) {
  const bool reversed = hands_.form() == Form::flat && hands_.side() == Side::wrong;
  const long long total = standing_->set_on();
  if (reversed) std::tie(low, high) = std::pair(total - high, total - low);
  std::vector<Item> out;
  long long begins = 0;
  const std::size_t parts = standing_->parts.size();
  for (std::size_t k = 0; k < parts; ++k) {
    const Part& part = standing_->parts[reversed ? parts - 1 - k : k];
    const long long from = k == 0 ? low : std::max(low, begins);
    const long long to = k + 1 == parts ? high : std::min(high, begins + part.width);
    const RowLine& line = *part.fabric->passes(standing_->row).at(0);
    if (with.empty()) with = line.with;
    if (from < to) {
      const std::vector<Item> own = columns(part, line, from - begins, to - begins, reversed);
      out.insert(out.end(), own.begin(), own.end());
    }
    begins += part.width;
  }
  return out;
}

/// Columns of one fabric's row: `from` may lie before it and `to` behind it, where it goes on as it would.
std::vector<Item> PieceReader::columns(const Part& part, const RowLine& line, long long from, long long to,
                                       bool) {
  const Spread row = spread(line, part.width, table_);
  const long long before = taken(row.before), after = part.width - taken(row.after);
  std::vector<Item> out;
  if ((from < 0 || to > part.width) && !told_new_) throw Misread("nothing says how new stitches are worked");
  if (row.seen || stitch_by_stitch(part)) {
    bool seen = false;
    const std::vector<Item>& period = row.times == 0 || row.fill.empty() ? row.before : row.fill;
    const long long begins = &period == &row.fill ? before : 0;
    for (long long c = from; c < to; ++c) {
      const Item* item = nullptr;
      if (c >= 0 && c < before)
        item = &row.before[static_cast<std::size_t>(c)];
      else if (c >= after && c < part.width)
        item = &row.after[static_cast<std::size_t>(c - after)];
      else if (row.seen && c < 0 && before > 0)
        item = &row.before.front();
      else if (row.seen && c >= part.width && !row.after.empty())
        item = &row.after.back();
      else if (row.seen)
        item = &row.fill.front();
      else
        item = &period[static_cast<std::size_t>(rest(c - begins, static_cast<long long>(period.size())))];
      // All that is worked as seen is one thing to do.
      const bool same = item->op.form == Op::Form::as_seen;
      if (!same || !seen) out.push_back(*item);
      seen = same;
    }
    return out;
  }
  // Only what is whole is worked in pattern; the rest is plain.
  long long at = 0;
  if ((from < 0 || to > part.width) && !told_plain_) throw Misread("nothing says that these are plain");
  const auto put_run = [&](const std::vector<Item>& items) {
    const long long width = taken(items), begin = at, end = at + width;
    at = end;
    if (width == 0 || end <= from || begin >= to) return;
    if (begin >= from && end <= to) {
      out.insert(out.end(), items.begin(), items.end());
    } else {
      if (!told_plain_) throw Misread("nothing says what becomes of a repeat that is cut");
      for (long long c = std::max(begin, from); c < std::min(end, to); ++c) out.push_back(plain());
    }
  };
  for (long long c = from; c < std::min(0LL, to); ++c) out.push_back(plain());
  put_run(row.before);
  for (long long i = 0; i < row.times; ++i) put_run(row.fill);
  put_run(row.after);
  for (long long c = std::max(from, part.width); c < to; ++c) out.push_back(plain());
  return out;
}

// --- shaping

PieceReader::ShapingRow PieceReader::shaping_row(const std::string& lead, const std::string& text) {
  ShapingRow out;
  if (lead.find("(RS)") != std::string::npos) out.side = Side::right;
  if (lead.find("(WS)") != std::string::npos) out.side = Side::wrong;
  const std::string sign = "ork in pattern to the ";
  const std::size_t found = text.find(sign);
  if (found == std::string::npos) {
    out.points = true;
    read_row(text, out.first, table_);
    return out;
  }
  if (found > 1) read_row(text.substr(0, found - 3) + ".", out.first, table_);
  Cursor in(std::string_view(text).substr(found + sign.size()));
  if (in.accept("end.")) {
    if (!in.done()) in.stuck("more than this is not understood");
    return out;
  }
  in.expect("last ");
  long long uses = 1;
  if (!in.accept("st, ")) uses = in.sts(), in.expect(", ");
  read_row(in.rest(), out.last, table_);
  if (taken(spread(out.last, uses, table_).all()) != uses) in.stuck("another number of stitches");
  return out;
}

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

void PieceReader::work_shaping_row(ShapingRow& row, long long time, bool widens, long long without_edge) {
  if (row.points) return work_points_row(row, time, widens);
  if (!standing_) throw Misread("no fabric is being worked");
  const bool wrong = hands_.form() == Form::flat && hands_.side() == Side::wrong;
  const bool bare = hands_.all() < without_edge;
  const std::vector<Item> first = of_line(row.first, bare, true, table_),
                          last = of_line(row.last, bare, false, table_);
  long long low = standing_->low, high = standing_->high;
  (wrong ? high : low) += wrong ? -taken(first) : taken(first);
  (wrong ? low : high) += wrong ? taken(last) : -taken(last);
  std::vector<std::string> with;
  std::vector<Item> items = first;
  if (low < high) {
    const std::vector<Item> middle = standing_row(low, high, with);
    items.insert(items.end(), middle.begin(), middle.end());
  }
  items.insert(items.end(), last.begin(), last.end());
  hands_.work(items, Turn::none, false, with, hand_);
  const long long at_first = taken(first) - given(first), at_last = taken(last) - given(last);
  standing_->low += wrong ? at_last : at_first;
  standing_->high -= wrong ? at_first : at_last;
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
  work_line(now, hands_, table_, hand_);
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

/// The shaping rows, how often they are worked, and what is said of them.
std::size_t PieceReader::shaping(const std::vector<render::Paragraph>& lines, std::size_t at,
                                 std::size_t to) {
  std::vector<ShapingRow> rows;
  const bool widens = lines[at].lead.starts_with("Inc ");
  const std::string word = widens ? "inc" : "dec";
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
    in.until(" ");
    in.expect(" even, then work the ");
  }
  in.expect(word);
  if (!in.accept(" row")) in.expect(" rnd");
  in.accept(" (RS or WS, as it comes)");
  const auto rates = following(in, "rep it");
  const long long even = even_after(in);
  long long without_edge = 0;
  while (at < to && lines[at].lead.empty()) {
    Cursor more(lines[at].text);
    if (more.accept("With fewer than ")) {
      without_edge = more.number();
      more.expect(" sts left, work the decs without the edge sts.");
    } else if (more.accept("Each time there is 1 st ")) {
      more.expect(widens ? "more" : "fewer");
      more.expect(fmt::format(" between the {0}s; the rows between are ", word).substr(0, 14));
      more.up_to(".");
    } else {
      break;
    }
    if (!more.done()) more.stuck("more than this is not understood");
    ++at, ++count_.sentences;
  }
  plain_between_ = points;
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
void PieceReader::step_row(long long amount, bool widens) {
  if (!standing_) throw Misread("no fabric is being worked");
  Item item;
  item.op.stitch = *table_.find(widens ? "co" : "bo");
  item.takes = widens ? 0 : 1;
  item.gives = widens ? 1 : 0;
  std::vector<Item> items(static_cast<std::size_t>(amount), item);
  const bool wrong = hands_.side() == Side::wrong;
  long long low = standing_->low, high = standing_->high;
  if (!widens) (wrong ? high : low) += wrong ? -amount : amount;
  std::vector<std::string> with;
  const std::vector<Item> rest = standing_row(low, high, with);
  items.insert(items.end(), rest.begin(), rest.end());
  hands_.work(items, Turn::none, false, with, hand_);
  const long long change = widens ? -amount : amount;
  (wrong ? standing_->high : standing_->low) += wrong ? -change : change;
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
    for (long long i = 0; i < edges; ++i) step_row(amount, widens);
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
