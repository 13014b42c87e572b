#include "compiler/loop_mesh.hpp"

#include <algorithm>
#include <cmath>

namespace wale {

namespace {

/// What lies on one place of the needle: a loop, and the yarns that were laid over it.
struct OnNeedle {
  std::vector<int> loops;
  double waited = 0;  ///< rows that went by without reaching it
};

class MeshMaker {
 public:
  MeshMaker(const std::vector<MeshRow>& rows, const Stitches& stitches) : rows_(rows), stitches_(stitches) {}

  Mesh make() {
    measure();
    std::vector<Lying> lying;
    if (!rows_.empty()) begin(rows_.front().row->before.at(rows_.front().n));
    Turn turned = Turn::none;
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      row_ = static_cast<int>(i);
      const std::vector<Box> boxes = lay_row(*rows_[i].row, rows_[i].n, stitches_, turned, lying);
      const Op* turn = find_turn(rows_[i].row->row.ops);
      turned = turn ? turn->turn : Turn::none;
      std::vector<OnNeedle> made;
      for (const Box& box : boxes) work(box, lying, made);
      needle_ = std::move(made);
      put_down();
    }
    return std::move(mesh_);
  }

 private:
  /// A row of several passes is one row high.
  void measure() {
    std::size_t first = 0;
    while (first < rows_.size()) {
      std::size_t last = first + 1;
      while (last < rows_.size() && rows_[last - 1].row->row.slides) ++last;
      const double each = 1.0 / static_cast<double>(last - first);
      for (std::size_t i = first; i < last; ++i) {
        mesh_.heights.push_back(mesh_.top);
        mesh_.top += each;
      }
      first = last;
    }
  }

  double advance() const {
    const auto i = static_cast<std::size_t>(row_);
    return (i + 1 < mesh_.heights.size() ? mesh_.heights[i + 1] : mesh_.top) - mesh_.heights[i];
  }

  void begin(long long count) {
    for (long long i = 0; i < count; ++i) {
      MeshLoop loop;
      loop.x = static_cast<double>(i);
      loop.y = -1;
      loop.open = true;
      loop.strand = rows_.front().row->row.strand;
      needle_.push_back({{static_cast<int>(mesh_.loops.size())}, 0});
      mesh_.loops.push_back(std::move(loop));
    }
  }

  /// The row as it now lies, each loop as near to what it came from as a row of even width allows.
  void put_down() {
    std::vector<int> needle;
    double place = 0, offset = 0;
    int counted = 0;
    std::vector<double> places;
    for (const OnNeedle& each : needle_) {
      const int id = each.loops.front();
      const MeshLoop& loop = at(id);
      if (loop.hidden) place -= 1;
      needle.push_back(id);
      places.push_back(place);
      place += 1;
      const bool kept = loop.row != row_;
      double from = loop.x;
      if (!kept) {
        from = 0;
        for (const int parent : loop.parents) from += at(parent).x;
        from /= static_cast<double>(loop.parents.size());
      }
      if (!kept && loop.parents.empty()) continue;
      offset += from - places.back();
      ++counted;
    }
    if (counted > 0) offset /= counted;
    // Where the count stays the edges hang straight, however the stitches between them move.
    if (!mesh_.needles.empty() && mesh_.needles.back().size() == needle.size() && !needle.empty()) {
      const auto& under = mesh_.needles.back();
      offset = (at(under.front()).x + at(under.back()).x - places.front() - places.back()) / 2;
    }
    for (std::size_t i = 0; i < needle.size(); ++i)
      for (const int id : needle_[i].loops) {
        MeshLoop& loop = at(id);
        if (loop.row != row_) continue;
        loop.x = places[i] + offset;
        loop.right = i > 0 ? needle[i - 1] : -1;
        loop.left = i + 1 < needle.size() ? needle[i + 1] : -1;
      }
    mesh_.needles.push_back(std::move(needle));
  }

  MeshLoop& at(int id) { return mesh_.loops[static_cast<std::size_t>(id)]; }
  OnNeedle& below(int place) { return needle_[static_cast<std::size_t>(place)]; }

  int add_loop(const Lying& lying) {
    MeshLoop loop;
    loop.row = row_;
    loop.face = lying.face;
    loop.strand = lying.strand;
    loop.y = mesh_.heights[static_cast<std::size_t>(row_)];
    const int id = static_cast<int>(mesh_.loops.size());
    mesh_.loops.push_back(std::move(loop));
    return id;
  }

  void draw_through(int child, const std::vector<int>& parents, double waited) {
    MeshLoop& made = at(child);
    made.parents = parents;
    made.y -= waited;
    for (const int parent : parents) {
      MeshLoop& under = at(parent);
      under.children.push_back(child);
      under.worked_in = row_;
    }
  }

  /// All loops that a box takes, from the right.
  std::vector<int> taken(const Box& box, double& waited) {
    std::vector<int> out;
    waited = 0;
    for (int i = 0; i < box.takes; ++i) {
      const OnNeedle& place = below(box.takes_first + i);
      out.insert(out.end(), place.loops.begin(), place.loops.end());
      waited = std::max(waited, place.waited);
    }
    return out;
  }

