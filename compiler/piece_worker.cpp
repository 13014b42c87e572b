#include "compiler/piece_worker.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace wale {

PieceWorker::PieceWorker(const tree::Piece& piece, const Shelf& shelf, Diagnostics& diagnostics)
    : source_(piece),
      shelf_(shelf),
      diagnostics_(diagnostics),
      resolver_(shelf.stitches, shelf.strands, shelf.declares_strands, diagnostics),
      apart_(out_.fabrics, shelf.stitches),
      worker_(shelf.stitches, types_, diagnostics) {
  out_.name = piece.name.text;
  out_.span = piece.name.span;
  out_.form = form_ = piece.form == tree::Form::round ? Form::round : Form::flat;
  if (piece.copies) out_.copies = std::max(1LL, piece.copies->value);
  if (!shelf.strands.empty() && shelf.declares_strands) in_hand_ = 0;
}

Piece PieceWorker::run() {
  out_.good = steps(source_.steps, out_.steps);
  out_.rows = std::max(out_.rows, row_);
  for (const Step& step : out_.steps) add(out_.tally, step.tally);
  for (auto& [name, held] : held_) {
    out_.held[name] = {held.loops, held.side, held.form};
    if (out_.good && shelf_.wanted.count(out_.name + " " + name) == 0)
      diagnostics_
          .add(Kind::left_on_needle, held.span,
               fmt::format("the piece ends with {} still held as `{}`",
                           count_of(held.loops.width().base, "stitch", "stitches"), name))
          .try_this(fmt::format("resume {}", name));
  }
  if (out_.good && on_needle_ && needles_.width() != Linear(0))
    diagnostics_
        .add(Kind::left_on_needle, source_.name.span,
             fmt::format("the piece ends with {} still on the needle",
                         count_of(needles_.width().base, "stitch", "stitches")))
        .try_this("bind off");
  return std::move(out_);
}

bool PieceWorker::steps(const std::vector<tree::Step>& list, std::vector<Step>& out) {
  out.reserve(list.size());
  return std::all_of(list.begin(), list.end(), [&](const tree::Step& each) { return step(each, out); });
}

bool PieceWorker::not_yet(Span span, std::string_view what) {
  diagnostics_.add(Kind::not_yet, span, fmt::format("{} is read, but not worked out yet", what));
  return false;
}

namespace {

bool names_strand(const tree::Step& source) {
  if (const auto* cast_on = std::get_if<tree::CastOn>(&source.what)) return cast_on->strand.has_value();
  if (const auto* work = std::get_if<tree::Work>(&source.what)) return work->strand.has_value();
  return false;
}

}  // namespace

/// The step is made where it will stay, and goes again where it cannot be worked.
bool PieceWorker::step(const tree::Step& source, std::vector<Step>& out) {
  Step& made = out.emplace_back();
  if (!work_step(source, made)) {
    out.pop_back();
    return false;
  }
  // What is set aside and taken up again at once never leaves the needle.
  if (made.kind == Step::Kind::resume && !made.joins && out.size() > 1) {
    const Step& before = out[out.size() - 2];
    if (before.kind == Step::Kind::hold && before.holder == made.holder && before.after == 0) {
      out.resize(out.size() - 2);
      return true;
    }
  }
  const auto* parts = std::get_if<Boxed<tree::Divide>>(&source.what);
  return !parts || set_parts_aside(**parts, source.head, out);
}

