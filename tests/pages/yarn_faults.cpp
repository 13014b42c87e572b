// Whether a yarn report adds up: each yarn is what its strands take, by length and by weight, and enough of
// it is bought.
//
// Figures in the report have two significant digits, so each may be off by a twentieth at most (10.5 as 11,
// or 10.49 as 10), and a sum of such figures too.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tests/pages/page_tool.hpp"

namespace wale::pages {

namespace {

using nlohmann::json;

constexpr double rounding = 0.05;

/// Equal, when both were rounded.
bool agree(double a, double b) {
  return std::abs(a - b) <= 2 * rounding * std::max(a, b) + 1e-9;
}

bool in_order(const json& range) {
  const double low = range.at("low"), about = range.at("about"), high = range.at("high");
  return low > 0 && low <= about && about <= high;
}

class Report {
 public:
  Report(const json& report, const json& size, const Pattern& pattern)
      : report_(size), title_(report.at("pattern")), reserve_(report.at("reserve")), pattern_(pattern) {}

  std::vector<std::string> faults() {
    const auto knitted = std::count_if(pattern_.pieces.begin(), pattern_.pieces.end(),
                                       [](const Piece& piece) { return piece.widest > 0; });
    expect(static_cast<std::ptrdiff_t>(report_.at("pieces").size()) == knitted, "not every piece is there");
    expect(title_ == pattern_.title || pattern_.title.empty(), "the title is another");
    for (const json& piece : report_.at("pieces")) piece_adds_up(piece);
    if (report_.contains("missing")) return std::move(faults_);
    expect(!report_.at("assumptions").empty(), "no method is named");
    for (const json& strand : report_.at("strands")) {
      expect(in_order(strand.at("metres")), fmt::format("strand {}: low, about, high", strand.dump()));
    }
    for (const json& yarn : report_.at("yarns")) yarn_adds_up(yarn);
    if (report_.contains("stash"))
      for (const json& each : report_.at("stash")) stash_adds_up(each);
    return std::move(faults_);
  }

 private:
  void expect(bool good, const std::string& fault) {
    if (!good) faults_.push_back(fault);
  }

  void piece_adds_up(const json& piece) {
    const std::string name = piece.at("name");
    const long long rows = piece.at("rows"), widest = piece.at("widest"),
                    worked = piece.at("stitches_worked");
    // A cord along an edge works a row of its own for each stitch that it binds off: no row of the piece.
    long long cords = 0;
    for (const Piece& each : pattern_.pieces)
      for (const Step& step : each.steps)
        if (each.name == name && step.kind == Step::Kind::cord_bind_off)
          cords += (step.cord + 1) * std::abs(step.before - step.after);
    expect(rows + cords > 0 && widest > 0 && worked >= rows, name + ": no rows, or rows without stitches");
    // A row may be worked once with each strand, and no row has more stitches than the widest.
    const auto passes = static_cast<long long>(std::max<std::size_t>(pattern_.strands.size(), 1));
    // The row in which stitches are picked up is not counted among the rows, as a cast-on is not.
    expect(worked <= (rows + 1) * widest * passes + cords,
           name + ": more stitches than rows and widths give");
  }

  /// Metres of a yarn that the report's strands hold.
  double metres_in_strands(std::size_t yarn) const {
    double metres = 0;
    for (const json& each : report_.at("strands")) {
      for (const Strand& strand : pattern_.strands) {
        if (each.at("strand") != strand.name) continue;
        const auto ends = std::count(strand.yarns.begin(), strand.yarns.end(), static_cast<int>(yarn));
        metres += static_cast<double>(ends) * each.at("metres").at("about").get<double>();
      }
    }
    return metres;
  }

  void yarn_adds_up(const json& each) {
    const auto known = std::find_if(pattern_.yarns.begin(), pattern_.yarns.end(),
                                    [&](const Yarn& yarn) { return each.at("yarn") == yarn.name; });
    if (known == pattern_.yarns.end()) return faults_.push_back("a yarn that the pattern does not name");
    const std::string& name = known->name;
    const double metres = each.at("metres").at("about"), grams = each.at("grams").at("about");
    expect(in_order(each.at("metres")) && in_order(each.at("grams")), name + ": low, about, high");
    expect(agree(metres, metres_in_strands(static_cast<std::size_t>(known - pattern_.yarns.begin()))),
           name + ": not what its strands take");
    expect(agree(grams, metres * known->grams / known->metres), name + ": metres and grams disagree");
    const double balls = each.at("balls");
    const double least = grams * (1 - rounding) * (1 + reserve_) / known->grams;
    const double most = grams * (1 + rounding) * (1 + reserve_) / known->grams + 1;
    expect(balls >= least && balls <= most, name + ": too few balls, or too many");
  }

  /// What is used and what is left are what there is, and no lot gives more than it has.
  void stash_adds_up(const json& each) {
    const std::string name = each.at("yarn");
    const double there = each.at("grams"), used = each.at("used").at("about"), left = each.at("left");
    expect(std::abs(used + left - there) < 1e-6 || (left == 0 && used >= there),
           name + ": used and left are not what there is");
    double lots = 0;
    for (const json& lot : each.at("lots")) {
      lots += lot.at("grams").get<double>();
      double given = 0;
      for (const json& piece : each.at("pieces"))
        if (piece.at("lot") == lot.at("lot")) given += piece.at("grams").get<double>();
      expect(given <= lot.at("grams").get<double>() * (1 + rounding),
             name + ": a lot gives more than it has");
    }
    expect(std::abs(lots - there) < 1e-6, name + ": the lots are not what there is");
  }

  const json& report_;  ///< of one size
  const std::string title_;
  const double reserve_;
  const Pattern& pattern_;
  std::vector<std::string> faults_;
};

}  // namespace

std::vector<std::string> yarn_faults(const std::string& text, const Pattern& pattern) {
  try {
    const json report = json::parse(text);
    return Report(report, report.at("sizes").at(0), pattern).faults();
  } catch (const json::exception& error) {
    return {error.what()};
  }
}

}  // namespace wale::pages
