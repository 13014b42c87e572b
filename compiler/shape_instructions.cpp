// Shaping, as the trade writes it: the shaping row once, and how often it is worked.
//
//     Dec row (RS): K1, ssk, work in pattern to last 3 sts, k2tog, k1 (dec 2 sts).
//     Work the dec row, then rep it on every following 6th row 4 times; work 5 rows even: 50 sts.

#include <fmt/format.h>

#include <algorithm>

#include "compiler/instruction_words.hpp"
#include "compiler/standing.hpp"

namespace wale {

namespace {

class ShapeWriter {
 public:
  ShapeWriter(const Step& step, const Stitches& stitches, const std::vector<Strand>& strands, bool counts)
      : step_(step), plan_(*step.shaping), stitches_(stitches), strands_(strands), counts_(counts) {}

  std::vector<Instruction> write() {
    if (plan_.rates.empty()) {
      if (step_.row_count > 0)
        say("", fmt::format("Work even for {}{}.", rows(step_.row_count),
                            !points() ? ""
                            : round() ? ", knitting"
                                      : ", knitting on the RS and purling on the WS"));
      else
        say("", fmt::format("No {} is worked{}", plan_.widen ? "increase" : "decrease", count()));
      return std::move(out_);
    }
    if (plan_.in_steps)
      in_steps();
    else
      one_by_one();
    return std::move(out_);
  }

 private:
  bool round() const { return step_.form == Form::round; }
  bool points() const { return plan_.where == Shaping::Where::points; }
  std::string row() const { return round() ? "rnd" : "row"; }
  std::string rows(long long count) const { return count_of(count, row(), row() + "s"); }
  std::string_view change() const { return plan_.widen ? "inc" : "dec"; }
  void say(std::string lead, std::string text) { out_.push_back({std::move(lead), std::move(text)}); }

  long long times() const {
    long long out = 0;
    for (const Rate& rate : plan_.rates) out += rate.times;
    return out;
  }

  std::string following(std::string_view again) const { return rate_words(plan_.rates, row(), again, true); }

  /// ": 50 sts."
  std::string count() const { return counts_ ? fmt::format(": {}.", sts(step_.after)) : "."; }

  std::string even() const { return plan_.even > 0 ? fmt::format("; work {} even", rows(plan_.even)) : ""; }
  std::string work(std::string_view rest) const {
    return plan_.lead > 0 && !plan_.in_steps ? fmt::format("Work {} even, then w{}", rows(plan_.lead), rest)
                                             : fmt::format("W{}", rest);
  }

  void one_by_one() {
    const bool once = times() == 1 && step_.rows.size() == 1 && plan_.lead == 0 && plan_.even <= 0 &&
                      plan_.marker_count == 0;
    for (const CheckedRow& each : step_.rows) shaping_row(each, once);
    if (!once) how_often();
    if (plan_.marker_count > 0) {
      if (plan_.bare)
        say("", fmt::format(
                    "Where there is no room for it beside a marker, leave out the {}.",
                    plan_.widen ? "st between the marker and the inc" : "st between the marker and the dec"));
      return;
    }
    const long long places = plan_.where == Shaping::Where::each_side ? 2 : 1;
    if (!plan_.widen && !points() && step_.after + places < 3 * places)
      say("", fmt::format("With fewer than {} sts on the needle, work the decs without the edge sts.",
                          3 * places));
  }

  void how_often() {
    const std::string both = step_.rows.size() > 1 ? " (RS or WS, as it comes)" : "";
    say("", work(fmt::format("ork the {} {}{}{}{}{}", change(), row(), both, following("rep it"), even(),
                             count())));
    if (!points()) return;
    // Whatever fabric was worked before, it does not go on between points.
    const std::string plain = round() ? "knitted" : "knitted on the RS and purled on the WS";
    if (times() > 1)
      say("", fmt::format("Each time there is 1 st {} between the {}s; the {}s between are {}.",
                          plan_.widen ? "more" : "fewer", change(), row(), plain));
    else if (plan_.lead > 0 || plan_.even > 0)
      say("", fmt::format("The {}s worked even are {}.", row(), plain));
  }

  /// As this knitter calls it: a left-handed one exchanges left and right.
  std::string name(const std::string& stitch) const {
    const auto id = stitches_.find(stitch);
    return id ? written_name(stitches_[*id]) : stitch;
  }

