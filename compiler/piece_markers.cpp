// Markers on the needle: where they are placed, and how they go along while the piece is worked.
//
// A marker hangs between two stitches and is slipped from row to row. It is remembered by the stitches that
// lie between it and the right edge, or the beginning of the round. Where stitches are lost or gained at the
// edges or beside markers it is known where it comes to hang; after rows that change their count in another
// way it is not, and it has to be placed again.

#include <fmt/format.h>

#include <algorithm>

#include "compiler/piece_worker.hpp"

namespace wale {

namespace {

/// As many as a knitter could tell apart, and far more.
constexpr std::size_t most_markers = 200;

}  // namespace

bool PieceWorker::do_place_markers(const tree::PlaceMarkers& source, Step& out) {
  out.kind = Step::Kind::markers;
  if (!at_an_edge(out.span, "and markers are placed in a whole row")) return false;
  const long long there = needles_.width().base;
  const bool from_left = form_ == Form::flat && side_ == Side::wrong;
  long long at = 0;
  for (const tree::Expression& after : source.after) {
    const auto count = evaluate_count(after, shelf_.scope, 1, "the stitches before a marker", diagnostics_);
    if (!count) return false;
    at = add_counts(at, *count);
    // In the round the last stitch lies before the beginning of the round, where one can hang.
    if (at > there || (at == there && form_ == Form::flat)) {
      cannot_shape(after.span, fmt::format("this marker would come after {}, and the needle holds {}",
                                           count_of(at, "stitch", "stitches"), there));
      diagnostics_.last().note("each is counted from the one before, the first from where the row begins");
      return false;
    }
    out.markers.push_back({source.name.text, from_left ? there - at : at});
  }
  if (from_left) std::reverse(out.markers.begin(), out.markers.end());
  if (markers_.size() + out.markers.size() > most_markers)
    return cannot_shape(out.span, fmt::format("a needle takes {} markers at most", most_markers));
  std::erase_if(markers_, [&](const Marker& each) { return each.name == source.name.text; });
  markers_.insert(markers_.end(), out.markers.begin(), out.markers.end());
  std::stable_sort(markers_.begin(), markers_.end(),
                   [](const Marker& a, const Marker& b) { return a.from_right < b.from_right; });
  lost_markers_.erase(source.name.text);
  return true;
}

/// The markers that the shaping is at, and how much is shaped at them.
bool PieceWorker::plan_markers(const tree::Shape& source, Shaping& plan) {
  const tree::Name& name = *source.marker;
  plan.marker = name.text;
  const long long width = needles_.width().base;
  for (const Marker& each : markers_) {
    if (each.name != name.text) continue;
    ++plan.marker_count;
    plan.points += each.from_right < width;
  }
  if (plan.marker_count == 0) {
    const auto lost = lost_markers_.find(name.text);
    std::vector<std::string> names;
    for (const Marker& each : markers_) names.push_back(each.name);
    names.erase(std::unique(names.begin(), names.end()), names.end());
    Diagnostic& added =
        diagnostics_.add(Kind::unknown_marker, name.span,
                         lost == lost_markers_.end()
                             ? fmt::format("no marker called `{}` is on the needle", name.text)
                             : fmt::format("where the marker `{}` hangs is not known any more", name.text));
    const std::string place = fmt::format("place a marker {} after 20 st", name.text);
    if (lost != lost_markers_.end())
      added.label(lost->second, "the count of stitches changed here").try_this(place);
    else if (!added.try_nearest(name.span, name.text, names))
      added.try_this(place);
    return false;
  }
  if (source.both_at_once && plan.amount == 2) {
    plan.amount = 1;
    return true;
  }
  if (plan.amount == 1 && !source.both_at_once) return true;
  cannot_shape(source.amount.span, source.both_at_once ? "at a marker it is 2 stitches, 1 on each side of it"
                                                       : "beside a marker it is one stitch at a time");
  const char* verb = source.widen ? "widen" : "narrow";
  if (plan.amount == 1)
    diagnostics_.last().try_this(fmt::format("{0} 1 before {1}, or {0} 1 after {1}", verb, name.text));
  else
    diagnostics_.last().try_this(fmt::format("{} 1 each side of {}", verb, name.text));
  return false;
}

/// So many stitches have left the needle at its right edge.
void PieceWorker::move_markers(long long lost_at_right) {
  for (Marker& each : markers_) each.from_right -= lost_at_right;
}

/// A marker hangs between two stitches: at the edges it falls off.
void PieceWorker::drop_markers_outside(Span why) {
  const long long width = !on_needle_ ? 0 : needles_.width().base + (form_ == Form::round ? 1 : 0);
  std::erase_if(markers_, [&](const Marker& each) {
    if (0 < each.from_right && each.from_right < width) return false;
    lost_markers_[each.name] = why;
    return true;
  });
}

void PieceWorker::forget_markers(Span why) {
  for (const Marker& each : markers_) lost_markers_[each.name] = why;
  markers_.clear();
}

/// What the step did to them, where it did not say so itself.
void PieceWorker::settle_markers(const Step& made) {
  using Kind = Step::Kind;
  if (markers_.empty()) return;
  const bool known =
      made.kind == Kind::repeat || made.kind == Kind::hold || made.kind == Kind::resume ||
      made.kind == Kind::bind_off || made.kind == Kind::markers ||
      (made.kind == Kind::shape && made.shaping && made.shaping->where != Shaping::Where::points);
  if (!known && made.before != made.after) return forget_markers(made.span);
  drop_markers_outside(made.span);
}

}  // namespace wale
