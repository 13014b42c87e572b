#include "render/picture_layout.hpp"

#include <algorithm>

#include "render/measure.hpp"

namespace wale::render {

namespace {

constexpr double gap = 18;
/// Points to a unit of a picture, at most: a few threads are not blown up.
constexpr double largest_scale = 9;

/// A picture and its words in a column of this width, no higher than `height`.
Drawing column(const PictureBlock::Each& each, double width, double height, const PageStyle& page) {
  const ThreadPicture& picture = each.picture;
  const double size = page.text_size - 0.5, line = 1.38 * size;
  struct Line {
    std::string text;
    bool bold;
  };
  std::vector<Line> words;
  for (std::string& text : wrap_text(picture.title, size, width, true))
    words.push_back({std::move(text), true});
  for (std::string& text : wrap_text(each.caption, size, width, false))
    words.push_back({std::move(text), false});
  Drawing out;
  out.width = width;
  const double room = std::max(40.0, height - 4 - line * static_cast<double>(words.size()));
  const double scale = std::min({largest_scale, width / picture.width, room / picture.height});
  Drawing drawn = draw_threads(picture, scale);
  const double drawn_height = drawn.height;
  begin_group(out, picture.description, Box{0, 0, drawn.width, drawn.height});
  append(out, std::move(drawn), {0, 0});
  end_group(out);
  double top = drawn_height + 4;
  for (const Line& each_line : words) {
    add_text(out, {0, top + 0.19 * size + ascent * size}, each_line.text,
             {.size = size, .bold = each_line.bold});
    top += line;
  }
  out.height = top;
  return out;
}

}  // namespace

std::vector<Fragment> lay_out_pictures(const PictureBlock& block, const PageStyle& page) {
  std::vector<Fragment> out;
  const std::size_t columns = page.scale() > 1.2 ? 2 : std::clamp<std::size_t>(block.pictures.size(), 2, 3);
  const auto count = static_cast<double>(columns);
  const double width = (page.content_width() - (count - 1) * gap) / count;
  // A third of a page, so that a line of pictures seldom leaves a large gap behind.
  const double height = page.content_height() / 3;
  for (std::size_t i = 0; i < block.pictures.size(); i += columns) {
    Fragment line;
    line.space_before = 10;
    line.drawing.width = page.content_width();
    for (std::size_t k = i; k < std::min(i + columns, block.pictures.size()); ++k) {
      const ThreadPicture& picture = block.pictures[k].picture;
      if (!(picture.width > 0 && picture.height > 0)) continue;
      Drawing drawn = column(block.pictures[k], width, height, page);
      line.drawing.height = std::max(line.drawing.height, drawn.height);
      append(line.drawing, std::move(drawn), {static_cast<double>(k - i) * (width + gap), 0});
    }
    if (line.drawing.height > 0) out.push_back(std::move(line));
  }
  return out;
}

}  // namespace wale::render
