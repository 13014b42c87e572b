#include "compiler/fabric_view.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "compiler/check.hpp"
#include "compiler/instruction_words.hpp"
#include "compiler/loop_mesh.hpp"
#include "render/colour.hpp"

namespace wale {

namespace {

/// A picture shows at least so many wales and rows, if the fabric repeats.
constexpr long long enough = 24;
/// Of the wale's width; thicker than the yarn of a diagram and about what a soft one fills.
constexpr double thickness = 0.32;

/// From the back to the front. A wale of purl stitches lies deeper than one of knit stitches, and so do its
/// bumps; those of moss stitch and garter lie before everything.
enum class Level { back, deep_legs, deep_front, under, legs, front, over_ground, over };

long long width_at(const Fabric& fabric, long long n) {
  long long out = 0;
  for (const CheckedRow& row : fabric.rows) out = std::max({out, row.before.at(n), row.after.at(n)});
  return out;
}

bool has_view(const Fabric& fabric) {
  return fabric.good && !fabric.rows.empty() && width_at(fabric, fabric.smallest_n) <= widest_viewed;
}

class Viewer {
 public:
  Viewer(const Fabric& fabric, const Pattern& pattern, const Stitches& stitches)
      : fabric_(fabric), pattern_(pattern), stitches_(stitches) {}

  std::optional<render::ThreadPicture> view() {
    if (!has_view(fabric_)) return {};
    choose();
    in_hand_ = strand_in_hand();
    mesh_ = make_mesh(rows_, stitches_);
    settle(mesh_);
    find_edge();
    for (const MeshLoop& loop : mesh_.loops)
      if (shown(loop)) draw(loop);
    for (const MeshBar& bar : mesh_.bars) draw(bar);
    if (out_.threads.empty()) return {};
    out_.name = render::id_from(fabric_.name);
    out_.title = capitalised(fabric_.name);
    out_.thickness = thickness;
    frame();
    describe();
    return std::move(out_);
  }

 private:
  /// Whole cycles, one after the other; a fabric that grows goes on at the n that it has grown to. Of one
  /// that comes back there is one cycle more, below the picture: what is shown is how it goes on, not how it
  /// begins.
  void choose() {
    long long n = fabric_.smallest_n;
    const bool grows = fabric_.gains.constant() && fabric_.gains.at(0) > 0;
    if (fabric_.width.per_n > 0 && !grows)
      while (width_at(fabric_, n) < enough && width_at(fabric_, n + 1) <= widest_viewed) ++n;
    const std::size_t cycle = fabric_.rows.size();
    const auto add = [&](std::size_t most) {
      for (std::size_t i = 0; i < cycle && rows_.size() < most; ++i) rows_.push_back({&fabric_.rows[i], n});
    };
    if (fabric_.returns && cycle <= most_rows_shown) {
      add(cycle);
      first_ = static_cast<int>(cycle);
    }
    const std::size_t most = rows_.size() + most_rows_shown;
    do {
      add(most);
      const auto next = fabric_.returns ? std::optional(n) : grown(n);
      if (!next || width_at(fabric_, *next) > most_wales_shown) break;
      n = *next;
    } while (rows_.size() < most && height_from(static_cast<std::size_t>(first_)) < enough);
  }

  /// The n at which the fabric stands after a cycle, if there is one.
  std::optional<long long> grown(long long n) const {
    const Linear &width = fabric_.width, &gains = fabric_.gains;
    if (!gains.constant() || width.per_n <= 0 || gains.at(0) % width.per_n != 0) return {};
    const long long next = n + gains.at(0) / width.per_n;
    if (next == n || next < fabric_.smallest_n || fabric_.needs_set_up) return {};
    return next;
  }

  /// Rows from this one on, passes counted once.
  long long height_from(std::size_t first) const {
    long long out = 0;
    for (std::size_t i = first; i < rows_.size(); ++i) out += rows_[i].row->row.slides ? 0 : 1;
    return out;
  }

  bool shown(const MeshLoop& loop) const {
    return stands(loop) && !loop.hidden && loop.x < right_ + most_wales_shown;
  }

  /// Made in a row that is shown, or there for one to be drawn through.
  bool stands(const MeshLoop& loop) const { return loop.row >= first_ || loop.worked_in >= first_; }

