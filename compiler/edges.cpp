#include "compiler/edges.hpp"

#include <algorithm>
#include <cmath>

#include "compiler/linear.hpp"

namespace wale {

namespace {

/// Without a gauge: a row is so many stitches long.
constexpr double row_in_stitches = 0.75;

bool same_edge(const Stretch& a, const Stretch& b) {
  return a.of == b.of && a.where == b.where && a.outer == b.outer && a.name == b.name &&
         a.rows_per_cm == b.rows_per_cm && a.stitches_per_cm == b.stitches_per_cm;
}

bool same_direction(const Stretch& a, const Stretch& b) {
  if (a.rows == 0 || b.rows == 0) return a.rows == b.rows;
  return static_cast<double>(a.stitches) * static_cast<double>(b.rows) ==
         static_cast<double>(b.stitches) * static_cast<double>(a.rows);
}

/// `count` over those of `stretches` that are asked for, each part's end rounded, so that no part is a whole
/// stitch from its share; what a full one cannot hold goes to those with room.
void share(const std::vector<Stretch>& stretches, const std::vector<double>& natural,
           const std::vector<bool>& asked, long long count, std::vector<long long>& out) {
  double total = 0;
  for (std::size_t i = 0; i < stretches.size(); ++i)
    if (asked[i]) total += natural[i];
  double sum = 0;
  long long done = 0, over = 0;
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    if (!asked[i]) continue;
    sum += natural[i];
    const long long end =
        total > 0 ? std::llround(static_cast<double>(count) * std::min(1.0, sum / total)) : done;
    out[i] = std::min(end - done, stretches[i].places());
    over += end - done - out[i];
    done = end;
  }
  over += count - done;
  for (std::size_t i = 0; i < stretches.size() && over > 0; ++i) {
    if (!asked[i]) continue;
    const long long more = std::min(over, stretches[i].places() - out[i]);
    out[i] += more;
    over -= more;
  }
}

}  // namespace

double Stretch::length() const {
  const double r = static_cast<double>(rows), s = static_cast<double>(stitches);
  if (!measured()) return std::hypot(of == Of::rows ? r * row_in_stitches : 0, s);
  return std::hypot(of == Of::rows ? r / rows_per_cm : 0, s / stitches_per_cm);
}

long long Stretch::places() const {
  return of == Of::rows ? add_counts(rows, stitches) : stitches;
}

bool lengthen(std::vector<Stretch>& edges, std::size_t from, Stretch more) {
  if (more.rows == 0 && more.stitches == 0) return false;
  const auto join = [&](Stretch& last) {
    last.rows = add_counts(last.rows, more.rows);
    last.stitches = add_counts(last.stitches, more.stitches);
  };
  // Both sides grow by turns, so the edge's last stretch is not far from the end.
  constexpr std::size_t reach = 8;
  const bool full = edges.size() >= most_stretches;
  for (std::size_t i = edges.size(), seen = 0; i > from && seen < reach; --i, ++seen) {
    Stretch& last = edges[i - 1];
    if (last.where != more.where) continue;
    if (same_edge(last, more) && (full || same_direction(last, more))) return join(last), false;
    if (!full) break;
  }
  if (full)
    for (std::size_t i = from; i < edges.size(); ++i)
      if (same_edge(edges[i], more)) return join(edges[i]), true;
  if (edges.empty()) edges.reserve(reach);
  edges.push_back(std::move(more));
  return full;
}

double natural_count(const Stretch& stretch, double stitches_per_cm) {
  if (stretch.of != Stretch::Of::rows) return static_cast<double>(stretch.stitches);
  return stretch.length() * (stretch.measured() && stitches_per_cm > 0 ? stitches_per_cm : 1);
}

std::vector<long long> share_out(const std::vector<Stretch>& stretches, const std::vector<double>& natural,
                                 long long count) {
  std::vector<long long> out(stretches.size(), 0);
  std::vector<bool> rows(stretches.size()), made(stretches.size());
  long long fixed = 0, row_places = 0;
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    const Stretch& each = stretches[i];
    rows[i] = each.of == Stretch::Of::rows;
    made[i] = each.of != Stretch::Of::held;
    if (!made[i]) {
      out[i] = each.stitches;
      count -= each.stitches;
    } else if (rows[i]) {
      row_places = add_counts(row_places, each.places());
    } else {
      fixed = add_counts(fixed, each.stitches);
    }
  }
  const long long rest = count - fixed;
  if (row_places == 0 || rest < 0 || rest > row_places) {
    share(stretches, natural, made, count, out);
    return out;
  }
  for (std::size_t i = 0; i < stretches.size(); ++i)
    if (made[i] && !rows[i]) out[i] = stretches[i].stitches;
  share(stretches, natural, rows, rest, out);
  return out;
}

PickUpRate pick_up_rate(long long stitches, long long rows) {
  PickUpRate best;
  if (rows <= 0) return best;
  constexpr long long longest = 4;
  const double wanted = static_cast<double>(stitches) / static_cast<double>(rows);
  double off = std::abs(1 - wanted);
  for (long long r = 1; r <= longest; ++r) {
    const long long s = std::max(1LL, std::llround(wanted * static_cast<double>(r)));
    const double now = std::abs(static_cast<double>(s) / static_cast<double>(r) - wanted);
    if (now < off - 1e-9) off = now, best = {s, r};
  }
  return best;
}

}  // namespace wale
