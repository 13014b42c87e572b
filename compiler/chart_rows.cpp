#include "compiler/chart_rows.hpp"

#include <algorithm>

namespace wale {

namespace {

class Layer {
 public:
  Layer(const CheckedRow& row, long long n, const Stitches& stitches, std::vector<Lying>& below)
      : row_(row), n_(n), fills_(row.fills.at(n)), stitches_(stitches), below_(below) {}

  std::vector<Box> run(Turn turned) {
    const bool wrong = row_.row.side == Side::wrong;
    if (wrong) std::reverse(below_.begin(), below_.end());
    // A short row begins behind the stitches that an earlier turn left, and ends before those that its own
    // leaves. The stitch at the turn is the last of the ones and the first of the others.
    pass(static_cast<int>(row_.waiting.at(n_)));
    if (turned == Turn::doubled && !boxes_.empty()) boxes_.back().turn = turned;
    ops(row_.row.ops, row_.row.strand, fills_);
    const std::size_t left = boxes_.size();
    pass(static_cast<int>(row_.unworked.at(n_)));
    const Op* turn = find_turn(row_.row.ops);
    if (turn && turn->turn == Turn::wrap && left < boxes_.size()) boxes_[left].turn = turn->turn;
    if (wrong) {
      turn_around();
      std::reverse(made_.begin(), made_.end());
    }
    below_ = std::move(made_);
    return std::move(boxes_);
  }

 private:
  Lying below(int loop) const {
    return loop < static_cast<int>(below_.size()) ? below_[static_cast<std::size_t>(loop)] : Lying();
  }

  void ops(const std::vector<Op>& list, short strand, long long fills) {
    for (const Op& op : list) one(op, strand, fills);
  }

  void one(const Op& op, short strand, long long fills) {
    switch (op.form) {
      case Op::Form::stitch:
        for (long long i = 0; i < op.count; ++i) stitch(op.stitch, strand);
        break;
      case Op::Form::group:
        for (long long i = 0; i < op.count; ++i) ops(op.ops, strand, fills);
        break;
      case Op::Form::strand:
        ops(op.ops, op.strand, fills);
        break;
      case Op::Form::fill:
        for (filling_ = 0; filling_ < fills; ++filling_) ops(op.ops, strand, 0);
        filling_ = -1;
        break;
      case Op::Form::as_seen:
        for (long long i = 0; i < fills; ++i) {
          const bool looks_purl = (below(taken_).face == Face::purl) == (row_.row.side == Side::right);
          if (const auto seen = stitches_.find(looks_purl ? "p" : "k")) stitch(*seen, strand);
        }
        break;
      case Op::Form::into:
        into(op, strand);
        break;
      case Op::Form::turn:
        break;
      case Op::Form::marker:
        if (!boxes_.empty()) boxes_.back().marker_after = true;
        break;
    }
  }

  void pass(int count) {
    for (int i = 0; i < count; ++i) {
      Box box;
      box.unworked = true;
      box.takes = box.gives = 1;
      made_.push_back(below(taken_));
      put(box);
    }
  }

  void stitch(StitchId id, short strand) {
    const Stitch& facts = stitches_[id];
    Box box;
    box.worked = id;
    box.shown = row_.row.side == Side::right ? id : facts.twin;
    box.lean = stitches_[box.shown].lean;
    box.strand = strand;
    box.takes = static_cast<int>(facts.takes.size());
    box.gives = static_cast<int>(facts.gives.size());
    box.width = facts.crossing ? facts.cells() : facts.layered() ? 1 : std::max(1, box.gives);
    // The right side shows the far layer of a pair that is worked from the wrong side.
    if (facts.layered() && row_.row.side == Side::wrong && row_.row.back_strand >= 0)
      box.strand = strand == row_.row.back_strand ? row_.row.strand : row_.row.back_strand;
    // A stitch that is passed on keeps the colour that it has.
    if (facts.passes_on && below(taken_).strand >= 0) box.strand = below(taken_).strand;
    give(id, box.strand);
    put(box);
  }

