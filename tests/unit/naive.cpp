#include "tests/unit/naive.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace wale::naive {

namespace {

/// More loops than this are not for fingers.
constexpr std::size_t most_loops = 2'000'000;

class Knitter {
 public:
  Knitter(std::vector<Loop> loops, int unknowns, const Stitches& stitches, bool with_look)
      : stitches_(stitches),
        with_look_(with_look),
        line_(std::move(loops)),
        found_(static_cast<std::size_t>(unknowns)) {}

  Outcome run(const std::vector<Row>& rows, Form form) {
    const std::vector<Loop> entry = line_;
    if (!rows.empty() && rows[0].side == Side::wrong) turn_over(line_);
    for (std::size_t i = 0; i < rows.size() && out_.good; ++i) {
      if (i == 0 && rows[i].side == Side::wrong) at_line_ = line_.size();
      const std::size_t began = at_line_;
      out_.begins_at.push_back(static_cast<long long>(began));
      pick_up(rows[i].side);
      row(rows[i]);
      if (!out_.good) {
        out_.failing_row = i;
        break;
      }
      out_.given = right_;
      put_down(rows[i], form == Form::round, began);
      if (with_look_) look();
      out_.widths.push_back(static_cast<long long>(line_.size()));
    }
    out_.entry = settled(entry);
    out_.end = settled(line_);
    out_.next_side = next_side_;
    out_.at_an_end = at_line_ == (next_side_ == Side::right ? 0 : line_.size());
    // Told in the order in which the next row would work them.
    if (out_.good && !rows.empty() && next_side_ == Side::wrong) turn_over(out_.end);
    return std::move(out_);
  }

 private:
  void fail(std::string why) {
    if (out_.good) out_.why = std::move(why);
    out_.good = false;
  }

  void look() {
    if (side_ == Side::wrong) std::reverse(made_.begin(), made_.end());
    out_.made.push_back(std::move(made_));
    made_.clear();
    out_.lines.push_back(line_);
  }

  /// The work seen from its other side: the other way round, near layer and far layer exchanged.
  static void turn_over(std::vector<Loop>& loops) {
    std::reverse(loops.begin(), loops.end());
    for (Loop& loop : loops) loop.type = other_layer(loop.type);
  }
  static LoopType other_layer(LoopType type) {
    return type == LoopType::front ? LoopType::back : type == LoopType::back ? LoopType::front : type;
  }

  /// The loops ahead of the yarn, in the order in which they meet the right needle's tip.
  void pick_up(Side side) {
    const auto yarn = line_.begin() + static_cast<std::ptrdiff_t>(at_line_);
    side_ = side;
    right_.clear();
    if (side == Side::right) {
      left_.assign(yarn, line_.end());
      line_.erase(yarn, line_.end());
    } else {
      left_.assign(line_.begin(), yarn);
      line_.erase(line_.begin(), yarn);
      turn_over(left_);
    }
    at_ = 0;
  }

  /// Lays the loops worked and those left back into the line, and moves the yarn to where the next row
  /// begins.
  void put_down(const Row& row, bool round, std::size_t began) {
    const Turn turn = row.ops.empty() ? Turn::none : row.ops.back().turn;
    std::vector<Loop> rest(left_.begin() + static_cast<std::ptrdiff_t>(at_), left_.end());
    if (turn == Turn::wrap && !rest.empty() && is_plain(rest.front())) {
      rest.front().type = LoopType::wrapped;
      rest.front().variable = -1;
    }
    bool lifted = false;
    if (turn == Turn::doubled && !right_.empty() && is_plain(right_.back())) {
      right_.back().type = LoopType::doubled;
      right_.back().variable = -1;
    }
    if (turn == Turn::doubled && !right_.empty()) lifted = true;
    const std::size_t worked = right_.size(), ahead = rest.size();
    std::vector<Loop> all = std::move(right_);
    all.insert(all.end(), rest.begin(), rest.end());
    right_.clear();
    next_side_ = turn != Turn::none || !round || side_ == Side::wrong ? other(side_) : side_;
    if (row.slides) next_side_ = side_;
    if (side_ == Side::right) {
      line_.insert(line_.end(), all.begin(), all.end());
      at_line_ = began + worked - (lifted ? 1 : 0);
    } else {
      turn_over(all);
      line_.insert(line_.begin(), all.begin(), all.end());
      at_line_ = ahead + (lifted ? 1 : 0);
    }
    out_.ends_at.push_back(static_cast<long long>(at_line_));
    if (row.slides)
      at_line_ = side_ == Side::right ? began : line_.size();
    else if (round && turn == Turn::none && side_ == Side::right)
      at_line_ = 0;
  }

