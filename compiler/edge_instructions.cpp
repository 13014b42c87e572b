// Picking up, taking up again and joining, as the trade writes it.
//
//     With A, RS facing, pick up and knit 84 sts along the armhole of the front: 6 sts from the 6 bound-off
//     sts, 78 sts along 104 rows (about 3 sts for every 4 rows).

#include <fmt/format.h>

#include <algorithm>

#include "compiler/instruction_words.hpp"

namespace wale {

namespace {

/// Stretches of one kind that lie side by side.
struct Group {
  Stretch::Of of = Stretch::Of::rows;
  bool shaped = false;
  long long stitches = 0, rows = 0, places = 0;

  bool same_kind(const Group& other) const { return of == other.of && shaped == other.shaped; }
  void add(const Group& other) {
    stitches = add_counts(stitches, other.stitches);
    rows = add_counts(rows, other.rows);
    places = add_counts(places, other.places);
  }
};

/// In the order of the edge; of an edge with many turns, kind by kind.
std::vector<Group> groups_of(const AtEdges& at) {
  constexpr std::size_t most_told_apart = 7;
  std::vector<Group> out;
  const auto gather = [&](bool side_by_side) {
    out.clear();
    for (const AtEdges::Share& share : at.shares) {
      const Stretch& from = share.stretch;
      const Group next{from.of, from.of == Stretch::Of::rows && from.stitches > 0, share.stitches, from.rows,
                       from.stitches};
      const auto same = side_by_side
                            ? (out.empty() || !out.back().same_kind(next) ? out.end() : out.end() - 1)
                            : std::find_if(out.begin(), out.end(),
                                           [&](const Group& group) { return group.same_kind(next); });
      if (same == out.end())
        out.push_back(next);
      else
        same->add(next);
    }
  };
  gather(true);
  if (out.size() > most_told_apart) gather(false);
  return out;
}

std::string group_words(const Group& group) {
  switch (group.of) {
    case Stretch::Of::held:
      return fmt::format("{} that were held", sts(group.stitches));
    case Stretch::Of::bound_off:
      return fmt::format("{} from the {} bound-off sts", sts(group.stitches), group.places);
    case Stretch::Of::cast_on:
      return fmt::format("{} from the {} cast-on sts", sts(group.stitches), group.places);
    case Stretch::Of::rows:
      break;
  }
  const PickUpRate rate = pick_up_rate(group.stitches, group.rows);
  const std::string every = rate.rows == 1 ? "each row" : fmt::format("every {} rows", rate.rows);
  return fmt::format("{} along {}{} (about {} for {})", sts(group.stitches),
                     group.shaped ? "the shaping, " : "", count_of(group.rows, "row", "rows"),
                     sts(rate.stitches), every);
}

class EdgeWriter {
 public:
  EdgeWriter(const Step& step, const std::string& with, const DocumentSettings& settings)
      : step_(step), at_(*step.at_edges), with_(with), settings_(settings) {}

  std::string write() const {
    using Kind = Step::Kind;
    if (step_.kind == Kind::pick_up) return pick_up();
    if (step_.kind == Kind::take_up) return take_up();
    if (step_.kind == Kind::call_edge)
      return fmt::format("Place a marker at {}: from here on it is the {}.", edge(0), at_.words[1]);
    if (step_.kind == Kind::graft)
      return begin(
          fmt::format("graft {} to {}, st for st ({} of each), with a tail of about 3 times their "
                      "width.",
                      edge(0), edge(1), sts(at_.count)));
    if (step_.kind == Kind::seam) return seam();
    return begin(
        fmt::format("join {} to {} with a three-needle bind-off ({} of each): hold the two needles side "
                    "by side, right sides together, knit 1 st of each together with a third needle, "
                    "and bind off as you go.",
                    edge(0), edge(1), sts(at_.count)));
  }

 private:
  /// What is left to a right-handed knitter is right to a left-handed one.
  std::string edge(std::size_t i) const {
    std::string out = at_.words[i];
    const std::string left = "the left edge", right = "the right edge";
    if (!settings_.mirror) return out;
    if (out.starts_with(left)) return right + out.substr(left.size());
    if (out.starts_with(right)) return left + out.substr(right.size());
    return out;
  }
  std::string begin(std::string text) const {
    return with_.empty() ? capitalised(std::move(text)) : with_ + text;
  }
  bool round() const { return step_.form == Form::round; }
  std::string row() const { return round() ? "rnd" : "row"; }

  std::string pick_up() const {
    std::string edges;
    for (std::size_t i = 0; i < at_.words.size(); ++i)
      edges += (i == 0 ? "" : i + 1 == at_.words.size() ? " and " : ", ") + edge(i);
    std::string parts;
    for (const Group& group : groups_of(at_))
      if (group.stitches > 0) parts += (parts.empty() ? "" : ", ") + group_words(group);
    if (at_.onto_needle)
      return begin(
          fmt::format("at the end of the next {}, pick up and work {} along {}: {}. Sts there then: {}.",
                      row(), sts(at_.count), edges, parts, step_.after));
    const std::string facing = with_.empty() ? "With the RS facing, " : with_ + "RS facing, ";
    return fmt::format("{}pick up and knit {} along {}: {}.{}", facing, sts(at_.count), edges, parts,
                       round() ? " Join in the round; place a marker for the beginning of the rnd."
                               : " The next row is a WS row.");
  }

  std::string take_up() const {
    if (at_.onto_needle)
      return begin(
          fmt::format("slip {} ({}) onto the needle, to be worked at the end of the next {}. Sts there "
                      "then: {}.",
                      edge(0), sts(at_.count), row(), step_.after));
    return begin(fmt::format("return {} ({}) to the needle{}, and join the yarn.", edge(0), sts(at_.count),
                             round()                     ? ""
                             : step_.side == Side::right ? ", with the RS facing"
                                                         : ", with the WS facing"));
  }

  std::string seam() const {
    if (at_.row_for_row) return begin(fmt::format("sew {} to {}, row for row.", edge(0), edge(1)));
    if (at_.first_length <= 0) return begin(fmt::format("sew {} to {}.", edge(0), edge(1)));
    return begin(fmt::format("sew {}, {}, to {}, {}, easing in what is longer.", edge(0),
                             length_words(at_.first_length, settings_.units), edge(1),
                             length_words(at_.second_length, settings_.units)));
  }

  const Step& step_;
  const AtEdges& at_;
  const std::string& with_;
  const DocumentSettings& settings_;
};

}  // namespace

std::string edge_sentence(const Step& step, const std::string& with, const DocumentSettings& settings) {
  return EdgeWriter(step, with, settings).write();
}

}  // namespace wale
