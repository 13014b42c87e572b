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
  bool one_strand = true;
  long long wide = 0;
  for (const Step::Part& part : parts) {
    const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
    const long long cycle = fabric.cycle_rows();
    if (!fabric.after || (form_ == Form::flat && cycle % 2 == 1)) return false;
    if (!fabric.returns && row_after(fabric, first) + static_cast<std::size_t>(rows) > fabric.rows.size())
      return false;
    const CheckedRow& row = fabric.rows[row_after(fabric, first)];
    const long long n = fabric.n_of(part.width);
    if (n < fabric.smallest_n + static_cast<long long>(fabric.small_entries.size())) return false;
    if (row.row.side != (form_ == Form::round ? Side::right : side_) || row.before.at(n) != part.width)
      return false;
    for (const CheckedRow& each : fabric.rows) {
      if (each.after.at(n) >= largest_work) return false;
      one_strand &= strand.value_or(each.row.strand) == each.row.strand;
      strand = each.row.strand;
      for (const auto& [key, count] : each.tally) one_strand &= key.second == each.row.strand;
    }
    wide += part.width;
  }
  // Strands of fabrics side by side would be carried behind one another's stitches.
  return (one_strand || parts.size() == 1) && !needles_.mid_row() && needles_.left.width() == Linear(wide) &&
         needles_.left.ahead_of(LoopType::plain, wide) == wide;
}

/// Adds a row that is worked so often at this n.
void PieceWorker::count_row(const Tally& row, long long n, long long times, Tally& to) {
  const auto in = [&](short strand) { return strand < 0 ? in_hand_ : strand; };
  bool one_strand = true;
  for (const auto& [key, count] : row) one_strand &= in(key.second) == in(row.begin()->first.second);
  if (one_strand) {
    for (const auto& [key, count] : row)
      if (const long long worked = count.at(n); worked != 0) {
        Linear& sum = to[{key.first, in(key.second)}];
        sum = sum + Linear(worked) * times;
      }
    return;
  }
  Tally one;
  for (const auto& [key, count] : row)
    if (const long long worked = count.at(n); worked != 0) one[key] = worked;
  resolve(one, in_hand_);
  carry(one, shelf_.stitches);
  add(to, one, times);
}

/// The rows are there to be counted, and the needle to be put together.
bool PieceWorker::evaluate_layout(const std::vector<Step::Part>& parts, long long first, long long rows,
                                  Span span, Tally& tally) {
  const bool flat = form_ == Form::flat;
  const Side after = flat && rows % 2 == 1 ? other(side_) : side_;
  Needle left;
  for (std::size_t k = 0; k < parts.size(); ++k) {
    // As the next row comes to them.
    const Step::Part& part = parts[flat && after == Side::wrong ? parts.size() - 1 - k : k];
    const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
    const long long n = fabric.n_of(part.width), cycle = fabric.cycle_rows();
    for (long long i = 0; i < std::min(rows, cycle); ++i) {
      const CheckedRow& row = fabric.rows[row_after(fabric, first + i)];
      count_row(row.tally, n, (rows - i + cycle - 1) / cycle, tally);
      // Its stitches are gone through once more when it is recorded.
      shelf_.effort.row(row.work, 0);
      out_.widest = std::max(out_.widest, row.after.at(n));
    }
    left.append((*fabric.after)[row_after(fabric, first + rows - 1)].at(n));
  }
  if (!within_reason(span) || !follow_yarns(parts, first, rows, span)) return false;
  side_ = after;
  needles_.left = std::move(left);  // a few segments for each part: short as it is
  return true;
}

/// Where the yarns hang. Two cycles show whether each is within reach; from then on it goes in a circle.
bool PieceWorker::follow_yarns(const std::vector<Step::Part>& parts, long long first, long long rows,
                               Span span) {
  const bool flat = form_ == Form::flat;
  long long cycle = 1;
  for (const Step::Part& part : parts)
    cycle = std::max(cycle, out_.fabrics[static_cast<std::size_t>(part.fabric)].cycle_rows());
  const std::size_t errors = diagnostics_.errors();
  for (long long i = 0; i < rows; ++i) {
    const Side side = flat && i % 2 == 1 ? other(side_) : side_;
    StrandSet strands;
    for (const Step::Part& part : parts) {
      const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
      const long long n = fabric.n_of(part.width);
      for (const auto& [key, count] : fabric.rows[row_after(fabric, first + i)].tally)
        if (count.at(n) != 0) strands.insert(key.second < 0 ? in_hand_ : key.second);
    }
    const auto name = [&] {
      std::string out;
      for (std::size_t k = 0; k < parts.size(); ++k) {
        const Step::Part& part = parts[flat && side == Side::wrong ? parts.size() - 1 - k : k];
        const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
        out += fmt::format("{}{} of {}", k == 0 ? "" : ", ",
                           row_name(fabric.rows[row_after(fabric, first + i)].row, form_, shelf_.strands),
                           fabric.name);
      }
      return out;
    };
    ends_.row({strands, edge_where_begins(side, !flat), edge_where_begins(flat ? other(side) : side, !flat),
               row_ + 1, name, span, true},
              shelf_.strands, diagnostics_);
    if (diagnostics_.errors() != errors) return false;
    ++row_;
    if (i + 1 < 2 * cycle || (i + 1) % cycle != 0) continue;
    const long long more = (rows - i - 1) / cycle * cycle;
    skip_rows(row_ - cycle, more);
    i += more;
  }
  return true;
}

}  // namespace wale
