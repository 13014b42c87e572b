#include "compiler/resolve.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "compiler/stitch_words.hpp"
#include "grammar/parser.hpp"

namespace wale {

namespace {

/// Rows and ops that are written out: ranges and `as` could otherwise multiply a long row without end. Those
/// of fabrics are all kept, and so fill the memory; those of a piece are worked and let go, and so take time.
constexpr long long most_fabric_ops = 400'000, most_piece_ops = 2'000'000;
constexpr std::size_t most_strands = 100;

bool applies(const tree::RowLabel& label, Side side) {
  using Default = tree::RowLabel::Default;
  return label.by_default == Default::every ||
         (label.by_default == Default::right_side && side == Side::right) ||
         (label.by_default == Default::wrong_side && side == Side::wrong);
}

const tree::Name* strand_of(const tree::RowLabel& label) {
  return label.strand ? &*label.strand : nullptr;
}

bool same_strand(const tree::Name* a, const tree::Name* b) {
  return a && b ? a->text == b->text : a == b;
}

}  // namespace

std::optional<short> Resolver::strand(const tree::Name& name) {
  for (std::size_t i = 0; i < strands_.size(); ++i)
    if (strands_[i].name == name.text) return static_cast<short>(i);
  std::vector<std::string> names;
  for (const Strand& each : strands_) names.push_back(each.name);
  const bool capital = !name.text.empty() && name.text[0] >= 'A' && name.text[0] <= 'Z';
  if (!capital || strands_.size() >= most_strands) {
    Diagnostic& added =
        diagnostics_.add(Kind::unknown_strand, name.span, fmt::format("no strand is called `{}`", name.text));
    // `k(p)` is rather a blank too few than the strand K.
    const bool stitch = stitches_.knows(name.text);
    if (stitch || !added.try_nearest(name.span, name.text, names))
      added.try_this("a strand's name starts with a capital letter");
    return {};
  }
  // A fabric alone needs no yarn; beside declared strands it is more likely a slip.
  if (declares_strands_) {
    Diagnostic& added = diagnostics_.add(
        Kind::undeclared_strand, name.span,
        fmt::format("strand {} is not declared, so it is worked without a yarn of its own", name.text));
    if (const auto certain = certain_name(name.text, names))
      added.try_this(*certain).mend(name.span, *certain);
    else if (!names.empty())
      added.try_this(fmt::format("strands here: {}", fmt::join(names, ", ")));
    added.try_this(fmt::format("strand {} = a yarn", name.text));
  }
  strands_.push_back({name.text, {}, name.span});
  return static_cast<short>(strands_.size() - 1);
}

bool Resolver::has_written(long long more) {
  if (ops_made_ + more > most_fabric_ops) return false;
  ops_made_ += more;
  return true;
}

std::optional<long long> Resolver::highest(const Book& book, Span* where) const {
  long long out = 0;
  book.each_row([&](const Given& row) {
    for (const tree::RowLabel::Range& range : row->label.numbers)
      if (range.last > out) {
        out = range.last;
        *where = range.span;
      }
  });
  if (out > 0) return out;
  // Only defaults: one row, or a right-side and a wrong-side row.
  bool sided = false;
  for (const tree::Row& row : *book.rows) sided |= row.label.by_default != tree::RowLabel::Default::every;
  if (book.rows->empty()) return {};
  return sided ? 2 : 1;
}

/// Puts the rows where `passes` finds them: so many rows cost what is written of them, not its square.
bool Resolver::sort_rows(Book& book, long long height) {
  book.by_number.assign(static_cast<std::size_t>(height) + 1, {});
  std::set<std::pair<tree::RowLabel::Default, std::string_view>> seen;
  bool good = true;
  book.each_row([&](const Given& given) {
    const tree::RowLabel& label = given->label;
    for (const tree::RowLabel::Range& range : label.numbers)
      for (long long number = range.first; good && number <= std::min(range.last, height); ++number) {
        if (++ops_made_ > most_ops_) {
          diagnostics_.add(Kind::too_much_work, book.span,
                           fmt::format("the rows of {} are more than can be worked out", book.what));
          good = false;
          break;
        }
        auto& same = book.by_number[static_cast<std::size_t>(number)];
        if (same.empty() || same.back().row != given.row) same.push_back(given);
      }
    const bool is_default = label.numbers.empty() && seen.size() <= 3 * most_strands;
    const tree::Name* strand = strand_of(label);
    if (is_default && seen.insert({label.by_default, strand ? strand->text : ""}).second)
      book.defaults.push_back(given);
  });
  return good;
}

/// The passes over one row, in the order in which the author wrote them.
void Resolver::passes(const Book& book, long long number, Side side, bool first_time,
                      std::vector<Pass>& out) {
  out.clear();
  const auto taken = [&](const tree::Name* strand) {
    return std::any_of(out.begin(), out.end(),
                       [&](const Pass& p) { return !p.strand || !strand || same_strand(p.strand, strand); });
  };
  for (const Given& row : book.by_number[static_cast<std::size_t>(number)]) {
    const tree::Name* strand = strand_of(row->label);
    if (taken(strand)) {
      if (!first_time) continue;  // said already
      diagnostics_
          .add(Kind::row_given_twice, row->label.span,
               fmt::format("row {} of {} is given twice", number, book.what))
          .label(out.back().row->label.span, "first here");
      continue;
    }
    out.push_back({row, strand});
    if (out.size() > most_strands) break;  // reported when the strands are looked up
  }
  // Of the defaults the one for this side goes before `every`.
  for (const bool sided : {true, false})
    for (const Given& row : book.defaults) {
      if (!applies(row->label, side) || out.size() > most_strands) continue;
      if (sided != (row->label.by_default != tree::RowLabel::Default::every)) continue;
      const tree::Name* strand = strand_of(row->label);
      if (!taken(strand)) out.push_back({row, strand});
    }
  if (out.size() > 1)
    std::stable_sort(out.begin(), out.end(), [](const Pass& a, const Pass& b) {
      return a.row->label.span.begin < b.row->label.span.begin;
    });
}

/// Follows `as` to the row that has stitches.
std::optional<Resolver::Given> Resolver::worked_row(const Book& book, const Pass& pass, long long number,
                                                    Side side) {
  constexpr int most_told = 6;
  Given row = pass.row;
  std::string chain;
  for (int hops = 0; row->as_row; ++hops) {
    Given next;
    const long long wanted = row->as_row->value;
    const auto fits = [&](const Given& each) {
      return same_strand(strand_of(each->label), strand_of(row->label));
    };
    if (wanted >= 1 && wanted < static_cast<long long>(book.by_number.size()))
      for (const Given& each : book.by_number[static_cast<std::size_t>(wanted)])
        if (fits(each)) next = each;
    if (!next.row)
      for (const Given& each : book.defaults)
        if (applies(each->label, side) && fits(each)) next = each;
    if (hops < most_told) chain += fmt::format("{}row {}", chain.empty() ? "" : ", that as ", wanted);
    const bool circle = next.row && (next.row == pass.row.row || next.row == row.row || hops > 64);
    if (!next.row || circle) {
      const std::string to = next.row == row.row && hops == 0 ? "itself" : chain;
      Diagnostic& added = diagnostics_.add(
          Kind::row_missing, circle ? pass.row->as_row->span : row->as_row->span,
          circle ? fmt::format("row {} of {} is to be as {}, and so in a circle", number, book.what, to)
                 : fmt::format("row {} of {} is to be as row {}, which has no stitches of its own", number,
                               book.what, wanted));
      if (circle) added.try_this("give one of them its stitches");
      return {};
    }
    row = next;
  }
  return row;
}

std::optional<std::vector<Row>> Resolver::spread(Book& book, long long height, long long rows, Side first) {
  if (!sort_rows(book, height)) return {};
  std::vector<Row> out;
  out.reserve(static_cast<std::size_t>(rows));
  bool good = true;
  std::set<const tree::Row*> failed;  // a mistake in a default is said once, not in every row
  std::vector<Pass> found;
  Side round_side = first;  // in the round the side changes only where the work is turned
  for (long long i = 1; i <= rows; ++i) {
    const long long number = (i - 1) % height + 1;
    const Side side = book.form == Form::round                 ? round_side
                      : (i % 2 == 1) == (first == Side::right) ? Side::right
                                                               : Side::wrong;
    passes(book, number, side, i <= height, found);
    if (found.empty()) {
      diagnostics_
          .add(Kind::row_missing, book.span, fmt::format("row {} of {} has no stitches", number, book.what))
          .note(fmt::format("the highest row is {}, and no `rs:`, `ws:` or `every:` stands for row {}",
                            height, number));
      return {};
    }
    for (std::size_t pass = 0; pass < found.size(); ++pass) {
      const std::optional<Given> worked = worked_row(book, found[pass], number, side);
      if (!worked) return {};
      const DrawnRow* drawn = worked->drawn;
      if (drawn ? !drawn->repeats && drawn->runs.empty() : worked->row->items.empty()) {
        diagnostics_
            .add(Kind::row_missing, found[pass].row->label.span,
                 fmt::format("row {} of {} has no stitches", number, book.what))
            .try_this("as seen");
        return {};
      }
      // A row that could not be read whole has been told; what it has is looked up, its sum is not.
      if (failed.count(worked->row) > 0) continue;
      Row row;
      if (!row_ops(*worked, row.ops) || !found[pass].row->whole) {
        good = false;
        failed.insert(worked->row);
        continue;
      }
      for (std::size_t k = 0; k + 1 < row.ops.size(); ++k)
        if (row.ops[k].form == Op::Form::turn) {
          diagnostics_
              .add(Kind::ends_mid_row, row.ops[k].span, "a turn ends its row, so nothing can follow it")
              .try_this(fmt::format("give what follows a row of its own: {}: ...", number + 1));
          return {};
        }
      row.number = i;
      row.side = side;
      row.slides = pass + 1 < found.size();
      row.label = found[pass].row->label.span;
      row.span = found[pass].row->as_row ? row.label : found[pass].row->span;
      if (found[pass].row->label.strand) {
        const auto id = strand(*found[pass].row->label.strand);
        if (!id) return {};
        row.strand = *id;
        if (found[pass].row->label.back_strand) {
          const auto back = strand(*found[pass].row->label.back_strand);
          if (!back) return {};
          row.back_strand = *back;
        }
      }
      const bool turns = find_turn(row.ops) != nullptr;
      if (turns || round_side == Side::wrong) round_side = other(round_side);
      out.push_back(std::move(row));
      if (++ops_made_ > most_ops_) {
        diagnostics_.add(Kind::too_much_work, book.span,
                         fmt::format("the rows of {} are more than can be worked out", book.what));
        return {};
      }
    }
  }
  if (!good) return {};
  return out;
}

namespace {

/// Only where a row turns back do rounds have a wrong side.
bool turns(const std::vector<tree::Row>& rows) {
  Op turn;
  return std::any_of(rows.begin(), rows.end(), [&](const tree::Row& row) {
    return !row.items.empty() && read_turn(row.items.back().word, turn);
  });
}

}  // namespace

std::optional<std::vector<Row>> Resolver::fabric_rows(const tree::Fabric& fabric, long long& height) {
  const Form form = fabric.form == tree::Form::round ? Form::round : Form::flat;
  most_ops_ = most_fabric_ops;
  if (form == Form::round && !turns(fabric.rows))
    for (const tree::Row& row : fabric.rows)
      if (row.label.by_default == tree::RowLabel::Default::wrong_side) {
        diagnostics_.add(Kind::no_wrong_side, row.label.span, "in the round there is no wrong-side row")
            .try_this("every:")
            .try_this(fmt::format("or work it flat: fabric {} flat ...", fabric.name.text));
        return {};
      }
  auto drawn = drawn_rows(fabric.pictures, form, Side::right, fabric.width, diagnostics_);
  if (!drawn) return {};
  Book book{&fabric.rows, &*drawn, form, fabric.name.text, fabric.name.span, {}, {}};
  Span where = fabric.name.span;
  auto found = highest(book, &where);
  if (!found && !fabric.height) {
    diagnostics_
        .add(Kind::row_missing, fabric.name.span, fmt::format("the fabric {} has no rows", fabric.name.text))
        .try_this("every: <k>");
    return {};
  }
  height = fabric.height ? fabric.height->value : *found;
  if (fabric.height) where = fabric.height->span;
  if (height < 1 || height > tallest_fabric) {
    diagnostics_.add(height < 1 ? Kind::bad_measure : Kind::too_much_work, where,
                     fmt::format("a fabric has 1 to {} rows", tallest_fabric));
    return {};
  }
  if (found && fabric.height && *found > height) {
    diagnostics_.add(Kind::bad_measure, fabric.height->span,
                     fmt::format("the fabric is said to have {}, but row {} is given",
                                 count_of(height, "row", "rows"), *found));
    return {};
  }
  const bool twice = form == Form::flat && height % 2 == 1;
  return spread(book, height, twice ? 2 * height : height, Side::right);
}

std::optional<std::vector<Row>> Resolver::piece_rows(const tree::WorkRows& rows, Form form, Side side,
                                                     Span span) {
  if (form == Form::round && !turns(rows.rows))
    for (const tree::Row& row : rows.rows)
      if (row.label.by_default == tree::RowLabel::Default::wrong_side) {
        diagnostics_.add(Kind::no_wrong_side, row.label.span, "in the round there is no wrong-side row")
            .try_this("every:");
        return {};
      }
  most_ops_ = most_piece_ops;
  auto drawn = drawn_rows(rows.pictures, form, side, {}, diagnostics_);
  if (!drawn) return {};
  Book book{&rows.rows, &*drawn, form, "these rows", span, {}, {}};
  Span where = span;
  const auto height = highest(book, &where);
  if (!height || *height < 1) {
    diagnostics_.add(Kind::row_missing, span, "here are no rows").try_this("1: <k>");
    return {};
  }
  if (*height > tallest_fabric) {
    diagnostics_
        .add(Kind::too_much_work, where, fmt::format("at most {} rows stand in one place", tallest_fabric))
        .try_this("put them into a fabric and work it");
    return {};
  }
  return spread(book, *height, *height, side);
}

// --- stitches
// ------------------------------------------------------------------------------------------------

bool Resolver::ops(const std::vector<tree::RowItem>& items, int depth, bool fill_allowed, int& fills,
                   std::vector<Op>& out) {
  out.reserve(items.size());
  bool good = true;
  for (std::size_t i = 0; i < items.size(); ++i)
    if (!op(items, i, depth, fill_allowed, fills, out.emplace_back())) {
      out.pop_back();
      good = false;
    }
  ops_made_ += static_cast<long long>(out.size());
  return good;
}

bool Resolver::stitch(const std::vector<tree::RowItem>& items, std::size_t at, Op& out) {
  const tree::RowItem& item = items[at];
  // `2/2 rc`; what is longer than its word and no crossing comes from a picture
  const bool split =
      item.word.find('/') != std::string::npos && item.span.end - item.span.begin != item.word.size();
  if (split && report_split_crossing(item, stitches_, diagnostics_)) return false;
  bool too_large = false;
  if (!last_found_ || item.word != last_word_) {
    last_found_ = stitches_.lookup(item.word, &too_large);
    last_word_ = item.word;
  }
  const std::optional<Word>& word = last_found_;
  if (too_large) {
    last_found_.reset();
    diagnostics_.add(Kind::number_too_large, item.span, "this count is larger than any knitting")
        .try_this("counts go up to 1,000,000,000");
    return false;
  }
  if (!word) {
    report_unknown_stitch(items, at, stitches_, strands_, diagnostics_);
    return false;
  }
  if (word->count == 0) {
    diagnostics_.add(Kind::bad_measure, item.span, "a stitch worked no times is no stitch")
        .try_this("leave it out");
    return false;
  }
  out.stitch = word->stitch;
  // Pictures count beside the word.
  out.count = multiply_counts(word->count, item.count);
  return true;
}

bool Resolver::op(const std::vector<tree::RowItem>& items, std::size_t at, int depth, bool fill_allowed,
                  int& fills, Op& out) {
  using ItemForm = tree::RowItem::Form;
  const tree::RowItem& item = items[at];
  out.span = item.span;
  switch (item.form) {
    case ItemForm::stitch:
      return read_turn(item.word, out) || stitch(items, at, out);
    case ItemForm::marker:
      out.form = Op::Form::marker;
      return true;
    case ItemForm::as_seen:
    case ItemForm::fill: {
      out.form = item.form == ItemForm::fill ? Op::Form::fill : Op::Form::as_seen;
      if (!fill_allowed) {
        diagnostics_
            .add(Kind::too_many_fills, item.span,
                 "a fill cannot stand inside a group that is itself repeated")
            .note("a fill stands for as many times as fit the whole row");
        return false;
      }
      if (++fills > 1) {
        diagnostics_.add(Kind::too_many_fills, item.span, "a row has one fill, and this is its second")
            .note("with two of them nobody could tell how often each is worked")
            .try_this("give one of them a number: 3(k2 p2)");
        return false;
      }
      return ops(item.items, depth + 1, false, fills, out.ops);
    }
    case ItemForm::group:
    case ItemForm::strand: {
      out.form = item.form == ItemForm::group ? Op::Form::group : Op::Form::strand;
      out.count = item.form == ItemForm::group ? item.count : 1;
      if (out.count == 0) {
        diagnostics_.add(Kind::bad_measure, item.span, "a group worked no times is no group")
            .try_this("leave it out");
        return false;
      }
      if (item.form == ItemForm::strand) {
        const auto id = strand({item.word, item.word_span});
        if (!id) return false;
        out.strand = *id;
      }
      return ops(item.items, depth + 1, fill_allowed && out.count == 1, fills, out.ops);
    }
    case ItemForm::into: {
      out.form = Op::Form::into;
      out.count = item.count;
      if (out.count < 1 || out.count > widest_crossing) {
        diagnostics_.add(Kind::bad_measure, item.word_span,
                         fmt::format("at most {} stitches are worked together", widest_crossing));
        return false;
      }
      if (!ops(item.items, depth + 1, false, fills, out.ops)) return false;
      for (const Op& each : out.ops)
        if (each.form != Op::Form::stitch) {
          diagnostics_.add(Kind::bad_stitch, each.span, "into one stitch go plain stitches, not groups")
              .try_this("in1(k yo k)");
          return false;
        }
      return true;
    }
  }
  return false;
}

}  // namespace wale