bool PieceWorker::work_step(const tree::Step& source, Step& made) {
  made.span = source.head;
  made.before = needles_.width().base;
  made.side = side_;
  made.form = form_;
  made.first_row = row_ + 1;
  const auto* joined = std::get_if<tree::JoinName>(&source.what);
  const bool needs_stitches = !std::holds_alternative<tree::CastOn>(source.what) &&
                              !std::holds_alternative<tree::Resume>(source.what) &&
                              !std::holds_alternative<tree::PickUp>(source.what) &&
                              !std::holds_alternative<tree::Unite>(source.what) &&
                              !(joined && !is_strand_name(joined->name.text));
  if (needs_stitches && !on_needle_) {
    if (!source_.whole && !emptied_) return false;  // the cast-on may be what could not be read
    Diagnostic& added = diagnostics_.add(Kind::no_cast_on, source.head,
                                         emptied_ ? "there are no stitches on the needle any more"
                                                  : "there are no stitches on the needle yet");
    if (emptied_)
      added.label(*emptied_, "the last of them left it here").try_this("cast on anew, or do this before");
    else
      added.try_this("cast on 42");
    return false;
  }
  const bool held_stitches = on_needle_;
  std::optional<Columns> columns;
  if (standing_) columns = Columns{standing_->low, standing_->high};
  const bool good = std::visit(
      [&](const auto& what) {
        using What = std::decay_t<decltype(what)>;
        if constexpr (std::is_same_v<What, tree::CastOn>)
          return do_cast_on(what, made);
        else if constexpr (std::is_same_v<What, tree::Work>)
          return do_layout(what, made);
        else if constexpr (std::is_same_v<What, tree::WorkRows>)
          return do_rows(what, made);
        else if constexpr (std::is_same_v<What, tree::Repeat>)
          return do_repeat(what, made);
        else if constexpr (std::is_same_v<What, tree::BindOff>)
          return do_bind_off(what, made);
        else if constexpr (std::is_same_v<What, tree::Hold>)
          return do_hold(what, made);
        else if constexpr (std::is_same_v<What, tree::Resume>)
          return do_resume(what, made);
        else if constexpr (std::is_same_v<What, tree::JoinName>)
          return do_join(what, made);
        else if constexpr (std::is_same_v<What, tree::JoinRound>)
          return do_join_round(made);
        else if constexpr (std::is_same_v<What, tree::GoOnInRows>)
          return do_go_on_in_rows(made);
        else if constexpr (std::is_same_v<What, tree::Cord>)
          return do_cord(what, made);
        else if constexpr (std::is_same_v<What, tree::PickUp>)
          return do_pick_up(what, made);
        else if constexpr (std::is_same_v<What, tree::CallEdge>)
          return do_call_edge(what, made);
        else if constexpr (std::is_same_v<What, tree::Unite>)
          return do_unite(what, made);
        else if constexpr (std::is_same_v<What, tree::Spread>)
          return do_spread(what, made);
        else if constexpr (std::is_same_v<What, tree::PlaceMarkers>)
          return do_place_markers(what, made);
        else if constexpr (std::is_same_v<What, Boxed<tree::Buttonholes>>)
          return do_buttonholes(*what, made);
        else if constexpr (std::is_same_v<What, Boxed<tree::Divide>>)
          return do_divide(*what, made);
        else
          return do_shape(*what, made);
      },
      source.what);
  if (held_stitches && !on_needle_) emptied_ = source.head;
  made.strand = in_hand_;
  made.names_strand = names_strand(source);
  made.after = on_needle_ ? needles_.width().base : 0;
  if (shelf_.effort.keeps_needles && on_needle_ && !needles_.mid_row()) made.needle = needles_.left;
  const bool goes_back = made.kind == Step::Kind::resume;
  made.row_count = goes_back ? 0 : row_ + 1 - made.first_row;
  resolve(made.tally, in_hand_);
  out_.widest = std::max({out_.widest, made.before, made.after});
  if (good) record_edges(source, made, columns), record_course(source, made);
  settle_markers(made);
  if (made.row_count > 0) picked_up_ = false;
  return good;
}

bool PieceWorker::take_in_hand(const std::optional<tree::Name>& name) {
  if (!name) return true;
  const auto id = resolver_.strand(*name);
  if (id) in_hand_ = *id;
  return id.has_value();
}

bool PieceWorker::within_reason(Span span) {
  if (!shelf_.effort.too_much()) return true;
  diagnostics_
      .add(Kind::too_much_work, span,
           "the pattern has more rows and stitches that differ than can be worked out")
      .note(
          "rows that leave the stitches as they found them are worked once, however often they are repeated");
  return false;
}

void PieceWorker::settle() {
  long long looked_at = needles_.written_out();
  for (const auto& [name, held] : held_) looked_at += held.loops.written_out();
  shelf_.effort.stitches += looked_at / Effort::loops_in_a_stitch;
  needles_.normalise();
}

PieceWorker::State PieceWorker::settled() {
  settle();
  return {needles_, ends_, side_, form_, in_hand_, held_, standing_, edges_, markers_, out_.uses.size()};
}

bool PieceWorker::not_in_use(Span span) {
  if (!on_needle_) return true;
  diagnostics_
      .add(
          Kind::needle_in_use, span,
          fmt::format("{} still on the needle", count_of(needles_.width().base, "stitch is", "stitches are")))
      .try_this("bind them off, or set them aside first: hold all as front")
      .try_this("to cast on beside them, cast on in a row: rows { 1: co12 <k> }");
  return false;
}