  /// `once`: it is the only one, and needs no name.
  void shaping_row(const CheckedRow& checked, bool once) {
    std::string lead =
        fmt::format("{} {}{}:", once ? "next" : change(), row(), side_words(step_.form, checked.row.side));
    capitalise(lead);
    if (points()) {
      const auto lines = row_instructions({checked}, step_.form, stitches_, strands_, counts_, false);
      return say(std::move(lead), lines.front().text);
    }
    if (plan_.marker_count > 0)
      return say(std::move(lead), marker_shaping_words(step_, checked, [&](const std::string& stitch) {
                   return name(stitch);
                 }));
    const bool wrong = checked.row.side == Side::wrong;
    const bool right = plan_.where != Shaping::Where::end, left = plan_.where != Shaping::Where::start;
    const bool first = wrong ? left : right, last = wrong ? right : left;
    const long long places = plan_.where == Shaping::Where::each_side ? 2 : 1;
    const bool edge = checked.before.base >= (plan_.widen ? 1 : 3) * places;
    const long long uses = (edge ? 1 : 0) + (plan_.widen ? 0 : 2);
    const std::string plain = edge ? (wrong ? "p1" : "k1") : "";
    const std::string begin = name(plan_.widen ? (wrong ? "m1rp" : "m1l") : wrong ? "p2tog" : "ssk");
    const std::string end = name(plan_.widen ? (wrong ? "m1lp" : "m1r") : wrong ? "ssp" : "k2tog");
    const auto join = [](const std::string& a, const std::string& b) {
      return a + (a.empty() || b.empty() ? "" : ", ") + b;
    };
    std::string text = first ? join(plain, begin) + ", " : "";
    text += last && uses > 0
                ? fmt::format("work in pattern to last {}", uses == 1 ? "st" : fmt::format("{} sts", uses))
                : "work in pattern to end";
    if (last) text += ", " + join(end, plain);
    capitalise(text);
    say(std::move(lead),
        text + (once && counts_ ? count() : fmt::format(" ({} {}).", change(), sts(places))));
  }

  void in_steps() {
    const std::string verb = plan_.widen ? "Cast on" : "Bind off";
    const bool both = plan_.where == Shaping::Where::each_side;
    const bool simple = plan_.rates.size() == 1 && plan_.rates[0].every == 2;
    if (both && simple) {
      const long long edges = 2 * plan_.rates[0].times;
      say("", fmt::format("{} {} at the beginning of the next {}{}{}", verb, sts(plan_.amount), rows(edges),
                          even(), count()));
    } else if (both) {
      say("", fmt::format("{} {} at the beginning of the next 2 rows{}{}{}", verb, sts(plan_.amount),
                          following("do so again"), even(), count()));
    } else {
      say("", fmt::format("{} {} at the beginning of the next {} row{}{}{}", verb, sts(plan_.amount),
                          plan_.where == Shaping::Where::start ? "RS" : "WS", following("do so again"),
                          even(), count()));
    }
  }

  const Step& step_;
  const Shaping& plan_;
  const Stitches& stitches_;
  const std::vector<Strand>& strands_;
  bool counts_;
  std::vector<Instruction> out_;
};

}  // namespace

std::vector<Instruction> shape_instructions(const Step& step, const Stitches& stitches,
                                            const std::vector<Strand>& strands, bool counts) {
  return ShapeWriter(step, stitches, strands, counts).write();
}

std::vector<Instruction> cut_instructions(const Step& step, const std::vector<Fabric>& fabrics,
                                          const Stitches& stitches) {
  if (step.parts.empty() || (step.shaping && step.shaping->where == Shaping::Where::points)) return {};
  std::vector<Instruction> out;
  TakenApart apart(fabrics, stitches);
  const auto can = [&](const Step::Part& part) { return apart.why_not(part).empty(); };
  const auto stitchwise = [&](const Step::Part& part) { return apart.stitchwise(part); };
  if (std::all_of(step.parts.begin(), step.parts.end(), can) &&
      !std::all_of(step.parts.begin(), step.parts.end(), stitchwise))
    out.push_back(
        {"", "Where a repeat is no longer whole, work its sts plain: knit on RS rows, purl on WS rows."});
  if (step.shaping && step.shaping->widen && !step.shaping->rates.empty())
    out.push_back({"", step.shaping->marker_count > 0
                           ? "Work the new sts into the pattern, as it goes on from the sts beside them."
                           : "Work the new sts into the pattern, as it goes on at that edge."});
  return out;
}

}  // namespace wale
