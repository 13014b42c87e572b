// Working even: the fabrics go on as they stand on the needle, whatever has been lost, gained or set aside.
//
// What is on the needle may be several sections, each of columns that follow one another (standing.hpp). A
// row is put together from them in the order in which they are worked.

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "compiler/piece_worker.hpp"

namespace wale {

/// Whether the fabrics on the needle can be cut; or it is told why they cannot, and what follows from that.
bool PieceWorker::can_cut(Span span, std::string_view consequence, std::string_view help) {
  for (const Step::Part& part : standing_->parts) {
    const std::string& why_not = apart_.why_not(part);
    if (why_not.empty()) continue;
    cannot_shape(span, fmt::format("{}, so it {}", why_not, consequence));
    diagnostics_.last().try_this(std::string(help));
    return false;
  }
  return true;
}

bool PieceWorker::do_even(const tree::Work& source, Step& out) {
  out.kind = Step::Kind::even;
  if (!take_in_hand(source.strand)) return false;
  if (!standing_) {
    cannot_shape(source.layout_span, "no fabric is being worked here that could go on");
    diagnostics_.last().try_this("name the fabric: work garter for 2 rows");
    return false;
  }
  out.parts = standing_->parts;
  const auto rows = extent_rows(source, out);
  return rows && work_standing(or_instead(out.span, *rows), out.span, out);
}

bool PieceWorker::standing_row_here(long long low, long long high, Row& row) {
  if (low >= high) return true;
  const std::size_t before = row.ops.size();
  const std::string why_not = apart_.row(*standing_, form_, side_, low, high, row.strand, row.ops);
  shelf_.effort.stitches += static_cast<long long>(row.ops.size() - before);
  return why_not.empty() || cannot_shape(row.span, why_not);
}

/// The stitches from `from` to `to`, counted from the right edge, in the order in which they are worked.
bool PieceWorker::standing_stretch(long long from, long long to, Row& row) {
  if (standing_->seams.empty())
    return standing_row_here(standing_->low + from, standing_->low + std::min(to, standing_->width()), row);
  struct Part {
    long long low, high;
  };
  std::vector<Part> parts;
  long long begins = 0;
  for (const Standing::Section& section : standing_->sections()) {
    const long long first = std::max(from, begins), last = std::min(to, begins + section.width());
    if (first < last) parts.push_back({section.low + first - begins, section.low + last - begins});
    begins += section.width();
  }
  if (form_ == Form::flat && side_ == Side::wrong) std::reverse(parts.begin(), parts.end());
  return std::all_of(parts.begin(), parts.end(),
                     [&](const Part& part) { return standing_row_here(part.low, part.high, row); });
}

/// `keep`: the row is one of the step's, besides those that are kept as they were worked.
bool PieceWorker::work_made_row(Row row, const RowName& name, bool keep, Step& out) {
  row.number = static_cast<long long>(out.rows.size()) + 1;
  auto worked = work_one_row(std::move(row), name, true, out);
  if (!worked) return false;
  const bool room = out.worked.size() < most_rows_kept;
  if (room && keep) out.worked.push_back(*worked);
  if (keep)
    out.rows.push_back(std::move(*worked));
  else if (room)
    out.worked.push_back(std::move(*worked));
  return true;
}

bool PieceWorker::work_standing(long long rows, Span span, Step& out) {
  if (standing_->whole()) {
    Standing after = *standing_;
    after.row += rows;
    if (!work_layout(standing_->parts, standing_->row, rows, span, out.tally)) return false;
    if (needles_.width() == Linear(after.high))
      standing_ = std::move(after);
    else
      standing_.reset();
    return true;
  }
  if (!can_cut(span, "cannot go on where it was left off", "name the fabric, which begins it anew"))
    return false;
  if (even_unseen(rows, span, out)) return true;
  long long cycle = form_ == Form::flat ? 2 : 1;
  for (const Step::Part& part : standing_->parts)
    cycle = std::min(std::lcm(cycle, out_.fabrics[static_cast<std::size_t>(part.fabric)].cycle_rows()),
                     largest_work);
  standing_->row %= cycle;
  State before = settled();
  for (long long done = 0; done < rows;) {
    const long long rows_before = row_, stretch = std::min(cycle, rows - done);
    Step once;
    for (long long i = 0; i < stretch; ++i) {
      Row row;
      row.side = side_;
      row.span = row.label = span;
      if (!standing_stretch(0, standing_->width(), row)) return false;
      if (!work_made_row(std::move(row), "the next row", false, once)) return false;
      ++standing_->row;
    }
    done += stretch;
    standing_->row %= cycle;
    State after = settled();
    const bool same = stretch == cycle && after == before;
    before = std::move(after);
    const long long more = same ? (rows - done) / cycle : 0;
    add(out.tally, once.tally, 1 + more);
    done += more * cycle;
    skip_rows(rows_before, more * cycle);
  }
  return true;
}

}  // namespace wale
