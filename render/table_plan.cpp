#include "render/table_plan.hpp"

#include <algorithm>

namespace wale::render {

namespace {

double sum_of_least(const std::vector<ColumnNeed>& needs, const std::vector<std::size_t>& columns,
                    double gap) {
  double sum = 0;
  for (const std::size_t column : columns) sum += needs[column].least + gap;
  return columns.empty() ? 0 : sum - gap;
}

/// Bands of at most `most` columns besides the repeated first one.
std::vector<std::vector<std::size_t>> cut(const std::vector<ColumnNeed>& needs, double room, double gap,
                                          std::size_t most) {
  std::vector<std::vector<std::size_t>> bands;
  for (std::size_t next = 1; next < needs.size() || bands.empty();) {
    std::vector<std::size_t> columns{0};
    while (next < needs.size() && columns.size() <= most) {
      columns.push_back(next);
      if (columns.size() > 2 && sum_of_least(needs, columns, gap) > room) {
        columns.pop_back();
        break;
      }
      ++next;
    }
    bands.push_back(std::move(columns));
  }
  return bands;
}

}  // namespace

std::vector<TableBand> plan_table(std::vector<ColumnNeed> needs, double room, double gap) {
  if (needs.empty()) return {};
  for (ColumnNeed& need : needs) {
    need.natural = std::max(need.natural, 0.0);
    need.least = std::min({need.least, need.natural, room / 4});
  }
  auto columns = cut(needs, room, gap, needs.size());
  if (columns.size() > 1) {
    const std::size_t bands = columns.size(), others = needs.size() - 1;
    auto even = cut(needs, room, gap, (others + bands - 1) / bands);
    if (even.size() == bands) columns = std::move(even);
  }
  std::vector<TableBand> plan;
  for (auto& band : columns) {
    std::vector<double> wishes;
    for (const std::size_t column : band) wishes.push_back(needs[column].natural - needs[column].least);
    TableBand result{std::move(band), {}};
    const double rest = std::max(0.0, room - sum_of_least(needs, result.columns, gap));
    result.widths = share_width(wishes, rest);
    for (std::size_t i = 0; i < result.widths.size(); ++i) result.widths[i] += needs[result.columns[i]].least;
    plan.push_back(std::move(result));
  }
  return plan;
}

std::vector<double> share_width(const std::vector<double>& wishes, double available) {
  std::vector<double> widths(wishes.size(), -1);
  double rest = available;
  std::size_t open = wishes.size();
  for (bool settled = true; settled && open > 0;) {
    settled = false;
    const double share = rest / static_cast<double>(open);
    for (std::size_t i = 0; i < wishes.size(); ++i) {
      if (widths[i] >= 0 || wishes[i] > share) continue;
      widths[i] = wishes[i];
      rest -= wishes[i];
      --open;
      settled = true;
    }
  }
  for (double& width : widths) {
    if (width < 0) width = rest / static_cast<double>(open);
  }
  return widths;
}

}  // namespace wale::render
