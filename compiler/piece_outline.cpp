#include "compiler/piece_outline.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "compiler/growing_limb.hpp"

namespace wale {

namespace {

/// Corners of a piece, and moves that are gone through: beyond them slopes are straight, and repeats are one
/// slope.
constexpr std::size_t most_corners = 20'000;
constexpr long long most_moves = 200'000;
constexpr std::size_t most_bands = 64, most_limbs = 2'000;
/// Each step of a slope is as wide or as high as this at most, in cm: larger ones are drawn as what they are.
constexpr double largest_step = 3;
/// Times through a repeat so low make a slope, in cm.
constexpr double lowest_repeat = 3;

bool only_rows(const Course& course) {
  return std::all_of(course.begin(), course.end(), [](const Move& each) {
    return each.kind == Move::Kind::rows ? each.gaps.empty()
                                         : each.kind == Move::Kind::group && only_rows(each.moves);
  });
}

class Builder {
 public:
  Builder(const Piece& piece, const Pattern& pattern) : piece_(piece), pattern_(pattern) {}

  PieceOutline build() {
    run(piece_.course);
    if (now_) end(OutlineEdge::Kind::held, "");
    // What still waits is an edge on which stitches are held; nothing more is drawn of it.
    return std::move(out_);
  }

 private:
  /// Stitches that wait: the limb they will be, and the edge at which they do.
  struct Waiting {
    GrowingLimb limb;
    std::size_t outline = 0, of = 0, edge = 0;
  };

  Outline& outline() { return out_.outlines[now_->outline]; }

  void run(const Course& course) {
    for (const Move& move : course) {
      if (++moves_ > most_moves) return;
      step(move);
    }
  }

  void step(const Move& move) {
    using Kind = Move::Kind;
    if (move.kind == Kind::group) return group(move);
    if (move.kind == Kind::begin) return begin(move);
    if (move.kind == Kind::resume) return resume(move);
    if (!now_) return;
    switch (move.kind) {
      case Kind::rows:
        return rows(move);
      case Kind::part_row:
        settle(move);
        out_.size.area += static_cast<double>(move.count) * now_->column * row();
        now_->rise_in_part(row(), move.from, move.count);
        if (move.inner != 0) now_->gain_inside(move.inner);
        return measure();
      case Kind::add:
        if (move.wales != now_->wales) settle(move);
        now_->add(move.count, move.at_right);
        return measure();
      case Kind::bind_off:
        return move.all ? end(OutlineEdge::Kind::bound_off, move.name)
                        : now_->bind_off(move.count, move.at_right, move.name);
      case Kind::unite:
        return end(OutlineEdge::Kind::joined, move.name);
      case Kind::hold:
        return hold(move);
      case Kind::into_rows:
        now_->lay_flat();
        outline().round = true;
        return;
      case Kind::call_edge:
        return now_->call_edge(move.at_right, move.name);
      case Kind::group:
      case Kind::begin:
      case Kind::resume:
        return;
    }
  }

  /// In cm.
  double row() const { return 1 / now_->gauge->rows_per_cm; }

  double column(const GrowingLimb& limb) const {
    return limb.wales / limb.gauge->wales_per_cm() / (limb.round || limb.cord ? 2 : 1);
  }

  const Gauge* gauge_of(int fabric) const {
    if (fabric < 0) return &pattern_.gauges.front();
    return pattern_.gauge_for(piece_.fabrics[static_cast<std::size_t>(fabric)].name);
  }

  /// The limb is worked as the move says: the fabric, and with it the gauge; flat, round or as a cord.
  void settle(const Move& move) {
    GrowingLimb& limb = *now_;
    if (move.fabric >= 0) {
      limb.gauge = gauge_of(move.fabric);
      limb.fabric = move.fabric;
      band();
    }
    limb.round = move.round;
    limb.cord = move.cord;
    limb.wales = move.wales;
    limb.set_column(column(limb));
  }

