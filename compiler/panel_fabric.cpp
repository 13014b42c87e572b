#include "compiler/panel_fabric.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace wale {

namespace {

/// The row's stitches with the fill written as a group of so many; false where that cannot be done.
bool write_fill(std::vector<Op>& ops, long long fills) {
  for (auto op = ops.begin(); op != ops.end();) {
    if (op->form == Op::Form::as_seen || op->form == Op::Form::turn) return false;
    if (op->form == Op::Form::fill) {
      if (fills < 1) {
        op = ops.erase(op);
        continue;
      }
      op->form = Op::Form::group;
      op->count = fills;
    } else if (!op->ops.empty() && !write_fill(op->ops, fills)) {
      return false;
    }
    ++op;
  }
  return true;
}

long long n_of(const Fabric& fabric, long long width) {
  return fabric.width.constant() ? 0 : (width - fabric.width.base) / fabric.width.per_n;
}

/// Nothing is drawn narrower than this if the piece works more; a fabric's own chart does the same.
constexpr long long least_panel = 8;

/// The least n at which every row shows its repeat; a narrow one twice.
long long telling_n(const Fabric& fabric, long long most) {
  const long long copies = fabric.width.per_n < 6 ? 2 : 1;
  long long n = fabric.smallest_n;
  const auto shown = [&](const CheckedRow& row) {
    return row.fills.constant() || row.fills.at(n) >= row.fills.per_n * copies;
  };
  while (n < most &&
         (fabric.width.at(n) < least_panel || !std::all_of(fabric.rows.begin(), fabric.rows.end(), shown)))
    ++n;
  return std::min(n, most);
}

class Joiner {
 public:
  Joiner(const Step& layout, const std::vector<Fabric>& fabrics, const Stitches& stitches)
      : layout_(layout), stitches_(stitches) {
    for (const Step::Part& part : layout.parts)
      parts_.push_back(&fabrics[static_cast<std::size_t>(part.fabric)]);
  }

  std::optional<Panels> join(const std::string& name) {
    Fabric& fabric = out_.fabric;
    fabric.name = name;
    fabric.form = layout_.form;
    fabric.good = true;
    choose_repeats();
    out_.joint_rows = layout_.form == Form::flat ? 2 : 1;
    for (const Fabric* each : parts_)
      out_.joint_rows = std::min(std::lcm(out_.joint_rows, each->cycle_rows()), largest_work);
    if (layout_.form == Form::flat && out_.joint_rows % 2 == 1) out_.joint_rows *= 2;
    const long long rows = std::min({out_.joint_rows, tallest_panels, layout_.row_count});
    for (long long row = 0; row < rows; ++row)
      if (!add_row(row)) return {};
    if (fabric.rows.empty()) return {};
    fabric.width = fabric.rows.front().before;
    fabric.height = rows;
    return std::move(out_);
  }

 private:
  void choose_repeats() {
    long long total = 0, widest = 0, begins = 0;
    for (const Step::Part& part : layout_.parts) total += part.width;
    for (std::size_t i = 0; i < parts_.size(); ++i) {
      const long long worked = n_of(*parts_[i], layout_.parts[i].width);
      const long long drawn = total <= widest_panels ? worked : telling_n(*parts_[i], worked);
      n_.push_back(drawn);
      if (drawn < worked) {
        out_.reduced = out_.less.empty() ? parts_[i] : nullptr;
        out_.reduced_begins = begins;
        out_.less.push_back(fmt::format("Of {} {} of {} sts are drawn.", parts_[i]->name,
                                        parts_[i]->width.at(drawn), layout_.parts[i].width));
      }
      begins += parts_[i]->width.at(drawn);
      if (layout_.parts[i].width > widest) {
        widest = layout_.parts[i].width;
        out_.gauge_of = parts_[i]->name;
      }
    }
  }

  std::vector<const CheckedRow*> passes(const Fabric& fabric, long long row) const {
    std::vector<const CheckedRow*> out;
    for (const CheckedRow& each : fabric.rows)
      if (each.row.number == row % fabric.cycle_rows() + 1) out.push_back(&each);
    return out;
  }

  bool add_row(long long number) {
    std::vector<std::vector<const CheckedRow*>> passes_of;
    std::size_t most = 0;
    for (const Fabric* each : parts_) {
      passes_of.push_back(passes(*each, number));
      most = std::max(most, passes_of.back().size());
    }
    for (std::size_t pass = 0; pass < most; ++pass) {
      CheckedRow joint;
      for (const auto& own : passes_of)
        if (own.size() == most) joint.row = own[pass]->row;
      joint.row.number = number + 1;
      joint.row.ops.clear();
      const bool wrong = layout_.form == Form::flat && joint.row.side == Side::wrong;
      for (std::size_t k = 0; k < parts_.size(); ++k) {
        const std::size_t i = wrong ? parts_.size() - 1 - k : k;
        if (k > 0) joint.row.ops.emplace_back().form = Op::Form::marker;
        const CheckedRow* own = pass < passes_of[i].size() ? passes_of[i][pass] : nullptr;
        if (own && joint.row.strand < 0) joint.row.strand = own->row.strand;
        if (!add_part(own ? *own : *passes_of[i].back(), own != nullptr, n_[i], joint)) return false;
      }
      out_.fabric.rows.own().push_back(std::move(joint));
    }
    return true;
  }

  /// A fabric without this pass slips all of its stitches.
  bool add_part(const CheckedRow& row, bool worked, long long n, CheckedRow& joint) const {
    if (!worked) {
      const auto slip = stitches_.find("sl");
      if (!slip) return false;
      Op op;
      op.stitch = *slip;
      op.count = row.after.at(n);
      joint.before = joint.before + Linear(op.count);
      joint.after = joint.after + Linear(op.count);
      joint.row.ops.push_back(std::move(op));
      return true;
    }
    std::vector<Op> ops = row.row.ops;
    if (!write_fill(ops, row.fills.at(n))) return false;
    joint.before = joint.before + Linear(row.before.at(n));
    joint.after = joint.after + Linear(row.after.at(n));
    joint.row.ops.insert(joint.row.ops.end(), std::make_move_iterator(ops.begin()),
                         std::make_move_iterator(ops.end()));
    return true;
  }

  const Step& layout_;
  const Stitches& stitches_;
  std::vector<const Fabric*> parts_;
  std::vector<long long> n_;  ///< drawn, by part
  Panels out_;
};

}  // namespace

std::optional<Panels> panels_of(const Step& layout, const std::vector<Fabric>& fabrics,
                                const std::string& name, const Stitches& stitches) {
  return Joiner(layout, fabrics, stitches).join(name);
}

}  // namespace wale
