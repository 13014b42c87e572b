#include "render/chart_tiles.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "render/measure.hpp"

namespace wale::render {

namespace {

bool lies_in(const Chart& chart, const Cell& cell) {
  return cell.span >= 1 && cell.column >= 0 && cell.column < chart.columns;
}

/// The widest mark that a cut could divide.
int widest_span(const Chart& chart) {
  int widest = 1;
  for (const ChartRow& row : chart.rows)
    for (const Cell& cell : row.cells)
      if (cell.mark) widest = std::max(widest, std::min(cell.span, 12));
  return widest;
}

/// What speaks for and against beginning a part at each square.
struct Places {
  std::vector<int> frames, divided;

  explicit Places(int count)
      : frames(static_cast<std::size_t>(count) + 1), divided(static_cast<std::size_t>(count) + 1) {}

  double cost(int at) const {
    const auto i = static_cast<std::size_t>(at);
    if (divided[i] > 0) return 4 + std::min(divided[i], 8) * 0.25;
    if (frames[i] > 0) return 0;
    return at % 10 == 0 ? 0.4 : at % 5 == 0 ? 1.2 : 2;
  }
};

Places stitch_places(const Chart& chart) {
  Places places(chart.columns);
  // The edge on the right of a column, as a number of stitches.
  const auto edge = [&](long long column) {
    const long long at = std::clamp<long long>(column, 0, chart.columns);
    return static_cast<std::size_t>(chart.numbered_from_left ? chart.columns - at : at);
  };
  int framed = 0;
  for (const ChartRow& row : chart.rows) {
    if (row.repeat && row.repeat->count > 0) {
      ++framed;
      ++places.frames[edge(row.repeat->first)];
      ++places.frames[edge(static_cast<long long>(row.repeat->first) + row.repeat->count)];
    }
    for (const Cell& cell : row.cells) {
      if (!cell.mark || !lies_in(chart, cell)) continue;
      const int span = std::min(cell.span, chart.columns - cell.column);
      for (int inside = 1; inside < span; ++inside) ++places.divided[edge(cell.column + inside)];
    }
  }
  // An edge that jogs is a place to cut where most frames have it.
  for (int& edges : places.frames) edges = edges * 2 > framed ? 1 : 0;
  return places;
}

Places row_places(const Chart& chart) {
  Places places(static_cast<int>(chart.rows.size()));
  for (std::size_t row = 1; row < chart.rows.size(); ++row)
    places.frames[row] = chart.rows[row].repeat.has_value() != chart.rows[row - 1].repeat.has_value();
  return places;
}

/// How many squares of size `side` fit in `room`, at least `least`.
int fitting(double room, double side, int least) {
  return std::max(least, static_cast<int>(std::min(std::floor(std::max(room, 0.0) / side + 1e-9), 1e6)));
}

/// The numbers beside the squares take the same room at every scale, to within a point.
GridMargins margins_of(const Chart& chart, CellSize cell, const ChartStyle& style) {
  GridMargins margins = grid_margins(chart, whole_chart(chart), cell, style);
  margins.left += 1;
  margins.right += 1;
  margins.bottom += 2;
  return margins;
}

int longest(const std::vector<Cut>& cuts) {
  int most = 1;
  for (const Cut& cut : cuts) most = std::max(most, cut.last - cut.first);
  return most;
}

/// Overlapping by no more than the cuts that were found need.
std::vector<Cut> cut_stitches(const Chart& chart, int most) {
  const Places places = stitch_places(chart);
  const auto cost = [&](int at) { return places.cost(at); };
  std::vector<Cut> cuts = cut_well(chart.columns, most, least_overlap, cost);
  const bool divides = std::any_of(cuts.begin() + 1, cuts.end(), [&](const Cut& cut) {
    return places.divided[static_cast<std::size_t>(cut.first + least_overlap)] > 0;
  });
  if (!divides) return cuts;
  return cut_well(chart.columns, most,
                  std::clamp(widest_span(chart), least_overlap, std::max(least_overlap, most / 2)), cost);
}

const char* plural(int count) {
  return count == 1 ? "" : "s";
}

std::string range(const std::string& first, const std::string& last) {
  return first == last ? first : first + "-" + last;
}

}  // namespace

int column_of(const Chart& chart, int stitch) {
  return chart.numbered_from_left ? chart.columns - 1 - stitch : stitch;
}

int shared(const std::vector<Cut>& cuts, std::size_t at) {
  return at == 0 ? 0 : cuts[at - 1].last - cuts[at].first;
}

Cut own(const std::vector<Cut>& cuts, std::size_t at) {
  return {cuts[at].first + shared(cuts, at), cuts[at].last};
}

std::string row_range(const Chart& chart, const Cut& rows) {
  const auto label = [&](int index) { return clean_text(chart.rows[static_cast<std::size_t>(index)].label); };
  return range(label(rows.first), label(rows.last - 1));
}

std::string stitch_range(const Cut& stitches) {
  return range(std::to_string(stitches.first + 1), std::to_string(stitches.last));
}

std::vector<Cut> cut_evenly(int count, int most, int overlap) {
  if (count <= most) return {{0, std::max(count, 0)}};
  const int parts = (count - overlap + most - overlap - 1) / (most - overlap);
  std::vector<Cut> cuts;
  for (int part = 0; part < parts; ++part) {
    // The parts without their overlap share the rest evenly.
    const auto edge = [&](int index) {
      return static_cast<int>(static_cast<long long>(count - overlap) * index / parts);
    };
    cuts.push_back({edge(part), edge(part + 1) + overlap});
  }
  return cuts;
}

std::vector<Cut> cut_well(int count, int most, int overlap, const std::function<double(int)>& cost) {
  std::vector<Cut> cuts = cut_evenly(count, most, overlap);
  const int parts = static_cast<int>(cuts.size());
  if (parts == 1) return cuts;
  const int reach = std::min(8, (count - overlap) / parts / 4);
  struct Choice {
    double cost = 0;
    int before = 0;
  };
  constexpr double never = std::numeric_limits<double>::infinity();
  // choices[i][d + reach]: the least that it costs to begin part i + 1 at its even place moved by d.
  std::vector<std::vector<Choice>> choices;
  const auto place = [&](int part, int moved) {
    return part == 0       ? overlap
           : part == parts ? count
                           : cuts[static_cast<std::size_t>(part)].first + overlap + moved;
  };
  for (int part = 1; part <= parts; ++part) {
    choices.emplace_back(static_cast<std::size_t>(2 * reach + 1), Choice{never, 0});
    for (int moved = part == parts ? 0 : -reach; moved <= (part == parts ? 0 : reach); ++moved) {
      const int at = place(part, moved);
      if (part < parts && (at <= overlap || at >= count)) continue;
      Choice& best = choices.back()[static_cast<std::size_t>(moved + reach)];
      const double here = part == parts ? 0 : cost(at) + std::abs(moved) * 0.15;
      for (int before = part == 1 ? 0 : -reach; before <= (part == 1 ? 0 : reach); ++before) {
        const int length = at - place(part - 1, before) + overlap;
        if (length > most || length <= overlap) continue;
        const double sum =
            here +
            (part == 1 ? 0
                       : choices[static_cast<std::size_t>(part) - 2][static_cast<std::size_t>(before + reach)]
                             .cost);
        if (sum < best.cost) best = {sum, before};
      }
    }
  }
  int moved = 0;
  for (int part = parts; part > 0; --part) {
    const auto i = static_cast<std::size_t>(part);
    const int at = place(part, moved);
    cuts[i - 1].last = at;
    if (part < parts) cuts[i].first = at - overlap;
    moved = choices[i - 1][static_cast<std::size_t>(moved + reach)].before;
  }
  return cuts;
}

Tiling tile(const Chart& chart, const TileRoom& room, const ChartStyle& style) {
  const CellSize natural = natural_cell(chart, style);
  const int rows = static_cast<int>(chart.rows.size());
  const double smallest = std::min(1.0, style.shortest_side / std::min(natural.width, natural.height));
  const GridMargins margins = margins_of(chart, natural, style);
  const double wide = room.width - margins.left - margins.right;
  const double whole = std::min(
      {1.0, wide / (chart.columns * natural.width), (room.whole - margins.bottom) / (rows * natural.height)});
  if (whole >= smallest - 1e-9)
    return {{natural.width * whole, natural.height * whole}, {{0, chart.columns}}, {{0, rows}}};
  const double high = room.part - margins.bottom;
  Tiling tiling;
  tiling.stitches = cut_stitches(chart, fitting(wide, natural.width * smallest, least_overlap + 1));
  const Places places = row_places(chart);
  tiling.rows = cut_well(rows, fitting(high, natural.height * smallest, least_overlap + 1), least_overlap,
                         [&](int at) { return places.cost(at); });
  const double scale = std::min({1.0, wide / (longest(tiling.stitches) * natural.width),
                                 high / (longest(tiling.rows) * natural.height)});
  tiling.cell = {natural.width * scale, natural.height * scale};
  return tiling;
}

std::size_t number_of(const Tiling& tiling, Tile tile) {
  return tile.up * tiling.stitches.size() + tile.across + 1;
}

ChartWindow window_of(const Chart& chart, const Tiling& tiling, Tile tile) {
  const Cut stitches = tiling.stitches[tile.across], rows = tiling.rows[tile.up];
  const int first = std::min(column_of(chart, stitches.first), column_of(chart, stitches.last - 1));
  return {first,
          stitches.last - stitches.first,
          rows.first,
          rows.last - rows.first,
          shared(tiling.stitches, tile.across),
          shared(tiling.rows, tile.up)};
}

std::string tile_title(const Chart& chart, const Tiling& tiling, Tile tile) {
  return fmt::format("Part {} of {}: rows {}, stitches {}", number_of(tiling, tile),
                     tiling.rows.size() * tiling.stitches.size(), row_range(chart, own(tiling.rows, tile.up)),
                     stitch_range(own(tiling.stitches, tile.across)));
}

std::string tile_words(const Chart& chart, const Tiling& tiling, Tile tile) {
  const auto part = [&](std::size_t across, std::size_t up) {
    return fmt::format("part {}", number_of(tiling, {across, up}));
  };
  std::string on, pale;
  const auto add = [](std::string& words, const std::string& more) {
    words += words.empty() ? more : " and " + more;
  };
  if (tile.up + 1 < tiling.rows.size()) add(on, part(tile.across, tile.up + 1) + " above");
  if (tile.across + 1 < tiling.stitches.size())
    add(on, part(tile.across + 1, tile.up) + (chart.numbered_from_left ? " on the right" : " on the left"));
  if (tile.up > 0) {
    const Cut before = tiling.rows[tile.up - 1], here = tiling.rows[tile.up];
    add(pale, fmt::format("{} (row{} {})", part(tile.across, tile.up - 1), plural(before.last - here.first),
                          row_range(chart, {here.first, before.last})));
  }
  if (tile.across > 0) {
    const Cut before = tiling.stitches[tile.across - 1], here = tiling.stitches[tile.across];
    add(pale,
        fmt::format("{} (stitch{} {})", part(tile.across - 1, tile.up),
                    before.last - here.first == 1 ? "" : "es", stitch_range({here.first, before.last})));
  }
  std::string words;
  if (!on.empty()) words = fmt::format("Goes on in {}.", on);
  if (!pale.empty())
    words += fmt::format("{}Pale squares are those of {}: lay the page over them.", words.empty() ? "" : " ",
                         pale);
  return words;
}

std::string tiling_words(const Tiling& tiling) {
  const int rows = tiling.rows.size() > 1 ? shared(tiling.rows, 1) : 0;
  const int stitches = tiling.stitches.size() > 1 ? shared(tiling.stitches, 1) : 0;
  std::string overlap;
  if (rows > 0) overlap = fmt::format("{} row{}", rows, plural(rows));
  if (stitches > 0)
    overlap +=
        fmt::format("{}{} stitch{}", overlap.empty() ? "" : " and ", stitches, stitches == 1 ? "" : "es");
  return fmt::format(
      "This chart is larger than a page. It comes in {} parts that overlap by {}, drawn pale where they are "
      "shown again: there one page is laid, or pasted, over the other.",
      tiling.rows.size() * tiling.stitches.size(), overlap);
}

}  // namespace wale::render
