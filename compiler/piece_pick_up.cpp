// Picking up along edges: how many stitches there are to be, where they come from, and what is then on the
// needle. The arithmetic is told in edges.hpp, how edges are found in piece_joins.cpp.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/piece_worker.hpp"
#include "grammar/parser.hpp"

namespace wale {

namespace {

long long places_of(const std::vector<Stretch>& stretches) {
  long long out = 0;
  for (const Stretch& each : stretches) out = add_counts(out, each.places());
  return out;
}

}  // namespace

/// As many as are said, or as the gauge asks for, in the multiple that is said.
std::optional<long long> PieceWorker::count_to_pick_up(const tree::PickUp::Portion& source,
                                                       const std::vector<Stretch>& from,
                                                       const std::vector<double>& natural, Span span) {
  const auto multiple = source.stitches ? read_multiple(*source.stitches) : std::nullopt;
  if (source.stitches && !multiple)
    return evaluate_count(*source.stitches, shelf_.scope, 1, "the stitches picked up", diagnostics_);
  for (const Stretch& each : from) {
    if (each.of != Stretch::Of::rows || each.measured()) continue;
    if (!shelf_.scope.gauge_unclear)
      diagnostics_
          .add(Kind::no_gauge, span, "how many stitches this edge asks for can only be told with a gauge")
          .try_this("gauge 20 st x 28 rows = 10 cm")
          .try_this("or say how many: pick up 60 along the left edge");
    return {};
  }
  double sum = 0;
  for (const double each : natural) sum += each;
  if (!(sum < 1e9)) {
    diagnostics_.add(Kind::too_much_work, span, "this edge is longer than any knitting");
    return {};
  }
  const long long places = places_of(from);
  if (!multiple) return std::clamp(std::llround(sum), 1LL, std::max(1LL, places));
  if (multiple->per_n < 1) {
    diagnostics_.add(Kind::bad_measure, source.stitches->span, "expected a multiple, such as 4n or 4n + 2");
    return {};
  }
  const double per_n = static_cast<double>(multiple->per_n), base = static_cast<double>(multiple->base);
  const auto n = static_cast<long long>(std::max(0.0, std::floor((sum - base) / per_n + 0.5)));
  const long long most = floor_divide(places - multiple->base, multiple->per_n);
  return multiple->at(std::max(std::min(n, most), smallest_n(*multiple, 1)));
}

/// The edges that are named, one behind the other.
bool PieceWorker::gather(const tree::PickUp::Portion& source, Gathered& out) {
  for (const tree::EdgeName& edge : source.edges) {
    auto found = find_edge(edge);
    if (!found) return false;
    if (found->on_needle) {
      diagnostics_.add(Kind::cannot_pick_up, edge.span, "these stitches are on the needle already")
          .try_this("name an edge: pick up 20 along the left edge");
      return false;
    }
    if (!use_up(*found, edge)) return false;
    out.words.push_back(edge_words(edge, *found));
    out.stretches.insert(out.stretches.end(), found->stretches.begin(), found->stretches.end());
    out.loops.insert(out.loops.end(), found->loops.begin(), found->loops.end());
    out.found.push_back(std::move(*found));
  }
  return true;
}

/// Whether so many can be picked up along the stretches.
bool PieceWorker::has_room(const std::vector<Stretch>& from, long long count, Span said) {
  const long long places = places_of(from);
  long long waiting = 0;
  for (const Stretch& each : from)
    if (each.of == Stretch::Of::held) waiting = add_counts(waiting, each.stitches);
  if (places >= largest_count) {
    diagnostics_.add(Kind::too_much_work, said, "this edge is longer than any knitting");
    return false;
  }
  if (count < waiting) {
    diagnostics_.add(
        Kind::cannot_pick_up, said,
        fmt::format("{} {} there already, and {} are to be picked up in all",
                    count_of(waiting, "stitch", "stitches"), waiting == 1 ? "waits" : "wait", count));
    return false;
  }
  if (count <= places) return true;
  diagnostics_
      .add(Kind::cannot_pick_up, said,
           fmt::format("{} are to be picked up, and the edge has room for {}: one in each stitch and row",
                       count_of(count, "stitch", "stitches"), places))
      .try_this("pick up fewer, and spread the others over the next row: spread 8 more over the row");
  return false;
}

/// Stitches that wait are knitted, so they are plain ones.
bool PieceWorker::all_plain(const Needle& loops, Span span) {
  for (const Segment& segment : loops.segments())
    for (const Loop& loop : segment.word) {
      if (types_.type_of(loop) == LoopType::plain) continue;
      diagnostics_
          .add(Kind::cannot_pick_up, span,
               "some of the stitches here are no plain ones, and would not be knitted as they are")
          .try_this("work them into plain stitches in the row before");
      return false;
    }
  return true;
}

/// The stitches of one number, along its edges, behind those of the portions before it.
bool PieceWorker::pick_up_portion(const tree::PickUp::Portion& source, const Gauge* gauge, Step& out,
                                  Needle& picked) {
  Gathered from;
  if (!gather(source, from)) return false;
  std::vector<double> natural;
  for (const Stretch& each : from.stretches)
    natural.push_back(natural_count(each, gauge ? gauge->stitches_per_cm : 0));
  const auto count = count_to_pick_up(source, from.stretches, natural, out.span);
  if (!count || !has_room(from.stretches, *count, source.stitches ? source.stitches->span : out.span))
    return false;
  const std::vector<long long> shares = share_out(from.stretches, natural, *count);
  AtEdges& at = *out.at_edges;
  std::size_t edge = at.words.size(), last_of_edge = from.found.front().stretches.size();
  const std::size_t first_edge = edge;
  at.words.insert(at.words.end(), from.words.begin(), from.words.end());
  at.count = add_counts(at.count, *count);
  for (std::size_t i = 0; i < shares.size(); ++i) {
    if (i == last_of_edge) last_of_edge += from.found[++edge - first_edge].stretches.size();
    at.shares.push_back({from.stretches[i], shares[i], edge});
    if (shares[i] == 0) continue;
    if (from.loops[i] && !all_plain(*from.loops[i], source.edges.front().span)) return false;
    picked.append(Needle::of({LoopType::plain, Face::knit, in_hand_, -1}, shares[i]));
  }
  for (std::size_t i = 0; i < from.found.size(); ++i) take_away(from.found[i], source.edges[i]);
  return true;
}

bool PieceWorker::do_pick_up(const tree::PickUp& source, Step& out) {
  out.kind = Step::Kind::pick_up;
  if (!take_in_hand(source.strand)) return false;
  const Gauge* gauge = gauge_of_next_work(out.span);
  out.at_edges.emplace();
  out.at_edges->onto_needle = on_needle_;
  Needle picked;
  for (const tree::PickUp::Portion& portion : source.portions)
    if (!pick_up_portion(portion, gauge, out, picked)) return false;
  if (out.at_edges->count >= largest_count) {
    diagnostics_.add(Kind::too_much_work, out.span, "this edge is longer than any knitting");
    return false;
  }
  return on_needle_ ? pick_up_beside(source, std::move(picked), out)
                    : pick_up_anew(out.at_edges->count, std::move(picked), out);
}

/// Onto an empty needle, with the right side facing: a row of knit stitches, after which flat work is turned.
bool PieceWorker::pick_up_anew(long long count, Needle loops, Step& out) {
  const auto knit = shelf_.stitches.find("k");
  if (!knit) return not_yet(out.span, "picking up without the stitch `k`");
  needles_ = Needles();
  needles_.left = std::move(loops);
  on_needle_ = true;
  form_ = out.form = out_.form;
  standing_.reset();
  edges_ = {{true, ""}, {true, ""}};
  out.side = Side::right;
  out.tally[{*knit, in_hand_}] = count;
  ends_.cut(in_hand_);
  const YarnPlace begins = edge_where_begins(Side::right, form_ == Form::round);
  YarnPlace ends = begins;
  if (form_ == Form::flat) ends.where = YarnPlace::Where::left;
  side_ = form_ == Form::flat ? Side::wrong : Side::right;
  picked_up_ = form_ == Form::flat;
  ends_.row({{in_hand_}, begins, ends, row_, "the row picked up", out.span, true}, shelf_.strands,
            diagnostics_);
  return true;
}

/// Beside stitches that are on the needle: at the end of the row to come, in which they are worked.
bool PieceWorker::pick_up_beside(const tree::PickUp& source, Needle loops, Step& out) {
  if (!at_an_edge(out.span, "and stitches are picked up beside the last one")) return false;
  using Form = tree::EdgeName::Form;
  const Form near = side_ == Side::right ? Form::right : Form::left;
  for (const tree::PickUp::Portion& portion : source.portions)
    for (const tree::EdgeName& edge : portion.edges)
      if (form_ == wale::Form::flat && !edge.piece && edge.form == near) {
        diagnostics_
            .add(Kind::cannot_pick_up, edge.span,
                 fmt::format("the next row begins at the {} edge, and these stitches come at its end",
                             near == Form::right ? "right" : "left"))
            .try_this("work one row more or one row less before it");
        return false;
      }
  needles_.left.append(loops);
  standing_.reset();
  (side_ == Side::right || form_ == wale::Form::round ? edges_.left : edges_.right) = EdgeNow();
  return true;
}

}  // namespace wale
