#include "render/thread_picture.hpp"

#include <cmath>
#include <map>
#include <tuple>

namespace wale::render {

namespace {

/// Broader than the thread by this part of its width, on both sides together.
constexpr double shadow = 0.28;

using Key = std::tuple<std::uint8_t, std::uint8_t, std::uint8_t>;

Key key_of(Colour colour) {
  return {colour.red, colour.green, colour.blue};
}

struct Bundle {
  Colour colour;
  Path path;
};

void add(std::map<Key, Bundle>& bundles, Colour colour, const Path& path, double scale) {
  Bundle& bundle = bundles[key_of(colour)];
  bundle.colour = colour;
  // A tenth of a point is finer than the eye, and short to write.
  const auto round = [](Point p) { return Point{std::round(p.x * 10) / 10, std::round(p.y * 10) / 10}; };
  for (Segment segment : scaled(path, scale, scale).segments) {
    segment.to = round(segment.to);
    segment.control1 = round(segment.control1);
    segment.control2 = round(segment.control2);
    bundle.path.segments.push_back(segment);
  }
}

}  // namespace

Colour shade(Colour colour) {
  const auto darker = [](std::uint8_t part) { return static_cast<std::uint8_t>(part * 5 / 10); };
  return {darker(colour.red), darker(colour.green), darker(colour.blue)};
}

Drawing draw_threads(const ThreadPicture& picture, double scale) {
  Drawing drawing;
  drawing.name = picture.name;
  drawing.title = picture.title;
  drawing.description = picture.description;
  drawing.width = picture.width * scale;
  drawing.height = picture.height * scale;
  struct Level {
    std::map<Key, Bundle> grounds, threads;
  };
  std::map<int, Level> levels;
  for (const Ground& ground : picture.grounds)
    add(levels[ground.level].grounds, shade(ground.colour), ground.path, scale);
  for (const Thread& thread : picture.threads)
    add(levels[thread.level].threads, thread.colour, thread.path, scale);
  const double width = picture.thickness * scale;
  for (auto& [number, level] : levels) {
    for (auto& [key, bundle] : level.grounds)
      add_path(drawing, std::move(bundle.path), std::nullopt, bundle.colour, true);
    for (auto& [key, bundle] : level.threads)
      drawing.items.push_back(PathItem{std::move(bundle.path), Stroke{width, bundle.colour}, std::nullopt,
                                       true, Edge{(1 + shadow) * width, shade(bundle.colour)}});
  }
  return drawing;
}

}  // namespace wale::render