  void work(const Box& box, const std::vector<Lying>& lying, std::vector<OnNeedle>& made) {
    if (box.takes_first < 0 || box.takes_first + box.takes > static_cast<int>(needle_.size())) return;
    const auto given = [&](int k) {
      const auto at = static_cast<std::size_t>(box.gives_first + k);
      return at < lying.size() ? lying[at] : Lying();
    };
    const Stitch* facts = box.worked >= 0 ? &stitches_[box.worked] : nullptr;
    if (box.unworked || (facts && facts->passes_on)) {
      keep(box, facts, made);
    } else if (facts && facts->crossing) {
      cross(box, *facts->crossing, given, made);
    } else if (facts && facts->takes.size() == 1 && facts->gives.size() == 1 &&
               facts->gives[0] == LoopType::veiled) {
      OnNeedle kept = below(box.takes_first);
      const int veil = add_loop({given(0).face, box.strand});
      at(veil).veil = true;
      at(veil).open = true;
      kept.loops.push_back(veil);
      made.push_back(std::move(kept));
    } else if (facts && facts->layered()) {
      pair(box, given, made);
    } else {
      plain(box, given, made);
    }
  }

  void keep(const Box& box, const Stitch* facts, std::vector<OnNeedle>& made) {
    const double advanced = advance();
    for (int i = 0; i < box.takes; ++i) {
      OnNeedle kept = below(box.takes_first + i);
      if (box.unworked) kept.waited += advanced;
      // As the right side shows it, whichever side was worked.
      if (facts && stitches_[box.shown].name == "slwyif")
        mesh_.bars.push_back(
            {kept.loops.front(), row_, rows_[static_cast<std::size_t>(row_)].row->row.strand});
      made.push_back(std::move(kept));
    }
  }

  template <class Given>
  void cross(const Box& box, const Stitch::Crossing& c, const Given& given, std::vector<OnNeedle>& made) {
    const int first = c.right ? c.over : c.under, last = c.right ? c.under : c.over;
    for (int k = 0; k < box.gives; ++k) {
      const bool from_first = k < first, from_middle = !from_first && k < first + c.between;
      // From the right edge: the strip that lies there now came from the left, and the other way round.
      const int from = from_first    ? last + c.between + k
                       : from_middle ? last + (k - first)
                                     : k - first - c.between;
      const bool over = !from_middle && from_first == c.right;
      OnNeedle& place = below(box.takes_first + from);
      const int id = add_loop(given(k));
      draw_through(id, place.loops, place.waited);
      if (!from_middle) mesh_.crossed.push_back({id, over, strips_ + (over ? 0 : 1)});
      made.push_back({{id}, 0});
    }
    strips_ += 2;
  }

  /// The near loop of a pair, as the right side shows it, stands first from the right.
  template <class Given>
  void pair(const Box& box, const Given& given, std::vector<OnNeedle>& made) {
    for (int k = 0; k < box.gives; ++k) {
      const int id = add_loop(given(k));
      at(id).hidden = k > 0;
      OnNeedle& place = below(box.takes_first + std::min(k, box.takes - 1));
      draw_through(id, place.loops, place.waited);
      made.push_back({{id}, 0});
    }
  }

  template <class Given>
  void plain(const Box& box, const Given& given, std::vector<OnNeedle>& made) {
    double waited = 0;
    const std::vector<int> parents = taken(box, waited);
    if (box.gives == 0) {
      for (const int parent : parents) at(parent).worked_in = row_;
    }
    stack(parents, box.lean);
    for (int k = 0; k < box.gives; ++k) {
      const int id = add_loop(given(k));
      draw_through(id, parents, waited);
      at(id).open = parents.empty();
      made.push_back({{id}, 0});
    }
  }

  /// Which of the stitches worked together lies on top: the one from which the decrease leans.
  void stack(std::vector<int> parents, Lean lean) {
    std::erase_if(parents, [&](int id) { return at(id).veil; });
    if (parents.size() < 2) return;
    const std::size_t top = lean == Lean::right  ? parents.size() - 1
                            : lean == Lean::left ? 0
                                                 : parents.size() / 2;
    for (std::size_t i = 0; i < parents.size(); ++i)
      at(parents[i]).lies = i == top ? MeshLoop::Lies::over : MeshLoop::Lies::under;
  }

  const std::vector<MeshRow>& rows_;
  const Stitches& stitches_;
  Mesh mesh_;
  std::vector<OnNeedle> needle_;
  int row_ = 0;
  int strips_ = 0;
};

/// Neighbours hold more than what stands above one another: a row is one piece of yarn.
constexpr double beside = 1, above = 0.4;
/// What is left of that between the two strips of a crossing, and between a strip and the fabric beside it:
/// nearest to the crossing, and further off, where it comes and goes.
constexpr double loose[]{0.05, 0.25, 0.6}, held[]{0.6, 0.8, 1};
/// Edges hang straight where the count stays.
constexpr double selvedge = 3;
constexpr int rounds = 160;

struct Link {
  int from, to;
  double rest_x, rest_y, pull_x, pull_y;
};

class Settler {
 public:
  explicit Settler(Mesh& mesh) : mesh_(mesh), near_(mesh.loops.size(), 3) {}