bool PieceWorker::do_cast_on(const tree::CastOn& source, Step& out) {
  out.kind = Step::Kind::cast_on;
  if (!not_in_use(out.span)) return false;
  if (!take_in_hand(source.strand)) return false;
  auto count = evaluate_count(source.stitches, shelf_.scope, 1, "a cast-on", diagnostics_);
  if (!count) return false;
  if (!cast_on) {
    if (cast_on_instead) count = cast_on_instead;
    cast_on = count;
    cast_on_span = source.stitches.span;
  }
  needles_ = Needles();
  if (!source.pairs) {
    needles_.left = Needle::of({LoopType::plain, Face::knit, in_hand_, -1}, *count);
  } else {
    short far = in_hand_;
    if (source.back_strand) {
      const auto id = resolver_.strand(*source.back_strand);
      if (!id) return false;
      far = *id;
    }
    needles_.left.push({{LoopType::front, Face::knit, in_hand_, -1}, {LoopType::back, Face::purl, far, -1}},
                       *count);
    out.far_strand = far;
    out.paired = true;
  }
  ends_.cut(in_hand_);
  side_ = Side::right;
  form_ = out.form = out_.form;
  on_needle_ = true;
  standing_.reset();
  edges_ = {{true, ""}, {true, ""}};
  markers_.clear();
  picked_up_ = false;
  return true;
}

bool PieceWorker::do_repeat(const tree::Repeat& source, Step& out) {
  out.kind = Step::Kind::repeat;
  ++repeats_;
  const bool good = source.form == tree::Repeat::Form::until_stitches ? do_repeat_until(source, out)
                                                                      : do_repeat_times(source, out);
  --repeats_;
  if (steps_kept_ > most_steps_kept) out.again.clear();
  return good;
}

namespace {

long long count_steps(const std::vector<Step>& steps) {
  long long out = static_cast<long long>(steps.size());
  for (const Step& step : steps) {
    out += count_steps(step.steps);
    for (const Step::Again& each : step.again) out += count_steps(each.steps);
  }
  return out;
}

}  // namespace

/// Each time through may find other stitches on the needle, or the other side, and is then told in other
/// words.
void PieceWorker::keep_time(std::vector<Step> made, long long time, long long alike, Step& out) {
  if (time == 0) {
    out.steps = std::move(made);
    return;
  }
  if (steps_kept_ > most_steps_kept) return;
  steps_kept_ += count_steps(made);
  out.again.push_back({std::move(made), alike});
}

bool PieceWorker::do_repeat_times(const tree::Repeat& source, Step& out) {
  const auto times = how_often(source, out);
  if (!times) return false;
  out.times = *times;
  State before = settled();
  const std::size_t groups_from = out_.course.size();
  for (long long i = 0; i < *times; ++i) {
    const long long rows_before = row_;
    const std::size_t course_before = begin_course();
    const std::size_t edges_before = out_.edges.size(), own_before = own_edges_from_;
    own_edges_from_ = edges_before;
    std::vector<Step> made;
    if (!steps(source.steps, made)) {
      if (i > 0 && !diagnostics_.all().empty())
        diagnostics_.add(
            Kind::too_much_work, out.span,
            fmt::format("the repeat can be worked {}, not {}", count_of(i, "time", "times"), *times));
      return false;
    }
    own_edges_from_ = own_before;
    Tally once;
    for (const Step& step : made) add(once, step.tally);
    if (!on_needle_) {
      keep_time(std::move(made), i, 1, out);
      if (i + 1 == *times) return repeat_course(course_before, groups_from, 1), add(out.tally, once), true;
      diagnostics_.add(Kind::no_cast_on, out.span, "the repeat binds off, so it cannot be worked again");
      return false;
    }
    State after = settled();
    const bool same = after == before;
    before = std::move(after);
    const long long counted = same ? *times - i : 1;
    keep_time(std::move(made), i, counted, out);
    add(out.tally, once, counted);
    repeat_edges(edges_before, counted);
    repeat_course(course_before, groups_from, counted);
    if (!same) continue;
    skip_rows(rows_before, multiply_counts(row_ - rows_before, counted - 1));
    break;
  }
  return true;
}

/// Until so many stitches are on the needle: never past them, and not for ever.
bool PieceWorker::do_repeat_until(const tree::Repeat& source, Step& out) {
  const auto goal = evaluate_count(*source.amount, shelf_.scope, 1, "the number of stitches", diagnostics_);
  if (!goal) return false;
  out.times = 0;
  out.until = true;
  const std::size_t groups_from = out_.course.size();
  while (needles_.width() != Linear(*goal)) {
    const std::size_t course_before = begin_course();
    const long long before = needles_.width().base;
    std::vector<Step> made;
    if (!steps(source.steps, made)) return false;
    repeat_course(course_before, groups_from, 1);
    for (const Step& step : made) add(out.tally, step.tally);
    keep_time(std::move(made), out.times++, 1, out);
    if (!within_reason(out.span)) return false;
    const long long after = on_needle_ ? needles_.width().base : 0;
    const bool past = (before < *goal && after > *goal) || (before > *goal && after < *goal);
    const bool away = std::abs(after - *goal) >= std::abs(before - *goal);
    if (!past && !away) continue;
    Diagnostic& added = diagnostics_.add(
        Kind::never_reached, source.amount->span,
        past ? fmt::format("the repeat goes from {} to {} st and never holds {}", before, after, *goal)
             : fmt::format("the repeat goes from {} to {} st, and comes no nearer to {}", before, after,
                           *goal));
    if (past)
      added.try_this(fmt::format("repeat until {} st", std::min(before, after)))
          .try_this(fmt::format("repeat until {} st", std::max(before, after)));
    return false;
  }
  if (out.times > 0) return true;
  diagnostics_.add(Kind::never_reached, source.amount->span,
                   fmt::format("{} st are on the needle already, so nothing would be repeated", *goal));
  return false;
}