  /// Whether a turn can catch it; a loop that nothing is known of is plain from now on.
  bool is_plain(const Loop& loop) {
    if (loop.variable < 0) return loop.type == LoopType::plain;
    std::optional<LoopType>& known = found_[static_cast<std::size_t>(loop.variable)];
    if (!known) known = LoopType::plain;
    return *known == LoopType::plain;
  }

  void row(const Row& row) {
    fills_ = 0;
    const long long beside = loops_asked(row.ops);
    const bool stops = !row.ops.empty() && row.ops.back().form == Op::Form::turn;
    auto width = static_cast<long long>(left_.size());
    if (stops && row.ops.back().leaves >= 0)
      width -= row.ops.back().leaves;
    else if (stops && fill_asks_ < 0)
      width = std::min(width, beside);  // whatever remains is left
    if (stops && row.ops.back().turn == Turn::wrap && width == static_cast<long long>(left_.size()))
      return fail("no loop to wrap");
    if (width < 0) return fail("fewer loops than are to be left");
    if (fill_asks_ >= 0) {
      if (fill_asks_ == 0) return fail("a fill that takes nothing");
      if (width < beside) return fail(fmt::format("{} beside the fill, {} on the needle", beside, width));
      if ((width - beside) % fill_asks_ != 0)
        return fail(fmt::format("{} left for a fill of {}", width - beside, fill_asks_));
      fills_ = (width - beside) / fill_asks_;
    } else if (width != beside) {
      return fail(fmt::format("the row takes {}, on the needle are {}", beside, width));
    }
    out_.fills.push_back(fills_);
    out_.strands.emplace_back();
    near_ = row.strand;
    far_ = row.back_strand < 0 ? row.strand : row.back_strand;
    for (const Op& op : row.ops) work(op, row.strand);
    if (out_.good && static_cast<long long>(at_) != width) fail("loops are left");
  }

  /// Loops taken beside the fill; what one time of the fill takes goes to `fill_asks_`.
  long long loops_asked(const std::vector<Op>& ops) {
    fill_asks_ = -1;
    long long sum = 0;
    for (const Op& op : ops) sum += asked(op);
    return sum;
  }
  long long asked(const Op& op) {
    long long inner = 0;
    switch (op.form) {
      case Op::Form::stitch:
        return op.count * static_cast<long long>(stitches_[op.stitch].takes.size());
      case Op::Form::marker:
      case Op::Form::turn:
        return 0;
      case Op::Form::as_seen:
        if (op.leaves >= 0) return op.leaves;
        fill_asks_ = 1;
        return 0;
      case Op::Form::into:
        return op.count;
      case Op::Form::group:
      case Op::Form::strand:
        for (const Op& each : op.ops) inner += asked(each);
        return inner * op.count;
      case Op::Form::fill:
        for (const Op& each : op.ops) inner += asked(each);
        fill_asks_ = inner;
        return 0;
    }
    return 0;
  }

