#include "compiler/piece_measures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "compiler/instruction_words.hpp"

namespace wale {

namespace {

double length_cm(const Step& step, const Piece& piece, const Pattern& gauges) {
  if (step.kind == Step::Kind::repeat) {
    double once = 0;
    long long rows = 0;
    for (const Step& inner : step.steps) {
      once += length_cm(inner, piece, gauges);
      rows += inner.row_count;
    }
    return rows > 0 ? once * static_cast<double>(step.row_count) / static_cast<double>(rows) : 0;
  }
  if (step.row_count == 0) return 0;
  const Gauge* gauge = &gauges.gauges.front();
  if (!step.parts.empty()) {
    const auto widest =
        std::max_element(step.parts.begin(), step.parts.end(),
                         [](const Step::Part& a, const Step::Part& b) { return a.width < b.width; });
    gauge = gauges.gauge_for(piece.fabrics[static_cast<std::size_t>(widest->fabric)].name);
  }
  return static_cast<double>(step.row_count) / gauge->rows_per_cm;
}

/// "96.5 (38)".
std::string both_units(double cm, Units units) {
  return fmt::format("{} ({})", measure_words(cm, units),
                     measure_words(cm, units == Units::metric ? Units::inches : Units::metric));
}

std::string size_name(const Pattern& pattern) {
  return pattern.size.empty() ? "the one size" : pattern.size;
}

/// Of those that are cast on: a band picked up along an edge may be wider than any, and says nothing of the
/// fit.
std::size_t widest_piece(const Pattern& pattern) {
  const auto rank = [&](std::size_t i) {
    const Piece& piece = pattern.pieces[i];
    const bool cast_on = !piece.steps.empty() && piece.steps.front().kind == Step::Kind::cast_on;
    return std::pair(cast_on, piece.widest);
  };
  std::size_t out = 0;
  for (std::size_t i = 1; i < pattern.pieces.size(); ++i)
    if (rank(i) > rank(out)) out = i;
  return out;
}

}  // namespace

std::string measure_words(double cm, Units units) {
  return units == Units::metric ? fmt::format("{:g}", std::round(cm * 2) / 2)
                                : fmt::format("{:g}", std::round(cm / 2.54 * 4) / 4);
}

PieceMeasures measures_of(const Piece& piece, const Pattern& gauges) {
  PieceMeasures out;
  // Stitches that were held go on from where they were left.
  std::map<std::string, double> held;
  double height = 0;
  for (const Step& step : piece.steps) {
    if (step.kind == Step::Kind::hold) held[step.holder] = height;
    if (step.kind == Step::Kind::resume) height = held[step.holder];
    height += length_cm(step, piece, gauges);
    out.length = std::max(out.length, height);
  }
  out.width = static_cast<double>(piece.widest) / gauges.gauges.front().stitches_per_cm;
  return out;
}

render::Table finished_sizes(const std::vector<const Pattern*>& sizes, Units units) {
  render::Table out;
  out.header.push_back(units == Units::metric ? "cm (in)" : "in (cm)");
  out.numeric.push_back(false);
  for (const Pattern* each : sizes) {
    out.header.push_back(size_name(*each));
    out.numeric.push_back(true);
  }
  for (std::size_t i = 0; i < sizes.front()->pieces.size(); ++i) {
    const Piece& piece = sizes.front()->pieces[i];
    if (piece.widest == 0) continue;  // nothing is knitted in it
    std::vector<std::string> width{
        capitalised(piece.name) + (piece.form == Form::round ? ", around at the widest" : ", at the widest")},
        length{capitalised(piece.name) + ", long"};
    for (const Pattern* each : sizes) {
      const PieceMeasures measures = measures_of(each->pieces[i], *each);
      width.push_back(both_units(measures.width, units));
      length.push_back(both_units(measures.length, units));
    }
    out.rows.push_back(std::move(width));
    out.rows.push_back(std::move(length));
  }
  return out;
}

render::Table written_numbers_at(const std::vector<const Pattern*>& written,
                                 const std::vector<const Pattern*>& sizes, Units units) {
  render::Table out;
  const std::size_t piece = widest_piece(*written.front());
  const std::string name = capitalised(written.front()->pieces[piece].name);
  out.header = {"Size", name + " as written", "The same stitches at this gauge", "So follow the numbers of"};
  out.numeric = {false, true, true, false};
  std::vector<double> planned, comes_out;
  for (std::size_t i = 0; i < written.size(); ++i) {
    planned.push_back(measures_of(written[i]->pieces[piece], *written[i]).width);
    comes_out.push_back(measures_of(written[i]->pieces[piece], *sizes[i]).width);
  }
  for (std::size_t i = 0; i < written.size(); ++i) {
    const auto nearest = std::min_element(comes_out.begin(), comes_out.end(), [&](double a, double b) {
      return std::abs(a - planned[i]) < std::abs(b - planned[i]);
    });
    const std::size_t follow = static_cast<std::size_t>(nearest - comes_out.begin());
    const auto [below, above] = std::minmax_element(comes_out.begin(), comes_out.end());
    const bool outside = planned[i] < *below * 0.98 || planned[i] > *above * 1.02;
    out.rows.push_back(
        {size_name(*written[i]), length_words(planned[i], units), length_words(comes_out[i], units),
         outside ? fmt::format("none: {} comes nearest, at {}", size_name(*written[follow]),
                               length_words(*nearest, units))
                 : fmt::format("{}, {}", size_name(*written[follow]), length_words(*nearest, units))});
  }
  return out;
}

}  // namespace wale
