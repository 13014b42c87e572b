#include "compiler/piece_charts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "compiler/chart.hpp"
#include "compiler/chart_edges.hpp"
#include "compiler/instruction_words.hpp"
#include "compiler/instructions.hpp"
#include "compiler/panel_fabric.hpp"
#include "compiler/stretch_fabric.hpp"

namespace wale {

namespace {

/// A stretch that shows no repeat is not drawn wider than this.
constexpr int widest_stretch = 100;

std::string reading(Form form) {
  return form == Form::round ? "Read every round from right to left."
                             : "Read RS rows from right to left, WS rows from left to right.";
}

void find_kinds(const std::vector<Op>& ops, std::set<StitchId>& kinds, bool& more) {
  for (const Op& op : ops) {
    if (op.form == Op::Form::stitch) kinds.insert(op.stitch);
    more |= op.form == Op::Form::into || op.form == Op::Form::turn || op.form == Op::Form::as_seen;
    find_kinds(op.ops, kinds, more);
  }
}

/// Has the row more than one kind of stitch?
bool worth_drawing(const CheckedRow& row) {
  std::set<StitchId> kinds;
  bool more = false;
  find_kinds(row.row.ops, kinds, more);
  return more || kinds.size() > 1;
}

/// Is a stitch worked by how it looks, in a row that these rows themselves did not lay?
bool seen_before(const std::vector<CheckedRow>& rows) {
  const Op* fill = find_fill(rows.front().row.ops);
  if (fill && fill->form == Op::Form::as_seen) return true;
  // After a short row not all stitches of the row below are among those drawn.
  const auto seen = [](const CheckedRow& row) {
    const Op* own = find_fill(row.row.ops);
    return own && own->form == Op::Form::as_seen;
  };
  const auto turns = [](const CheckedRow& row) { return find_turn(row.row.ops) != nullptr; };
  return std::any_of(rows.begin(), rows.end(), seen) && std::any_of(rows.begin(), rows.end(), turns);
}

class PieceCharts {
 public:
  PieceCharts(const Pattern& pattern, const Piece& piece, const Stitches& stitches)
      : pattern_(pattern), piece_(piece), stitches_(stitches), part_(piece.name) {}

  std::vector<render::Chart> draw() {
    steps(piece_.steps);
    return std::move(charts_);
  }

 private:
  void steps(const std::vector<Step>& list) {
    for (std::size_t i = 0; i < list.size();) {
      const Step& step = list[i];
      std::size_t end = i + 1;
      // Halves of a piece are worked at the same rows; what was held is told by its name.
      if (step.kind == Step::Kind::resume) part_ = piece_.name + ", " + step.holder;
      if (step.kind == Step::Kind::shape) {
        while (end < list.size() && follows(list[end - 1], list[end])) ++end;
        shaping(list, i, end);
      } else if (step.kind == Step::Kind::rows) {
        step.worked.empty() ? literal(step) : spread(step);
      } else if (step.kind == Step::Kind::layout && step.parts.size() > 1) {
        panels(step);
      } else if (step.kind == Step::Kind::repeat) {
        steps(step.steps);
      }
      i = end;
    }
  }

  /// Shaped at its sides directly after that one was.
  static bool follows(const Step& one, const Step& next) {
    const auto at_points = [](const Step& step) {
      return step.shaping && step.shaping->where == Shaping::Where::points;
    };
    return next.kind == Step::Kind::shape && one.form == next.form && !at_points(one) && !at_points(next) &&
           static_cast<long long>(one.worked.size()) == one.row_count;
  }

  std::string name_of(Form form, long long first, long long count) const {
    const bool round = form == Form::round;
    const std::string rows = number_range(first, first + count - 1);
    return fmt::format("{}, {} {}", part_,
                       round ? (count == 1 ? "round" : "rounds") : (count == 1 ? "row" : "rows"), rows);
  }

  void literal(const Step& step) {
    if (std::none_of(step.rows.begin(), step.rows.end(), worth_drawing) || seen_before(step.rows)) return;
    stretch(step.rows, step.form, name_of(step.form, step.first_row, step.row_count), {});
  }

  void spread(const Step& step) {
    std::vector<CheckedRow> rows = step.worked;
    if (std::none_of(rows.begin(), rows.end(), worth_drawing)) return;
    sections_as_fills(rows);
    stretch(std::move(rows), step.form, name_of(step.form, step.first_row, step.row_count), Gaps::anywhere);
  }

