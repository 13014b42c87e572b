#include "compiler/chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <set>

#include "compiler/chart_rows.hpp"
#include "compiler/instruction_words.hpp"
#include "compiler/repeat_frames.hpp"
#include "render/geometry.hpp"
#include "render/path.hpp"
#include "render/svg.hpp"

namespace wale {

namespace {

/// A repeat narrower than this is drawn twice, so that one sees how it joins.
constexpr int narrow_repeat = 6;
/// Nothing is drawn narrower than this if a larger n helps.
constexpr int least_columns = 8;

/// Does the row give as many loops as it takes, but for a few stitches at its edges? A stitch that gains or
/// loses more than two is a bobble and no shaping.
bool steady_inside(const std::vector<Box>& row) {
  const std::size_t edge = std::min<std::size_t>(4, row.size() / 4);
  int gains = 0;
  for (const Box& box : row)
    if (std::abs(box.gives - box.takes) > 2) return false;
  for (std::size_t i = edge; i + edge < row.size(); ++i) gains += row[i].gives - row[i].takes;
  return gains == 0;
}

class FabricChart {
 public:
  FabricChart(const Fabric& fabric, const Pattern& pattern, const Stitches& stitches, const ChartRules& rules)
      : fabric_(fabric), pattern_(pattern), stitches_(stitches), rules_(rules) {}

  std::optional<render::Chart> draw() {
    if (static_cast<long long>(fabric_.rows.size()) > tallest_chart) return {};
    choose_n();
    if (n_ < 0) return {};
    rows_ = laid(n_);
    columns_ = place_rows(rows_, fills_per_copy(), {gaps(), fabric_.returns});
    if (columns_ == 0) return {};
    chart_.name = render::id_from(fabric_.name);
    chart_.about = fabric_.name;
    chart_.title = chart_title(fabric_.name);
    chart_.columns = columns_;
    const Gauge* gauge = pattern_.gauge_for(rules_.gauge_of.empty() ? fabric_.name : rules_.gauge_of);
    chart_.cell_aspect = gauge ? std::clamp(gauge->rows_per_cm / gauge->wales_per_cm(), 0.3, 4.0) : 1;
    choose_tints();
    for (std::size_t i = 0; i < rows_.size(); ++i) chart_.rows.push_back(row(i));
    frames();
    finish_key();
    words();
    return std::move(chart_);
  }

 private:
  std::vector<long long> fills_per_copy() const {
    std::vector<long long> out;
    for (const CheckedRow& row : fabric_.rows) out.push_back(row.fills.per_n);
    return out;
  }

  /// Flat work whose stitches come and go at its edges alone is drawn with edges that step.
  Gaps gaps() const {
    if (rules_.gaps) return *rules_.gaps;
    const bool at_edges =
        fabric_.form == Form::flat &&
        std::all_of(rows_.begin(), rows_.end(), [](const auto& row) { return steady_inside(row); });
    return at_edges ? Gaps::outside : Gaps::anywhere;
  }

  std::vector<std::vector<Box>> laid(long long n) const {
    std::vector<std::vector<Box>> out;
    std::vector<Lying> below;
    const auto lay = [&] {
      out.clear();
      Turn turned = Turn::none;
      for (const CheckedRow& row : fabric_.rows) {
        out.push_back(lay_row(row, n, stitches_, turned, below));
        const Op* turn = find_turn(row.row.ops);
        turned = turn ? turn->turn : Turn::none;
      }
    };
    lay();
    if (!fabric_.returns) return out;
    // Stitches that row 1 passes on have the colour that the last row left them.
    for (Lying& loop : below) loop.face = Face::knit;
    lay();
    return out;
  }

  /// The widest row at this n, without laying it out.
  long long width_at(long long n) const {
    long long out = 0;
    for (const CheckedRow& row : fabric_.rows) out = std::max({out, row.before.at(n), row.after.at(n)});
    return out;
  }

  void choose_n() {
    if (width_at(fabric_.smallest_n) > widest_chart) {
      n_ = -1;
      return;
    }
    n_ = fabric_.smallest_n;
    if (fabric_.width.constant()) return;
    const long long copies = fabric_.width.per_n < narrow_repeat ? 2 : 1;
    const auto enough = [&](long long n) {
      const bool whole = std::all_of(fabric_.rows.begin(), fabric_.rows.end(), [&](const CheckedRow& row) {
        return row.fills.constant() || row.fills.at(n) >= row.fills.per_n * copies;
      });
      return whole && width_at(n) >= least_columns;
    };
    while (!enough(n_) && width_at(n_ + 1) <= widest_chart) ++n_;
  }

