#include "compiler/what_changed.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "compiler/instruction_words.hpp"
#include "compiler/piece_measures.hpp"

namespace wale {

namespace {

/// With how many stitches a piece begins: cast on or picked up.
long long begins_with(const Piece& piece) {
  const auto first = std::find_if(piece.steps.begin(), piece.steps.end(), [](const Step& step) {
    return step.kind == Step::Kind::cast_on || step.kind == Step::Kind::pick_up;
  });
  return first == piece.steps.end() ? 0 : first->after;
}

bool begins_widest(const Numbers& numbers, std::size_t piece) {
  return std::all_of(numbers.sizes.begin(), numbers.sizes.end(), [&](const Pattern* each) {
    return begins_with(each->pieces[piece]) == each->pieces[piece].widest;
  });
}

class Comparison {
 public:
  Comparison(const Numbers& written, const Numbers& now) : written_(written), now_(now) {
    out_.header.push_back("Now (as written)");
    out_.numeric.push_back(false);
    for (const Pattern* each : now.sizes) {
      out_.header.push_back(each->size.empty() ? "" : each->size);
      out_.numeric.push_back(true);
    }
  }

  /// A row, if the number that `of` finds is another one in some size.
  using Number = std::function<std::string(const Numbers&, std::size_t size)>;
  void add(const std::string& name, const Number& of) {
    std::vector<std::string> cells{name};
    bool differs = false;
    for (std::size_t i = 0; i < now_.sizes.size(); ++i) {
      const std::string before = of(written_, i), after = of(now_, i);
      differs |= before != after;
      cells.push_back(before == after ? after : fmt::format("{} ({})", after, before));
    }
    if (differs) out_.rows.push_back(std::move(cells));
  }

  render::Table take() { return std::move(out_); }

 private:
  const Numbers& written_;
  const Numbers& now_;
  render::Table out_;
};

}  // namespace

render::Table what_changed(const Numbers& written, const Numbers& now, Units units) {
  Comparison out(written, now);
  const Pattern& pattern = *now.sizes.front();
  for (std::size_t i = 0; i < pattern.pieces.size(); ++i) {
    const Piece& piece = pattern.pieces[i];
    if (piece.widest == 0) continue;  // nothing is knitted in it
    const std::string name = capitalised(piece.name);
    const bool round = piece.form == Form::round;
    const auto number = [i](auto of) {
      return [i, of](const Numbers& numbers, std::size_t size) {
        return fmt::format("{}", of(numbers.sizes[size]->pieces[i]));
      };
    };
    if (begins_widest(written, i) && begins_widest(now, i)) {
      out.add(name + ": sts", number(begins_with));
    } else {
      out.add(name + ": sts to begin with", number(begins_with));
      out.add(name + ": sts at the widest", number([](const Piece& p) { return p.widest; }));
    }
    out.add(name + (round ? ": rnds" : ": rows"), number([](const Piece& p) { return p.rows; }));
    const auto measure = [&, i](double PieceMeasures::*of) {
      return [i, of, units](const Numbers& numbers, std::size_t size) {
        const Pattern& each = *numbers.sizes[size];
        return measure_words(measures_of(each.pieces[i], each).*of, units);
      };
    };
    const char* unit = units == Units::metric ? "cm" : "in";
    if (pattern.gauges.empty()) continue;
    out.add(fmt::format("{}: {}, {}", name, round ? "around" : "wide", unit), measure(&PieceMeasures::width));
    out.add(fmt::format("{}: long, {}", name, unit), measure(&PieceMeasures::length));
  }
  for (std::size_t i = 0; i < pattern.yarns.size(); ++i)
    out.add(pattern.yarns[i].label + ", g", [i](const Numbers& numbers, std::size_t size) {
      if (size < numbers.estimates.size())
        for (const YarnEstimate& yarn : numbers.estimates[size].yarns)
          if (yarn.yarn == static_cast<int>(i)) return fmt::format("{:g}", rounded(yarn.grams.middle));
      return std::string("-");
    });
  return out.take();
}

}  // namespace wale
