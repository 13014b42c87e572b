// Knitted cords: rows of a few stitches that are slid back and never turned, so that they close to a tube.
// A cord is knitted by itself, or along an edge that it binds off: the last stitch of each of its rows is
// knitted together with the next stitch of the edge (common practice).

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/piece_worker.hpp"

namespace wale {

namespace {

/// Wider ones stay open at the back (common practice: 2 to 6 stitches).
constexpr long long widest_cord = 12;

}  // namespace

bool PieceWorker::cord_on_wrong_side(Span span) {
  diagnostics_
      .add(Kind::starts_on_wrong_side, span,
           fmt::format("a cord is worked with the right side facing, but {} have been worked, so the wrong "
                       "side faces you",
                       count_of(row_, "row", "rows")))
      .try_this("work one row more or one row less before it");
  return false;
}

bool PieceWorker::do_cord(const tree::Cord& source, Step& out) {
  out.kind = Step::Kind::cord;
  if (!at_an_edge(out.span, "and a cord takes all stitches")) return false;
  const auto count = evaluate_count(source.stitches, shelf_.scope, 1, "a cord", diagnostics_);
  if (!count) return false;
  const long long there = needles_.width().base;
  if (*count != there) {
    diagnostics_
        .add(Kind::layout_does_not_fit, source.stitches.span,
             fmt::format("the cord takes {} and the needle holds {}", *count, there))
        .try_this(*count < there
                      ? fmt::format("set the others aside first: hold last {} st as rest", there - *count)
                      : fmt::format("cord {} st", there));
    return false;
  }
  if (side_ == Side::wrong) return cord_on_wrong_side(out.span);
  std::optional<long long> rows;
  if (source.extent.form == tree::Extent::Form::rows) {
    rows = evaluate_count(source.extent.amount, shelf_.scope, 1, "the number of rows", diagnostics_);
  } else if (source.extent.form == tree::Extent::Form::times) {
    diagnostics_.add(Kind::bad_measure, source.extent.amount.span, "a cord has a length, or so many rows")
        .try_this("for 20 cm")
        .try_this("for 40 rows");
  } else {
    const auto& gauges = shelf_.pattern.gauges;
    const auto length = rows_of_length(source.extent.amount, gauges.empty() ? nullptr : &gauges.front(), out);
    if (length) rows = std::max(1LL, static_cast<long long>(std::llround(*length)));
  }
  if (!rows) return false;
  return work_cord(*rows, out);
}

/// Each row is knitted, slid back, and begun again where it began: the yarn is drawn across the back. After
/// the first row, which may meet other loops, every row is alike.
bool PieceWorker::work_cord(long long rows, Step& out) {
  const auto knit = shelf_.stitches.find("k");
  if (!knit) return not_yet(out.span, "a cord without the stitch `k`");
  Row row;
  row.slides = true;
  row.span = row.label = out.span;
  Op op;
  op.stitch = *knit;
  op.count = needles_.width().base;
  op.span = out.span;
  row.ops = {op};
  const YarnPlace begins = edge_where_begins(Side::right, form_ == Form::round);
  State before = settled();
  for (long long done = 0; done < rows;) {
    Tally once;
    Worked worked;
    if (!work_row(RowPart{&row.ops, needles_.left.width(), 0}, row, "the cord", out.span, once, worked))
      return false;
    ends_.draw_to(in_hand_, begins);
    ++done;
    State after = settled();
    const bool same = after == before;
    before = std::move(after);
    add(out.tally, once, same ? 1 + rows - done : 1);
    const long long more = same ? rows - done : 0;
    ++row_;
    skip_rows(row_ - 1, more);
    done += more;
  }
  return true;
}

/// Each stitch of the edge takes a row of the cord: all its stitches but one are knitted, that one together
/// with the next of the edge. The cord's stitches are cast on for it and bound off at the end.
bool PieceWorker::do_cord_bind_off(const tree::BindOff& source, Step& out) {
  out.kind = Step::Kind::cord_bind_off;
  if (!at_an_edge(out.span, "so not all stitches can be bound off")) return false;
  const auto width = evaluate_count(*source.cord, shelf_.scope, 2, "a cord", diagnostics_);
  if (!width) return false;
  if (*width > widest_cord) {
    diagnostics_
        .add(Kind::bad_measure, source.cord->span,
             fmt::format("a cord of {} would not close to a tube", count_of(*width, "stitch", "stitches")))
        .try_this("bind off with a cord of 3 st");
    return false;
  }
  if (!all_plain(needles_.left, out.span)) return false;
  if (side_ == Side::wrong && !picked_up_) return cord_on_wrong_side(out.span);
  // Stitches just picked up are slid back to where they begin.
  if (side_ == Side::wrong) {
    ends_.cut(in_hand_);
    out.cuts = out.joins = true;
    side_ = out.side = Side::right;
  }
  out.cord = *width;
  const long long there = needles_.width().base;
  const YarnPlace begins = edge_where_begins(Side::right, form_ == Form::round);
  const std::size_t before = diagnostics_.errors();
  ends_.row({{in_hand_}, begins, begins, row_ + 1, "the cord", out.span, true}, shelf_.strands, diagnostics_);
  if (diagnostics_.errors() != before) return false;
  const auto count = [&](std::string_view stitch, long long times) {
    if (const auto id = shelf_.stitches.find(stitch)) out.tally[{*id, in_hand_}] = times;
  };
  count("co", *width);
  count("k", multiply_counts(there, *width - 1));
  count("ssk", there);
  count("bo", *width);
  needles_ = Needles();
  on_needle_ = false;
  standing_.reset();
  ends_.bind_off();
  return true;
}

}  // namespace wale
