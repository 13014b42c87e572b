// Picking up, taking up again and joining, as the trade writes it: how many in all, then edge by edge what a
// finger follows down one side, across, and up the other.
//
//     With A, RS facing, pick up and knit 84 sts in all, in this order:
//     Neck of the front, 53 sts: 15 sts down 20 rows (about 3 for every 4 rows), 1 st in each of the 23
//     bound-off sts, 15 sts up 20 rows (about 3 for every 4 rows).
//     Sts held as neck of the back: knit the 31 sts.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/instruction_words.hpp"

namespace wale {

namespace {

/// Stretches that are picked up along in one go.
struct Group {
  Stretch::Of of = Stretch::Of::rows;
  Stretch::Where where = Stretch::Where::right;
  bool one_way = true;  ///< down one side or up one; else kind by kind
  long long stitches = 0, rows = 0, places = 0;
  double least = 0, most = 0;  ///< lengths of a row along the edge

  void add(const Group& other) {
    stitches = add_counts(stitches, other.stitches);
    rows = add_counts(rows, other.rows);
    places = add_counts(places, other.places);
    least = std::min(least, other.least);
    most = std::max(most, other.most);
  }
};

/// Rows of one side run on as one, straight or shaped, where an even hand serves them all: a row of the one
/// is at most so many times as long as a row of the other (assumed). Stitches decreased every other row at 20
/// stitches and 28 rows come to 1.2, every row to 1.7.
constexpr double most_uneven = 1.4;

bool goes_on(const Group& before, const Group& next) {
  if (before.of != next.of) return false;
  if (before.of != Stretch::Of::rows) return true;
  return before.where == next.where &&
         std::max(before.most, next.most) <= most_uneven * std::min(before.least, next.least);
}

Group group_of(const AtEdges::Share& share) {
  const Stretch& from = share.stretch;
  Group out{from.of, from.where, true, share.stitches, from.rows, from.stitches};
  if (from.of == Stretch::Of::rows && from.rows > 0)
    out.least = out.most = from.length() / static_cast<double>(from.rows);
  return out;
}

/// One edge's, in their order; of an edge with many turns, kind by kind.
std::vector<Group> groups_of(const AtEdges& at, std::size_t edge) {
  constexpr std::size_t most_told_apart = 9;
  std::vector<Group> out;
  for (const AtEdges::Share& share : at.shares) {
    if (share.edge != edge) continue;
    const Group next = group_of(share);
    if (out.empty() || !goes_on(out.back(), next))
      out.push_back(next);
    else
      out.back().add(next);
  }
  if (out.size() <= most_told_apart) return out;
  std::vector<Group> kinds;
  for (const Group& each : out) {
    const auto same =
        std::find_if(kinds.begin(), kinds.end(), [&](const Group& kind) { return kind.of == each.of; });
    if (same == kinds.end())
      kinds.push_back(each), kinds.back().one_way = false;
    else
      same->add(each);
  }
  return kinds;
}

/// "15 sts down 20 rows (about 3 for every 4 rows)". `counts`: the number of stitches has not been said.
std::string group_words(const Group& group, bool counts) {
  if (group.of == Stretch::Of::held) return fmt::format("knit the {}", sts(group.stitches));
  if (group.of != Stretch::Of::rows) {
    const std::string_view made = group.of == Stretch::Of::bound_off ? "bound-off" : "cast-on";
    if (group.stitches == group.places)
      return group.places == 1 ? fmt::format("1 st in the {} st", made)
                               : fmt::format("1 st in each of the {} {} sts", group.places, made);
    return fmt::format("{} over the {} {} {}", sts(group.stitches), group.places, made,
                       group.places == 1 ? "st" : "sts");
  }
  const std::string_view along = !group.one_way                        ? "along"
                                 : group.where == Stretch::Where::left ? "down"
                                                                       : "up";
  const std::string rows = count_of(group.rows, "row", "rows");
  if (group.stitches == 0) return fmt::format("none {} {}", along, rows);
  const PickUpRate rate = pick_up_rate(group.stitches, group.rows);
  const std::string every = rate.rows == 1 ? "each row" : fmt::format("every {} rows", rate.rows);
  if (!counts) return fmt::format("{} {} (about {} for {})", along, rows, sts(rate.stitches), every);
  return fmt::format("{} {} {} (about {} for {})", sts(group.stitches), along, rows, rate.stitches, every);
}

std::string list_of(const std::vector<Group>& groups) {
  std::string out;
  for (const Group& each : groups) out += (out.empty() ? "" : ", ") + group_words(each, true);
  return out;
}

class EdgeWriter {
 public:
  EdgeWriter(const Step& step, const std::string& with, const DocumentSettings& settings, bool explain)
      : step_(step), at_(*step.at_edges), with_(with), settings_(settings), explain_(explain) {}

  std::vector<Instruction> write() const {
    using Kind = Step::Kind;
    if (step_.kind == Kind::pick_up) return at_.onto_needle ? one(beside()) : pick_up();
    if (step_.kind == Kind::take_up) return one(take_up());
    if (step_.kind == Kind::call_edge)
      return one(
          fmt::format("Place a marker at {}: from here on this edge is the {}.", edge(0), at_.words[1]));
    if (step_.kind == Kind::graft)
      return one(begin(fmt::format("graft {} to {}, st for st, with a tail of about 3 times their width.",
                                   counted(0), counted(1))));
    if (step_.kind == Kind::seam) return one(seam());
    return one(begin(fmt::format("join {} to {} with a three-needle bind-off{}.", counted(0), counted(1),
                                 explain_ ? ": hold the two needles side by side, RS together; with a third "
                                            "needle knit 1 st of each together, and bind off as you go"
                                          : "")));
  }