  bool is_purl(int id) const { return id >= 0 && node(id).row >= 0 && node(id).face == Face::purl; }

  /// In a wale of purl stitches.
  bool deep(const MeshLoop& loop) const {
    if (loop.face != Face::purl || loop.row < 0) return false;
    const auto purl = [&](int id) { return node(id).row < 0 || node(id).face == Face::purl; };
    return std::all_of(loop.parents.begin(), loop.parents.end(), purl) &&
           std::all_of(loop.children.begin(), loop.children.end(), purl);
  }

  void find_edge() {
    const Gauge* gauge = pattern_.gauge_for(fabric_.name);
    if (gauge) aspect_ = std::clamp(gauge->wales_per_cm() / gauge->rows_per_cm, 0.25, 3.0);
    bool any = false;
    for (const MeshLoop& loop : mesh_.loops) {
      if (!stands(loop)) continue;
      right_ = any ? std::min(right_, loop.x) : loop.x;
      any = true;
    }
  }

  /// Brings everything that was drawn into the picture.
  void frame() {
    std::optional<render::Box> all;
    const auto take_in = [&](const render::Path& path) {
      const render::Box box = render::bounds(path);
      if (!all) all = box;
      const double right = std::max(all->right(), box.right()),
                   bottom = std::max(all->bottom(), box.bottom());
      all->x = std::min(all->x, box.x);
      all->y = std::min(all->y, box.y);
      all->width = right - all->x;
      all->height = bottom - all->y;
    };
    for (const render::Thread& thread : out_.threads) take_in(thread.path);
    for (const render::Ground& ground : out_.grounds) take_in(ground.path);
    const double margin = 0.7 * thickness;
    const render::Point by{margin - all->x, margin - all->y};
    for (render::Thread& thread : out_.threads) thread.path = render::scaled(thread.path, 1, 1, by);
    for (render::Ground& ground : out_.grounds) ground.path = render::scaled(ground.path, 1, 1, by);
    out_.width = all->width + 2 * margin;
    out_.height = all->height + 2 * margin;
  }

  void describe() {
    long long widest = 0;
    for (std::size_t i = static_cast<std::size_t>(first_); i < mesh_.needles.size(); ++i)
      widest = std::max(widest, static_cast<long long>(mesh_.needles[i].size()));
    const long long high = height_from(static_cast<std::size_t>(first_));
    out_.description =
        fmt::format("The right side of {} as it will look: {} stitches by {} rows, drawn loop by loop.",
                    fabric_.name, std::min<long long>(widest, most_wales_shown), high);
  }

  const MeshLoop& node(int id) const { return mesh_.loops[static_cast<std::size_t>(id)]; }

  /// Where a loop is held: by what was drawn through it, beside the others that this was drawn through.
  render::Point top_of(const MeshLoop& loop) const {
    if (loop.children.empty())
      return {loop.x, loop.worked_in < 0 ? std::max(loop.y + 1, mesh_.top) : loop.y + 1};
    render::Point sum;
    for (const int child : loop.children) sum.x += node(child).x, sum.y += node(child).y;
    const auto count = static_cast<double>(loop.children.size());
    return {sum.x / count, sum.y / count};
  }

  render::Point place(double x, double y) const { return {-x, -y * aspect_}; }

  render::Colour colour(short strand) const {
    static const render::Colour spare[]{{0xE4, 0xDC, 0xCB}, {0x7C, 0x98, 0xA0}, {0xB9, 0x8B, 0x73}};
    if (strand < 0) strand = in_hand_;
    if (const auto known = pattern_.colour_of(strand)) return {known->red, known->green, known->blue};
    return spare[strand < 0 ? 0 : static_cast<std::size_t>(strand) % 3];
  }

  /// What rows that name no strand are worked in: as the first piece does that works the fabric.
  short strand_in_hand() const {
    for (const Piece& piece : pattern_.pieces) {
      if (const auto found = strand_in(piece, piece.steps)) return *found;
    }
    return pattern_.strands.size() == 1 ? short{0} : short{-1};
  }

  std::optional<short> strand_in(const Piece& piece, const std::vector<Step>& steps) const {
    for (const Step& step : steps) {
      for (const Step::Part& part : step.parts)
        if (part.fabric >= 0 && step.strand >= 0 &&
            piece.fabrics[static_cast<std::size_t>(part.fabric)].name == fabric_.name)
          return step.strand;
      if (const auto found = strand_in(piece, step.steps)) return found;
    }
    return {};
  }

