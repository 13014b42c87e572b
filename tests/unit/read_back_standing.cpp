// Fabrics on the needle, one or several side by side, and how their columns go on.
#include <fmt/format.h>

#include <algorithm>

#include "tests/unit/read_back_piece.hpp"

namespace wale::read_back {

namespace {

long long rest(long long a, long long b) {
  return ((a % b) + b) % b;
}

}  // namespace

long long PieceReader::Standing::set_on() const {
  long long out = 0;
  for (const Part& each : parts) out += each.width;
  return out;
}

bool PieceReader::Standing::whole() const {
  for (std::size_t i = 0; i < columns.size(); ++i)
    if (columns[i] != static_cast<long long>(i)) return false;
  return width() == set_on();
}

void PieceReader::Standing::erase(long long from, long long to) {
  columns.erase(columns.begin() + from, columns.begin() + to);
}

void PieceReader::Standing::insert(long long at, long long before, long long after) {
  std::vector<long long> more;
  for (long long i = 1; i <= before; ++i) more.push_back(columns[static_cast<std::size_t>(at - 1)] + i);
  for (long long i = after; i >= 1; --i) more.push_back(columns[static_cast<std::size_t>(at)] - i);
  columns.insert(columns.begin() + at, more.begin(), more.end());
}

// --- fabrics as they are set on the needle

/// "rib for 16 rows, about 6 cm (2.25 in), ending with a WS row."
void PieceReader::layout(Cursor& in) {
  const ReadFabric& own = fabric(in.until(" ,"), in);
  const bool second = in.accept(", beginning with its row 2 (WS), ");
  if (!second) in.expect(" ");
  begins_where_it_says({&own}, second, in);
  const long long rows = extent(in);
  set({{&own, hands_.all()}}, rows);
  check_count(in);
}

/// "rows 1 and 2 of rising 60 times: 64 sts.", "2 rows of garter 60 times."
void PieceReader::times_of_fabric(Cursor& in) {
  const std::optional<long long> count = in.maybe_number();
  if (count) in.expect(" ");
  const bool round = in.accept("rnd");
  if (!round) in.expect("row");
  if (round != (hands_.form() == Form::round)) in.stuck("the work is not so");
  const bool many = in.accept("s");
  in.expect(" ");
  const long long first = count ? 1 : in.number();
  long long last = count.value_or(first);
  if (!count && (in.accept(" and ") || in.accept("-"))) last = in.number();
  if (many != (last > 1)) in.stuck("a number that does not agree");
  in.expect(count ? "of " : " of ");
  const ReadFabric& own = fabric(in.up_to(" "), in);
  // Rows that have no numbers can only be counted.
  if (count ? !own.every : own.every || first != 1 || last != own.cycle())
    in.stuck("these are not all rows of it");
  const long long times = in.times();
  if (in.accept(", ") && !until_yarn(in)) in.stuck("until what?");
  for (long long i = 0; i < times; ++i) set({{&own, hands_.all()}}, last);
  check_count(in);
}

/// "the next row (RS): 4 sts in garter, 73 sts in lantern. Work in this way for 9 rows: each fabric in ..."
void PieceReader::side_by_side(Cursor& in) {
  bool second = false;
  if (in.accept("the next rnd: ")) {
    if (hands_.form() == Form::flat) in.stuck("the work is flat");
  } else {
    const bool right = in.accept("the next row (RS): ");
    second = !right && in.accept("the next row (WS), with row 2 of each: ");
    if (!right && !second) in.expect("the next row (WS): ");
    if (right != (hands_.side() == Side::right)) in.stuck("the other side faces");
  }
  std::vector<Part> parts;
  std::vector<const ReadFabric*> fabrics;
  do {
    const long long width = in.sts();
    in.expect(" in ");
    parts.push_back({&fabric(in.until(",."), in), width});
    fabrics.push_back(parts.back().fabric);
  } while (in.accept(", "));
  begins_where_it_says(fabrics, second, in);
  in.expect(". Work in this way ");
  const long long rows = extent(in);
  in.expect(": each fabric in its own rows");
  const bool flat = hands_.form() == Form::flat;
  if (flat) in.expect(", on WS rows in the opposite order");
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

/// A fabric whose rows differ begins with its first row, unless the words say otherwise.
void PieceReader::begins_where_it_says(const std::vector<const ReadFabric*>& fabrics, bool second,
                                       Cursor& in) {
  const bool wrong = hands_.form() == Form::flat && hands_.side() == Side::wrong;
  if (second && !wrong) in.stuck("the RS faces");
  for (const ReadFabric* each : fabrics)
    if (wrong && !each->every && !second) in.stuck("nothing says with which row it begins");
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
  if (hands_.all() != before) return;
  standing_ = Standing{std::move(parts), {}, first + rows};
  for (long long i = 0; i < before; ++i) standing_->columns.push_back(i);
}

void PieceReader::work_parts(const std::vector<Part>& parts, long long first, long long rows) {
  std::vector<long long> widths;
  for (const Part& each : parts) widths.push_back(each.width);
  for (long long i = 0; i < rows; ++i) work_joint_row(parts, widths, first + i);
}

void PieceReader::work_joint_row(const std::vector<Part>& parts, std::vector<long long>& widths,
                                 long long row) {
  if (parts.size() == 1) {
    for (const RowLine* line : parts[0].fabric->passes(row)) written_row(*line);
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
      std::vector<Item> worked = own.all();
      for (Item& each : worked)
        if (each.op.form == Op::Form::as_seen) each.op.leaves = own.times;  // its own, beside another's
      items.insert(items.end(), worked.begin(), worked.end());
      if (!own.seen) widths[i] += given(worked) - taken(worked);
      if (with.empty()) with = line.with;
    }
    work_row(items, Turn::none, pass + 1 < most, with);
  }
}

// --- fabrics as they stand

/// Stitches leave the needle where the next row begins, or where it ends.
void PieceReader::lose(long long count, bool from_end) {
  move_at_edge((hands_.side() == Side::right || hands_.form() == Form::round) != from_end, count);
}

/// An edge has lost stitches, or gained them where there are fewer than none.
void PieceReader::move_at_edge(bool at_right, long long lost) {
  if (at_right)
    for (auto& [name, from_right] : markers_) from_right -= lost;
  if (!standing_ || lost == 0) return;
  const long long width = standing_->width(), at = at_right ? 0 : width;
  if (lost < 0)
    standing_->insert(at, at_right ? 0 : -lost, at_right ? -lost : 0);
  else
    at_right ? standing_->erase(0, lost) : standing_->erase(width - lost, width);
}

void PieceReader::even(Cursor& in) {
  const long long rows = extent(in);
  plain_between_ = in.accept(", knitting");
  if (plain_between_) {
    if (hands_.form() == Form::flat) in.expect(" on the RS and purling on the WS");
    standing_.reset();
  }
  work_even(rows);
  plain_between_ = false;
  check_count(in);
}

void PieceReader::work_even(long long rows) {
  if (plain_between_ && !standing_) {
    for (long long i = 0; i < rows; ++i) {
      std::vector<Item> items(static_cast<std::size_t>(hands_.all()), plain());
      work_row(items, Turn::none, false, {});
    }
    return;
  }
  if (!standing_) throw Misread("no fabric is being worked");
  if (standing_->whole()) {
    work_parts(standing_->parts, standing_->row, rows);
    standing_->row += rows;
    if (hands_.all() != standing_->width()) standing_.reset();
    return;
  }
  for (long long i = 0; i < rows; ++i) {
    std::vector<std::string> with;
    const std::vector<Item> items = standing_row(0, standing_->width(), with);
    work_row(items, Turn::none, false, with);
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
    for (const std::vector<Item>* list : {&row.before, &row.fill, &row.after})
      for (const Item& each : *list)
        if (each.takes != 1 || each.gives != 1) return false;
  }
  return true;
}

/// The stitches from `from` to `to` in the next row, in the order in which they are worked: run by run of
/// columns that follow one another.
std::vector<Item> PieceReader::standing_row(long long from, long long to, std::vector<std::string>& with) {
  std::vector<std::pair<long long, long long>> runs;
  for (long long i = from; i < to; ++i) {
    const long long column = standing_->columns[static_cast<std::size_t>(i)];
    if (!runs.empty() && runs.back().second == column)
      ++runs.back().second;
    else
      runs.push_back({column, column + 1});
  }
  if (hands_.form() == Form::flat && hands_.side() == Side::wrong) std::reverse(runs.begin(), runs.end());
  std::vector<Item> out;
  for (const auto& [low, high] : runs) {
    const std::vector<Item> own = row_of_columns(low, high, with);
    out.insert(out.end(), own.begin(), own.end());
  }
  return out;
}

/// The columns from `low` to `high` of the next row, in the order in which they are worked.
std::vector<Item> PieceReader::row_of_columns(long long low, long long high, std::vector<std::string>& with) {
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
    const std::vector<Item>& period = row.fill.empty() ? row.before : row.fill;
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
      // All that is worked as seen is one thing to do, on so many loops.
      const bool same = item->op.form == Op::Form::as_seen;
      if (!same || !seen) out.push_back(*item);
      if (same) out.back().op.leaves = seen ? out.back().op.leaves + 1 : 1;
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

}  // namespace wale::read_back