  void into(const Op& op, short strand) {
    Box box;
    box.strand = strand;
    box.takes = static_cast<int>(op.count);
    box.gives = static_cast<int>(balance(op.ops, stitches_).gives);
    box.into = &op;
    box.width = std::max(1, box.gives);
    for (const Op& inner : op.ops)
      if (inner.form == Op::Form::stitch)
        for (long long i = 0; i < inner.count; ++i) give(inner.stitch, strand);
    put(box);
  }

  void give(StitchId id, short strand) {
    const Stitch& facts = stitches_[id];
    const bool keeps = facts.passes_on || (facts.gives.size() == 1 && facts.gives[0] == LoopType::veiled);
    if (!facts.crossing) {
      for (std::size_t i = 0; i < facts.gives.size(); ++i)
        made_.push_back({keeps ? below(taken_ + static_cast<int>(i)).face
                               : face_made(stitches_, id, facts.gives[i], row_.row.side),
                         strand});
      return;
    }
    // Named by the right side, whichever side faces; from its right edge a right crossing shows the front
    // strip first.
    const Stitch::Crossing& c = *facts.crossing;
    std::vector<Lying> strip;
    const auto add = [&](int count, bool purl) {
      strip.insert(strip.end(), static_cast<std::size_t>(count),
                   Lying{purl ? Face::purl : Face::knit, strand});
    };
    add(c.right ? c.over : c.under, !c.right && c.under_purl);
    add(c.between, c.between_purl);
    add(c.right ? c.under : c.over, c.right && c.under_purl);
    if (row_.row.side == Side::wrong) std::reverse(strip.begin(), strip.end());
    made_.insert(made_.end(), strip.begin(), strip.end());
  }

  void put(Box box) {
    box.takes_first = taken_;
    box.gives_first = given_;
    box.filling = filling_;
    taken_ += box.takes;
    given_ += box.gives;
    boxes_.push_back(box);
  }

  /// A wrong-side row is worked from the left of the right side.
  void turn_around() {
    std::reverse(boxes_.begin(), boxes_.end());
    for (Box& box : boxes_) {
      box.takes_first = taken_ - box.takes_first - box.takes;
      box.gives_first = given_ - box.gives_first - box.gives;
      if (box.filling >= 0) box.filling = fills_ - 1 - box.filling;
    }
    // A marker stood behind a box in working order, so now it stands before it: on the left of its new
    // neighbour.
    for (std::size_t i = 0; i + 1 < boxes_.size(); ++i) boxes_[i].marker_after = boxes_[i + 1].marker_after;
    if (!boxes_.empty()) boxes_.back().marker_after = false;
  }

  const CheckedRow& row_;
  long long n_, fills_;
  const Stitches& stitches_;
  std::vector<Lying>& below_;
  std::vector<Lying> made_;
  std::vector<Box> boxes_;
  int taken_ = 0, given_ = 0;
  long long filling_ = -1;
};

}  // namespace

std::vector<Box> lay_row(const CheckedRow& row, long long n, const Stitches& stitches, Turn turned,
                         std::vector<Lying>& below) {
  return Layer(row, n, stitches, below).run(turned);
}

int place_rows(std::vector<std::vector<Box>>& rows, const std::vector<long long>& fills_per_copy,
               const PlacementRules& rules) {
  std::vector<PlacementRow> stitches(rows.size());
  int columns = 0;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    for (const Box& box : rows[i]) {
      const long long copy = box.filling < 0 || fills_per_copy[i] <= 0 ? -1 : box.filling / fills_per_copy[i];
      stitches[i].push_back({box.width, box.takes, box.gives, static_cast<int>(copy)});
    }
    columns = std::max(columns, squares(stitches[i]));
  }
  const Columns placed = place(stitches, rules);
  for (std::size_t i = 0; i < rows.size(); ++i)
    for (std::size_t k = 0; k < rows[i].size(); ++k) rows[i][k].column = placed[i][k];
  return columns;
}

}  // namespace wale
