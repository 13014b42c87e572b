// What each step does to the outline, put down as it is worked. Every time through a repeat is looked at,
// since a goal may be met sooner the second time; times that are alike stand as one group.

#include <algorithm>

#include "compiler/piece_worker.hpp"
#include "compiler/row_changes.hpp"

namespace wale {

namespace {

/// Moves of a piece kept apart; beyond them a time through a repeat is one straight stretch.
constexpr std::size_t most_moves = 20'000;
/// Spaces of an odd number of rows at whose ends stitches are bound off by turns are told apart up to so
/// many.
constexpr long long most_turned_spaces = 200;

bool changes_nothing(const Move& move) {
  return move.right == 0 && move.left == 0 && move.inner == 0 && move.gaps.empty();
}

/// Puts rows behind others, as more of them where they are alike.
void put(Course& to, Move move, std::size_t from = 0) {
  if (move.kind == Move::Kind::rows && to.size() > from && to.back().kind == Move::Kind::rows) {
    Move& last = to.back();
    Move alike = move;
    alike.times = last.times;
    alike.every = last.every;
    const bool even = changes_nothing(last) && changes_nothing(move);
    if (alike == last && (even || (last.every == move.every && last.gaps.empty()))) {
      if (even)
        last.every =
            add_counts(multiply_counts(last.every, last.times), multiply_counts(move.every, move.times)),
        last.times = 1;
      else
        last.times = add_counts(last.times, move.times);
      return;
    }
  }
  to.push_back(std::move(move));
}

std::size_t size_of(const Course& course) {
  std::size_t out = course.size();
  for (const Move& each : course) out += size_of(each.moves);
  return out;
}

/// All that the moves do to the rows and the edges, spread evenly over them.
void add_to(Move& sum, const Course& course, long long times) {
  for (const Move& each : course) {
    if (each.kind == Move::Kind::group) add_to(sum, each.moves, multiply_counts(times, each.times));
    if (each.kind != Move::Kind::rows) continue;
    const long long often = multiply_counts(times, each.times);
    sum.every = add_counts(sum.every, multiply_counts(often, each.every));
    sum.right = add_counts(sum.right, multiply_counts(often, each.right));
    sum.left = add_counts(sum.left, multiply_counts(often, each.left));
    sum.inner = add_counts(sum.inner, multiply_counts(often, each.inner));
    sum.wales = each.wales;
    if (each.fabric >= 0) sum.fabric = each.fabric;
  }
}

/// Loops that are a wale of their own, as a part of all: the far one of each pair lies behind another.
double wales_of(const Needle& needle, const EntryTypes& types) {
  double all = 0, seen = 0;
  needle.each_run([&](std::span<const Loop> word, Linear count) {
    const double times = static_cast<double>(count.base);
    for (const Loop& loop : word) {
      all += times;
      if (types.type_of(loop) != LoopType::back) seen += times;
    }
  });
  return all > 0 ? seen / all : 1;
}

class CourseWriter {
 public:
  CourseWriter(const Step& step, const std::vector<Fabric>& fabrics, const Stitches& stitches, int fabric,
               double wales_before, double wales)
      : step_(step),
        fabrics_(fabrics),
        stitches_(stitches),
        fabric_(fabric),
        wales_before_(wales_before),
        wales_(wales) {}

  Course write() {
    switch (step_.kind) {
      case Step::Kind::cast_on:
        across(Move::Kind::begin, step_.after);
        break;
      case Step::Kind::bind_off:
        across(Move::Kind::bind_off, step_.before - step_.after).all = step_.after == 0;
        break;
      case Step::Kind::hold:
        held();
        break;
      case Step::Kind::resume:
        across(Move::Kind::resume, step_.after);
        break;
      case Step::Kind::pick_up:
      case Step::Kind::take_up:
        added();
        break;
      case Step::Kind::join_round:
      case Step::Kind::join_strand:
        break;
      case Step::Kind::into_rows:
        across(Move::Kind::into_rows, 0);
        break;
      case Step::Kind::call_edge:
        across(Move::Kind::call_edge, 0);
        break;
      case Step::Kind::bind_off_together:
      case Step::Kind::graft:
        if (step_.before > 0 && step_.after == 0) across(Move::Kind::unite, step_.before).all = true;
        break;
      case Step::Kind::rows:
        rows(step_.rows, 0, static_cast<long long>(step_.rows.size()));
        break;
      case Step::Kind::layout:
        laid_out();
        break;
      case Step::Kind::shape:
        shaped();
        break;
      default:
        spread_out();
        break;
    }
    return std::move(out_);
  }

 private:
  bool round() const { return step_.form == Form::round; }
  /// Where the next row begins.
  bool begins_right() const { return round() || step_.side == Side::right; }

