// A fabric's chart in the way in which its pieces work it.

#include <fmt/format.h>

#include <algorithm>

#include "compiler/chart.hpp"

namespace wale {

namespace {

/// "back and front"
std::string listed(const std::vector<std::string>& names) {
  std::string out;
  for (std::size_t i = 0; i < names.size(); ++i)
    out += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
  return out;
}

}  // namespace

std::optional<render::Chart> draw_as_worked(const Fabric& fabric, const Pattern& pattern,
                                            const Stitches& stitches) {
  const Fabric* other = nullptr;
  std::vector<std::string> own_way, other_way;
  for (const Piece& piece : pattern.pieces)
    for (const Fabric& each : piece.fabrics) {
      if (each.name != fabric.name || !each.good) continue;
      (each.form == fabric.form ? own_way : other_way).push_back(piece.name);
      if (each.form != fabric.form) other = &each;
    }
  if (other && own_way.empty()) return draw_fabric(*other, pattern, stitches);
  auto chart = draw_fabric(fabric, pattern, stitches);
  if (!chart || !other) return chart;
  const auto &flat = fabric.form == Form::flat ? own_way : other_way,
             &round = fabric.form == Form::flat ? other_way : own_way;
  chart->notes.push_back(fmt::format(
      "Worked flat in {}, with every other row on the wrong side; in the round in {}, where every round is "
      "read from right to left and worked as it shows on the right side.",
      listed(flat), listed(round)));
  return chart;
}

}  // namespace wale
