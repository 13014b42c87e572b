// Layouts of fabrics that make every loop anew: what is proved for every n is put in for this one.
//
// Such a fabric knows what each of its rows counts and what the needle holds after it, with n in it
// (`Fabric::after`). A thousand rows over so many stitches are then a sum, and one needle:
//
//     work rib for 103 rounds      on 4n = 96 st: 103 times 12n k and 12n p for n = 24, then the needle after
//                                  round 3 of the rib
//
// Fabrics that pass loops on, such as slipped stitches and brioche, are worked row by row (piece_layout.cpp).

#include <fmt/format.h>

#include <algorithm>

#include "compiler/piece_worker.hpp"

namespace wale {

namespace {

/// The row of a fabric that comes so many rows after its first.
std::size_t row_after(const Fabric& fabric, long long rows) {
  return static_cast<std::size_t>(rows % fabric.cycle_rows());
}

}  // namespace

bool PieceWorker::can_evaluate(const std::vector<Step::Part>& parts, long long first, long long rows) const {
  std::optional<short> strand;
  long long wide = 0;
  for (const Step::Part& part : parts) {
    const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
    const long long cycle = fabric.cycle_rows();
    if (!fabric.after || (form_ == Form::flat && cycle % 2 == 1)) return false;
    if (!fabric.returns && row_after(fabric, first) + static_cast<std::size_t>(rows) > fabric.rows.size())
      return false;
    const CheckedRow& row = fabric.rows[row_after(fabric, first)];
    const long long n = fabric.n_of(part.width);
    if (row.row.side != (form_ == Form::round ? Side::right : side_) || row.before.at(n) != part.width)
      return false;
    // All rows of all parts are worked in one strand, so none is carried behind another.
    for (const CheckedRow& each : fabric.rows) {
      if (each.after.at(n) >= largest_work) return false;
      if (strand.value_or(each.row.strand) != each.row.strand) return false;
      strand = each.row.strand;
      for (const auto& [key, count] : each.tally)
        if (key.second != each.row.strand) return false;
    }
    wide += part.width;
  }
  return !needles_.mid_row() && needles_.left.width() == Linear(wide) &&
         needles_.left.ahead_of(LoopType::plain, wide) == wide;
}

/// The rows are there to be counted, and the needle to be put together.
bool PieceWorker::evaluate_layout(const std::vector<Step::Part>& parts, long long first, long long rows,
                                  Span span, Tally& tally) {
  Needle left;
  const bool flat = form_ == Form::flat;
  const Side last_side = flat && rows % 2 == 0 ? other(side_) : side_;
  const Side after = flat ? other(last_side) : side_;
  short worked_in = in_hand_;
  for (std::size_t k = 0; k < parts.size(); ++k) {
    // As the next row comes to them.
    const Step::Part& part = parts[flat && after == Side::wrong ? parts.size() - 1 - k : k];
    const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
    const long long n = fabric.n_of(part.width), cycle = fabric.cycle_rows();
    const auto own_rows = static_cast<long long>(fabric.rows.size());
    for (long long i = 0; i < std::min(rows, own_rows); ++i) {
      const CheckedRow& row = fabric.rows[row_after(fabric, first + i)];
      const long long times = (rows - i + cycle - 1) / cycle;
      for (const auto& [key, count] : row.tally) {
        const Linear worked = Linear(count.at(n)) * times;
        if (worked == Linear(0)) continue;
        Linear& sum = tally[{key.first, key.second < 0 ? in_hand_ : key.second}];
        sum = sum + worked;
      }
      out_.widest = std::max(out_.widest, row.after.at(n));
    }
    shelf_.effort.row(0, own_rows);
    if (fabric.rows.front().row.strand >= 0) worked_in = fabric.rows.front().row.strand;
    left.append((*fabric.after)[row_after(fabric, first + rows - 1)].at(n));
  }
  if (!within_reason(span)) return false;
  const auto name = [&] {
    std::string out;
    for (std::size_t k = 0; k < parts.size(); ++k) {
      const Step::Part& part = parts[flat && side_ == Side::wrong ? parts.size() - 1 - k : k];
      const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
      out += fmt::format("{}{} of {}", k == 0 ? "" : ", ",
                         row_name(fabric.rows[row_after(fabric, first)].row, form_, shelf_.strands),
                         fabric.name);
    }
    return out;
  };
  // Where the first row finds its yarn is all that can be wrong; each later one begins where that ended.
  const std::size_t before = diagnostics_.errors();
  const auto edge = [&](Side side) { return edge_where_begins(side, !flat); };
  ends_.row({{worked_in}, edge(side_), edge(flat ? other(side_) : side_), row_ + 1, name, span, true},
            shelf_.strands, diagnostics_);
  if (diagnostics_.errors() != before) return false;
  ends_.draw_to(worked_in, edge(after));
  ends_.skip(row_, rows - 1);
  row_ = add_counts(row_, rows);
  side_ = after;
  needles_.left = std::move(left);
  settle();
  return true;
}

}  // namespace wale
