#include "compiler/mirror.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "render/path.hpp"
#include "render/svg.hpp"

namespace wale {

namespace {

bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

std::string mirrored_path(const std::string& data, int span) {
  const auto parsed = render::parse_path(data);
  const auto* path = std::get_if<render::Path>(&parsed);
  if (data.empty() || !path) return data;
  return render::path_data(render::scaled(*path, -1, 1, {static_cast<double>(span), 0}));
}

/// From the right edge again, each as far from it as it was from the left one.
void mirror_row(render::ChartRow& row, int columns) {
  row.label_right = !row.label_right;
  row.words = mirrored_words(row.words);
  if (row.repeat) row.repeat->first = columns - row.repeat->first - row.repeat->count;
  std::vector<render::Cell>& cells = row.cells;
  // A marker on the left of a cell stands on the right of the next; in the mirror, that one is on its left.
  for (std::size_t i = cells.size(); i-- > 0;) cells[i].marker_after = i > 0 && cells[i - 1].marker_after;
  std::reverse(cells.begin(), cells.end());
  for (render::Cell& cell : cells) cell.column = columns - cell.column - cell.span;
}

}  // namespace

std::string mirrored_words(const std::string& text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    if (!is_letter(text[at])) {
      out += text[at++];
      continue;
    }
    std::size_t end = at;
    while (end < text.size() && is_letter(text[end])) ++end;
    const std::string word = text.substr(at, end - at);
    const bool face = text.compare(end, 5, " side") == 0 || (end < text.size() && text[end] == '-') ||
                      (at > 0 && text[at - 1] == '-');
    out += face ? word : word == "left" ? "right" : word == "right" ? "left" : word;
    at = end;
  }
  return out;
}

std::string mirrored_name(const std::string& name) {
  // Stitches that are named by the side to which they lean or move as the right side shows it.
  static constexpr std::array<std::pair<std::string_view, std::string_view>, 4> sided{
      {{"m1l", "m1r"}, {"m1lp", "m1rp"}, {"brlsl", "brrsl"}, {"brlsp", "brrsp"}}};
  for (const auto& [left, right] : sided) {
    if (name == left) return std::string(right);
    if (name == right) return std::string(left);
  }
  return name;
}

render::Chart mirrored(render::Chart chart) {
  for (render::ChartRow& row : chart.rows) mirror_row(row, chart.columns);
  for (render::Mark& mark : chart.marks) {
    mark.stroke = mirrored_path(mark.stroke, std::max(mark.span, 1));
    mark.fill = mirrored_path(mark.fill, std::max(mark.span, 1));
  }
  chart.description = mirrored_words(chart.description);
  for (std::string& note : chart.notes) note = mirrored_words(note);
  chart.numbered_from_left = true;
  return chart;
}

Stitches Stitches::mirrored() const {
  Stitches out = *this;
  if (shared_) {
    out.own_.stitches.insert(out.own_.stitches.begin(), shared_->stitches.begin(), shared_->stitches.end());
    out.own_.by_name.insert(shared_->by_name.begin(), shared_->by_name.end());
    out.own_.families = shared_->families;
    out.shared_ = nullptr;
    out.shared_count_ = 0;
  }
  for (Stitch& stitch : out.own_.stitches) {
    if (stitch.crossing) {
      // 2/1rpc: the letters behind the last digit begin with the side.
      char& side = stitch.name[stitch.name.find_first_not_of("0123456789/")];
      side = side == 'r' ? 'l' : side == 'l' ? 'r' : side;
    } else {
      stitch.name = mirrored_name(stitch.name);
    }
    stitch.says = mirrored_words(stitch.says);
    stitch.says_wrong = mirrored_words(stitch.says_wrong);
  }
  return out;
}

}  // namespace wale