  struct From {
    render::Point at;
    void add(render::Path& path, const Viewer& viewer, render::Point a, render::Point b,
             render::Point to) const {
      path.move_to(viewer.place(at.x, at.y));
      path.curve_to(viewer.place(a.x, a.y), viewer.place(b.x, b.y), viewer.place(to.x, to.y));
    }
  };

  /// Within a level the lower row lies in front: the tip of a V is held between the legs of the one below.
  int order(Level level, const MeshLoop& loop) const {
    return static_cast<int>(level) * 10000 + 5000 - loop.row;
  }

  void thread(render::Path path, short strand, int order) {
    out_.threads.push_back({std::move(path), colour(strand), order});
  }

  void draw(const MeshLoop& loop) {
    render::Point top = top_of(loop);
    Level head_level = Level::back;
    if (!loop.children.empty()) {
      const MeshLoop& child = node(loop.children.front());
      if (child.face == Face::purl) head_level = deep(child) ? Level::deep_front : Level::front;
      const auto beside = static_cast<double>(child.parents.size());
      const auto self = std::find_if(child.parents.begin(), child.parents.end(),
                                     [&](int id) { return &node(id) == &loop; });
      const auto at = static_cast<double>(self - child.parents.begin());
      if (!loop.veil) top.x += 0.14 * (at - (beside - 1) / 2);
    }
    if (!loop.veil) body(loop, top);
    render::Path head;
    From{{top.x - 0.3, top.y}}.add(head, *this, {top.x - 0.3, top.y + 0.34}, {top.x + 0.3, top.y + 0.34},
                                   {top.x + 0.3, top.y});
    thread(std::move(head), loop.strand, order(head_level, loop));
  }

  /// How far the ground goes towards a neighbour: to the middle of what lies between. Where they part more
  /// than yarn gives, there is a hole, but beside a crossing: there the fabric is drawn in, and stays closed.
  double reach(const MeshLoop& loop, int neighbour, bool at_top) const {
    if (neighbour < 0) return 0.5;
    const MeshLoop& next = node(neighbour);
    const double apart = at_top ? std::abs(top_of(loop).x - top_of(next).x) : std::abs(loop.x - next.x);
    const bool drawn_in = loop.strip >= 0 || next.strip >= 0;
    if (apart > 1.5 && !drawn_in) return 0.5;
    return std::clamp(apart / 2 + 0.05, 0.5, 3.0);
  }

  void body(const MeshLoop& loop, render::Point top) {
    render::Point foot{loop.x, loop.y};
    if (!loop.parents.empty()) {
      const render::Point through = top_of(node(loop.parents.front()));
      foot = {(foot.x + through.x) / 2, (foot.y + through.y) / 2};
    }
    const bool is_deep = deep(loop);
    // A knit wale between deep ones has room to spread.
    const double wide = loop.face == Face::knit && is_purl(loop.right) && is_purl(loop.left) ? 1.3 : 1;
    const double spread = loop.open ? 0.4 : loop.face == Face::purl ? 0.1 : 0.04;
    const double dip = loop.open ? 0 : loop.face == Face::purl ? 0.12 : 0.42;
    render::Path both, feet;
    for (const double side : {1.0, -1.0}) {
      const render::Point low{foot.x + side * spread, foot.y - dip};
      const double rise = top.y - low.y;
      From{low}.add(both, *this, {low.x + side * 0.1 * wide, low.y + 0.33 * rise},
                    {top.x + side * 0.28 * wide, top.y - 0.33 * rise}, {top.x + side * 0.32 * wide, top.y});
      From{low}.add(feet, *this, {low.x, low.y - 0.2}, {loop.x + side * 0.36, low.y - 0.2},
                    {loop.x + side * 0.5, low.y - 0.16});
    }
    const Level level = loop.lies == MeshLoop::Lies::over    ? Level::over
                        : loop.lies == MeshLoop::Lies::under ? Level::under
                        : is_deep                            ? Level::deep_legs
                                                             : Level::legs;
    thread(std::move(both), loop.strand, order(level, loop));
    thread(std::move(feet), loop.strand,
           order(loop.face != Face::purl ? Level::back
                 : is_deep               ? Level::deep_front
                                         : Level::front,
                 loop));
    if (loop.open) return;
    render::Path ground;
    ground.move_to(place(foot.x - reach(loop, loop.right, false), foot.y - 0.2));
    ground.line_to(place(foot.x + reach(loop, loop.left, false), foot.y - 0.2));
    ground.line_to(place(top.x + reach(loop, loop.left, true), top.y));
    ground.line_to(place(top.x - reach(loop, loop.right, true), top.y));
    ground.close();
    const bool over = loop.lies == MeshLoop::Lies::over;
    out_.grounds.push_back(
        {std::move(ground), colour(loop.strand), order(over ? Level::over_ground : Level::back, loop)});
  }