  void band() {
    if (!now_->first) return;
    std::vector<Band>& bands = outline().bands;
    const std::string& name = piece_.fabrics[static_cast<std::size_t>(now_->fabric)].name;
    if (!bands.empty() && (bands.back().fabric == name || bands.size() >= most_bands)) return;
    if (!bands.empty() && bands.back().to <= bands.back().from) bands.pop_back();
    bands.push_back({name, now_->base, now_->base});
  }

  void measure() {
    const double around = static_cast<double>(now_->loops()) * now_->column * (now_->round ? 2 : 1);
    out_.size.width = std::max(out_.size.width, around);
    out_.size.length = std::max(out_.size.length, now_->height());
  }

  void rise(long long count, bool within) {
    if (count <= 0) return;
    const double height = static_cast<double>(count) * row();
    measure();
    out_.size.area += static_cast<double>(now_->loops()) * now_->column * height;
    now_->rise(height, within || slope_);
    if (now_->round) {
      const double all = static_cast<double>(now_->loops());
      now_->tube = GrowingLimb::Tube{all, 0, all, now_->left, now_->right};
    }
    if (now_->first && !outline().bands.empty()) outline().bands.back().to = now_->base;
    measure();
  }

  void rows(const Move& move) {
    settle(move);
    if (now_->round) outline().round = true;
    const bool shapes = move.right != 0 || move.left != 0 || move.inner != 0;
    if (!shapes && move.gaps.empty()) {
      now_->close_gaps();
      return rise(multiply_counts(move.every, move.times), false);
    }
    if (move.straight ||
        static_cast<std::size_t>(move.times) > (most_corners - std::min(corners_, most_corners)) / 8)
      return straight(move);
    const double across = static_cast<double>(std::max(std::abs(2 * move.right + move.inner),
                                                       std::abs(2 * move.left + move.inner))) /
                          2 * now_->column,
                 up = static_cast<double>(move.every) * row();
    // One stitch inside an edge is a slope even if it happens once; what is bound off at once is a step.
    const bool slope = move.times > 1 ? across < largest_step || up < largest_step
                                      : !move.at_once && across < largest_step && move.gaps.empty();
    const std::size_t before = now_->corners;
    for (long long i = 0; i < move.times; ++i) space(move, slope);
    if (slope && !slope_) now_->end_slope();
    corners_ += now_->corners - std::min(before, now_->corners);
    // Under a gap the row is missing.
    out_.size.area -= static_cast<double>(gap_) * now_->column * row();
    for (const Move::Gap& gap : move.gaps) now_->open_gap(gap, row());
  }

  /// `every` rows, in which the edges move once.
  void space(const Move& move, bool within) {
    const long long first = std::min(move.right_at, move.left_at),
                    second = std::max(move.right_at, move.left_at);
    gap_ = 0;
    rise(std::min(first, move.every), within);
    for (const Move::Gap& gap : move.gaps) gap_ += gap.count;
    const bool both = first == second;
    edges(move, both || move.right_at < move.left_at, both || move.left_at < move.right_at, within);
    rise(std::min(second, move.every) - std::min(first, move.every), within);
    if (!both) edges(move, move.right_at > move.left_at, move.left_at > move.right_at, within);
    rise(move.every - std::min(second, move.every), within);
  }

  void edges(const Move& move, bool right, bool left, bool within) {
    now_->close_gaps();
    if (right) now_->gain_inside(move.inner + gap_);
    now_->move_edges(right ? move.right : 0, left ? move.left : 0);
    now_->flush(within || slope_);
  }

  /// All of it as one line.
  void straight(const Move& move) {
    outline().too_large = true;
    now_->close_gaps();
    const double before = now_->width(),
                 height = static_cast<double>(multiply_counts(move.every, move.times)) * row();
    now_->gain_inside(multiply_counts(move.inner, move.times));
    now_->move_edges(multiply_counts(move.right, move.times), multiply_counts(move.left, move.times));
    out_.size.area += (before + now_->width()) / 2 * height;
    now_->slope_up(height);
    if (now_->first && !outline().bands.empty()) outline().bands.back().to = now_->base;
    measure();
  }

