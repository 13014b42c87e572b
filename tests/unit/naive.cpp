#include "tests/unit/naive.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace wale::naive {

namespace {

/// More loops than this are not for fingers.
constexpr std::size_t most_loops = 2'000'000;

class Knitter {
 public:
  Knitter(std::vector<Loop> loops, int unknowns, const Stitches& stitches)
      : stitches_(stitches), left_(std::move(loops)), found_(static_cast<std::size_t>(unknowns)) {}

  Outcome run(const std::vector<Row>& rows, Form form) {
    const std::vector<Loop> entry = left_;
    for (std::size_t i = 0; i < rows.size() && out_.good; ++i) {
      row(rows[i]);
      if (!out_.good) {
        out_.failing_row = i;
        break;
      }
      out_.widths.push_back(static_cast<long long>(right_.size()));
      left_ = std::move(right_);
      right_.clear();
      if (form == Form::flat && !rows[i].slides) std::reverse(left_.begin(), left_.end());
    }
    out_.entry = settled(entry);
    out_.end = settled(left_);
    return std::move(out_);
  }

 private:
  void fail(std::string why) {
    if (out_.good) out_.why = std::move(why);
    out_.good = false;
  }

  void row(const Row& row) {
    side_ = row.side;
    at_ = 0;
    fills_ = 0;
    const long long beside = loops_asked(row.ops);
    const auto width = static_cast<long long>(left_.size());
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
    for (const Op& op : row.ops) work(op, row.strand);
    if (out_.good && at_ != left_.size()) fail("loops are left");
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
        return 0;
      case Op::Form::as_seen:
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
        return;
      case Op::Form::stitch:
        for (long long i = 0; i < op.count && out_.good; ++i) stitch(stitches_[op.stitch], strand);
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
      case Op::Form::as_seen:
        for (long long i = 0; i < fills_ && out_.good; ++i) {
          const Loop loop = next(LoopType::plain);
          give({LoopType::plain, loop.face, strand, -1});
        }
        if (fills_ > 0) worked(*stitches_.find("k"), strand, fills_);
        return;
      case Op::Form::into:
        for (long long i = 0; i < op.count; ++i) next(LoopType::plain);
        for (const Op& each : op.ops) {
          const Stitch& inner = stitches_[each.stitch];
          for (long long i = 0; i < each.count; ++i)
            for (const LoopType type : inner.gives) give(new_loop(type, inner.shows_purl, strand));
          worked(each.stitch, strand, each.count);
        }
        return;
    }
  }

  void worked(StitchId stitch, short strand, long long times) {
    out_.tally[{stitch, strand}] += times;
    out_.strands.back().insert(strand);
  }

  void stitch(const Stitch& stitch, short strand) {
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
        Loop loop = new_loop(type, stitch.shows_purl, strand);
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

  Loop new_loop(LoopType type, bool purl, short strand) const {
    const bool seen_from_right = side_ == Side::right ? purl : !purl;
    return {type, seen_from_right ? Face::purl : Face::knit, strand, -1};
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
      if (!known) known = wanted;
      has = *known;
    }
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
  std::vector<Loop> left_, right_;
  std::vector<std::optional<LoopType>> found_;
  std::size_t at_ = 0;
  long long fills_ = 0, fill_asks_ = -1;
  Side side_ = Side::right;
  Outcome out_;
};

}  // namespace

Outcome work(const std::vector<Row>& rows, Form form, long long width, const Stitches& stitches) {
  std::vector<Loop> loops;
  for (long long i = 0; i < width; ++i)
    loops.push_back({LoopType::any, Face::unknown, -1, static_cast<int>(i)});
  return Knitter(std::move(loops), static_cast<int>(width), stitches).run(rows, form);
}

Outcome work(const std::vector<Row>& rows, Form form, std::vector<Loop> loops, const Stitches& stitches) {
  return Knitter(std::move(loops), 0, stitches).run(rows, form);
}

long long row_without_yarn(const std::vector<Row>& rows, Form form,
                           const std::vector<std::set<short>>& strands) {
  if (form == Form::round) return -1;
  std::map<short, bool> hangs_right;
  for (int cycle = 0; cycle < 2; ++cycle)
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const bool begins_right = rows[i].side == Side::right;
      for (const short strand : strands[i]) {
        const auto found = hangs_right.find(strand);
        if (found != hangs_right.end() && found->second != begins_right) return rows[i].number;
        hangs_right[strand] = !begins_right;
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
