#include "compiler/piece_measures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "compiler/instruction_words.hpp"
#include "compiler/piece_outline.hpp"

namespace wale {

namespace {

/// A band picked up along an edge may be wider than any, and says nothing of the fit.
std::size_t widest_piece(const Pattern& pattern) {
  const auto rank = [&](std::size_t i) {
    const Piece& piece = pattern.pieces[i];
    return std::pair(has_finished_size(piece), piece.widest);
  };
  std::size_t out = 0;
  for (std::size_t i = 1; i < pattern.pieces.size(); ++i)
    if (rank(i) > rank(out)) out = i;
  return out;
}

}  // namespace

bool has_finished_size(const Piece& piece) {
  return piece.widest > 0 && !piece.steps.empty() && piece.steps.front().kind != Step::Kind::pick_up;
}

std::string both_units(double cm, Units units) {
  return fmt::format("{} ({})", measure_words(cm, units),
                     measure_words(cm, units == Units::metric ? Units::inches : Units::metric));
}

std::string size_name(const Pattern& pattern) {
  return pattern.size.empty() ? "the one size" : pattern.size;
}

std::string measure_words(double cm, Units units) {
  return units == Units::metric ? fmt::format("{:g}", std::round(cm * 2) / 2)
                                : fmt::format("{:g}", std::round(cm / 2.54 * 4) / 4);
}

PieceMeasures measures_of(const Piece& piece, const Pattern& gauges) {
  const OutlineSize size = outline_of(piece, gauges).size;
  return {size.width, size.length};
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
    if (!has_finished_size(piece)) continue;
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