  void choose_tints() {
    std::set<short> used;
    for (const auto& row : rows_)
      for (const Box& box : row)
        if (box.strand >= 0) used.insert(box.strand);
    // Colours for strands without a yarn: light, and of different lightness.
    static const render::Colour spare[]{
        {0xF4, 0xEF, 0xE6}, {0xC9, 0xD8, 0xDD}, {0x8F, 0xA9, 0xA3}, {0xE3, 0xC9, 0xB8}};
    for (const short strand : used) {
      const Strand& facts = pattern_.strands[static_cast<std::size_t>(strand)];
      render::Tint tint{facts.name, "strand " + facts.name, spare[tint_of_.size() % 4]};
      if (!facts.yarns.empty()) {
        tint.name.clear();
        for (const int yarn : facts.yarns)
          tint.name +=
              (tint.name.empty() ? "" : " + ") + pattern_.yarns[static_cast<std::size_t>(yarn)].label;
        if (const auto colour = pattern_.yarns[static_cast<std::size_t>(facts.yarns[0])].colour)
          tint.colour = {colour->red, colour->green, colour->blue};
      }
      tint_of_[strand] = static_cast<int>(chart_.tints.size());
      chart_.tints.push_back(std::move(tint));
    }
  }

  int mark_of(const Box& box) {
    if (box.turn != Turn::none) return turn_mark(box.turn);
    const std::string into = box.into ? into_words(*box.into) : "";
    const std::string id =
        render::id_from(box.into ? fmt::format("into {}", into) : stitches_[box.shown].name);
    const auto found = marks_.find(id);
    if (found != marks_.end()) return found->second;
    render::Mark mark;
    mark.id = id;
    mark.span = box.width;
    if (box.into) {
      // A fan: from one stitch to all that come out of it.
      for (int i = 0; i < box.width; ++i)
        mark.stroke += fmt::format("{}M{:g} .84 L{:g} .2", i == 0 ? "" : " ", box.width / 2.0, i + 0.5);
      mark.abbreviation = fmt::format("{} from {}", box.gives, box.takes);
      mark.meaning = into;
    } else {
      const Stitch& shown = stitches_[box.shown];
      mark.stroke = widened(shown.mark, shown.crossing ? 0 : (box.width - 1) / 2.0);
      mark.fill = widened(shown.fills, shown.crossing ? 0 : (box.width - 1) / 2.0);
      mark.letters = shown.letters;
      mark.abbreviation = written_name(shown);
    }
    marks_[id] = static_cast<int>(chart_.marks.size());
    chart_.marks.push_back(std::move(mark));
    return marks_[id];
  }

  int turn_mark(Turn turn) {
    const bool wrap = turn == Turn::wrap;
    const std::string id = wrap ? "turn-wrap" : "turn-double";
    const auto found = marks_.try_emplace(id, static_cast<int>(chart_.marks.size()));
    if (!found.second) return found.first->second;
    render::Mark mark;
    mark.id = id;
    mark.span = 1;
    mark.stroke = wrap ? "M.5 .18 L.5 .82 M.22 .6 A.28 .13 0 1 0 .78 .6 A.28 .13 0 1 0 .22 .6 Z"
                       : "M.36 .22 L.36 .78 M.64 .22 L.64 .78 M.36 .5 L.64 .5";
    mark.abbreviation = wrap ? "wt" : "ds";
    mark.meaning = wrap ? "wrap this stitch and turn" : "turn and make this stitch a double one";
    chart_.marks.push_back(std::move(mark));
    return found.first->second;
  }

  /// "(k1, yo, k1) all into next st"
  std::string into_words(const Op& op) const {
    Row alone;
    alone.ops.push_back(op);
    std::string out = row_sentence(alone, stitches_, pattern_.strands);
    out.pop_back();
    if (out.size() > 1 && out[1] >= 'A' && out[1] <= 'Z') out[1] = static_cast<char>(out[1] + 32);
    return out;
  }