  void work(const Op& op, short strand) {
    if (!out_.good) return;
    switch (op.form) {
      case Op::Form::marker:
      case Op::Form::turn:
        return;
      case Op::Form::stitch:
        for (long long i = 0; i < op.count && out_.good; ++i) {
          stitch(op.stitch, strand);
          if (with_look_) made_.push_back({op.stitch, side_, 0});
        }
        worked(op.stitch, strand, op.count);
        return;
      case Op::Form::group:
        for (long long i = 0; i < op.count && out_.good; ++i)
          for (const Op& each : op.ops) work(each, strand);
        return;
      case Op::Form::strand:
        for (const Op& each : op.ops) work(each, op.strand);
        return;
      case Op::Form::fill:
        for (long long i = 0; i < fills_ && out_.good; ++i)
          for (const Op& each : op.ops) work(each, strand);
        return;
      case Op::Form::as_seen: {
        // As many as remain; or so many, where fabrics lie side by side: only a reader writes `leaves` here.
        const long long times = op.leaves >= 0 ? op.leaves : fills_;
        for (long long i = 0; i < times && out_.good; ++i) {
          const Loop loop = next(LoopType::plain);
          give({LoopType::plain, loop.face, strand, -1});
          if (with_look_) made_.push_back({-1, side_, 0});
        }
        if (times > 0) worked(*stitches_.find("k"), strand, times);
        return;
      }
      case Op::Form::into:
        for (long long i = 0; i < op.count; ++i) next(LoopType::plain);
        for (const Op& each : op.ops) {
          const Stitch& inner = stitches_[each.stitch];
          for (long long i = 0; i < each.count; ++i)
            for (const LoopType type : inner.gives) give(new_loop(each.stitch, type, strand));
          for (long long i = 0; i < each.count && with_look_; ++i)
            made_.push_back({each.stitch, side_, op.count});
          worked(each.stitch, strand, each.count);
        }
        return;
    }
  }

  /// Double knitting takes both of the row's strands; the near layer is in the one named.
  short far_strand(short near) const { return near == far_ ? near_ : near == near_ ? far_ : far_; }

  void worked(StitchId stitch, short strand, long long times) {
    const auto& gives = stitches_[stitch].gives;
    if (std::count(gives.begin(), gives.end(), LoopType::back) > 0) {
      out_.tally[{stitch, far_strand(strand)}] += times;
      out_.strands.back().insert(far_strand(strand));
    }
    out_.tally[{stitch, strand}] += times;
    out_.strands.back().insert(strand);
  }

  void stitch(StitchId id, short strand) {
    const Stitch& stitch = stitches_[id];
    std::vector<Loop> taken;
    for (const LoopType wanted : stitch.takes) taken.push_back(next(wanted));
    if (!out_.good) return;
    if (stitch.passes_on) {
      for (const Loop& loop : taken) give(loop);
    } else if (stitch.crossing) {
      crossing(*stitch.crossing, strand);
    } else {
      const bool slipped = stitch.gives == std::vector{LoopType::veiled};
      for (const LoopType type : stitch.gives) {
        Loop loop = new_loop(id, type, strand);
        if (slipped) loop.face = taken.front().face;
        give(loop);
      }
    }
  }

  /// As the right side shows it, from right to left: a right crossing has its front strip first, because it
  /// has moved to the right.
  void crossing(const Stitch::Crossing& c, short strand) {
    std::vector<Face> faces;
    const std::vector<Face> front(static_cast<std::size_t>(c.over), Face::knit);
    const std::vector<Face> middle(static_cast<std::size_t>(c.between),
                                   c.between_purl ? Face::purl : Face::knit);
    const std::vector<Face> behind(static_cast<std::size_t>(c.under), c.under_purl ? Face::purl : Face::knit);
    for (const auto& strip : {c.right ? front : behind, middle, c.right ? behind : front})
      faces.insert(faces.end(), strip.begin(), strip.end());
    if (side_ == Side::wrong) std::reverse(faces.begin(), faces.end());
    for (const Face face : faces) give({LoopType::plain, face, strand, -1});
  }

  /// In double knitting the near loop is knitted and the far one purled, in its own strand. What is worked
  /// alike from both sides looks alike from both.
  Loop new_loop(StitchId id, LoopType type, short strand) const {
    if (type == LoopType::back)
      return {type, side_ == Side::right ? Face::purl : Face::knit, far_strand(strand), -1};
    bool purl = stitches_[id].shows_purl;
    const bool alike = stitches_[id].twin == id && type != LoopType::front;
    if (side_ == Side::wrong && !alike) purl = !purl;
    return {type, purl ? Face::purl : Face::knit, strand, -1};
  }

