/// A picture of threads that lie over and under each other.
///
/// Every thread is a line of one width, drawn twice: first a broader one in a darker shade, the shadow that
/// it casts on what lies below, then the thread itself. Threads of one level must not cross, or touch only
/// where one goes on as the other; they are drawn together, so that a picture of thousands is a few paths.
/// What is seen between threads is the ground that was laid for them, and where none was laid, the paper.
///
///     level 3   ----------------      over
///     level 1       |      |          under
#pragma once

#include <string>
#include <vector>

#include "render/geometry.hpp"

namespace wale::render {

struct Thread {
  Path path;
  Colour colour = paper;
  int level = 0;  ///< higher lies in front
  bool operator==(const Thread&) const = default;
};

/// A patch behind the threads of its level, in the shade of a colour.
struct Ground {
  Path path;
  Colour colour = paper;
  int level = 0;
  bool operator==(const Ground&) const = default;
};

/// Lengths in whatever the picture is made in; `draw_threads` brings them to points.
struct ThreadPicture {
  std::string name = "threads";  ///< For file names: a-z, 0-9 and hyphens.
  std::string title, description;
  double width = 0, height = 0;
  double thickness = 1;
  std::vector<Ground> grounds;
  std::vector<Thread> threads;
  bool operator==(const ThreadPicture&) const = default;
};

/// The colour of what lies in the shadow of a thread.
Colour shade(Colour colour);

/// The picture, `scale` points to a unit.
Drawing draw_threads(const ThreadPicture& picture, double scale);

}  // namespace wale::render