  void shaping(const std::vector<Step>& list, std::size_t from, std::size_t to) {
    std::vector<CheckedRow> rows;
    long long all = 0;
    bool points = false;
    std::string gauge_of;
    for (std::size_t i = from; i < to; ++i) {
      all += list[i].row_count;
      points |= list[i].shaping && list[i].shaping->where == Shaping::Where::points;
      for (const CheckedRow& row : list[i].worked)
        if (rows.size() < most_rows_kept) {
          rows.push_back(row);
          rows.back().row.number = static_cast<long long>(rows.size());
        }
      if (!list[i].parts.empty() && gauge_of.empty())
        gauge_of = piece_.fabrics[static_cast<std::size_t>(list[i].parts.front().fabric)].name;
    }
    if (rows.empty() || std::none_of(rows.begin(), rows.end(), worth_drawing) || seen_before(rows)) return;
    const auto drawn = static_cast<long long>(rows.size());
    // A long side with a stitch lost now and then is told better by its words.
    if (!points && drawn < all) return;
    if (points) sections_as_fills(rows);
    stretch(std::move(rows), list[from].form, name_of(list[from].form, list[from].first_row, all),
            points ? Gaps::anywhere : Gaps::outside, gauge_of);
    if (added_ && drawn < all)
      charts_.back().notes.push_back(fmt::format(
          "The first {} of {} rows are drawn; go on in the same way, as the words say.", drawn, all));
  }

  void stretch(std::vector<CheckedRow> rows, Form form, const std::string& name, std::optional<Gaps> gaps,
               const std::string& gauge_of = {}) {
    added_ = false;
    const long long first = rows.front().before.base, last = rows.back().after.base;
    const StretchFabric made = stretch_of(std::move(rows), form, name, stitches_);
    auto chart = draw_fabric(made.fabric, pattern_, stitches_, {gaps, gauge_of});
    if (chart && gaps == Gaps::outside) chart = edges_of(std::move(*chart));
    if (!chart || chart->columns > 2 * widest_shaping ||
        (chart->columns > widest_stretch && gaps != Gaps::outside))
      return;
    std::string counts = first == last ? fmt::format("On {}", sts(first))
                                       : fmt::format("From {} to {}", sts(first), sts(last));
    if (chart->repeat_meaning && made.times)
      counts += fmt::format("; the frame is worked {} in a row", count_of(*made.times, "time", "times"));
    add(std::move(*chart), form, counts);
  }

  void panels(const Step& step) {
    std::string names;
    for (const Step::Part& part : step.parts)
      names += (names.empty() ? "" : " | ") + piece_.fabrics[static_cast<std::size_t>(part.fabric)].name;
    const auto made =
        panels_of(step, piece_.fabrics, name_of(step.form, step.first_row, step.row_count), stitches_);
    if (!made) return;
    auto chart = draw_fabric(made->fabric, pattern_, stitches_, {Gaps::anywhere, made->gauge_of});
    if (!chart || chart->columns > widest_stretch) return;
    if (chart->marker_meaning)
      chart->marker_meaning = "where one fabric ends and the next begins, or a marker";
    for (std::size_t i = 0; i < chart->rows.size(); ++i) {
      Row row = made->fabric.rows[i].row;
      std::erase_if(row.ops, [](const Op& op) { return op.form == Op::Form::marker; });
      chart->rows[i].words = fmt::format("{} {}: {}", row_word(step.form, false), chart->rows[i].label,
                                         row_sentence(row, stitches_, pattern_.strands));
    }
    if (made->reduced) frame(*chart, *made);
    add(std::move(*chart), step.form, fmt::format("{} on {}, from the right", names, sts(step.before)));
    std::vector<std::string>& notes = charts_.back().notes;
    notes.insert(notes.end(), made->less.begin(), made->less.end());
    const auto drawn = made->fabric.cycle_rows();
    const bool round = step.form == Form::round;
    if (drawn == made->joint_rows && drawn < step.row_count)
      notes.push_back(fmt::format(
          "Repeat these {}.", round ? count_of(drawn, "round", "rounds") : count_of(drawn, "row", "rows")));
    if (drawn < made->joint_rows && drawn < step.row_count)
      notes.push_back(fmt::format(
          "The fabrics begin together again only after {} rows; the first {} are drawn. Each fabric has a "
          "chart of its own to go on from.",
          made->joint_rows, drawn));
  }

