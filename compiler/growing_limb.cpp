#include "compiler/growing_limb.hpp"

#include <algorithm>
#include <cmath>

namespace wale {

namespace {

/// Places closer than this are the same, in cm.
constexpr double near = 1e-7;
/// Steps of short rows that are kept.
constexpr std::size_t most_runs = 1000;

bool same_place(const Corner& a, const Corner& b) {
  return std::abs(a.x - b.x) < near && std::abs(a.y - b.y) < near;
}

/// Whether the way from `a` over `b` to `c` is one straight line up or across.
bool straight_on(const Corner& a, const Corner& b, const Corner& c) {
  const bool up = std::abs(a.x - b.x) < near && std::abs(b.x - c.x) < near && (b.y - a.y) * (c.y - b.y) > 0;
  const bool across =
      std::abs(a.y - b.y) < near && std::abs(b.y - c.y) < near && (b.x - a.x) * (c.x - b.x) > 0;
  return up || across;
}

long long count_of(const std::vector<GrowingLimb::Run>& runs) {
  long long out = 0;
  for (const GrowingLimb::Run& run : runs) out += run.count;
  return out;
}

}  // namespace

GrowingLimb GrowingLimb::cast_on(long long count, double column) {
  GrowingLimb out;
  out.column = column;
  out.runs_.push_back({count, 0, false});
  out.right = static_cast<double>(count) * column / 2;
  out.left = -out.right;
  out.start(OutlineEdge::Kind::cast_on);
  return out;
}

void GrowingLimb::start(OutlineEdge::Kind kind) {
  limb = Limb();
  std::vector<Corner> bottom = front(runs_, right);
  std::reverse(bottom.begin(), bottom.end());
  limb.bottom.push_back({kind, "", std::move(bottom)});
  limb.right.push_back({OutlineEdge::Kind::side, "", {{right, right_height(), false}}});
  limb.left.push_back({OutlineEdge::Kind::side, "", {{left, left_height(), false}}});
  risen_ = false;
}

long long GrowingLimb::extent() const {
  return count_of(runs_);
}

long long GrowingLimb::loops() const {
  long long out = 0;
  for (const Run& run : runs_)
    if (!run.gap) out += run.count;
  return out;
}

/// Against the clock from the right: the height of the stitches from there to the left. Where they are a
/// flight of steps, a drawing goes through the middle of each.
std::vector<Corner> GrowingLimb::front(const std::vector<Run>& runs, double from_x) const {
  std::vector<Corner> out;
  const bool steps = runs.size() > 2;
  double x = from_x;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const double y = base + runs[i].lift, end = x - static_cast<double>(runs[i].count) * column;
    const bool is_first = i == 0, is_last = i + 1 == runs.size();
    const bool sharp = !steps || runs[i].gap;
    out.push_back({x, y, !(is_first || sharp || (i > 0 && runs[i - 1].gap))});
    if (!sharp && !is_first && !is_last) out.push_back({(x + end) / 2, y, false});
    out.push_back({end, y, !(is_last || sharp || (!is_last && runs[i + 1].gap))});
    x = end;
  }
  return out;
}

void GrowingLimb::set_column(double cm) {
  if (cm == column) return;
  const double middle = (right + left) / 2, half = static_cast<double>(extent()) * cm / 2;
  column = cm;
  right = middle + half;
  left = middle - half;
}

void GrowingLimb::settle() {
  for (std::size_t i = 0; i + 1 < runs_.size();) {
    Run& run = runs_[i];
    const Run& next = runs_[i + 1];
    if (next.count == 0 || (run.gap == next.gap && std::abs(run.lift - next.lift) < near)) {
      run.count += next.count;
      runs_.erase(runs_.begin() + static_cast<std::ptrdiff_t>(i) + 1);
    } else if (run.count == 0) {
      runs_.erase(runs_.begin() + static_cast<std::ptrdiff_t>(i));
    } else {
      ++i;
    }
  }
}

void GrowingLimb::trim(long long count, bool at_right) {
  take(count, at_right);
}

/// So many stitches from an edge, with the gaps among them; a gap that comes to lie at the edge goes, too.
std::vector<GrowingLimb::Run> GrowingLimb::take(long long count, bool at_right) {
  std::vector<Run> out;
  while (!runs_.empty() && (count > 0 || runs_.size() > 1)) {
    Run& run = at_right ? runs_.front() : runs_.back();
    const long long here = run.gap ? run.count : std::min(count, run.count);
    if (!run.gap && count == 0 && run.count > 0) break;
    Run taken = run;
    taken.count = here;
    if (!run.gap) count -= here;
    run.count -= here;
    out.push_back(taken);
    if (run.count > 0) continue;
    if (at_right)
      runs_.erase(runs_.begin());
    else
      runs_.pop_back();
  }
  if (runs_.empty()) runs_.push_back({0, out.empty() ? 0 : out.back().lift, false});
  return out;
}