  void group(const Move& move) {
    if (move.moves.size() == 1 && only_rows(move.moves) && move.moves.front().kind == Move::Kind::rows) {
      Move all = move.moves.front();
      all.times = multiply_counts(all.times, move.times);
      return step(all);
    }
    const bool plain = now_ && only_rows(move.moves);
    const long long cost = static_cast<long long>(move.moves.size());
    if (plain &&
        (move.times > (most_moves - std::min(moves_, most_moves)) / std::max(cost, 1LL) ||
         static_cast<std::size_t>(move.times) > (most_corners - std::min(corners_, most_corners)) / 8 /
                                                    static_cast<std::size_t>(std::max(cost, 1LL))))
      return whole(move);
    const bool outer = slope_;
    if (plain && move.times > 2 && height_of(move.moves) < lowest_repeat) slope_ = true;
    for (long long i = 0; i < move.times; ++i) {
      if (++moves_ > most_moves) break;
      run(move.moves);
    }
    slope_ = outer;
    if (plain && now_ && !slope_) now_->end_slope();
  }

  double height_of(const Course& course) const {
    double out = 0;
    const Gauge* gauge = now_->gauge;
    for (const Move& each : course) {
      if (each.kind == Move::Kind::group) out += static_cast<double>(each.times) * height_of(each.moves);
      if (each.kind != Move::Kind::rows) continue;
      if (each.fabric >= 0) gauge = gauge_of(each.fabric);
      out += static_cast<double>(multiply_counts(each.every, each.times)) / gauge->rows_per_cm;
    }
    return out;
  }

  /// A repeat of rows as one line, at the mean height of its rows.
  void whole(const Move& group) {
    Move sum;
    sum.every = 0;
    total(sum, group.moves);
    if (sum.every == 0) return;
    const double once = height_of(group.moves);
    sum.times = group.times;
    sum.straight = true;
    Move first = sum;
    first.times = 0;
    settle(first);
    Gauge mean = *now_->gauge;
    mean.rows_per_cm = static_cast<double>(sum.every) / once;
    const Gauge* last = now_->gauge;
    now_->gauge = &mean;
    straight(sum);
    now_->gauge = last;
  }

  static void total(Move& sum, const Course& course, long long times = 1) {
    for (const Move& each : course) {
      const long long often = multiply_counts(times, each.times);
      if (each.kind == Move::Kind::group) total(sum, each.moves, often);
      if (each.kind != Move::Kind::rows) continue;
      sum.every = add_counts(sum.every, multiply_counts(often, each.every));
      sum.right = add_counts(sum.right, multiply_counts(often, each.right));
      sum.left = add_counts(sum.left, multiply_counts(often, each.left));
      sum.inner = add_counts(sum.inner, multiply_counts(often, each.inner));
      sum.round = each.round;
      sum.cord = each.cord;
      sum.wales = each.wales;
      if (each.fabric >= 0) sum.fabric = each.fabric;
    }
  }

  void begin(const Move& move) {
    if (now_ || limbs_ >= most_limbs) return;
    ++limbs_;
    const Gauge* next = gauge_after(move);
    GrowingLimb made =
        GrowingLimb::cast_on(move.count, move.wales / next->wales_per_cm() / (move.round ? 2 : 1));
    made.gauge = next;
    made.wales = move.wales;
    made.round = move.round;
    made.first = true;
    made.outline = out_.outlines.size();
    out_.outlines.emplace_back();
    out_.outlines.back().picked_up = move.picked_up;
    now_ = std::move(made);
    measure();
  }

  /// A cast-on is as wide as the rows on it.
  const Gauge* gauge_after(const Move& begin) const {
    bool behind = false;
    for (const Move& each : piece_.course) {
      if (behind && each.kind == Move::Kind::rows && each.fabric >= 0) return gauge_of(each.fabric);
      if (behind && each.kind == Move::Kind::begin) break;
      behind |= &each == &begin;
    }
    return gauge_of(-1);
  }