  void give(const Loop& loop) {
    if (right_.size() >= most_loops) return fail("too many loops");
    right_.push_back(loop);
  }

  Loop next(LoopType wanted) {
    if (at_ >= left_.size()) {
      fail("no loop left");
      return {};
    }
    Loop loop = left_[at_++];
    if (wanted == LoopType::any) return loop;
    LoopType has = loop.type;
    if (loop.variable >= 0) {
      std::optional<LoopType>& known = found_[static_cast<std::size_t>(loop.variable)];
      // What is found out is written down as the right side shows it.
      if (!known) known = side_ == Side::wrong ? other_layer(wanted) : wanted;
      has = side_ == Side::wrong ? other_layer(*known) : *known;
    }
    // A wrap or a doubled stitch is worked as one with its stitch.
    if (wanted == LoopType::plain && (has == LoopType::wrapped || has == LoopType::doubled)) has = wanted;
    if (has != wanted) fail(fmt::format("loop {} is {}, wanted {}", at_, name_of(has), name_of(wanted)));
    return loop;
  }

  std::vector<Loop> settled(std::vector<Loop> loops) const {
    for (Loop& loop : loops)
      if (loop.variable >= 0) {
        loop.type = found_[static_cast<std::size_t>(loop.variable)].value_or(LoopType::plain);
        loop.variable = -1;
      }
    return loops;
  }

  const Stitches& stitches_;
  bool with_look_;
  /// All loops from the right edge to the left one, as the right side shows them; the yarn hangs before
  /// `line_[at_line_]`.
  std::vector<Loop> line_;
  std::size_t at_line_ = 0;
  std::vector<Loop> left_, right_;
  std::vector<std::optional<LoopType>> found_;
  std::size_t at_ = 0;
  long long fills_ = 0, fill_asks_ = -1;
  short near_ = -1, far_ = -1;
  Side side_ = Side::right, next_side_ = Side::right;
  std::vector<Made> made_;  ///< in this row
  Outcome out_;
};

}  // namespace

Outcome work(const std::vector<Row>& rows, Form form, long long width, const Stitches& stitches) {
  std::vector<Loop> loops;
  for (long long i = 0; i < width; ++i)
    loops.push_back({LoopType::any, Face::unknown, -1, static_cast<int>(i)});
  return Knitter(std::move(loops), static_cast<int>(width), stitches, false).run(rows, form);
}

Outcome work(const std::vector<Row>& rows, Form form, std::vector<Loop> loops, const Stitches& stitches,
             bool with_look) {
  return Knitter(std::move(loops), 0, stitches, with_look).run(rows, form);
}

long long row_without_yarn(const std::vector<Row>& rows, Form form, const Outcome& worked) {
  // Places from the right edge; the left edge is the same place whatever the width is.
  constexpr long long left_edge = -1;
  std::map<short, long long> hangs;
  const auto place = [&](long long at, long long width) {
    if (at != width || at == 0) return at;
    return form == Form::round ? 0 : left_edge;
  };
  for (int cycle = 0; cycle < 2; ++cycle)
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const long long before = i == 0 ? static_cast<long long>(worked.entry.size()) : worked.widths[i - 1];
      const long long begins = place(worked.begins_at[i], before);
      const long long ends = place(worked.ends_at[i], worked.widths[i]);
      for (const short strand : worked.strands[i]) {
        const auto found = hangs.find(strand);
        if (found != hangs.end() && found->second != begins) return rows[i].number;
        hangs[strand] = ends;
      }
    }
  return -1;
}

std::vector<Row> rows_of(const Fabric& fabric) {
  std::vector<Row> out;
  for (const CheckedRow& row : fabric.rows) out.push_back(row.row);
  return out;
}

}  // namespace wale::naive
