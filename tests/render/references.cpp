#include "tests/render/references.hpp"

#include <stdexcept>

#include "compiler/check.hpp"
#include "compiler/fabric_view.hpp"
#include "compiler/files.hpp"
#include "compiler/pattern_document.hpp"
#include "render/chart_layout.hpp"
#include "render/true_size.hpp"
#include "tests/render/sample_charts.hpp"
#include "tests/unit/symbol_sheet.hpp"

namespace wale::render::sample {

namespace {

Checked compiled(const std::string& root, const std::string& file) {
  const std::string path = root + "/examples/" + file + ".wale";
  std::string reason;
  const auto loaded = load_file(path, reason);
  if (!loaded) throw std::runtime_error(path + ": " + reason);
  return wale::check(*loaded);
}

/// The charts of one of the examples, by name.
Drawing example(const std::string& root, const std::string& file, const std::string& chart) {
  const Checked checked = compiled(root, file);
  for (const Chart& each : make_charts(checked.pattern, *checked.stitches))
    if (each.name == chart) return draw_chart(each);
  throw std::runtime_error(file + ": has no chart " + chart);
}

/// The view of one of the examples' fabrics.
Drawing view(const std::string& root, const std::string& file, const std::string& fabric) {
  const Checked checked = compiled(root, file);
  for (const auto& [picture, caption] : make_views(checked.pattern, *checked.stitches, false)) {
    if (picture.name != fabric) continue;
    Drawing out = draw_threads(picture, 8);
    out.name = fabric + "-view";
    return out;
  }
  throw std::runtime_error(file + ": has no fabric " + fabric);
}

/// Every symbol in one chart of 6 mm squares, row after row; the numbers of the squares are not drawn.
Drawing every_symbol() {
  constexpr int columns = 12;
  constexpr double side = 6 * symbols::points_per_millimetre;
  Drawing out;
  out.name = "symbols";
  double x = 4, y = 4;
  for (const Mark& mark : symbols::all_marks()) {
    const double width = mark.span * side;
    if (x + width > 4 + columns * side + 1) x = 4, y += side;
    const Symbol symbol = make_symbol(mark, width, side, {side, side});
    add_box(out, {x, y, width, side}, Stroke{0.5, grid_ink}, std::nullopt);
    place_symbol(out, add_symbol(out, symbol), {x, y});
    x += width;
  }
  out.width = 8 + columns * side;
  out.height = y + side + 4;
  return out;
}

}  // namespace

std::vector<Drawing> reference_drawings(const std::string& root) {
  std::vector<Drawing> out{every_symbol()};
  out.push_back(example(root, "bollard-hat", "rope"));        // crossings, purl, a cycle in the round
  out.push_back(example(root, "bollard-hat", "crown"));       // decreases, squares without a stitch
  out.push_back(example(root, "tide-swatch", "tide"));        // brioche in two colours, ink on dark and light
  out.push_back(example(root, "chequer-swatch", "chequer"));  // slipped stitches, flags, a frame on colours
  out.push_back(view(root, "bollard-hat", "rope"));           // cables over and under
  out.push_back(view(root, "tide-swatch", "tide"));           // brioche wales, garter edges
  out.push_back(view(root, "lantern-wrap", "lantern"));       // holes and leaning stitches
  auto pages = lay_out_true_size(rib(20, 24), {14, 11}, "20 sts x 26 rows = 10 cm", a4_page());
  out.push_back(std::get<std::vector<Drawing>>(std::move(pages)).front());  // a ruler
  out.back().name = "true-size";
  return out;
}

}  // namespace wale::render::sample
