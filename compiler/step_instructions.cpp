// Markers, buttonholes, cords along an edge and the row that parts the work, as the trade writes them.
//
//     Buttonhole row (RS): Work 3 sts in pattern, bind off 2 sts, work in pattern to end; on the next row
//     cast on 2 sts over the gap.
//     Work 4 rows even, then work the buttonhole row and the row after it, then rep them on every following
//     12th row 5 times; work 4 rows even: 6 buttonholes.

#include <fmt/format.h>

#include <algorithm>

#include "compiler/instruction_words.hpp"

namespace wale {

namespace {

class StepWriter {
 public:
  StepWriter(const Step& step, const std::string& with, bool mirror)
      : step_(step), with_(with), mirror_(mirror) {}

  std::vector<Instruction> write() {
    switch (step_.kind) {
      case Step::Kind::markers:
        markers();
        break;
      case Step::Kind::buttonholes:
        buttonholes();
        break;
      case Step::Kind::cord_bind_off:
        cord_bind_off();
        break;
      case Step::Kind::divide:
        divide();
        break;
      default:
        break;
    }
    return std::move(out_);
  }

 private:
  void say(std::string lead, std::string text) { out_.push_back({std::move(lead), std::move(text)}); }
  std::string begin(std::string text) const {
    return with_.empty() ? capitalised(std::move(text)) : with_ + text;
  }
  bool round() const { return step_.form == Form::round; }
  std::string row() const { return round() ? "rnd" : "row"; }
  std::string rows(long long count) const { return count_of(count, row(), row() + "s"); }

  void markers() {
    const bool from_left = !round() && step_.side == Side::wrong;
    std::vector<long long> at;
    for (const Marker& each : step_.markers)
      at.push_back(from_left ? step_.after - each.from_right : each.from_right);
    if (from_left) std::reverse(at.begin(), at.end());
    std::string places;
    long long before = 0;
    for (std::size_t i = 0; i < at.size(); ++i) {
      const char* joint = i == 0 ? "" : i + 1 == at.size() ? " and " : ", ";
      places += fmt::format("{}after {}{}", joint, i == 0 ? "" : "another ", sts(at[i] - before));
      before = at[i];
    }
    if (round() && at.back() == step_.after) places += ", which is the beginning of the rnd";
    const std::string& name = step_.markers.front().name;
    say("", at.size() == 1
                ? fmt::format("In the next {0}, place a marker ({1}) {2}; slip it in every {0}.", row(), name,
                              places)
                : fmt::format("In the next {0}, place {3} markers ({1}): {2}; slip them in every {0}.", row(),
                              name, places, at.size()));
  }

  std::string hole() const {
    const Buttonholes& plan = *step_.buttonholes;
    return plan.eyelets ? "yo, k2tog" : fmt::format("bind off {}", sts(plan.width));
  }

  /// "Work 5 sts in pattern, bind off 3 sts, (work 12 sts in pattern, bind off 3 sts) 4 times"
  std::string holes_of_row() const {
    const Buttonholes& plan = *step_.buttonholes;
    std::vector<long long> before;
    if (plan.across)
      before.assign(plan.between.begin(), plan.between.end() - 1);
    else
      before = {plan.before};
    std::string out;
    for (std::size_t i = 0; i < before.size();) {
      std::size_t end = i;
      while (end < before.size() && before[end] == before[i]) ++end;
      const std::string work = before[i] > 0 ? fmt::format("work {} in pattern, ", sts(before[i])) : "";
      const std::string one = work + hole();
      out += out.empty() ? "" : ", ";
      out += end - i > 1 ? fmt::format("({}) {}", one, times_words(static_cast<long long>(end - i))) : one;
      i = end;
    }
    const bool ends = plan.across && plan.between.back() == 0;
    return out + (ends ? "" : ", work in pattern to end");
  }

  void buttonholes() {
    const Buttonholes& plan = *step_.buttonholes;
    std::string text = begin(holes_of_row());
    if (text.starts_with('(')) capitalise(text);
    if (!plan.eyelets)
      text += fmt::format("; on the next {} cast on {} over {}", row(), sts(plan.width),
                          plan.across && plan.count > 1 ? "each gap" : "the gap");
    say(round() ? "Buttonhole rnd:" : "Buttonhole row (RS):", text + ".");
    const std::string both = fmt::format("the buttonhole {0}{1}", row(),
                                         plan.eyelets ? "" : fmt::format(" and the {} after it", row()));
    std::string often = plan.lead > 0 ? fmt::format("Work {} even, then work {}", rows(plan.lead), both)
                                      : fmt::format("Work {}", both);
    const std::string again = rate_words(plan.rates, row(), plan.eyelets ? "rep it" : "rep them", false);
    often += again;
    const long long even = plan.even + (plan.eyelets && !plan.across ? 1 : 0);
    if (even > 0) often += fmt::format("; work {} even", rows(even));
    say("", fmt::format("{}: {}.", often, count_of(plan.count, "buttonhole", "buttonholes")));
  }

