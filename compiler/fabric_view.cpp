#include "compiler/fabric_view.hpp"

#include <algorithm>
#include <map>

#include "compiler/chart_rows.hpp"

namespace wale {

namespace {

constexpr long long enough_columns = 24, enough_rows = 24;

long long width_at(const Fabric& fabric, long long n) {
  long long out = 0;
  for (const CheckedRow& row : fabric.rows) out = std::max({out, row.before.at(n), row.after.at(n)});
  return out;
}

bool lies_two_deep(const Stitch& stitch) {
  return stitch.crossing || stitch.layered() ||
         std::any_of(stitch.gives.begin(), stitch.gives.end(),
                     [](LoopType type) { return type != LoopType::plain && type != LoopType::any; });
}

render::Colour colour_of(short strand, const Pattern& pattern) {
  static const render::Colour spare[]{{0xE4, 0xDC, 0xCB}, {0x7C, 0x98, 0xA0}, {0xB9, 0x8B, 0x73}};
  if (strand < 0) return spare[0];
  const Strand& facts = pattern.strands[static_cast<std::size_t>(strand)];
  if (!facts.yarns.empty())
    if (const auto colour = pattern.yarns[static_cast<std::size_t>(facts.yarns[0])].colour)
      return {colour->red, colour->green, colour->blue};
  return spare[static_cast<std::size_t>(strand) % 3];
}

struct LaidRow {
  std::vector<Box> boxes;
  std::vector<Lying> loops;
};

std::vector<LaidRow> lay_cycles(const Fabric& fabric, long long n, const Stitches& stitches) {
  std::vector<LaidRow> out;
  std::vector<Lying> below;
  Turn turned = Turn::none;
  do {
    for (const CheckedRow& row : fabric.rows) {
      if (out.size() >= render::most_loop_rows) return out;
      std::vector<Box> boxes = lay_row(row, n, stitches, turned, below);
      const Op* turn = find_turn(row.row.ops);
      turned = turn ? turn->turn : Turn::none;
      out.push_back({std::move(boxes), below});
    }
  } while (fabric.returns && out.size() < enough_rows);
  return out;
}

}  // namespace

std::optional<render::LoopPicture> view_fabric(const Fabric& fabric, const Pattern& pattern,
                                               const Stitches& stitches) {
  if (!fabric.good || fabric.rows.empty()) return {};
  long long n = fabric.smallest_n;
  if (fabric.width.per_n > 0)
    while (width_at(fabric, n) < enough_columns) ++n;
  if (width_at(fabric, n) > render::most_loop_columns) return {};
  const std::vector<LaidRow> rows = lay_cycles(fabric, n, stitches);
  std::vector<std::vector<Box>> boxes;
  render::LoopPicture out;
  for (const LaidRow& row : rows) {
    int squares = 0;
    for (const Box& box : row.boxes) {
      if (box.worked >= 0 && lies_two_deep(stitches[box.worked])) return {};
      squares += box.width;
    }
    out.columns = std::max(out.columns, squares);
    boxes.push_back(row.boxes);
  }
  if (out.columns == 0 || out.columns > render::most_loop_columns) return {};
  place_rows(boxes, out.columns);
  out.name = "view";
  out.title = fabric.name;
  out.rows = static_cast<int>(rows.size());
  if (const Gauge* gauge = pattern.gauge_for(fabric.name))
    out.loop_height = out.loop_width / std::clamp(gauge->rows_per_cm / gauge->wales_per_cm(), 0.3, 4.0);
  std::map<int, std::size_t> latest;  // by column, the loop that a slipped stitch lengthens
  for (std::size_t i = 0; i < boxes.size(); ++i)
    for (const Box& box : boxes[i])
      for (int k = 0; k < box.gives; ++k) {
        const auto loop = static_cast<std::size_t>(box.gives_first + k);
        if (loop >= rows[i].loops.size()) continue;
        const int column = out.columns - 1 - (box.column + std::min(k, box.width - 1));
        const bool kept = box.unworked || (box.worked >= 0 && stitches[box.worked].passes_on);
        const auto under = latest.find(column);
        if (kept && under != latest.end()) {
          render::PicturedLoop& longer = out.loops[under->second];
          longer.rows += static_cast<int>(i) - longer.row;
          longer.row = static_cast<int>(i);
          continue;
        }
        render::PicturedLoop made;
        made.shape =
            rows[i].loops[loop].face == Face::purl ? render::LoopShape::arc : render::LoopShape::legs;
        made.colour = colour_of(rows[i].loops[loop].strand, pattern);
        made.row = static_cast<int>(i);
        made.column = column;
        latest[column] = out.loops.size();
        out.loops.push_back(made);
      }
  return out;
}

}  // namespace wale