  Move& across(Move::Kind kind, long long count) {
    Move move;
    move.kind = kind;
    move.count = count;
    move.at_right = begins_right();
    move.round = round();
    move.wales = wales_;
    move.name = step_.holder;
    out_.push_back(std::move(move));
    return out_.back();
  }

  void held() {
    Move& move = across(Move::Kind::hold, step_.before - step_.after);
    move.at_right = begins_right() != step_.from_end;
    move.all = step_.after == 0;
  }

  void added() {
    if (step_.before == 0) {
      across(Move::Kind::begin, step_.after).picked_up = true;
      return;
    }
    across(Move::Kind::add, step_.after - step_.before).at_right = !begins_right();
  }

  Move row_move(long long every) const {
    Move move;
    move.every = every;
    move.fabric = fabric_;
    move.wales = wales_;
    move.round = round();
    move.cord = step_.kind == Step::Kind::cord;
    return move;
  }

  /// What is known of the step is how many rows it has, and the stitches before and after.
  void spread_out() {
    const long long gain = step_.after - step_.before;
    if (step_.row_count > 0) {
      Move move = row_move(step_.row_count);
      if (step_.after > 0) move.inner = gain;
      put(out_, std::move(move));
      if (step_.after == 0) across(Move::Kind::bind_off, step_.before).all = true;
    } else if (step_.before == 0 && step_.after > 0) {
      across(Move::Kind::begin, step_.after);
    } else if (step_.after == 0 && step_.before > 0) {
      across(Move::Kind::bind_off, step_.before).all = true;
    } else if (gain > 0) {
      across(Move::Kind::add, gain).at_right = !begins_right();
    } else if (gain < 0) {
      across(Move::Kind::bind_off, -gain);
    }
  }

  /// Rows one by one, at the fabric's number `n`; up to `most` of them.
  void rows(const std::vector<CheckedRow>& rows, long long n, long long most) {
    long long done = 0;
    for (const CheckedRow& row : rows) {
      if (done >= most) break;
      if (row.row.slides) continue;
      ++done;
      const long long before = row.before.at(n), after = row.after.at(n), waiting = row.waiting.at(n),
                      unworked = row.unworked.at(n), worked = before - waiting - unworked;
      const bool right_first = row.row.side == Side::right;
      if (waiting > 0 || unworked > 0) {
        Move part = row_move(1);
        part.kind = Move::Kind::part_row;
        part.count = worked;
        part.from = right_first ? waiting : unworked;
        part.inner = after - before;
        out_.push_back(std::move(part));
        continue;
      }
      Move move = row_move(1);
      if (step_.kind == Step::Kind::rows && after != step_.after) move.wales = wales_before_;
      if (after != before || has_gap(row.row.ops)) {
        RowChanges changes = changes_of(row.row, worked, row.fills.at(n), stitches_);
        move.right = right_first ? changes.first : changes.last;
        move.left = right_first ? changes.last : changes.first;
        move.inner = after - before - move.right - move.left;
        move.gaps = std::move(changes.gaps);
        if (!right_first) {
          std::reverse(move.gaps.begin(), move.gaps.end());
          for (Move::Gap& gap : move.gaps) gap.from = after - gap.from;
        }
      }
      row_by_row(std::move(move));
    }
  }

  /// Even rows belong to the shaping before them, so that "every 2nd row" is seen where it is written out.
  void row_by_row(Move move) {
    const bool behind =
        !out_.empty() && out_.back().kind == Move::Kind::rows && !changes_nothing(out_.back());
    if (!behind || !out_.back().gaps.empty()) return put(out_, std::move(move));
    if (changes_nothing(move)) {
      ++out_.back().every;
      return;
    }
    // The one before is complete now.
    Move complete = std::move(out_.back());
    out_.pop_back();
    put(out_, std::move(complete));
    out_.push_back(std::move(move));
  }

  bool has_gap(const std::vector<Op>& ops) const {
    const auto bind_off = stitches_.find("bo");
    return bind_off && std::any_of(ops.begin(), ops.end(), [&](const Op& op) {
             return op.form == Op::Form::stitch ? op.stitch == *bind_off : has_gap(op.ops);
           });
  }

  void laid_out() {
    if (step_.row_count == 0) return;
    if (step_.parts.size() != 1) return spread_out();
    const Step::Part& part = step_.parts.front();
    const Fabric& fabric = fabrics_[static_cast<std::size_t>(part.fabric)];
    const bool turns = std::any_of(fabric.rows.begin(), fabric.rows.end(), [](const CheckedRow& row) {
      return !(row.unworked == Linear(0)) || !(row.waiting == Linear(0));
    });
    if (step_.before == step_.after && !turns) return spread_out();
    const long long n =
        fabric.width.constant() ? 0 : (part.width - fabric.width.base) / std::max(fabric.width.per_n, 1LL);
    const long long cycle = std::max(1LL, fabric.cycle_rows());
    if (!turns) return rows(fabric.rows, n, step_.row_count);
    Move group;
    group.kind = Move::Kind::group;
    group.times = step_.row_count / cycle;
    rows(fabric.rows, n, cycle);
    group.moves = std::move(out_);
    out_ = Course();
    if (group.times > 0) out_.push_back(std::move(group));
    rows(fabric.rows, n, step_.row_count % cycle);
  }