  /// A symbol of one square in the middle of several.
  static std::string widened(const std::string& path, double by) {
    if (path.empty() || by == 0) return path;
    const auto parsed = render::parse_path(path);
    const auto* good = std::get_if<render::Path>(&parsed);
    return good ? render::path_data(render::scaled(*good, 1, 1, {by, 0})) : "";
  }

  render::ChartRow row(std::size_t i) {
    const Row& source = fabric_.rows[i].row;
    render::ChartRow out;
    out.label = row_label(source, pattern_.strands);
    out.label_right = source.side == Side::right;
    out.words = fmt::format("{} {}: {}", fabric_.form == Form::round ? "Round" : "Row", out.label,
                            row_sentence(source, stitches_, pattern_.strands));
    int at = 0;
    const auto absent = [&](int to) {
      for (; at < to; ++at) {
        render::Cell none;
        none.column = at;
        none.absent = true;
        out.cells.push_back(none);
        any_absent_ = true;
      }
    };
    for (const Box& box : rows_[i]) {
      absent(box.column);
      render::Cell cell;
      cell.column = box.column;
      cell.span = box.width;
      if (box.unworked && box.turn == Turn::none) {
        cell.absent = true;
        any_unworked_ = true;
        out.cells.push_back(cell);
        at = box.column + box.width;
        continue;
      }
      cell.mark = mark_of(box);
      if (box.worked >= 0) {
        used_[*cell.mark].insert({source.side, box.worked});
        if (source.side == Side::wrong) on_wrong_side_.insert(written_name(stitches_[box.worked]));
      }
      if (box.strand >= 0) cell.tint = tint_of_[box.strand];
      cell.marker_after = box.marker_after;
      any_marker_ |= box.marker_after;
      out.cells.push_back(cell);
      at = box.column + box.width;
    }
    absent(columns_);
    return out;
  }

  bool same_into(const Box& a, const Box& b) const {
    if (!a.into || !b.into) return a.into == b.into;
    return a.into == b.into || into_words(*a.into) == into_words(*b.into);
  }

  bool alike(const Box& a, const Box& b) const {
    return a.shown == b.shown && a.unworked == b.unworked && a.turn == b.turn && same_into(a, b) &&
           a.strand == b.strand && a.width == b.width;
  }

  /// Starts (in boxes from the right) at which the row repeats every `period` boxes, `copies` times, and from
  /// which one copy more makes `next`, the row of the fabric one repeat wider. A single copy looks like a
  /// repeat anywhere; only the wider row tells where it is one.
  std::vector<std::size_t> repeat_starts(const std::vector<Box>& row, const std::vector<Box>& next,
                                         std::size_t period, std::size_t copies) const {
    std::vector<std::size_t> out;
    for (std::size_t start = 0; start + period * copies <= row.size(); ++start) {
      bool good = true;
      for (std::size_t i = start; i + period < start + period * copies && good; ++i)
        good = alike(row[i], row[i + period]);
      for (std::size_t i = 0; i < start + period && good; ++i) good = alike(row[i], next[i]);
      for (std::size_t i = start; i < row.size() && good; ++i) good = alike(row[i], next[i + period]);
      if (good) out.push_back(start);
    }
    return out;
  }

  /// A side of a frame in a row: between this stitch and the one before it.
  FrameSide side_before(const std::vector<Box>& row, std::size_t box) const {
    const int least = box == 0 ? 0 : row[box - 1].column + row[box - 1].width;
    return {least, box == row.size() ? columns_ : row[box].column};
  }

  void frames() {
    if (fabric_.width.constant()) return;
    const auto next = laid(n_ + 1);
    std::vector<std::vector<FramePlace>> places(rows_.size());
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      const std::size_t period = next[i].size() - rows_[i].size();
      const long long fills_per_n = fabric_.rows[i].fills.per_n;
      if (period == 0 || fills_per_n == 0) continue;
      const auto copies = static_cast<std::size_t>(std::max(1LL, fabric_.rows[i].fills.at(n_) / fills_per_n));
      for (const std::size_t begin : repeat_starts(rows_[i], next[i], period, copies))
        for (std::size_t copy = 0; copy < copies; ++copy) {
          const std::size_t start = begin + copy * period;
          places[i].push_back({side_before(rows_[i], start), side_before(rows_[i], start + period)});
        }
    }
    const auto found = straight_frames(places, columns_);
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      if (!found[i]) continue;
      chart_.rows[i].repeat = render::ChartRow::Span{found[i]->first, found[i]->end - found[i]->first};
      framed_ = true;
    }
  }