  /// Frames the repeat of the one panel that is drawn with fewer of them than are worked. Its own chart tells
  /// where the frame stands, if the panel stands there as it does in that.
  void frame(render::Chart& chart, const Panels& made) const {
    const auto own = draw_fabric(*made.reduced, pattern_, stitches_);
    if (!own || own->rows.empty() || !own->repeat_meaning) return;
    const int begins = static_cast<int>(made.reduced_begins);
    for (std::size_t i = 0; i < chart.rows.size(); ++i) {
      const render::ChartRow& alone = own->rows[i % own->rows.size()];
      const bool same = std::all_of(alone.cells.begin(), alone.cells.end(), [&](const render::Cell& cell) {
        return std::any_of(
            chart.rows[i].cells.begin(), chart.rows[i].cells.end(), [&](const render::Cell& here) {
              return here.column == cell.column + begins && here.span == cell.span &&
                     here.absent == cell.absent &&
                     (!cell.mark || (here.mark && chart.marks[static_cast<std::size_t>(*here.mark)].id ==
                                                      own->marks[static_cast<std::size_t>(*cell.mark)].id));
            });
      });
      if (!same) {
        for (render::ChartRow& row : chart.rows) row.repeat.reset();
        return;
      }
      chart.rows[i].repeat = alone.repeat;
      if (chart.rows[i].repeat) chart.rows[i].repeat->first += begins;
    }
    chart.repeat_meaning = own->repeat_meaning;
  }

  void add(render::Chart chart, Form form, const std::string& counts) {
    chart.description = fmt::format("Knitting chart of {}. {}. {}",
                                    chart.title.substr(chart_title("").size()), counts, reading(form));
    chart.notes = {fmt::format("{}. {}", counts, reading(form))};
    charts_.push_back(std::move(chart));
    added_ = true;
  }

  const Pattern& pattern_;
  const Piece& piece_;
  const Stitches& stitches_;
  std::string part_;  ///< what is being worked: "front", "front, left-side"
  std::vector<render::Chart> charts_;
  bool added_ = false;
};

/// Alike but for what they are called.
bool same_picture(render::Chart a, const render::Chart& b) {
  a.name = b.name;
  a.title = b.title;
  a.description = b.description;
  return a == b;
}

}  // namespace

std::vector<render::Chart> piece_charts(const Pattern& pattern, const Stitches& stitches) {
  std::vector<render::Chart> out;
  std::vector<std::string> also;  // by chart
  for (const Piece& piece : pattern.pieces) {
    if (!piece.good) continue;
    for (render::Chart& chart : PieceCharts(pattern, piece, stitches).draw()) {
      chart.about.clear();  // what is drawn here has no name of the author's
      const auto same = std::find_if(out.begin(), out.end(),
                                     [&](const render::Chart& each) { return same_picture(each, chart); });
      if (same == out.end()) {
        out.push_back(std::move(chart));
        also.emplace_back();
        continue;
      }
      std::string& names = also[static_cast<std::size_t>(same - out.begin())];
      names += (names.empty() ? "" : "; ") + chart.title.substr(chart_title("").size());
    }
  }
  for (std::size_t i = 0; i < out.size(); ++i)
    if (!also[i].empty()) out[i].notes.push_back("The same: " + also[i] + ".");
  return out;
}

std::vector<render::Chart> piece_charts(const std::vector<const Pattern*>& sizes, const Stitches& stitches) {
  std::vector<render::Chart> out = piece_charts(*sizes.front(), stitches);
  std::vector<bool> alike(out.size(), true);
  for (std::size_t size = 1; size < sizes.size(); ++size) {
    const std::vector<render::Chart> others = piece_charts(*sizes[size], stitches);
    for (std::size_t i = 0; i < out.size(); ++i)
      alike[i] = alike[i] && i < others.size() && out[i] == others[i];
  }
  for (std::size_t i = 0; i < out.size(); ++i)
    if (!alike[i])
      out[i].notes.push_back(
          fmt::format("Drawn for size {}; the words give the numbers of the others.", sizes.front()->size));
  return out;
}

}  // namespace wale
