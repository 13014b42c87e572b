// Narrowing, widening and spreading: the fabrics go on as they stand while stitches are lost or gained, at
// the edges, beside markers, or at points all over the row.
//
// One stitch at an edge is lost or gained inside an edge stitch, so that the edge stays whole for seaming or
// picking up (k1, ssk ... k2tog, k1; common practice); beside a marker a stitch stays in the same way.
// Several at once are bound off or cast on where a row begins. At points the stitches between are worked
// plain.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "compiler/piece_worker.hpp"

namespace wale {

namespace {

/// Of a goal that is a length: a share by which the needle may be past it already (assumed).
constexpr double most_past = 0.05;

/// A goal that is a length is met as nearly as can be: where its shapings are a few too many for the rows, as
/// another gauge may make them, those that have room.
long long with_room(const tree::Shape& source, const Scope& scope, long long times, long long room) {
  if (!source.to || times <= room) return times;
  Diagnostics quiet;
  const auto goal = evaluate(*source.to, scope, quiet);
  // Both the goal and the count on the needle are rounded, and so are the rows.
  const bool few = times - room <= 2 + static_cast<long long>(most_past * static_cast<double>(times));
  return goal && goal->dimension == Dimension::length && few ? room : times;
}

}  // namespace

bool PieceWorker::cannot_shape(Span span, std::string message) {
  diagnostics_.add(Kind::cannot_shape, span, std::move(message));
  return false;
}

/// Columns leave the needle where the next row begins, or where it ends.
void PieceWorker::lose_columns(long long count, bool from_end) {
  const bool at_right = (side_ == Side::right || form_ == Form::round) != from_end;
  if (at_right) move_markers(count);
  if (!standing_) return;
  const long long width = standing_->width();
  at_right ? standing_->erase(0, count) : standing_->erase(width - count, width);
}

Op PieceWorker::made(std::string_view stitch, long long count, Span span) const {
  Op out;
  out.stitch = shelf_.stitches.find(stitch).value_or(-1);
  out.count = count;
  out.span = span;
  return out;
}

/// How many shaping rows there are, where a goal says so.
std::optional<long long> PieceWorker::shape_times(const tree::Shape& source, long long per, bool widen) {
  const long long there = needles_.width().base;
  const long long sign = widen ? 1 : -1;
  const auto goal = evaluate(*source.to, shelf_.scope, diagnostics_);
  if (!goal) return {};
  if (goal->dimension == Dimension::length) {
    const Gauge* gauge = shelf_.scope.gauge;
    if (!gauge) {
      if (shelf_.scope.gauge_unclear) return {};
      diagnostics_
          .add(Kind::no_gauge, source.to->span, "how many stitches this is can only be told with a gauge")
          .try_this("gauge 20 st x 28 rows = 10 cm");
      return {};
    }
    const double wanted = goal->value * gauge->stitches_per_cm;
    if (wanted > 1e9) return cannot_shape(source.to->span, "this is wider than any knitting"), std::nullopt;
    const double off = (wanted - static_cast<double>(there)) * static_cast<double>(sign);
    // What is a little past the goal already, as a multiple may make it at another gauge, stays so.
    if (off < -std::max(static_cast<double>(per) / 2, most_past * wanted)) {
      cannot_shape(source.to->span,
                   fmt::format("the needle holds {}, and this width is {:.0f} st: {}",
                               count_of(there, "stitch", "stitches"), wanted, widen ? "narrower" : "wider"));
      diagnostics_.last().try_this(widen ? "narrow" : "widen");
      return {};
    }
    return std::max(0LL, static_cast<long long>(std::llround(off / static_cast<double>(per))));
  }
  const auto count = evaluate_count(*source.to, shelf_.scope, 1, "the number of stitches", diagnostics_);
  if (!count) return {};
  const long long off = (*count - there) * sign;
  if (off >= 0 && off % per == 0) return off / per;
  const long long below = std::max(0LL, floor_divide(off, per)) * per;
  cannot_shape(source.to->span, fmt::format("from {} st, {} by {} each time, one never comes to {}", there,
                                            widen ? "widening" : "narrowing", per, *count));
  if (off < 0)
    diagnostics_.last().try_this(widen ? "narrow" : "widen");
  else
    diagnostics_.last().try_this(
        fmt::format("to {} st or to {} st", there + sign * below, there + sign * (below + per)));
  return {};
}

/// What the words ask for, in rows; `rows` becomes how many there are in all.
std::optional<Shaping> PieceWorker::plan_shape(const tree::Shape& source, Step& out, long long& rows) {
  using Where = tree::Shape::Where;
  Shaping plan;
  plan.widen = source.widen;
  plan.where = static_cast<Shaping::Where>(source.where);
  const auto amount = evaluate_count(source.amount, shelf_.scope, 1, "the stitches each time", diagnostics_);
  if (!amount) return {};
  plan.amount = *amount;
  if (source.where == Where::points) {
    const auto points = evaluate_count(*source.points, shelf_.scope, 1, "the number of points", diagnostics_);
    if (!points) return {};
    plan.points = *points;
    if (*points > most_points)
      return cannot_shape(source.points->span, fmt::format("a row has at most {} points", most_points)),
             std::nullopt;
    if (*amount > 1)
      return cannot_shape(source.amount.span, "at points, it is one stitch at each of them"), std::nullopt;
  }
  const bool at_markers = source.marker.has_value();
  if (at_markers && !plan_markers(source, plan)) return {};
  plan.in_steps = plan.amount > 1;
  if (plan.in_steps && form_ == Form::round) {
    cannot_shape(source.amount.span, "in the round no row begins at an edge, so it is one stitch at a time");
    diagnostics_.last().try_this(fmt::format("{} 1 each side", source.widen ? "widen" : "narrow"));
    return {};
  }
  const long long per = source.where == Where::points      ? plan.points
                        : source.where == Where::each_side ? 2 * *amount
                        : source.where == Where::markers   ? 2 * plan.marker_count
                        : at_markers                       ? plan.marker_count
                                                           : *amount;
  std::optional<long long> every, times, over;
  if (source.every) {
    every = evaluate_count(*source.every, shelf_.scope, 1, "the rows from one to the next", diagnostics_);
    if (!every) return {};
  }
  if (source.twice)
    return cannot_shape(*source.twice, "this has been said before in the same line"), std::nullopt;
  if (source.times && source.to)
    return cannot_shape(source.to->span, "how often is said twice: so many times, or to so many stitches"),
           std::nullopt;
  if (source.times)
    times = evaluate_count(*source.times, shelf_.scope, 0, "how often", diagnostics_);
  else if (source.to)
    times = shape_times(source, per, source.widen);
  if ((source.times || source.to) && !times) return {};
  if (source.over) {
    if (source.over_rows) {
      over = evaluate_count(*source.over, shelf_.scope, 1, "the number of rows", diagnostics_);
    } else {
      const Gauge* gauge = standing_
                               ? shelf_.pattern.gauge_for(
                                     out_.fabrics[static_cast<std::size_t>(standing_->parts[0].fabric)].name)
                               : shelf_.scope.gauge;
      const auto length = rows_of_length(*source.over, gauge, out);
      if (length) {
        const long long unit = form_ == Form::flat ? 2 : 1;
        over =
            std::max(unit, unit * static_cast<long long>(std::llround(*length / static_cast<double>(unit))));
      }
    }
    if (!over) return {};
  }
  if (every && over && times)
    return cannot_shape(source.over->span,
                        "how often, how far apart and over how much: any two of them are enough"),
           std::nullopt;
  // In a repeat it is once each time.
  if (every && !times && !over && repeats_ == 0) {
    cannot_shape(source.every->span, "it is not said how often, so it is not known when this ends");
    diagnostics_.last()
        .try_this(fmt::format("every {} rows 4 times", *every))
        .try_this(fmt::format("every {} rows to {} st", *every,
                              std::max(1LL, needles_.width().base + (source.widen ? 4 : -4) * per)));
    return {};
  }
  const long long least = plan.in_steps ? 2 : 1;
  if (!times) times = over && every ? *over / *every : 1;
  if (over && !every) times = with_room(source, shelf_.scope, *times, *over / least);
  if (over && !every) {
    if (*times > 0) {
      const auto rates = rates_over(*over, *times, form_ == Form::flat);
      if (!rates || rates->back().every < least) {
        cannot_shape(source.over->span,
                     fmt::format("{} do not go into {}", count_of(*times, "shaping", "shapings"),
                                 count_of(*over, "row", "rows")));
        diagnostics_.last().try_this(fmt::format("over {} rows, or more", *times * least));
        return {};
      }
      plan.rates = *rates;
    }
  } else if (*times > 0) {
    plan.rates = {{every.value_or(least), *times}};
    if (*times > largest_work / plan.rates[0].every || plan.rates[0].every < least) {
      cannot_shape(source.every ? source.every->span : out.span,
                   plan.rates[0].every < least
                       ? "stitches are bound off or cast on where a row begins: that is at "
                         "most every 2 rows"
                       : "these are more rows than any knitting has");
      if (plan.rates[0].every < least) diagnostics_.last().try_this("every 2 rows");
      return {};
    }
  }
  const bool one_edge = plan.in_steps && source.where != Where::each_side;
  for (const Rate& rate : plan.rates)
    if (one_edge && rate.every % 2 == 1 && (rate.times > 1 || &rate != &plan.rates.back())) {
      cannot_shape(source.every ? source.every->span : out.span,
                   fmt::format("several stitches are {} where a row begins, and at one edge that is every "
                               "other row, not every {} rows",
                               source.widen ? "cast on" : "bound off", rate.every));
      diagnostics_.last().try_this(fmt::format("every {} rows", rate.every + 1));
      return {};
    }
  long long shaped = 0;
  for (const Rate& rate : plan.rates) shaped += rate.every * rate.times;
  rows = over.value_or(shaped);
  const bool even_spaces =
      std::all_of(plan.rates.begin(), plan.rates.end(), [](const Rate& rate) { return rate.every % 2 == 0; });
  const bool starts_wrong = form_ == Form::flat && side_ == Side::wrong;
  if (starts_wrong && (even_spaces || one_edge) && !(plan.in_steps && source.where == Where::each_side))
    plan.lead = 1;
  // Several at the left edge go where a wrong-side row begins.
  if (plan.in_steps && source.where == Where::end) plan.lead = 1 - plan.lead;
  if (!plan.rates.empty())
    plan.even = rows - shaped + plan.rates.back().every - 1 - plan.lead -
                (plan.in_steps && plan.where == Shaping::Where::each_side ? 1 : 0);
  return plan;
}

bool PieceWorker::do_shape(const tree::Shape& source, Step& out) {
  out.kind = Step::Kind::shape;
  if (!at_an_edge(out.span, "and shaping begins at an edge")) return false;
  const bool points = source.where == tree::Shape::Where::points;
  if (!points && !standing_) {
    cannot_shape(out.span, "no fabric is being worked here that the shaping could go on with");
    diagnostics_.last().try_this("work a fabric first, such as: work garter for 2 rows");
    return false;
  }
  if (standing_) out.parts = standing_->parts;
  long long rows = 0;
  const auto plan = plan_shape(source, out, rows);
  if (!plan) return false;
  out.shaping = *plan;
  return rows == 0 || shape_rows(*plan, rows, out);
}

bool PieceWorker::shape_rows(const Shaping& plan, long long rows, Step& out) {
  using Where = Shaping::Where;
  std::vector<long long> sections;
  if (plan.where == Where::points) {
    standing_.reset();
    sections = even_sections(needles_.width().base, plan.points);
  } else if (!can_cut(out.span, "cannot go on while stitches are lost or gained at its edges",
                      "write the shaping rows out: rows { 1: ... }")) {
    return false;
  }
  std::vector<Point> points;
  std::size_t rate = 0;
  long long in_space = 0, done_at_rate = 0;
  for (long long i = 0; i < rows; ++i) {
    const bool shaping = rate < plan.rates.size();
    if (shaping && in_space == 0 && plan.where != Where::points) {
      // The last row is always worked on its own.
      const Rate& here = plan.rates[rate];
      const long long left = std::min(here.times - done_at_rate, (rows - 1 - i) / here.every);
      if (const long long done = left > 1 ? shape_times_unseen(plan, here, left, out) : 0; done > 0) {
        if (!within_reason(out.span)) return false;
        i += done * here.every - 1;
        done_at_rate += done;
        if (done_at_rate == here.times) ++rate, done_at_rate = 0;
        continue;
      }
    }
    const bool now = shaping && in_space == plan.lead;
    const bool in_steps = shaping && plan.in_steps && plan.where == Where::each_side && in_space < 2;
    if (plan.where != Where::points) points_now(plan, now, in_steps, points);
    if (plan.where == Where::points ? !shape_points_row(plan, now, sections, out)
                                    : !shape_row_at(plan, points, i == 0, i + 1 == rows, out))
      return false;
    if (!shaping || ++in_space < plan.rates[rate].every) continue;
    in_space = 0;
    if (++done_at_rate == plan.rates[rate].times) ++rate, done_at_rate = 0;
  }
  return true;
}

/// Where this row is shaped, from the right, and where the markers hang. `in_steps`: at each side, where the
/// row begins.
void PieceWorker::points_now(const Shaping& plan, bool now, bool in_steps, std::vector<Point>& out) const {
  using Where = Shaping::Where;
  out.clear();
  const long long width = standing_->width();
  const Point right{0, false, true}, left{width, true, false};
  if (in_steps) return out.push_back(side_ == Side::right ? right : left);
  const bool sides = plan.where == Where::each_side && !plan.in_steps;
  if (now && (sides || plan.where == Where::start)) out.push_back(right);
  for (const Marker& marker : markers_) {
    if (plan.marker_count == 0 || marker.name != plan.marker) continue;
    const bool before = now && plan.where != Where::after_markers,
               after = now && plan.where != Where::before_markers;
    if (marker.from_right < width)
      out.push_back({marker.from_right, before, after});
    else if (before)
      out.push_back(left);
    if (marker.from_right == width && after) out.insert(out.begin(), right);
  }
  if (now && (sides || plan.where == Where::end)) out.push_back(left);
}

/// One row of the fabrics, with stitches lost or gained at these places. The shaping's last row leaves the
/// needle as what follows finds it.
bool PieceWorker::shape_row_at(const Shaping& plan, const std::vector<Point>& points, bool first, bool last,
                               Step& out) {
  const bool looked_at = shelf_.effort.for_charts;
  if (!last && !(looked_at && first) && points.empty()) {
    const std::array<Point, 2> ends{Point{}, Point{standing_->width(), false, false}};
    if (shape_row_unseen(plan, ends, out)) {
      ++standing_->row;
      return within_reason(out.span);
    }
  }
  if (last && !looked_at && points.empty()) {
    see_needle();
    if (even_unseen(1, out.span, out)) return within_reason(out.span);
  }
  std::vector<Point>& all = bounds_;
  all.assign(1, {0, false, false});
  for (const Point& each : points) {
    if (each.at == 0)
      all.front() = each;
    else
      all.push_back(each);
  }
  if (all.back().at < standing_->width() || all.size() == 1)
    all.push_back({standing_->width(), false, false});
  const bool any =
      std::any_of(points.begin(), points.end(), [](const Point& p) { return p.before || p.after; });
  const bool kept = any && std::none_of(out.rows.begin(), out.rows.end(),
                                        [&](const CheckedRow& each) { return each.row.side == side_; });
  if (last || (looked_at && (first || kept)) || !shape_row_unseen(plan, all, out)) {
    see_needle();
    if (!shape_row_seen(plan, all, any, kept, out)) return false;
  }
  if (any) shape_columns(plan, points);
  ++standing_->row;
  return within_reason(out.span);
}

/// `any` stitch is lost or gained in it. `kept`: it is the first such row of its side.
bool PieceWorker::shape_row_seen(const Shaping& plan, const std::vector<Point>& bounds, bool any, bool kept,
                                 Step& out) {
  const bool wrong = form_ == Form::flat && side_ == Side::wrong;
  Row row;
  row.side = side_;
  row.span = row.label = out.span;
  row.ops.reserve(8);
  for (std::size_t i = 1; i < bounds.size(); ++i) {
    const std::size_t to = wrong ? bounds.size() - i : i;
    if (!shape_stretch(plan, bounds[to - 1], bounds[to], row, out.shaping->bare)) return false;
    if (i + 1 == bounds.size()) break;
    Op marker;
    marker.form = Op::Form::marker;
    marker.span = out.span;
    row.ops.push_back(std::move(marker));
  }
  const char* name = any ? "the shaping row" : "the row between";
  return work_made_row(std::move(row), name, kept, out);
}

/// The stitches between two places, in the order in which they are worked.
bool PieceWorker::shape_stretch(const Shaping& plan, const Point& from, const Point& to, Row& row,
                                bool& bare) {
  const bool wrong = form_ == Form::flat && side_ == Side::wrong;
  const bool right = from.after, left = to.before;
  const bool first = wrong ? left : right, last = wrong ? right : left;
  const long long width = to.at - from.at, both = right && left ? 2 : 1;
  const std::string_view plain = wrong ? "p" : "k";
  // The edge stitch stays where there is room for it.
  const long long edge = plan.in_steps || width < (plan.widen ? 1 : 3) * both ? 0 : 1;
  const long long uses = plan.in_steps ? (plan.widen ? 0 : plan.amount) : edge + (plan.widen ? 0 : 2);
  bare |= edge == 0 && !plan.in_steps && (right || left);
  if ((right || left) && (width < uses * both || (!plan.widen && width <= plan.amount * both)))
    return cannot_shape(
        row.span,
        fmt::format("{} left{}, too few to lose {} more", count_of(width, "stitch is", "stitches are"),
                    plan.marker_count > 0 ? " beside a marker" : "", plan.amount * both));
  const auto stitch = [&](std::string_view on_right, std::string_view on_wrong, long long count) {
    row.ops.push_back(made(wrong ? on_wrong : on_right, count, row.span));
  };
  const std::string_view in_step = plan.widen ? "co" : "bo";
  if (first && plan.in_steps) stitch(in_step, in_step, plan.amount);
  if (first && !plan.in_steps) {
    if (edge > 0) stitch(plain, plain, 1);
    plan.widen ? stitch("m1l", "m1rp", 1) : stitch("ssk", "p2tog", 1);
  }
  if (!standing_stretch(from.at + (right ? uses : 0), to.at - (left ? uses : 0), row)) return false;
  if (last && plan.in_steps) stitch(in_step, in_step, plan.amount);
  if (last && !plan.in_steps) {
    plan.widen ? stitch("m1r", "m1lp", 1) : stitch("k2tog", "ssp", 1);
    if (edge > 0) stitch(plain, plain, 1);
  }
  return true;
}

/// What the row has done to the columns and to the markers.
void PieceWorker::shape_columns(const Shaping& plan, const std::vector<Point>& points) {
  shelf_.effort.stitches += static_cast<long long>(points.size() * (markers_.size() + points.size()) / 16);
  for (Marker& marker : markers_) {
    long long lost = 0;
    for (const Point& each : points)
      lost += plan.amount * ((each.before && each.at <= marker.from_right ? 1 : 0) +
                             (each.after && each.at < marker.from_right ? 1 : 0));
    marker.from_right += plan.widen ? lost : -lost;
  }
  // From the left, so that those that are still to come stay where they are.
  for (auto each = points.rbegin(); each != points.rend(); ++each) {
    const long long before = each->before ? plan.amount : 0, after = each->after ? plan.amount : 0;
    if (plan.widen)
      standing_->insert(each->at, before, after);
    else
      standing_->erase(each->at - before, each->at + after);
  }
}

}  // namespace wale