void GrowingLimb::move_edges(long long at_right, long long at_left) {
  for (const bool is_right : {true, false}) {
    const long long by = is_right ? at_right : at_left;
    const long long before = extent();
    if (by < 0) trim(-by, is_right);
    if (by > 0) (is_right ? runs_.front() : runs_.back()).count += by;
    const double moved = static_cast<double>(extent() - before) * column;
    is_right ? right += moved : left -= moved;
  }
}

void GrowingLimb::gain_inside(long long count) {
  const long long before = extent();
  while (count != 0) {
    const auto widest = std::max_element(runs_.begin(), runs_.end(), [](const Run& a, const Run& b) {
      return (a.gap ? -1 : a.count) < (b.gap ? -1 : b.count);
    });
    const long long by = std::max(count, -widest->count);
    widest->count += by;
    count -= by;
    if (by == 0) break;
  }
  settle();
  const double half = static_cast<double>(extent() - before) * column / 2;
  right += half;
  left -= half;
}

void GrowingLimb::close_gaps() {
  const long long before = extent();
  std::erase_if(runs_, [](const Run& run) { return run.gap; });
  if (extent() == before) return;
  settle();
  const double half = static_cast<double>(before - extent()) * column / 2;
  right -= half;
  left += half;
}

void GrowingLimb::open_gap(const Move::Gap& gap, double row) {
  long long at = gap.from;
  for (std::size_t i = 0; i < runs_.size(); ++i) {
    if (runs_[i].gap) continue;
    if (at > runs_[i].count) {
      at -= runs_[i].count;
      continue;
    }
    Run rest = runs_[i];
    rest.count -= std::min(rest.count, at + gap.count);
    runs_[i].count = at;
    const Run hole{gap.count, rest.lift - row, true};
    runs_.insert(runs_.begin() + static_cast<std::ptrdiff_t>(i) + 1, {hole, rest});
    return;
  }
}

/// Lengthens a side.
void GrowingLimb::to(std::vector<OutlineEdge>& side, Corner corner) {
  std::vector<Corner>& line = side.back().corners;
  if (same_place(line.back(), corner)) {
    line.back().within &= corner.within;
    return;
  }
  if (line.size() > 1) {
    const Corner& before = line[line.size() - 2];
    // Where a slope ends is a corner, although the edge goes on as its last step did.
    const bool alike = before.within == line.back().within && line.back().within == corner.within;
    if (alike && straight_on(before, line.back(), corner)) {
      line.back() = corner;
      return;
    }
  }
  line.push_back(corner);
  ++corners;
}

void GrowingLimb::flush(bool within) {
  to(limb.right, {right, right_height(), within});
  to(limb.left, {left, left_height(), within});
}

void GrowingLimb::rise(double cm, bool within) {
  if (cm <= 0) return;
  flush(within);
  base += cm;
  flush(within);
  risen_ = true;
}

void GrowingLimb::rise_in_part(double cm, long long from, long long count) {
  flush(false);
  risen_ = true;
  std::vector<Run> next;
  long long at = 0;
  for (const Run& run : runs_) {
    if (run.gap) {
      next.push_back(run);
      continue;
    }
    const long long begin = std::clamp(from - at, 0LL, run.count),
                    end = std::clamp(from + count - at, 0LL, run.count);
    next.push_back({begin, run.lift, false});
    next.push_back({end - begin, run.lift + cm, false});
    next.push_back({run.count - end, run.lift, false});
    at += run.count;
  }
  std::erase_if(next, [](const Run& run) { return run.count == 0; });
  if (next.empty()) return;
  runs_ = std::move(next);
  settle();
  if (runs_.size() > most_runs) level();
  double least = runs_.front().lift;
  for (const Run& run : runs_) least = std::min(least, run.lift);
  base += least;
  for (Run& run : runs_) run.lift -= least;
  flush(false);
}

/// All stitches at their mean height.
void GrowingLimb::level() {
  close_gaps();
  double sum = 0;
  for (const Run& run : runs_) sum += static_cast<double>(run.count) * run.lift;
  const long long count = extent();
  runs_ = {{count, count > 0 ? sum / static_cast<double>(count) : 0, false}};
}

void GrowingLimb::slope_up(double cm) {
  base += cm;
  risen_ = true;
  flush(false);
}

double GrowingLimb::height() const {
  double lift = 0;
  for (const Run& run : runs_) lift = std::max(lift, run.lift);
  return base + lift;
}

void GrowingLimb::end_slope() {
  limb.right.back().corners.back().within = false;
  limb.left.back().corners.back().within = false;
}

void GrowingLimb::call_edge(bool at_right, const std::string& name) {
  std::vector<OutlineEdge>& side = at_right ? limb.right : limb.left;
  const Corner last = side.back().corners.back();
  if (side.back().corners.size() == 1) {
    side.back().name = name;
    return;
  }
  side.push_back({OutlineEdge::Kind::side, name, {last}});
}