 private:
  static std::vector<Instruction> one(std::string text) { return {{"", std::move(text)}}; }

  /// What is left to a right-handed knitter is right to a left-handed one.
  std::string edge(std::size_t i) const {
    if (!settings_.mirror) return at_.words[i];
    // A name has no blanks in it, so these words are always an edge.
    const std::string left = "the left edge", right = "the right edge", &words = at_.words[i];
    std::string out;
    for (std::size_t at = 0; at < words.size();) {
      const bool is_left = words.compare(at, left.size(), left) == 0;
      const bool is_right = words.compare(at, right.size(), right) == 0;
      out += is_left ? right : is_right ? left : std::string(1, words[at]);
      at += is_left ? left.size() : is_right ? right.size() : 1;
    }
    return out;
  }
  /// "the 18 sts held as neck of the back"
  std::string counted(std::size_t i) const {
    const std::string words = edge(i), waiting = "the sts ";
    if (!words.starts_with(waiting)) return words;
    return fmt::format("the {} {}", sts(at_.count), words.substr(waiting.size()));
  }
  std::string begin(std::string text) const {
    return with_.empty() ? capitalised(std::move(text)) : with_ + text;
  }
  bool round() const { return step_.form == Form::round; }
  std::string row() const { return round() ? "rnd" : "row"; }

  std::string edges() const {
    std::string out;
    for (std::size_t i = 0; i < at_.words.size(); ++i)
      out += (i == 0 ? "" : i + 1 == at_.words.size() ? " and " : ", ") + edge(i);
    return out;
  }

  /// " along the armhole of the front: 15 sts down 20 rows (...), 1 st in each of the 5 bound-off sts"
  std::string along_one() const {
    const std::vector<Group> groups = groups_of(at_, 0);
    if (groups.size() == 1 && groups[0].of == Stretch::Of::held) return fmt::format(" from {}", edge(0));
    if (groups.size() == 1) return fmt::format(" along {}, {}", edge(0), group_words(groups[0], false));
    return fmt::format(" along {}: {}", edge(0), list_of(groups));
  }

  /// Onto an empty needle, edge by edge.
  std::vector<Instruction> pick_up() const {
    const std::string facing =
        fmt::format("{}pick up and knit {}", with_.empty() ? "With the RS facing, " : with_ + "RS facing, ",
                    sts(at_.count));
    const std::string then = round() ? "Join in the round; place a marker for the beginning of the rnd."
                                     : "The next row is a WS row.";
    if (at_.words.size() == 1) return one(fmt::format("{}{}. {}", facing, along_one(), then));
    std::vector<Instruction> out = one(facing + " in all, in this order:");
    for (std::size_t i = 0; i < at_.words.size(); ++i) {
      const std::vector<Group> groups = groups_of(at_, i);
      long long stitches = 0;
      for (const Group& each : groups) stitches = add_counts(stitches, each.stitches);
      std::string lead = edge(i).substr(std::string_view("the ").size());
      capitalise(lead);
      if (groups.size() > 1) lead += fmt::format(", {}", sts(stitches));
      out.push_back({lead + ":", capitalised(list_of(groups)) + "."});
    }
    out.push_back({"", then});
    return out;
  }

  /// Beside the stitches that are there.
  std::string beside() const {
    std::string where;
    if (at_.words.size() == 1) {
      where = along_one();
    } else {
      std::vector<Group> all;
      for (std::size_t i = 0; i < at_.words.size(); ++i)
        for (const Group& each : groups_of(at_, i)) all.push_back(each);
      where = fmt::format(" along {}: {}", edges(), list_of(all));
    }
    return fmt::format(
        "{} There are then {}.",
        begin(fmt::format("at the end of the next {}, pick up and work {}{}.", row(), sts(at_.count), where)),
        sts(step_.after));
  }

  std::string take_up() const {
    if (at_.onto_needle)
      return begin(
          fmt::format("slip {} onto the needle, to be worked at the end of the next {}. There are then {}.",
                      counted(0), row(), sts(step_.after)));
    return begin(fmt::format("return {} to the needle{}, and join the yarn.", counted(0),
                             round()                     ? ""
                             : step_.side == Side::right ? ", with the RS facing"
                                                         : ", with the WS facing"));
  }

  /// Two edges whose lengths a tape cannot tell apart are as long as each other.
  std::string seam() const {
    const std::string both = fmt::format("sew {} to {}", edge(0), edge(1));
    if (at_.row_for_row) return begin(both + ", row for row.");
    if (at_.first_length <= 0) return begin(both + ".");
    constexpr double told_apart = 0.5;  // cm
    if (std::abs(at_.first_length - at_.second_length) < told_apart)
      return begin(fmt::format("{}, about {} each.", both,
                               tape_words((at_.first_length + at_.second_length) / 2, settings_.units)));
    return begin(fmt::format("{}: about {} to {}, easing in what is longer.", both,
                             tape_words(at_.first_length, settings_.units),
                             tape_words(at_.second_length, settings_.units)));
  }

  const Step& step_;
  const AtEdges& at_;
  const std::string& with_;
  const DocumentSettings& settings_;
  bool explain_;
};

}  // namespace

std::vector<Instruction> edge_instructions(const Step& step, const std::string& with,
                                           const DocumentSettings& settings, bool explain) {
  return EdgeWriter(step, with, settings, explain).write();
}

}  // namespace wale
