// Buttonholes, and the row that parts the work: what is bound off inside a row while the fabrics go on.
//
//     make 7 buttonholes of 2 st over 40 cm, 3 st from the left edge, 2 cm from the ends
//     make 5 buttonholes of 3 st over the row
//
// Along a band they lie one above the other, every one begun in a right-side row of flat work. The first and
// the last lie as far from the ends as is said; the rows between are shared out as evenly as pairs of rows
// allow, the wider spaces first. Over a row they lie side by side, and the stitches between are shared out as
// evenly as whole stitches allow.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/piece_worker.hpp"

namespace wale {

namespace {

/// From the ends of a band to the first and the last buttonhole, in cm, where nothing is said (common
/// practice); where there is no gauge, so many rows or stitches.
constexpr double usual_end_cm = 1.5;
constexpr long long usual_end_rows = 4, usual_end_stitches = 3;

/// More are no buttonholes.
constexpr long long most_buttonholes = 1000;

/// Pairs of rows from one to the next at least: two rows of its own, and two of fabric.
long long least_pairs(const Buttonholes& plan) {
  return plan.eyelets ? 1 : 2;
}
/// Stitches between two of them in one row at least.
long long least_between(const Buttonholes& plan) {
  return plan.eyelets ? 1 : 2;
}
/// Stitches of the row that one of them takes.
long long taken_by(const Buttonholes& plan) {
  return plan.eyelets ? 2 : plan.width;
}

std::string holes(long long count) {
  return count_of(count, "buttonhole", "buttonholes");
}

tree::Expression expression_of(long long count, Span span) {
  tree::Expression out;
  out.value = static_cast<double>(count);
  out.span = span;
  return out;
}

}  // namespace

bool PieceWorker::cannot_make(Span span, std::string message) {
  diagnostics_.add(Kind::cannot_make_buttonholes, span, std::move(message));
  return false;
}

const Gauge* PieceWorker::gauge_of_standing() const {
  if (!standing_) return shelf_.scope.gauge;
  return shelf_.pattern.gauge_for(
      out_.fabrics[static_cast<std::size_t>(standing_->parts.front().fabric)].name);
}

/// A count of stitches, or the one nearest to a length; at least 1.
std::optional<long long> PieceWorker::stitches_or_length(const tree::Expression& source,
                                                         std::string_view what) {
  Diagnostics quiet;
  const auto value = evaluate(source, shelf_.scope, quiet);
  if (!value || value->dimension != Dimension::length)
    return evaluate_count(source, shelf_.scope, 1, what, diagnostics_);
  const Gauge* gauge = gauge_of_standing();
  if (!gauge) {
    if (!shelf_.scope.gauge_unclear)
      diagnostics_.add(Kind::no_gauge, source.span, "how many stitches this is can only be told with a gauge")
          .try_this("gauge 20 st x 28 rows = 10 cm");
    return {};
  }
  const double stitches = value->value * gauge->stitches_per_cm;
  if (!(stitches < 1e9)) return cannot_make(source.span, "this is wider than any knitting"), std::nullopt;
  return std::max(1LL, static_cast<long long>(std::llround(stitches)));
}

std::optional<long long> PieceWorker::hole_rows(const tree::Buttonholes::Distance& source, Step& out) {
  if (source.unit) return evaluate_count(source.amount, shelf_.scope, 1, "the number of rows", diagnostics_);
  const auto rows = rows_of_length(source.amount, gauge_of_standing(), out);
  if (!rows) return {};
  return std::max(1LL, static_cast<long long>(std::llround(*rows)));
}

/// Rows or stitches between the ends and the first and the last buttonhole, as it is said.
std::optional<long long> PieceWorker::hole_ends(const tree::Buttonholes& source) {
  const tree::Buttonholes::Distance& ends = *source.from_ends;
  const bool wrong_unit = ends.unit && (ends.unit->text == "st") != source.across;
  if (wrong_unit) {
    cannot_make(ends.amount.span, source.across ? "over a row this is measured in stitches"
                                                : "along a band this is measured in rows");
    diagnostics_.last().try_this(source.across ? "3 st from the ends" : "6 rows from the ends");
    return {};
  }
  if (source.across) return stitches_or_length(ends.amount, "the stitches at the ends");
  Diagnostics quiet;
  const auto value = evaluate(ends.amount, shelf_.scope, quiet);
  if (!value || value->dimension != Dimension::length)
    return evaluate_count(ends.amount, shelf_.scope, 0, "the rows at the ends", diagnostics_);
  Step aside;
  return hole_rows(ends, aside);
}

/// Where along a row of the band the hole lies.
bool PieceWorker::place_across_band(const tree::Buttonholes& source, Buttonholes& plan) {
  const long long there = standing_->width(), hole = taken_by(plan);
  const Span said = source.width ? source.width->span : source.count.span;
  if (hole + 2 > there) {
    cannot_make(said, fmt::format("a buttonhole of {}, with 1 st at either side, does not go into {}",
                                  count_of(hole, "stitch", "stitches"), there));
    if (there > 2 && !plan.eyelets) diagnostics_.last().try_this(fmt::format("of {} st", there - 2));
    return false;
  }
  plan.before = (there - hole) / 2;
  if (!source.from_side) return true;
  const tree::Buttonholes::Distance& side = *source.from_side;
  if (side.unit && side.unit->text != "st") {
    cannot_make(side.amount.span, "from a side this is measured in stitches");
    diagnostics_.last().try_this("3 st from the left edge");
    return false;
  }
  const auto distance = stitches_or_length(side.amount, "the stitches at the edge");
  if (!distance) return false;
  if (*distance + hole + 1 > there) {
    cannot_make(side.amount.span,
                fmt::format("{} at this edge, {} of the buttonhole and 1 at the other edge are more than {}",
                            count_of(*distance, "stitch", "stitches"), hole, there));
    diagnostics_.last().try_this(fmt::format("{} st from the {} edge, or fewer", there - hole - 1,
                                             source.from_left ? "left" : "right"));
    return false;
  }
  plan.before = source.from_left ? there - hole - *distance : *distance;
  return true;
}

/// One above the other. Everything is reckoned in pairs of rows, so that all of them begin on the right side.
bool PieceWorker::plan_along(const tree::Buttonholes& source, Step& out, Buttonholes& plan) {
  if (form_ == Form::round) {
    cannot_make(out.span, "in the round there is no band with edges for buttonholes to lie along");
    diagnostics_.last().try_this("over the round");
    return false;
  }
  if (!place_across_band(source, plan)) return false;
  const Gauge* gauge = gauge_of_standing();
  const auto stated = source.from_ends ? hole_ends(source) : std::nullopt;
  if (source.from_ends && !stated) return false;
  const auto pairs = [](double rows) { return static_cast<long long>(std::llround(rows / 2)); };
  long long ends = stated ? pairs(static_cast<double>(*stated))
                          : std::max(1LL, pairs(gauge ? usual_end_cm * gauge->rows_per_cm
                                                      : static_cast<double>(usual_end_rows)));
  const auto rows = hole_rows(source.over ? *source.over : *source.every, out);
  if (!rows) return false;
  const long long turn = side_ == Side::wrong ? 1 : 0, least = least_pairs(plan), spaces = plan.count - 1;
  plan.lead = turn;
  if (source.every) {
    out.length_cm.reset();
    const long long space =
        source.every->unit ? *rows / 2 : std::max(least, pairs(static_cast<double>(*rows)));
    if (space < least || (source.every->unit && *rows % 2 == 1)) {
      cannot_make(source.every->amount.span,
                  space < least ? fmt::format("buttonholes lie {} rows apart at least", 2 * least)
                                : "every buttonhole begins on the right side, so they lie an even number of "
                                  "rows apart");
      diagnostics_.last().try_this(fmt::format("every {} rows", std::max(2 * least, *rows + 1)));
      return false;
    }
    if (space > largest_work / most_buttonholes)
      return cannot_make(source.every->amount.span, "this is longer than any knitting");
    plan.lead += 2 * ends;
    if (spaces > 0) plan.rates = {{2 * space, spaces}};
    plan.even = 2 * ends;
    return true;
  }
  // A length ends after a wrong-side row, so that what follows begins on the right side.
  const long long all = source.over->unit ? *rows : std::max(2 - turn, 2 * ((*rows - turn + 1) / 2) + turn);
  const long long there = (all - turn) / 2;
  if (!stated) ends = std::max(1LL, std::min(ends, (there - 1 - spaces * least) / 2));
  const long long room = there - 1 - 2 * ends;
  if (plan.count > 1 ? room < spaces * least : there < 1) {
    const long long most = there < 1 ? 0 : room < 0 ? 1 : room / least + 1;
    cannot_make(source.count.span,
                fmt::format("{} do not go into {}{}: there is room for {}", holes(plan.count),
                            count_of(all, "row", "rows"),
                            stated ? fmt::format(", {} of them at either end", 2 * ends) : "", most));
    if (most > 0) diagnostics_.last().try_this(fmt::format("make {}", holes(most)));
    return false;
  }
  plan.lead += plan.count == 1 ? 2 * ((there - 1) / 2) : 2 * ends;
  long long used = 0;
  if (spaces > 0) {
    plan.rates = *rates_over(2 * room, spaces, true);
    for (const Rate& rate : plan.rates) used += rate.every * rate.times;
  }
  plan.even = all - plan.lead - used - 2;
  return true;
}

/// Side by side, in the next right-side row.
bool PieceWorker::plan_across(const tree::Buttonholes& source, Buttonholes& plan) {
  if (source.from_side && plan.count == 1 && form_ == Form::flat) {
    if (!place_across_band(source, plan)) return false;
    plan.between = {plan.before, standing_->width() - taken_by(plan) - plan.before};
    plan.lead = side_ == Side::wrong ? 1 : 0;
    plan.even = plan.eyelets ? 1 : 0;
    return true;
  }
  if (source.from_side) {
    cannot_make(source.from_side->amount.span,
                "over the row several buttonholes lie as far from one edge as from the other");
    diagnostics_.last().try_this("3 st from the ends");
    return false;
  }
  const auto stated = source.from_ends ? hole_ends(source) : std::nullopt;
  if (source.from_ends && !stated) return false;
  const Gauge* gauge = gauge_of_standing();
  const long long there = standing_->width(), hole = taken_by(plan), least = least_between(plan);
  const long long usual = gauge ? static_cast<long long>(std::llround(usual_end_cm * gauge->stitches_per_cm))
                                : usual_end_stitches;
  const bool round = form_ == Form::round;
  const long long spaces = round ? plan.count : plan.count - 1;
  long long ends = round ? 0 : stated.value_or(std::max(1LL, usual));
  if (!stated && !round)
    ends = std::max(1LL, std::min(ends, (there - plan.count * hole - spaces * least) / 2));
  const long long room = there - 2 * ends - plan.count * hole;
  if (room < spaces * least) {
    const long long each = hole + least;
    const long long most = std::max(0LL, (there - 2 * ends + (round ? 0 : least)) / each);
    cannot_make(source.count.span, fmt::format("{} of {} do not go into {}{}: there is room for {}",
                                               holes(plan.count), count_of(hole, "stitch", "stitches"), there,
                                               stated ? fmt::format(", {} at either end", ends) : "", most));
    if (most > 0) diagnostics_.last().try_this(fmt::format("make {}", holes(most)));
    return false;
  }
  plan.lead = !round && side_ == Side::wrong ? 1 : 0;
  // An eyelet takes one row; a wrong-side row after it, so that what follows begins on the right side.
  plan.even = plan.eyelets && !round ? 1 : 0;
  std::vector<long long> sections = even_sections(room, spaces);
  if (round) {
    ends = sections.front() / 2;
    sections.front() -= ends;
    std::rotate(sections.begin(), sections.begin() + 1, sections.end());
    plan.between = {ends};
    plan.between.insert(plan.between.end(), sections.begin(), sections.end());
  } else if (spaces == 0) {
    plan.between = {(there - hole) / 2, there - hole - (there - hole) / 2};
  } else {
    plan.between = {ends};
    plan.between.insert(plan.between.end(), sections.begin(), sections.end());
    plan.between.push_back(ends);
  }
  return true;
}

bool PieceWorker::do_buttonholes(const tree::Buttonholes& source, Step& out) {
  out.kind = Step::Kind::buttonholes;
  if (!at_an_edge(out.span, "and buttonholes are made in a whole row")) return false;
  if (!standing_) {
    cannot_shape(out.span, "no fabric is being worked here that could go on around the buttonholes");
    diagnostics_.last().try_this("work a fabric first, such as: work garter for 2 rows");
    return false;
  }
  if (source.twice) return cannot_make(*source.twice, "this has been said before in the same line");
  out.parts = standing_->parts;
  Buttonholes plan;
  plan.eyelets = source.eyelets;
  plan.across = source.across;
  const auto count = evaluate_count(source.count, shelf_.scope, 1, "the number of buttonholes", diagnostics_);
  if (!count) return false;
  plan.count = *count;
  if (plan.count > most_buttonholes)
    return cannot_make(source.count.span, fmt::format("a band has {} at most", holes(most_buttonholes)));
  if (source.width) {
    if (plan.eyelets) {
      cannot_make(source.width->span, "an eyelet is one yarn over, so it has no width of its own");
      diagnostics_.last().try_this("leave the width out");
      return false;
    }
    const auto width = stitches_or_length(*source.width, "the width of a buttonhole");
    if (!width) return false;
    plan.width = *width;
  }
  if (plan.across ? !plan_across(source, plan) : !plan_along(source, out, plan)) return false;
  out.buttonholes = plan;
  return work_buttonholes(plan, out);
}

bool PieceWorker::work_buttonholes(const Buttonholes& plan, Step& out) {
  if (!can_cut(out.span, "cannot go on around buttonholes", "write the rows out: rows { 1: ... }") ||
      (plan.lead > 0 && !work_standing(plan.lead, out.span, out)))
    return false;
  std::vector<long long> starts;
  if (plan.across) {
    long long at = 0;
    for (long long i = 0; i < plan.count; ++i) {
      at += plan.between[static_cast<std::size_t>(i)];
      starts.push_back(at);
      at += taken_by(plan);
    }
  } else {
    starts = {plan.before};
  }
  if (!work_holes(plan, starts, out)) return false;
  const long long own = plan.eyelets ? 1 : 2;
  for (const Rate& rate : plan.rates)
    for (long long i = 0; i < rate.times; ++i) {
      if (rate.every > own && !work_standing(rate.every - own, out.span, out)) return false;
      if (!work_holes(plan, starts, out)) return false;
    }
  // The second row of an eyelet is a row like any other.
  const long long even = plan.even + (plan.eyelets && !plan.across ? 1 : 0);
  return even == 0 || work_standing(even, out.span, out);
}

bool PieceWorker::work_holes(const Buttonholes& plan, const std::vector<long long>& starts, Step& out) {
  return work_holes_row(plan, starts, false, out) &&
         (plan.eyelets || work_holes_row(plan, starts, true, out));
}

/// A row of the fabrics with holes that begin so many stitches from the right edge: bound off, cast on again,
/// or yarn overs.
bool PieceWorker::work_holes_row(const Buttonholes& plan, const std::vector<long long>& starts, bool cast_on,
                                 Step& out) {
  const bool wrong = form_ == Form::flat && side_ == Side::wrong;
  Row row;
  row.side = side_;
  row.span = row.label = out.span;
  const std::size_t count = starts.size();
  for (std::size_t k = 0; k <= count; ++k) {
    const std::size_t i = wrong ? count - k : k;  // the stretch in front of hole i
    const long long from = i == 0 ? 0 : starts[i - 1] + taken_by(plan);
    const long long to = i == count ? standing_->width() : starts[i];
    if (!standing_stretch(from, to, row)) return false;
    if (k == count) break;
    if (plan.eyelets) {
      row.ops.push_back(made("yo", 1, out.span));
      row.ops.push_back(made("k2tog", 1, out.span));
    } else {
      row.ops.push_back(made(cast_on ? "co" : "bo", plan.width, out.span));
    }
  }
  const bool keep = plan.eyelets && out.rows.empty();
  if (!work_made_row(std::move(row), "the buttonhole row", keep, out)) return false;
  ++standing_->row;
  return true;
}

// --- the row that parts the work

/// `divide into left-front and right-front, 16 st bound off between as neck`: the row itself.
bool PieceWorker::do_divide(const tree::Divide& source, Step& out) {
  out.kind = Step::Kind::divide;
  if (!at_an_edge(out.span, "and the work is parted in a whole row")) return false;
  if (form_ == Form::round) {
    cannot_shape(out.span, "in the round the work has no two sides to be parted into");
    diagnostics_.last().try_this("go on in rows first, or hold some of the stitches: hold 40 st as front");
    return false;
  }
  if (!standing_) {
    cannot_shape(out.span, "no fabric is being worked here that could go on");
    diagnostics_.last().try_this("work a fabric first, such as: work garter for 2 rows");
    return false;
  }
  if (source.first.text == source.second.text) {
    diagnostics_
        .add(Kind::duplicate_name, source.second.span,
             fmt::format("both parts are called `{}`", source.first.text))
        .label(source.first.span, "the first one");
    return false;
  }
  const long long there = standing_->width();
  long long bound = 0;
  if (source.bound_off) {
    const auto count =
        evaluate_count(*source.bound_off, shelf_.scope, 0, "the stitches bound off", diagnostics_);
    if (!count) return false;
    bound = *count;
  }
  long long first = (there - bound) / 2;
  if (source.after) {
    const auto count =
        evaluate_count(*source.after, shelf_.scope, 1, "the stitches of the first part", diagnostics_);
    if (!count) return false;
    first = *count;
  }
  if (first < 1 || add_counts(first, bound) >= there) {
    const Span where = source.bound_off ? source.bound_off->span
                       : source.after   ? source.after->span
                                        : out.span;
    cannot_shape(where, fmt::format("{} are on the needle: {} and {} bound off leave none for the other part",
                                    count_of(there, "stitch", "stitches"), std::max(first, 0LL), bound));
    return false;
  }
  if (!can_cut(out.span, "cannot be parted", "write the row out: rows { 1: ... }")) return false;
  out.parts = standing_->parts;
  out.first_part = first;
  out.bound_off = bound;
  if (source.name) out.holder = source.name->text;
  const bool wrong = side_ == Side::wrong;
  const long long from = wrong ? there - first - bound : first;  // of those bound off, from the right
  Row row;
  row.side = side_;
  row.span = row.label = out.span;
  for (const bool right : {!wrong, wrong}) {
    if (!(right ? standing_stretch(0, from, row) : standing_stretch(from + bound, there, row))) return false;
    if (right == !wrong && bound > 0) row.ops.push_back(made("bo", bound, out.span));
  }
  if (!work_made_row(std::move(row), "the row that parts the work", true, out)) return false;
  shape_columns_parted(from, bound);
  return true;
}

/// What is bound off leaves the columns, and markers there fall off.
void PieceWorker::shape_columns_parted(long long from, long long bound) {
  standing_->erase(from, from + bound);
  ++standing_->row;
  std::erase_if(markers_, [&](const Marker& each) {
    return from <= each.from_right && each.from_right <= from + bound;
  });
  for (Marker& each : markers_)
    if (each.from_right > from) each.from_right -= bound;
}

/// Both parts go onto holders, each with the edge between them under its name.
bool PieceWorker::set_parts_aside(const tree::Divide& source, Span head, std::vector<Step>& out) {
  const long long first = out.back().first_part;
  // What was worked first comes last in the next row.
  tree::Step step;
  step.head = step.span = head;
  step.what = tree::Hold{expression_of(first, head), true, source.first};
  if (!this->step(step, out)) return false;
  const bool right = side_ == Side::right;  // the first part lies at the left edge
  EdgeNow& here = right ? edges_.left : edges_.right;
  EdgesNow& waiting = held_.at(source.first.text).edges;
  EdgeNow& there = right ? waiting.right : waiting.left;
  if (source.name) here.name = there.name = source.name->text;
  step.what = tree::Hold{std::nullopt, false, source.second};
  return this->step(step, out);
}

}  // namespace wale