/// Rows since `from` come round again and again, and are counted without being worked.
void PieceWorker::skip_rows(long long from, long long rows) {
  ends_.skip(from, rows);
  row_ = add_counts(row_, rows);
}

bool PieceWorker::do_rows(const tree::WorkRows& source, Step& out) {
  out.kind = Step::Kind::rows;
  const long long written = resolver_.written();
  auto rows = resolver_.piece_rows(source, form_, side_, out.span);
  shelf_.effort.stitches += resolver_.written() - written;
  if (!rows) return false;
  const long long before = needles_.width().base;
  for (std::size_t i = 0; i < rows->size(); ++i) {
    const bool ends_row = i + 1 == rows->size() || (*rows)[i + 1].number != (*rows)[i].number;
    const std::string name = row_words((*rows)[i]);
    auto worked = work_one_row(std::move((*rows)[i]), name, ends_row, out);
    if (!worked) return false;
    out.rows.push_back(std::move(*worked));
    if (ends_row && standing_) ++standing_->row;
  }
  // The fabrics stand as they did where nothing was gained or lost.
  if (needles_.width() != Linear(before)) standing_.reset();
  return true;
}

/// A row of its own, over all stitches; its stitches are added to the step's.
std::optional<CheckedRow> PieceWorker::work_one_row(Row made, const RowName& name, bool ends_row, Step& out) {
  CheckedRow checked;
  checked.row = std::move(made);
  const Row& row = checked.row;
  checked.before = needles_.width();
  checked.waiting = needles_.behind.width();
  const Linear reach = needles_.left.width();
  const auto fills = fit_row(row.ops, reach, shelf_.stitches, row.span, name, diagnostics_);
  if (!fills) return {};
  Worked worked;
  if (row.slides && (needles_.mid_row() || find_turn(row.ops))) {
    diagnostics_
        .add(Kind::ends_mid_row, row.label,
             fmt::format("{} is to be followed by a second pass, but it is a short row", name()))
        .try_this("work both strands to the end of the row before you turn in mid-row");
    return {};
  }
  if (!work_row(RowPart{&row.ops, reach, *fills}, row, name, row.label, checked.tally, worked)) return {};
  if (ends_row) ++row_;
  checked.fills = *fills;
  checked.after = needles_.width();
  checked.unworked = worked.unworked;
  checked.resolves = worked.resolves;
  resolve(checked.tally, in_hand_);
  add(out.tally, checked.tally);
  out_.widest = std::max(out_.widest, checked.after.base);
  return checked;
}

std::string PieceWorker::row_words(const Row& row) const {
  return fmt::format("{} here", row_name(row, form_, shelf_.strands));
}

bool PieceWorker::work_row(std::span<const RowPart> parts, const Row& row, const RowName& name, Span where,
                           Tally& tally, Worked& worked) {
  const YarnPlace begins = begins_at(needles_, side_, form_ == Form::round);
  RowOutcome outcome =
      worker_.work(std::move(needles_.left), parts, {row.side, row.strand, row.back_strand, name});
  needles_.left = Needle();
  shelf_.effort.row(worker_.worked(), outcome.needle.written_out() + outcome.unworked.written_out() +
                                          needles_.behind.written_out());
  if (!outcome.good || !within_reason(row.span)) return false;
  if (outcome.needle.width().too_large()) {
    diagnostics_.add(Kind::too_much_work, row.span, "the piece grows beyond all measure");
    return false;
  }
  resolve(outcome.tally, in_hand_);
  carry(outcome.tally, shelf_.stitches);
  add(tally, outcome.tally);
  worked = {outcome.widths, outcome.unworked.width(), outcome.resolves};
  StrandSet strands;
  for (const short strand : outcome.strands) strands.insert(or_in_hand(strand));
  const YarnPlace ends = worker_.end_row(needles_, outcome, row, form_ == Form::round, side_);
  const std::size_t before = diagnostics_.errors();
  ends_.row({strands, begins, ends, row_ + 1, name, where, true}, shelf_.strands, diagnostics_);
  return diagnostics_.errors() == before;
}

}  // namespace wale
