// What is done between the rows of a piece: binding off, setting stitches aside and taking them up again,
// joining yarn, joining in the round.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/piece_worker.hpp"

namespace wale {

bool PieceWorker::at_an_edge(Span span, std::string_view what) {
  if (!needles_.mid_row()) return true;
  diagnostics_.add(Kind::ends_mid_row, span, fmt::format("the last row turned before its end, {}", what))
      .try_this("work one row over all stitches first");
  return false;
}

bool PieceWorker::do_bind_off(const tree::BindOff& source, Step& out) {
  out.kind = Step::Kind::bind_off;
  if (source.name) out.holder = source.name->text;
  if (source.cord) return do_cord_bind_off(source, out);
  if (!at_an_edge(out.span, "so not all stitches can be bound off")) return false;
  needles_.left.each_run([&](std::span<const Loop> word, Linear) {
    for (const Loop& loop : word) {
      const LoopType type = types_.type_of(loop);
      out.paired |= type == LoopType::front || type == LoopType::back;
    }
  });
  if (source.stitches) {
    const auto count =
        evaluate_count(*source.stitches, shelf_.scope, 1, "the stitches bound off", diagnostics_);
    if (!count) return false;
    if (*count != needles_.width().base) {
      lose_columns(*count, false);
      return bind_off_some(*count, source.stitches->span, out);
    }
  }
  standing_.reset();
  needles_ = Needles();
  on_needle_ = false;
  ends_.bind_off();
  return true;
}

/// The next stitches are bound off; the yarn then hangs before those that remain, on the same side.
bool PieceWorker::bind_off_some(long long count, Span span, Step& out) {
  const long long there = needles_.width().base;
  if (count > there) {
    diagnostics_
        .add(Kind::row_needs_stitches, span,
             fmt::format("{} are to be bound off, and the needle holds {}",
                         count_of(count, "stitch", "stitches"), there))
        .try_this("bind off");
    return false;
  }
  const auto bind_off = shelf_.stitches.find("bo");
  if (!bind_off) return not_yet(span, "binding off only some of the stitches");
  Op op;
  op.stitch = *bind_off;
  op.count = count;
  op.span = span;
  const std::vector<Op> ops{op};
  const RowPart bound{&ops, count, 0};
  RowOutcome outcome = worker_.work(needles_.left.split(count), {&bound, 1}, {side_, -1, -1, "the bind-off"});
  if (!outcome.good) return false;
  add(out.tally, outcome.tally);
  const YarnPlace begins = begins_at(needles_, side_, form_ == Form::round);
  const std::size_t before = diagnostics_.errors();
  ends_.row({{in_hand_}, begins, begins, row_ + 1, "the bind-off", out.span, true}, shelf_.strands,
            diagnostics_);
  return diagnostics_.errors() == before;
}

bool PieceWorker::do_hold(const tree::Hold& source, Step& out) {
  out.kind = Step::Kind::hold;
  out.holder = source.name.text;
  out.from_end = source.last;
  if (!at_an_edge(out.span, "and stitches are held from an edge")) return false;
  const long long there = needles_.width().base;
  std::optional<long long> count = there;
  if (source.stitches)
    count = evaluate_count(*source.stitches, shelf_.scope, 1, "the stitches held", diagnostics_);
  if (!count) return false;
  if (*count > there) {
    diagnostics_
        .add(Kind::row_needs_stitches, source.stitches->span,
             fmt::format("{} are to be held, and the needle holds {}", count_of(*count, "stitch", "stitches"),
                         there))
        .try_this(fmt::format("hold all as {}", source.name.text));
    return false;
  }
  if (const auto found = held_.find(source.name.text); found != held_.end()) {
    diagnostics_
        .add(Kind::duplicate_name, source.name.span,
             fmt::format("stitches are held as `{}` already", source.name.text))
        .label(found->second.span, "held here")
        .try_this("give these another name");
    return false;
  }
  Held held;
  if (source.last) needles_.left.reverse();
  held.loops = needles_.left.split(*count);
  if (source.last) {
    held.loops.reverse();
    needles_.left.reverse();
  }
  held.side = side_;
  held.form = form_;
  held.row = row_;
  held.span = source.name.span;
  const bool all = *count == there;
  const bool first = (side_ == Side::right || form_ == Form::round) != source.last;
  if (standing_) {
    held.standing = standing_;
    first ? held.standing->erase(*count, there) : held.standing->erase(0, there - *count);
  }
  for (const Marker& each : markers_) {
    const long long from_right = first ? each.from_right : each.from_right - (there - *count);
    if (0 < from_right && from_right < *count) held.markers.push_back({each.name, from_right});
  }
  lose_columns(*count, source.last);
  if (all) markers_.clear();
  part_edges(first, held, all);
  held_.emplace(source.name.text, std::move(held));
  // In the round the yarn stays at the beginning of the round and is drawn across the gap.
  const bool at_right = (side_ == Side::right) != source.last;
  if (all)
    ends_.hold_all(source.name.text);
  else if (form_ == Form::flat)
    ends_.hold(source.name.text, at_right ? YarnPlace::Where::right : YarnPlace::Where::left);
  if (all) {
    needles_ = Needles();
    on_needle_ = false;
  }
  return true;
}

bool PieceWorker::do_resume(const tree::Resume& source, Step& out) {
  out.kind = Step::Kind::resume;
  out.holder = source.name.text;
  const auto found = held_.find(source.name.text);
  if (found == held_.end()) {
    std::vector<std::string> names;
    for (const auto& [name, held] : held_) names.push_back(name);
    Diagnostic& added = diagnostics_.add(Kind::unknown_holder, source.name.span,
                                         fmt::format("no stitches are held as `{}`", source.name.text));
    if (const auto near = nearest_name(source.name.text, names))
      added.try_this(*near).mend(source.name.span, *near);
    else if (!names.empty())
      added.try_this(fmt::format("held here: {}", fmt::join(names, ", ")));
    else
      added.try_this(fmt::format("hold them first: hold 10 st as {}", source.name.text));
    return false;
  }
  if (!not_in_use(out.span)) return false;
  out_.rows = std::max(out_.rows, row_);
  needles_.left = std::move(found->second.loops);
  side_ = out.side = found->second.side;
  form_ = out.form = found->second.form;
  row_ = found->second.row;
  standing_ = std::move(found->second.standing);
  edges_ = std::move(found->second.edges);
  markers_ = std::move(found->second.markers);
  held_.erase(found);
  on_needle_ = true;
  ends_.resume(source.name.text);
  out.joins = !ends_.attached(in_hand_);
  return true;
}

bool PieceWorker::do_join(const tree::JoinName& source, Step& out) {
  out.kind = Step::Kind::join_strand;
  if (!is_strand_name(source.name.text)) return do_take_up(source, out);
  if (!take_in_hand(source.name)) return false;
  out.joins = true;
  out.cuts = ends_.cut(in_hand_);
  return true;
}

bool PieceWorker::do_join_round(Step& out) {
  out.kind = Step::Kind::join_round;
  if (!at_an_edge(out.span, "so its ends cannot be joined")) return false;
  if (form_ == Form::round && row_ > 0) {
    diagnostics_.add(Kind::joined_already, out.span, "the work has been in the round since it was cast on")
        .try_this(
            fmt::format("leave this line out, or work it flat first: piece {} flat", source_.name.text));
    return false;
  }
  if (side_ == Side::wrong) {
    diagnostics_
        .add(
            Kind::starts_on_wrong_side, out.span,
            fmt::format("rounds are worked with the right side facing, but {} have been worked, so the wrong "
                        "side faces you",
                        count_of(row_, "row", "rows")))
        .try_this("work one row more or one row less before it");
    return false;
  }
  form_ = Form::round;
  standing_.reset();
  return true;
}

/// From the beginning of the round, with the right side facing: the work is turned at the end of each row.
bool PieceWorker::do_go_on_in_rows(Step& out) {
  out.kind = Step::Kind::into_rows;
  if (!at_an_edge(out.span, "and rows begin at an edge")) return false;
  if (form_ == Form::flat) {
    diagnostics_.add(Kind::joined_already, out.span, "the work is in rows already")
        .try_this("leave this line out");
    return false;
  }
  form_ = out.form = Form::flat;
  side_ = out.side = Side::right;
  standing_.reset();
  edges_ = {{true, ""}, {true, ""}};
  return true;
}

}  // namespace wale