  void shaped() {
    const Shaping& plan = *step_.shaping;
    using Where = Shaping::Where;
    const long long change = plan.widen ? plan.amount : -plan.amount;
    const bool each_in_turn = plan.in_steps && plan.where == Where::each_side;
    long long done = 0;
    for (const Rate& rate : plan.rates) {
      Move move = row_move(rate.every);
      move.times = rate.times;
      move.at_once = plan.in_steps;
      move.right_at = move.left_at = plan.lead;
      if (plan.where == Where::each_side || plan.where == Where::start) move.right = change;
      if (plan.where == Where::each_side || plan.where == Where::end) move.left = change;
      if (plan.where == Where::points) move.inner = change * plan.points;
      if (each_in_turn) {
        (begins_right() ? move.right_at : move.left_at) = 0;
        (begins_right() ? move.left_at : move.right_at) = 1;
      }
      const long long rows = multiply_counts(rate.every, rate.times);
      if (each_in_turn && rate.every % 2 == 1 && rate.times <= most_turned_spaces) {
        move.times = 1;
        for (long long i = 0; i < rate.times; ++i) {
          out_.push_back(move);
          std::swap(move.right_at, move.left_at);
        }
      } else {
        out_.push_back(std::move(move));
      }
      done = add_counts(done, rows);
    }
    if (step_.row_count > done) put(out_, row_move(step_.row_count - done));
  }

  const Step& step_;
  const std::vector<Fabric>& fabrics_;
  const Stitches& stitches_;
  int fabric_;
  double wales_before_, wales_;
  Course out_;
};

}  // namespace

void PieceWorker::record_course(const tree::Step& source, const Step& made) {
  if (!shelf_.effort.for_charts) return;        // nor are outlines drawn
  if (made.kind == Step::Kind::repeat) return;  // its steps have done so
  int fabric = -1;
  if (!made.parts.empty())
    fabric =
        std::max_element(made.parts.begin(), made.parts.end(), [](const Step::Part& a, const Step::Part& b) {
          return a.width < b.width;
        })->fabric;
  const double before = wales_;
  if (on_needle_ && !needles_.mid_row()) wales_ = wales_of(needles_.left, types_);
  Course course = CourseWriter(made, out_.fabrics, shelf_.stitches, fabric, before, wales_).write();
  if (course.empty()) return;
  if (const auto* off = std::get_if<tree::BindOff>(&source.what))
    if (off->name) course.back().name = off->name->text;
  if (const auto* call = std::get_if<tree::CallEdge>(&source.what)) {
    course.back().name = call->name.text;
    course.back().at_right = !call->left;
  }
  // Both sides of what is joined are called alike.
  if (const auto* unite = std::get_if<tree::Unite>(&source.what))
    course.back().name = unite->first.name.text == "all" ? unite->second.name.text : unite->first.name.text;
  for (Move& each : course) put(out_.course, std::move(each), own_course_from_);
}

/// Where the next time through a repeat begins.
std::size_t PieceWorker::begin_course() {
  return own_course_from_ = out_.course.size();
}

/// What was put down since `from` is one time through a repeat, and stands for `times`.
void PieceWorker::repeat_course(std::size_t from, std::size_t groups_from, long long times) {
  Course& all = out_.course;
  if (from >= all.size()) return;
  Move group;
  group.kind = Move::Kind::group;
  group.times = times;
  group.moves.assign(std::make_move_iterator(all.begin() + static_cast<std::ptrdiff_t>(from)),
                     std::make_move_iterator(all.end()));
  all.resize(from);
  own_course_from_ = from;
  if (from > groups_from && all.back().kind == Move::Kind::group && all.back().moves == group.moves) {
    all.back().times = add_counts(all.back().times, times);
    return;
  }
  course_size_ += size_of(group.moves);
  if (all.size() - groups_from < most_groups && course_size_ < most_moves) {
    all.push_back(std::move(group));
    own_course_from_ = all.size();
    return;
  }
  Move sum;
  sum.every = 0;
  sum.straight = true;
  if (all.size() > groups_from && all.back().straight) sum = all.back(), all.pop_back();
  add_to(sum, group.moves, times);
  all.push_back(std::move(sum));
  own_course_from_ = all.size();
}

}  // namespace wale