  void run() {
    for (const MeshCrossed& each : mesh_.crossed) loosen(each);
    for (std::size_t i = 0; i < mesh_.loops.size(); ++i) hang(static_cast<int>(i));
    for (std::size_t row = 0; row < mesh_.needles.size(); ++row) string_up(row);
    for (int round = 0; round < rounds; ++round) relax();
  }

 private:
  MeshLoop& node(int id) { return mesh_.loops[static_cast<std::size_t>(id)]; }

  int near(int id) const { return std::min(near_[static_cast<std::size_t>(id)], 2); }

  /// Strips come together before they cross and part afterwards: so do the loops two rows off on both sides.
  void loosen(const MeshCrossed& each) {
    const auto take = [&](int id, int distance) {
      MeshLoop& loop = node(id);
      if (near_[static_cast<std::size_t>(id)] <= distance) return;
      near_[static_cast<std::size_t>(id)] = distance;
      loop.lies = each.over ? MeshLoop::Lies::over : MeshLoop::Lies::under;
      loop.strip = each.strip;
    };
    int id = each.loop;
    for (int distance = 0; distance < 3; ++distance) {
      take(id, distance);
      if (node(id).children.size() != 1) break;
      id = node(id).children.front();
    }
    id = each.loop;
    for (int distance = 0; distance < 3; ++distance) {
      if (node(id).parents.empty()) break;
      id = node(id).parents.front();
      take(id, distance);
    }
  }

  void hang(int id) {
    const MeshLoop& loop = node(id);
    for (const int parent : loop.parents) {
      const MeshLoop& under = node(parent);
      if (under.veil || (under.hidden && !loop.hidden)) continue;
      links_.push_back({parent, id, 0, loop.y - under.y, above, 1});
    }
  }

  void string_up(std::size_t row) {
    const auto& needle = mesh_.needles[row];
    for (std::size_t i = 0; i + 1 < needle.size(); ++i) {
      const MeshLoop &right = node(needle[i]), &left = node(needle[i + 1]);
      const bool both = right.row == left.row && right.row == static_cast<int>(row);
      double hold = beside;
      if (right.strip != left.strip) {
        const int distance = std::min(near(needle[i]), near(needle[i + 1]));
        const bool cross = right.strip >= 0 && right.strip / 2 == left.strip / 2;
        hold = cross ? loose[distance] : held[distance];
      }
      links_.push_back(
          {needle[i], needle[i + 1], left.hidden ? 0.0 : 1.0, left.y - right.y, hold, both ? 0.25 : 0.0});
    }
    if (row == 0 || needle.empty() || needle.size() != mesh_.needles[row - 1].size()) return;
    const auto& before = mesh_.needles[row - 1];
    for (const auto& [under, upper] :
         {std::pair(before.front(), needle.front()), std::pair(before.back(), needle.back())})
      if (under != upper) links_.push_back({under, upper, 0, 0, selvedge, 0});
  }

  void relax() {
    sums_.assign(mesh_.loops.size(), {});
    for (const Link& link : links_) {
      const MeshLoop &a = node(link.from), &b = node(link.to);
      Sums &at_a = sums_[static_cast<std::size_t>(link.from)],
           &at_b = sums_[static_cast<std::size_t>(link.to)];
      at_b.x += link.pull_x * (a.x + link.rest_x);
      at_a.x += link.pull_x * (b.x - link.rest_x);
      at_b.y += link.pull_y * (a.y + link.rest_y);
      at_a.y += link.pull_y * (b.y - link.rest_y);
      for (Sums* sums : {&at_a, &at_b}) {
        sums->pull_x += link.pull_x;
        sums->pull_y += link.pull_y;
      }
    }
    for (std::size_t i = 0; i < mesh_.loops.size(); ++i) {
      MeshLoop& loop = mesh_.loops[i];
      const Sums& sums = sums_[i];
      if (sums.pull_x > 0) loop.x = (loop.x + sums.x / sums.pull_x) / 2;
      if (sums.pull_y > 0) loop.y = (loop.y + sums.y / sums.pull_y) / 2;
    }
  }

  struct Sums {
    double x = 0, y = 0, pull_x = 0, pull_y = 0;
  };
  Mesh& mesh_;
  std::vector<int> near_;  ///< rows to the next crossing; 3: further
  std::vector<Link> links_;
  std::vector<Sums> sums_;
};

}  // namespace

Mesh make_mesh(const std::vector<MeshRow>& rows, const Stitches& stitches) {
  return MeshMaker(rows, stitches).make();
}

void settle(Mesh& mesh) {
  Settler(mesh).run();
}

}  // namespace wale