  void cord_bind_off() {
    if (step_.cuts)
      say("", begin("cut the yarn, slide the sts to the other end of the needle, so that the RS faces again, "
                    "and join the yarn there."));
    const std::string& with = step_.cuts ? "" : with_;
    std::string text = fmt::format(
        "bind off all {0} with a cord of {1}: cast on {1} at the tip of the {4} needle; *k{2}, ssk (the last "
        "st of the cord together with the next st of the edge), slip the {1} back to the {4} needle and "
        "draw the yarn firmly across the back; rep from * until only the {1} of the cord remain, and bind "
        "them off{3}.",
        sts(step_.before), sts(step_.cord), step_.cord - 1,
        step_.holder.empty() ? "" : fmt::format("; what is bound off here is the {}", step_.holder),
        mirror_ ? "right" : "left");
    if (round()) text += " Sew the two ends of the cord together.";
    say("", with.empty() ? capitalised(std::move(text)) : with + text);
  }

  void divide() {
    const std::string lead = fmt::format("Dividing row{}:", side_words(step_.form, step_.side));
    std::string text = fmt::format("work {} in pattern, ", sts(step_.first_part));
    if (step_.bound_off > 0) text += fmt::format("bind off {}, ", sts(step_.bound_off));
    text += fmt::format("work in pattern to end: {} and {}", step_.first_part,
                        sts(step_.before - step_.first_part - step_.bound_off));
    if (!step_.holder.empty()) text += fmt::format("; the edge between them is the {}", step_.holder);
    say(lead, begin(std::move(text) + "."));
  }

  const Step& step_;
  const std::string& with_;
  bool mirror_;  ///< for a left-handed knitter
  std::vector<Instruction> out_;
};

std::string ordinal(long long number) {
  const long long last = number % 10, two = number % 100;
  const char* end = two >= 11 && two <= 13 ? "th"
                    : last == 1            ? "st"
                    : last == 2            ? "nd"
                    : last == 3            ? "rd"
                                           : "th";
  return fmt::format("{}{}", number, end);
}

}  // namespace

std::string rate_words(const std::vector<Rate>& rates, const std::string& row, std::string_view again,
                       bool first_is_worked) {
  std::string out;
  for (std::size_t i = 0; i < rates.size(); ++i) {
    const Rate& rate = rates[i];
    const long long spaces = rate.times - (first_is_worked && i + 1 == rates.size() ? 1 : 0);
    if (spaces == 0) continue;
    const std::string which = rate.every == 1 ? "every following " + row
                              : rate.every == 2
                                  ? "every other " + row
                                  : fmt::format("every following {} {}", ordinal(rate.every), row);
    out += fmt::format("{} on {} {}", out.empty() ? fmt::format(", then {}", again) : " and", which,
                       times_words(spaces));
  }
  return out;
}

std::vector<Instruction> step_instructions(const Step& step, const std::string& with, bool mirror) {
  return StepWriter(step, with, mirror).write();
}

std::string marker_shaping_words(const Step& step, const CheckedRow& row,
                                 const std::function<std::string(const std::string&)>& name) {
  const Shaping& plan = *step.shaping;
  const bool wrong = row.row.side == Side::wrong;
  const bool before = plan.where != Shaping::Where::after_markers,
             after = plan.where != Shaping::Where::before_markers;
  // A wrong-side row comes to a marker from the other side.
  const bool first = wrong ? after : before, last = wrong ? before : after;
  const std::string plain = wrong ? "p1" : "k1";
  const std::string to_it = name(plan.widen ? (wrong ? "m1lp" : "m1r") : wrong ? "ssp" : "k2tog");
  const std::string from_it = name(plan.widen ? (wrong ? "m1rp" : "m1l") : wrong ? "p2tog" : "ssk");
  // A marker at the beginning of the round has the round's first stitches behind it, and its last before it.
  const bool at_start = plan.points<plan.marker_count, several = plan.points> 1;
  const std::string to_the_end = at_start && first ? fmt::format("work in pattern to last {}, {}, {}",
                                                                 plan.widen ? "st" : "3 sts", to_it, plain)
                                                   : "work in pattern to end";
  std::string text = at_start && last ? fmt::format("{}, {}, ", plain, from_it) : "";
  if (plan.points > 0) {
    const std::string marker = fmt::format("{} {} marker", several ? "the next" : "the", plan.marker);
    text += fmt::format("{}work in pattern to ", several ? "*" : "");
    if (first)
      text += fmt::format("{} before {}, {}, {}, slip the marker", plan.widen ? "1 st" : "3 sts", marker,
                          to_it, plain);
    else
      text += fmt::format("{}, slip the marker", marker);
    if (last) text += fmt::format(", {}, {}", plain, from_it);
    if (several) text += fmt::format("; rep from * at every {} marker", plan.marker);
    if (several && at_start) text += " inside the rnd";
    text += ", ";
  }
  text += to_the_end;
  const long long change = plan.marker_count * (plan.where == Shaping::Where::markers ? 2 : 1);
  text += plan.points == 0 ? "." : fmt::format(" ({} {}).", plan.widen ? "inc" : "dec", sts(change));
  capitalise(text);
  return text;
}

}  // namespace wale