void GrowingLimb::bind_off(long long count, bool at_right, const std::string& name) {
  flush(false);
  std::vector<OutlineEdge>& side = at_right ? limb.right : limb.left;
  const std::string before = side.back().name;
  if (!name.empty()) side.push_back({OutlineEdge::Kind::bound_off, name, {side.back().corners.back()}});
  double& x = at_right ? right : left;
  for (const Run& run : take(count, at_right)) {
    to(side, {x, base + run.lift, false});
    const double by = static_cast<double>(run.count) * column;
    x += at_right ? -by : by;
    to(side, {x, base + run.lift, false});
  }
  to(side, {x, at_right ? right_height() : left_height(), false});
  if (!name.empty()) side.push_back({OutlineEdge::Kind::side, before, {side.back().corners.back()}});
}

void GrowingLimb::add(long long count, bool at_right) {
  flush(false);
  move_edges(at_right ? count : 0, at_right ? 0 : count);
  flush(false);
  std::vector<OutlineEdge>& side = at_right ? limb.right : limb.left;
  side.push_back({OutlineEdge::Kind::side, "", {side.back().corners.back()}});
}

std::pair<GrowingLimb, GrowingLimb> GrowingLimb::part(long long count, bool at_right,
                                                      const std::string& name) {
  flush(false);
  GrowingLimb taken = *this, rest = *this;
  std::vector<Run> part = rest.take(count, at_right);
  // What was bound off between the two belongs to neither.
  std::vector<Run> between;
  while (!part.empty() && part.back().gap) {
    between.push_back(part.back());
    part.pop_back();
  }
  if (!at_right) std::reverse(part.begin(), part.end());
  taken.runs_ = part;
  const double own = static_cast<double>(count_of(part)) * column,
               gap = static_cast<double>(count_of(between)) * column;
  if (at_right) {
    taken.left = right - own;
    rest.right = taken.left - gap;
  } else {
    taken.right = left + own;
    rest.left = taken.right + gap;
  }
  if (tube) {
    (at_right ? taken.tube->to : taken.tube->from) =
        at_right ? tube->from + static_cast<double>(count) : tube->to - static_cast<double>(count);
    (at_right ? rest.tube->from : rest.tube->to) = at_right ? taken.tube->to : taken.tube->from;
  }
  OutlineEdge held{OutlineEdge::Kind::held, name, front(taken.runs_, taken.right)},
      other{OutlineEdge::Kind::inner, "", front(rest.runs_, rest.right)};
  if (!at_right) std::swap(held, other);
  const Corner before = held.corners.back(), after = other.corners.front();
  limb.top.push_back(std::move(held));
  if (!between.empty()) {
    const double y = base + between.front().lift;
    limb.top.push_back(
        {OutlineEdge::Kind::bound_off, "", {before, {before.x, y, false}, {after.x, y, false}, after}});
  }
  limb.top.push_back(std::move(other));
  const std::string right_name = limb.right.back().name, left_name = limb.left.back().name;
  for (GrowingLimb* each : {&taken, &rest}) {
    each->first = false;
    each->corners = 0;
    each->limb = Limb();
    each->start(OutlineEdge::Kind::inner);
    each->limb.behind = limb.behind;
    const bool keeps_right = (each == &taken) == at_right;
    (keeps_right ? each->limb.right : each->limb.left).back().name = keeps_right ? right_name : left_name;
  }
  return {std::move(taken), std::move(rest)};
}

void GrowingLimb::end(OutlineEdge::Kind kind, const std::string& name) {
  flush(false);
  limb.top.push_back({kind, name, front(runs_, right)});
}

GrowingLimb GrowingLimb::going_on() const {
  GrowingLimb out = *this;
  out.first = false;
  out.corners = 0;
  out.limb = Limb();
  out.start(OutlineEdge::Kind::inner);
  out.limb.behind = limb.behind;
  out.limb.right.back().name = limb.right.back().name;
  out.limb.left.back().name = limb.left.back().name;
  return out;
}

void GrowingLimb::lay_flat() {
  round = false;
  if (!tube || tube->all <= 0) return;
  const double half = tube->all / 2;
  // How far stitches [from, to) lie from the right edge, on average: out on the near side and back on the far
  // one.
  const auto sum = [&](double from, double to) {
    const double near_to = std::min(to, half), near_from = std::min(from, half);
    const double far_to = std::max(to, half), far_from = std::max(from, half);
    return (near_to * near_to - near_from * near_from) / 2 + tube->all * (far_to - far_from) -
           (far_to * far_to - far_from * far_from) / 2;
  };
  const double count = tube->to - tube->from;
  const double away = count > 0 ? sum(tube->from, tube->to) / count / half * (tube->right - tube->left) : 0;
  const double middle = tube->right - away, width = right - left;
  const bool behind = tube->from + count / 2 > half && count < tube->all;
  right = middle + width / 2;
  left = middle - width / 2;
  tube.reset();
  set_column(column * 2);
  if (risen_ || limb.bottom.front().kind != OutlineEdge::Kind::inner) return;
  const std::string right_name = limb.right.back().name, left_name = limb.left.back().name;
  const std::string name = limb.name;
  start(OutlineEdge::Kind::inner);
  limb.behind = behind;
  limb.name = name;
  limb.right.back().name = right_name;
  limb.left.back().name = left_name;
}

}  // namespace wale
