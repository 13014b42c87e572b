// Stitches lost or gained at points over a row, all at once in a plain row: `narrow 1 at 8 points every 2
// rounds`, where one lies at the end of each section, and `spread 12 more over the row`.

#include <fmt/format.h>

#include <algorithm>

#include "compiler/piece_worker.hpp"

namespace wale {

namespace {

/// So many plain stitches in each section, and the change behind them or before; sections that are alike
/// stand as one group.
void add_sections(const std::vector<long long>& sections, Op plain, const Op& change, bool change_first,
                  Row& row) {
  for (std::size_t i = 0; i < sections.size();) {
    std::size_t end = i;
    while (end < sections.size() && sections[end] == sections[i]) ++end;
    Op group;
    group.form = Op::Form::group;
    group.count = static_cast<long long>(end - i);
    group.span = change.span;
    plain.count = sections[i];
    if (change_first) group.ops.push_back(change);
    if (plain.count > 0) group.ops.push_back(plain);
    if (!change_first) group.ops.push_back(change);
    row.ops.push_back(std::move(group));
    i = end;
  }
}

}  // namespace

/// A plain row, with a stitch lost or gained at the end of each section.
bool PieceWorker::shape_points_row(const Shaping& plan, bool shaped, std::vector<long long>& sections,
                                   Step& out) {
  const bool wrong = form_ == Form::flat && side_ == Side::wrong;
  Row row;
  row.side = side_;
  row.span = row.label = out.span;
  const std::string_view plain = wrong ? "p" : "k";
  if (!shaped) {
    row.ops.push_back(made(plain, needles_.width().base, out.span));
    return work_made_row(std::move(row), "the row between", false, out);
  }
  const long long uses = plan.widen ? 0 : 2;
  const std::string_view change = plan.widen ? (wrong ? "m1lp" : "m1l") : wrong ? "p2tog" : "k2tog";
  std::vector<long long> order = sections;
  if (wrong) std::reverse(order.begin(), order.end());
  if (std::any_of(order.begin(), order.end(), [&](long long each) { return each < std::max(uses, 1LL); }))
    return cannot_shape(out.span, fmt::format("{} at {} leave too few between the points",
                                              count_of(needles_.width().base, "stitch", "stitches"),
                                              count_of(plan.points, "point", "points")));
  for (long long& each : order) each -= uses;
  add_sections(order, made(plain, 1, out.span), made(change, 1, out.span), wrong, row);
  const bool kept = std::none_of(out.rows.begin(), out.rows.end(),
                                 [&](const CheckedRow& each) { return each.row.side == side_; });
  if (!work_made_row(std::move(row), "the shaping row", kept, out)) return false;
  for (long long& each : sections) each += plan.widen ? 1 : -1;
  return true;
}

/// One plain row with stitches gained or lost as evenly as integers allow; in flat work half a section lies
/// at either end.
bool PieceWorker::do_spread(const tree::Spread& source, Step& out) {
  out.kind = Step::Kind::rows;
  if (!at_an_edge(out.span, "and stitches are spread over a whole row")) return false;
  const auto amount = evaluate_count(source.amount, shelf_.scope, 0, "the stitches spread", diagnostics_);
  if (!amount) return false;
  const long long there = needles_.width().base, uses = source.more ? 0 : 2;
  if (*amount * std::max(uses, 1LL) > there || *amount > most_points) {
    cannot_shape(source.amount.span,
                 fmt::format("{} {} cannot be spread over {}", *amount, source.more ? "more" : "fewer",
                             count_of(there, "stitch", "stitches")));
    diagnostics_.last().try_this(
        fmt::format("{} at most in one row", std::min(most_points, there / std::max(uses, 1LL))));
    return false;
  }
  const bool wrong = form_ == Form::flat && side_ == Side::wrong;
  const std::string_view plain = wrong ? "p" : "k";
  const std::string_view change = source.more ? (wrong ? "m1p" : "m1") : wrong ? "p2tog" : "k2tog";
  std::vector<long long> sections = even_sections(there, std::max(*amount, 1LL));
  for (long long& each : sections) each -= uses;
  Row row;
  row.side = side_;
  row.span = row.label = out.span;
  // Stitches before each change, and after the last one.
  long long after = 0;
  if (*amount == 0) sections = {}, after = there;
  if (!sections.empty() && form_ == Form::flat) {
    after = (sections.front() + 1) / 2;
    sections.front() -= after;
  }
  add_sections(sections, made(plain, 1, out.span), made(change, 1, out.span), false, row);
  if (after > 0) row.ops.push_back(made(plain, after, out.span));
  standing_.reset();
  return work_made_row(std::move(row), "the spread row", true, out);
}

}  // namespace wale