  void finish_key() {
    for (std::size_t i = 0; i < chart_.marks.size(); ++i) {
      render::Mark& mark = chart_.marks[i];
      if (!mark.meaning.empty()) continue;
      std::map<Side, std::string> said;
      std::map<Side, std::string> names;
      for (const auto& [side, stitch] : used_[static_cast<int>(i)]) {
        said[side] = stitches_[stitch].says_on(side == Side::right);
        names[side] = written_name(stitches_[stitch]);
      }
      const bool both = said.contains(Side::right) && said.contains(Side::wrong);
      if (both && names[Side::right] != names[Side::wrong]) {
        const std::string &right = names[Side::right], wrong = names[Side::wrong];
        const bool slipped = right.starts_with("sl ") && wrong.starts_with("sl ");
        mark.abbreviation = fmt::format("{}, {}", right, slipped ? wrong.substr(3) : wrong);
        mark.meaning = fmt::format("{} on RS rows; {} on WS rows", said[Side::right], said[Side::wrong]);
      } else if (!both && said.contains(Side::wrong)) {
        mark.abbreviation = names[Side::wrong];
        mark.meaning = fmt::format("{} on WS rows", said[Side::wrong]);
      } else {
        mark.abbreviation = names.begin()->second;
        mark.meaning = said.begin()->second;
        if (!both && on_wrong_side_.contains(names.begin()->second)) mark.meaning += " on RS rows";
      }
    }
    if (any_absent_) chart_.absent_meaning = "no stitch: pass over this square";
    if (any_unworked_)
      chart_.absent_meaning = any_absent_ ? "no stitch, or a stitch that this row does not reach"
                                          : "a stitch that this row does not reach";
    if (any_marker_) chart_.marker_meaning = "marker";
    if (framed_) {
      const long long per_n = fabric_.width.per_n;
      // Only where every row's frame holds so many squares can a number be named.
      const bool even = std::all_of(chart_.rows.begin(), chart_.rows.end(), [&](const render::ChartRow& row) {
        return !row.repeat || row.repeat->count == per_n;
      });
      chart_.repeat_meaning =
          even ? per_n == 1 ? "repeat this stitch" : fmt::format("repeat these {} stitches", per_n)
               : "repeat what is in the frame";
    }
  }

  void words() {
    const bool round = fabric_.form == Form::round;
    chart_.description = fmt::format(
        "Knitting chart of {}, {}, {}. {}", fabric_.name, width_words(fabric_),
        round ? count_of(fabric_.cycle_rows(), "round", "rounds")
              : count_of(fabric_.cycle_rows(), "row", "rows"),
        round ? "Every round is read from right to left."
              : "Right-side rows are read from right to left, wrong-side rows from left to right.");
    chart_.notes.push_back(fmt::format("{}. {}", width_words(fabric_),
                                       round
                                           ? "Read every round from right to left."
                                           : "Read RS rows from right to left, WS rows from left to right."));
    chart_.notes[0][0] =
        static_cast<char>(chart_.notes[0][0] >= 'a' && chart_.notes[0][0] <= 'z' ? chart_.notes[0][0] - 32
                                                                                 : chart_.notes[0][0]);
  }

  const Fabric& fabric_;
  const Pattern& pattern_;
  const Stitches& stitches_;
  const ChartRules& rules_;
  long long n_ = 0;
  int columns_ = 0;
  std::vector<std::vector<Box>> rows_;
  render::Chart chart_;
  std::map<std::string, int> marks_;
  std::map<int, std::set<std::pair<Side, StitchId>>> used_;
  std::set<std::string> on_wrong_side_;
  std::map<short, int> tint_of_;
  bool any_absent_ = false, any_unworked_ = false, any_marker_ = false, framed_ = false;
};

}  // namespace

std::string chart_title(const std::string& name) {
  return "Chart of " + name;
}

std::optional<render::Chart> draw_fabric(const Fabric& fabric, const Pattern& pattern,
                                         const Stitches& stitches, const ChartRules& rules) {
  if (!fabric.good) return {};
  return FabricChart(fabric, pattern, stitches, rules).draw();
}

}  // namespace wale
