#include "render/chart_key.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include "render/measure.hpp"

namespace wale::render {

namespace {

struct Entry {
  std::function<void(Drawing&, const Box&)> picture;
  double box_width = 0;
  std::string abbreviation, meaning;
};

const Stroke box_stroke{0.6, {120, 120, 120}, 0, true};

Entry mark_entry(const Mark& mark, CellSize cell, double widest) {
  Entry entry{.picture = {},
              .box_width = std::min(std::max(mark.span, 1) * cell.width, widest),
              .abbreviation = mark.abbreviation,
              .meaning = mark.meaning};
  entry.picture = [&mark, cell](Drawing& drawing, const Box& box) {
    add_box(drawing, box, box_stroke, std::nullopt);
    if (!mark.stroke.empty() || !mark.fill.empty()) {
      const std::size_t symbol = add_symbol(drawing, make_symbol(mark, box.width, box.height, cell));
      place_symbol(drawing, symbol, {box.x, box.y}, ink);
    }
    add_letters(drawing, mark.letters, box, ink);
  };
  return entry;
}

void centred_label(Drawing& drawing, const Box& box, const std::string& label, Colour colour) {
  const double size = std::min(7.5, box.height * 0.7);
  add_text(drawing, {box.x + box.width / 2, box.y + box.height / 2 + cap_height * size / 2},
           fit_text(label, size, box.width), {size, false, Anchor::middle, colour});
}

std::vector<Entry> entries(const Chart& chart, CellSize cell, double widest) {
  std::vector<Entry> list;
  for (const Mark& mark : chart.marks) list.push_back(mark_entry(mark, cell, widest));
  for (std::size_t i = 0; i < chart.tints.size(); ++i) {
    const Tint& tint = chart.tints[i];
    list.push_back({[&tint, i](Drawing& drawing, const Box& box) {
                      const Colour ink = readable_ink(tint.colour);
                      add_box(drawing, box, box_stroke, tint.colour, true);
                      Path flags;
                      add_flags(flags, i, box);
                      if (!flags.segments.empty())
                        add_path(drawing, std::move(flags), std::nullopt, ink, true);
                      centred_label(drawing, box, tint.label, ink);
                    },
                    cell.width, tint.label, tint.name});
  }
  if (chart.absent_meaning) {
    list.push_back(
        {[](Drawing& drawing, const Box& box) { add_box(drawing, box, box_stroke, absent_ground); },
         cell.width, "", *chart.absent_meaning});
  }
  if (chart.marker_meaning) {
    list.push_back({[](Drawing& drawing, const Box& box) {
                      const double x = box.x + box.width / 2;
                      add_line(drawing, {x, box.y}, {x, box.bottom()}, marker_stroke);
                    },
                    cell.width, "", *chart.marker_meaning});
  }
  if (chart.repeat_meaning) {
    list.push_back({[](Drawing& drawing, const Box& box) {
                      add_box(drawing, box, Stroke{2, ink, 0, true}, std::nullopt);
                    },
                    cell.width, "", *chart.repeat_meaning});
  }
  return list;
}

}  // namespace

std::vector<KeyLine> draw_key(const Chart& chart, double width, const ChartStyle& style) {
  const CellSize cell = natural_cell(chart, style);
  const double size = style.text_size, line_height = 1.3 * size, gap = 8;
  const std::vector<Entry> list = entries(chart, cell, width / 4);
  double boxes = 0, names = 0;
  for (const Entry& entry : list) {
    boxes = std::max(boxes, entry.box_width);
    if (!clean_text(entry.abbreviation).empty()) {
      names = std::max(names, text_width(clean_text(entry.abbreviation), size, true) + gap);
    }
  }
  names = std::min(names, width / 4);
  const double left = 1 + boxes + gap, text_left = left + names;
  std::vector<KeyLine> lines;
  for (const Entry& entry : list) {
    std::vector<std::string> words = wrap_text(entry.meaning, size, width - text_left);
    // Lines that stand beside the box belong to one drawing; those below it may go to the next page.
    const double box_height = cell.height, room = box_height + 2;
    const auto fitting = std::max<std::size_t>(1, static_cast<std::size_t>(std::ceil(room / line_height)));
    const std::size_t beside = std::min(words.size(), fitting);
    const double text_height = static_cast<double>(std::max<std::size_t>(beside, 1)) * line_height;
    KeyLine first;
    Drawing& drawing = first.drawing;
    drawing.width = width;
    drawing.height = std::max(room, text_height);
    const double middle = drawing.height / 2;
    if (entry.box_width > 0)
      entry.picture(drawing, {1, middle - box_height / 2, entry.box_width, box_height});
    const double top = middle - text_height / 2 + line_height / 2;
    const auto baseline = [&](std::size_t line) {
      return top + static_cast<double>(line) * line_height + cap_height * size / 2;
    };
    if (names > 0) {
      add_text(drawing, {left, baseline(0)}, fit_text(entry.abbreviation, size, names - gap + 0.01, true),
               {.size = size, .bold = true});
    }
    for (std::size_t line = 0; line < beside; ++line) {
      add_text(drawing, {text_left, baseline(line)}, words[line], {.size = size});
    }
    lines.push_back(std::move(first));
    for (std::size_t line = beside; line < words.size(); ++line) {
      KeyLine more{.drawing = {}, .begins_entry = false};
      more.drawing.width = width;
      more.drawing.height = line_height;
      add_text(more.drawing, {text_left, line_height / 2 + cap_height * size / 2}, words[line],
               {.size = size});
      lines.push_back(std::move(more));
    }
  }
  return lines;
}

}  // namespace wale::render
