#include "compiler/notions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <map>
#include <set>

#include "compiler/instruction_words.hpp"

namespace wale {

namespace {

void for_each_step(const std::vector<Step>& steps, long long times,
                   const std::function<void(const Step&, long long)>& use) {
  for (const Step& step : steps) {
    use(step, times);
    for_each_step(step.steps, multiply_counts(times, step.times), use);
  }
}

bool has(const Pattern& pattern, Step::Kind kind) {
  bool out = false;
  for (const Piece& piece : pattern.pieces)
    for_each_step(piece.steps, 1, [&](const Step& step, long long) { out |= step.kind == kind; });
  return out;
}

}  // namespace

std::vector<std::string> notions(const Pattern& pattern, Units units) {
  std::map<long long, long long> buttons;  // by the stitches of their holes; 0: eyelets
  std::size_t most_markers = 0;
  std::set<std::string> holders;
  for (const Piece& piece : pattern.pieces)
    for_each_step(piece.steps, piece.copies, [&](const Step& step, long long times) {
      if (step.buttonholes) {
        const Buttonholes& made = *step.buttonholes;
        long long& count = buttons[made.eyelets ? 0 : made.width];
        count = add_counts(count, multiply_counts(made.count, times));
      }
      most_markers = std::max(most_markers, step.markers.size());
      if (step.kind == Step::Kind::hold) holders.insert(piece.name + " " + step.holder);
    });
  std::vector<std::string> out;
  for (const auto& [width, count] : buttons) {
    std::string text =
        width == 0
            ? fmt::format("{}, small enough for eyelets", count_of(count, "button", "buttons"))
            : fmt::format("{}, for buttonholes of {}", count_of(count, "button", "buttons"), sts(width));
    if (width > 0 && !pattern.gauges.empty())
      text +=
          ", about " + tape_words(static_cast<double>(width) / pattern.gauges.front().stitches_per_cm, units);
    out.push_back(std::move(text));
  }
  if (most_markers > 0)
    out.push_back(count_of(static_cast<long long>(most_markers), "stitch marker", "stitch markers"));
  if (!holders.empty()) out.push_back("stitch holders or waste yarn");
  return out;
}

std::vector<Caution> cautions(const Pattern& pattern) {
  std::vector<Caution> out;
  if (has(pattern, Step::Kind::cord))
    out.push_back(
        {"Cords:",
         "Cords and ties on clothing and toys for babies and young children can catch or strangle. "
         "Leave them off, or follow the safety rules that hold where the wearer lives; those rules go "
         "before this pattern."});
  if (has(pattern, Step::Kind::buttonholes))
    out.push_back(
        {"Buttons:",
         "Buttons on clothing and toys for babies and young children can come off and be swallowed. "
         "Sew them on fast and try them often, or choose another fastening, and follow the safety "
         "rules that hold where the wearer lives; those rules go before this pattern."});
  return out;
}

}  // namespace wale