  void draw(const MeshBar& bar) {
    const MeshLoop& loop = node(bar.loop);
    if (!shown(loop) || bar.row < first_) return;
    const double y = mesh_.heights[static_cast<std::size_t>(bar.row)] + 0.1;
    const double x = loop.x;
    render::Path path;
    From{{x - 0.5, y - 0.1}}.add(path, *this, {x - 0.3, y + 0.1}, {x + 0.3, y + 0.1}, {x + 0.5, y - 0.1});
    thread(std::move(path), bar.strand, order(Level::over, loop));
  }

  const Fabric& fabric_;
  const Pattern& pattern_;
  const Stitches& stitches_;
  std::vector<MeshRow> rows_;
  int first_ = 0;  ///< the first row that is shown
  Mesh mesh_;
  short in_hand_ = -1;
  double aspect_ = 0.75;  ///< height of a row in wales
  double right_ = 0;      ///< edge of what is shown, in wales
  render::ThreadPicture out_;
};

/// Left for right.
void turn_over(render::ThreadPicture& picture) {
  const auto turned = [&](const render::Path& path) {
    return render::scaled(path, -1, 1, {picture.width, 0});
  };
  for (render::Thread& thread : picture.threads) thread.path = turned(thread.path);
  for (render::Ground& ground : picture.grounds) ground.path = turned(ground.path);
}

}  // namespace

std::optional<render::ThreadPicture> view_fabric(const Fabric& fabric, const Pattern& pattern,
                                                 const Stitches& stitches) {
  return Viewer(fabric, pattern, stitches).view();
}

std::string contrast_words(const Fabric& fabric, const Pattern& pattern) {
  std::set<short> used;
  for (const CheckedRow& row : fabric.rows)
    for (const auto& [key, count] : row.tally)
      if (key.second >= 0 && pattern.colour_of(key.second)) used.insert(key.second);
  std::string out;
  double weakest = 22;
  for (const short a : used)
    for (const short b : used) {
      if (a >= b) continue;
      const double ratio = contrast_ratio(*pattern.colour_of(a), *pattern.colour_of(b));
      if (ratio >= weakest) continue;
      weakest = ratio;
      out =
          fmt::format("{} and {}: contrast {:.1f} : 1, {}", pattern.strands[static_cast<std::size_t>(a)].name,
                      pattern.strands[static_cast<std::size_t>(b)].name, ratio,
                      ratio >= least_contrast ? "they read apart" : "hard to tell apart");
    }
  return out;
}

std::vector<std::pair<const Fabric*, std::string>> viewed_fabrics(const Pattern& pattern) {
  std::vector<std::pair<const Fabric*, std::string>> out;
  std::set<std::string> names;
  for (const Fabric& fabric : pattern.fabrics) {
    if (out.size() == most_views) break;
    if (!has_view(fabric)) continue;
    const std::string base = render::id_from(fabric.name);
    std::string name = base;
    for (int i = 2; !names.insert(name).second; ++i) name = fmt::format("{}-{}", base, i);
    out.emplace_back(&fabric, std::move(name));
  }
  return out;
}

std::vector<render::PictureBlock::Each> make_views(const Pattern& pattern, const Stitches& stitches,
                                                   bool mirror) {
  std::vector<render::PictureBlock::Each> out;
  for (auto& [fabric, name] : viewed_fabrics(pattern)) {
    auto picture = view_fabric(*fabric, pattern, stitches);
    if (!picture) continue;
    picture->name = std::move(name);
    if (mirror) turn_over(*picture);
    out.push_back({std::move(*picture), contrast_words(*fabric, pattern)});
  }
  return out;
}

}  // namespace wale