  void close() {
    Outline& to = outline();
    to.limbs.push_back(std::move(now_->limb));
    now_.reset();
  }

  void end(OutlineEdge::Kind kind, const std::string& name) {
    measure();
    now_->end(kind, name);
    close();
  }

  void hold(const Move& move) {
    if (limbs_ >= most_limbs) return;
    ++limbs_;
    measure();
    Waiting waiting;
    waiting.outline = now_->outline;
    waiting.of = outline().limbs.size();
    if (now_->round && (!now_->tube || now_->tube->all <= 0))
      now_->tube = GrowingLimb::Tube{static_cast<double>(now_->loops()), 0,
                                     static_cast<double>(now_->loops()), now_->left, now_->right};
    if (move.all) {
      now_->end(OutlineEdge::Kind::held, move.name);
      waiting.limb = now_->going_on();
      close();
    } else {
      auto [taken, rest] = now_->part(move.count, move.at_right, move.name);
      waiting.limb = std::move(taken);
      waiting.edge = move.at_right ? 0 : now_->limb.top.size() - 1;
      close();
      now_ = std::move(rest);
    }
    waiting_[move.name] = std::move(waiting);
  }

  void resume(const Move& move) {
    const auto found = waiting_.find(move.name);
    if (now_ || found == waiting_.end()) return;
    Waiting& waiting = found->second;
    out_.outlines[waiting.outline].limbs[waiting.of].top[waiting.edge].kind = OutlineEdge::Kind::inner;
    now_ = std::move(waiting.limb);
    now_->limb.name = move.name;
    waiting_.erase(found);
  }

  const Piece& piece_;
  const Pattern& pattern_;
  PieceOutline out_;
  std::optional<GrowingLimb> now_;
  std::map<std::string, Waiting> waiting_;
  std::size_t corners_ = 0, limbs_ = 0;
  long long moves_ = 0;
  long long gap_ = 0;
  bool slope_ = false;  ///< inside a repeat that is one slope
};

}  // namespace

PieceOutline outline_of(const Piece& piece, const Pattern& pattern) {
  return Builder(piece, pattern).build();
}

std::vector<OutlineEdge> Limb::edges() const {
  std::vector<OutlineEdge> out = bottom;
  out.insert(out.end(), right.begin(), right.end());
  out.insert(out.end(), top.begin(), top.end());
  for (auto each = left.rbegin(); each != left.rend(); ++each) {
    out.push_back(*each);
    std::reverse(out.back().corners.begin(), out.back().corners.end());
  }
  return out;
}

std::vector<Corner> polygon(const Limb& limb) {
  std::vector<Corner> out;
  for (const OutlineEdge& edge : limb.edges())
    for (const Corner& corner : edge.corners)
      if (out.empty() || !(out.back() == corner)) out.push_back(corner);
  return out;
}

double area_of(const Limb& limb) {
  const std::vector<Corner> corners = polygon(limb);
  double twice = 0;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Corner &a = corners[i], &b = corners[(i + 1) % corners.size()];
    twice += a.x * b.y - b.x * a.y;
  }
  return twice / 2;
}

std::vector<Corner> drawn_corners(const std::vector<Corner>& corners) {
  constexpr double straight = 1e-6;
  std::vector<Corner> out;
  for (const Corner& corner : corners) {
    if (corner.within) continue;
    if (!out.empty() && std::hypot(out.back().x - corner.x, out.back().y - corner.y) < straight) continue;
    while (out.size() > 1) {
      const Corner &a = out[out.size() - 2], &b = out.back();
      const double cross = (b.x - a.x) * (corner.y - a.y) - (corner.x - a.x) * (b.y - a.y);
      const double along = (b.x - a.x) * (corner.x - b.x) + (b.y - a.y) * (corner.y - b.y);
      if (std::abs(cross) > straight * std::hypot(corner.x - a.x, corner.y - a.y) || along < 0) break;
      out.pop_back();
    }
    out.push_back(corner);
  }
  return out;
}

}  // namespace wale
