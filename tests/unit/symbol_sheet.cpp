#include "tests/unit/symbol_sheet.hpp"

#include <algorithm>
#include <stdexcept>

#include "compiler/check.hpp"
#include "compiler/pattern_document.hpp"
#include "grammar/parser.hpp"
#include "render/chart_grid.hpp"

namespace wale::symbols {

namespace {

/// Turns and what is worked into one stitch are no words of the vocabulary; a chart of them is asked.
const char* const turning = R"(
fabric wedge flat 12n st {
  1: <k> wt4
  2: <p> ds3
  3: <k>
  4: <p>
}
fabric bramble flat 4n st {
  1: <in1(k p k) k3tog>
  2: <p>
}
)";

std::vector<render::Mark> marks_of_charts() {
  const Source source("symbols.wale", turning, 1);
  const Checked checked = check(source);
  if (checked.diagnostics.has_errors())
    throw std::logic_error(show(checked.diagnostics, {vocabulary_source(), source}));
  std::vector<render::Mark> out;
  for (const render::Chart& chart : make_charts(checked.pattern, *checked.stitches))
    for (const render::Mark& mark : chart.marks)
      if (mark.id.starts_with("turn-") || mark.id.starts_with("into-")) out.push_back(mark);
  return out;
}

/// A strand as dark as any: the ink on it must be light.
constexpr render::Colour dark{47, 61, 93};

}  // namespace

std::vector<render::Mark> all_marks() {
  Diagnostics diagnostics;
  Stitches stitches(parse(vocabulary_source(), diagnostics), diagnostics);
  for (const char* word :
       {"1/1rc", "1/1lc", "1/1rpc", "1/1lpc", "2/1rc", "2/1lc", "2/1rpc",  "2/1lpc",  "1/2rpc",   "1/2lpc",
        "2/2rc", "2/2lc", "2/2rpc", "2/2lpc", "3/3rc", "3/3lc", "2/1/2rc", "2/1/2lc", "2/1/2rpc", "2/1/2lpc"})
    stitches.lookup(word);
  stitches.complete(diagnostics);
  std::vector<render::Mark> out;
  for (std::size_t i = 0; i < stitches.size(); ++i) {
    const Stitch& stitch = stitches[static_cast<StitchId>(i)];
    out.push_back(
        {render::id_from(stitch.name), stitch.cells(), stitch.mark, stitch.fills, stitch.says, stitch.name});
  }
  for (render::Mark& mark : marks_of_charts()) out.push_back(std::move(mark));
  return out;
}

render::Drawing alone(const render::Mark& mark, double side, render::Colour ground) {
  const double size = side * points_per_millimetre;
  render::Chart chart;
  chart.columns = mark.span;
  chart.marks = {mark};
  chart.tints = {{"A", "", ground}};
  chart.rows.emplace_back();
  chart.rows.front().cells.push_back({0, mark.span, 0, 0, false, false});
  return render::draw_grid(chart, render::whole_chart(chart), {size, size}, {});
}

render::Drawing sheet(const std::vector<render::Mark>& marks) {
  constexpr double name_width = 62, gap = 3, margin = 14, pitch = 12 * points_per_millimetre + 6;
  constexpr std::size_t blocks = 4;
  const auto width_of = [&](int span) {
    double out = name_width;
    for (const double side : sides) out += 2 * (span * side * points_per_millimetre + 8 + gap);
    return out;
  };
  const auto wide = [](const render::Mark& mark) { return mark.span > 1; };
  render::Drawing out;
  out.name = out.title = "symbols";
  double x = margin, y = margin, right = 0, bottom = 0, block_width = 0;
  std::size_t in_block = 0;
  const auto singles = static_cast<std::size_t>(
      std::count_if(marks.begin(), marks.end(), [&](const render::Mark& mark) { return !wide(mark); }));
  const std::size_t each = (singles + blocks - 1) / blocks;
  for (const bool now : {false, true}) {
    if (now) x = margin, y = bottom + 10, in_block = 0, block_width = 0;
    const double top = y;
    const std::size_t most = now ? (marks.size() - singles + 1) / 2 : each;
    for (const render::Mark& mark : marks) {
      if (wide(mark) != now) continue;
      if (in_block == most) x += block_width + 10, y = top, in_block = 0, block_width = 0;
      render::add_text(out, {x, y + pitch / 2}, mark.abbreviation, {.size = 8});
      double at = x + name_width;
      for (const double side : sides) {
        for (const render::Colour ground : {render::paper, dark}) {
          const render::Drawing one = alone(mark, side, ground);
          render::append(out, one, {at, y + (pitch - side * points_per_millimetre) / 2});
          at += one.width + gap;
        }
      }
      block_width = std::max(block_width, width_of(mark.span));
      y += pitch;
      ++in_block;
      right = std::max(right, at);
      bottom = std::max(bottom, y);
    }
  }
  out.width = right + margin;
  out.height = bottom + margin;
  return out;
}

}  // namespace wale::symbols
