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
  bool one_strand = true, needs_others = false;
  long long wide = 0;
  for (const Step::Part& part : parts) {
    const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
    needs_others |= fabric.needs_set_up;
    const long long cycle = fabric.cycle_rows();
    if (!fabric.anew || (form_ == Form::flat && cycle % 2 == 1)) return false;
    if (!fabric.returns && row_after(fabric, first) + static_cast<std::size_t>(rows) > fabric.rows.size())
      return false;
    const CheckedRow& row = fabric.rows[row_after(fabric, first)];
    const long long n = fabric.n_of(part.width);
    if (n < fabric.looked_at_until()) return false;
    if (row.row.side != (form_ == Form::round ? Side::right : side_) || row.before.at(n) != part.width)
      return false;
    if (fabric.anew->most.at(n) >= largest_work) return false;
    one_strand &= fabric.anew->strand && strand.value_or(*fabric.anew->strand) == *fabric.anew->strand;
    strand = fabric.anew->strand;
    wide += part.width;
  }
  // Strands of fabrics side by side would be carried behind one another's stitches.
  return (one_strand || parts.size() == 1) && !needles_.mid_row() &&
         (all_plain_here(wide) ? !needs_others : needs_others && first == 0 && is_set_up(parts));
}

/// Adds rows that are worked so often at this n, all in one strand or each of them in several.
void PieceWorker::count_rows(const Tally& rows, bool one_strand, long long n, long long times, Tally& to) {
  add_at(to, rows, n, in_hand_, times);
  if (!one_strand) carry_at(to, rows, n, in_hand_, times, shelf_.stitches);
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
    // A tally of several strands tells what is carried behind what, which is a matter of the row.
    const bool one_strand = fabric.anew->strand.has_value();
    const long long whole = one_strand ? rows / cycle : 0;
    if (whole > 0) {
      count_rows(fabric.anew->cycle, true, n, whole, tally);
      shelf_.effort.rows += cycle;
      shelf_.effort.stitches += fabric.anew->work;
      for (const Linear& width : fabric.anew->widths) out_.widest = std::max(out_.widest, width.at(n));
    }
    const long long rest = rows - whole * cycle;
    for (long long i = 0; i < std::min(rest, cycle); ++i) {
      const CheckedRow& row = fabric.rows[row_after(fabric, first + i)];
      count_rows(row.tally, one_strand, n, (rest - i + cycle - 1) / cycle, tally);
      if (whole > 0) continue;
      // Its stitches are gone through once more when it is recorded.
      shelf_.effort.row(row.work, 0);
      out_.widest = std::max(out_.widest, row.after.at(n));
    }
    left.append(fabric.anew->after[row_after(fabric, first + rows - 1)].at(n));
  }
  if (!within_reason(span) || !follow_yarns(parts, first, rows, span)) return false;
  side_ = after;
  needles_.left = std::move(left);  // a few segments for each part: short as it is
  return true;
}

/// The strand that all rows of all parts are worked in, each of them in every row; nothing where there is no
/// such one.
std::optional<short> PieceWorker::strand_of_all(const std::vector<Step::Part>& parts) const {
  std::optional<short> out;
  for (const Step::Part& part : parts) {
    const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
    const std::optional<short>& own = fabric.anew->strand;
    const bool every_row =
        fabric.anew->always_worked && (fabric.width.constant() || fabric.n_of(part.width) > 0);
    if (!own || !every_row || out.value_or(*own) != *own) return {};
    out = own;
  }
  if (out) out = or_in_hand(*out);
  return out;
}

/// Rows that are all worked in one strand, which is then always where the next one begins: only the first may
/// find it out of reach, and the last one tells where it hangs.
bool PieceWorker::follow_strand(short strand, long long rows, const RowName& name, Span span) {
  const bool flat = form_ == Form::flat;
  const std::size_t errors = diagnostics_.errors();
  const auto end_of = [&](long long row) {
    return edge_where_begins(flat && row % 2 == 0 ? other(side_) : side_, !flat);
  };
  ends_.row({{strand}, edge_where_begins(side_, !flat), end_of(0), row_ + 1, name, span, true},
            shelf_.strands, diagnostics_);
  const bool good = diagnostics_.errors() == errors;
  if (good && rows > 1) ends_.worked_to(strand, end_of(rows - 1), add_counts(row_, rows));
  row_ = add_counts(row_, rows);
  return good;
}

/// Where the yarns hang. Two cycles show whether each is within reach; from then on it goes in a circle.
bool PieceWorker::follow_yarns(const std::vector<Step::Part>& parts, long long first, long long rows,
                               Span span) {
  const bool flat = form_ == Form::flat;
  const auto name_of_row = [&](long long i) {
    const bool from_left = flat && (i % 2 == 1 ? other(side_) : side_) == Side::wrong;
    std::string out;
    for (std::size_t k = 0; k < parts.size(); ++k) {
      const Step::Part& part = parts[from_left ? parts.size() - 1 - k : k];
      const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
      out += fmt::format("{}{} of {}", k == 0 ? "" : ", ",
                         row_name(fabric.rows[row_after(fabric, first + i)].row, form_, shelf_.strands),
                         fabric.name);
    }
    return out;
  };
  if (const auto only = strand_of_all(parts))
    return follow_strand(
        *only, rows, [&] { return name_of_row(0); }, span);
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
        if (count.at(n) != 0) strands.insert(or_in_hand(key.second));
    }
    const auto name = [&] { return name_of_row(i); };
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
