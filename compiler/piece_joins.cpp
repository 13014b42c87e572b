// What is picked up along edges, what comes back onto the needle, and what is joined to what: stitches to
// stitches by binding them off together or by grafting, edges to edges by sewing.
//
// Names are looked for in the piece that is said, else in this one: the edges that were called so, and the
// stitches that wait under that name. Each is used once. Pieces are knitted in the order of the file, so a
// piece uses only what those above it have left.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "compiler/piece_worker.hpp"
#include "grammar/parser.hpp"

namespace wale {

namespace {

/// Two edges are eased together where they differ by no more than this: 1 row in 10 (common practice).
constexpr double most_easing = 0.1;

/// Names that are compared while a stitch is worked (assumed).
constexpr std::size_t looked_at_in_a_stitch = 16;

using Where = Stretch::Where;

std::string edge_key(const std::string& piece, const Stretch& stretch) {
  return piece + ' ' + static_cast<char>('0' + static_cast<int>(stretch.where)) +
         (stretch.outer ? " outer " : " inner ") + stretch.name;
}
std::string held_key(const std::string& piece, const std::string& holder) {
  return piece + " held " + holder;
}

bool chosen(const Stretch& stretch, const tree::EdgeName& name) {
  using Form = tree::EdgeName::Form;
  switch (name.form) {
    case Form::left:
      return stretch.outer && stretch.where == Where::left && stretch.name.empty();
    case Form::right:
      return stretch.outer && stretch.where == Where::right && stretch.name.empty();
    case Form::cast_on:
      return stretch.where == Where::bottom;
    case Form::bound_off:
      return stretch.where == Where::top;
    case Form::named:
      return !stretch.name.empty() && stretch.name == name.name.text;
  }
  return false;
}

/// As the message calls it.
std::string at_name(const tree::EdgeName& name) {
  return name.name.text.empty() ? "the edge" : name.name.text;
}

void walk(const std::vector<tree::Step>& steps, const std::function<void(const tree::Step&)>& use) {
  for (const tree::Step& step : steps) {
    use(step);
    if (const auto* repeat = std::get_if<tree::Repeat>(&step.what)) walk(repeat->steps, use);
  }
}

}  // namespace

std::set<std::string> held_for_others(const Declarations& pattern) {
  std::set<std::string> out;
  const auto note = [&](const tree::Name& name, const std::optional<tree::Name>& piece) {
    if (piece) out.insert(piece->text + " " + name.text);
  };
  pattern.for_each<tree::Piece>([&](const tree::Piece& piece, Span) {
    walk(piece.steps, [&](const tree::Step& step) {
      if (const auto* pick = std::get_if<tree::PickUp>(&step.what))
        for (const tree::PickUp::Portion& portion : pick->portions)
          for (const tree::EdgeName& edge : portion.edges) note(edge.name, edge.piece);
      if (const auto* joined = std::get_if<tree::JoinName>(&step.what)) note(joined->name, joined->piece);
      if (const auto* both = std::get_if<tree::Unite>(&step.what)) {
        for (const tree::EdgeName& edge : both->more) note(edge.name, edge.piece);
        note(both->first.name, both->first.piece);
        note(both->second.name, both->second.piece);
      }
    });
  });
  return out;
}

long long PieceWorker::Found::count() const {
  long long out = 0;
  for (const Stretch& each : stretches) out = add_counts(out, each.stitches);
  return out;
}
double PieceWorker::Found::length() const {
  double out = 0;
  for (const Stretch& each : stretches) out += each.length();
  return out;
}
bool PieceWorker::Found::measured() const {
  return std::all_of(stretches.begin(), stretches.end(), [](const Stretch& s) { return s.measured(); });
}

/// The piece that is meant, this one or one above it; null where there is none or where it went wrong.
const Piece* PieceWorker::piece_called(const tree::EdgeName& name, bool& own) {
  own = !name.piece || name.piece->text == out_.name;
  if (own) return &out_;
  for (const Piece& piece : shelf_.pattern.pieces)
    if (piece.name == name.piece->text) return piece.good ? &piece : nullptr;
  std::vector<std::string> names;
  for (const Piece& piece : shelf_.pattern.pieces) names.push_back(piece.name);
  Diagnostic& added = diagnostics_.add(
      Kind::unknown_edge, name.piece->span,
      fmt::format("no piece called `{}` has been knitted before this one", name.piece->text));
  if (!added.try_nearest(name.piece->span, name.piece->text, names)) {
    if (names.empty())
      added.try_this(fmt::format("put it above `{}` in the file", out_.name));
    else
      added.try_this(fmt::format("pieces above: {}", fmt::join(names, ", ")));
  }
  return nullptr;
}

/// Stitches that wait under this name.
bool PieceWorker::find_held(const tree::EdgeName& name, const Piece& piece, bool own, Found& out) {
  if (name.form != tree::EdgeName::Form::named) return false;
  const Needle* loops = nullptr;
  if (own) {
    const auto found = held_.find(name.name.text);
    if (found != held_.end()) loops = &found->second.loops;
  } else {
    const auto found = piece.held.find(name.name.text);
    if (found != piece.held.end()) loops = &found->second.loops, out.elsewhere = &found->second;
  }
  if (!loops) return false;
  Stretch waiting;
  waiting.of = Stretch::Of::held;
  waiting.where = Where::top;
  waiting.stitches = loops->width().base;
  if (const Gauge* gauge = shelf_.scope.gauge) {
    waiting.rows_per_cm = gauge->rows_per_cm;
    waiting.stitches_per_cm = gauge->stitches_per_cm;
  }
  out.stretches.push_back(std::move(waiting));
  out.loops.push_back(loops);
  out.keys.push_back(held_key(piece.name, name.name.text));
  out.held = true;
  return true;
}

/// The edge, from where one begins to pick up along it with the right side facing: down a left edge, across
/// what was bound off or waits, up a right one.
std::optional<PieceWorker::Found> PieceWorker::find_edge(const tree::EdgeName& name) {
  Found out;
  if (name.form == tree::EdgeName::Form::named && name.name.text == "all" && !name.piece) {
    if (!on_needle_) {
      diagnostics_.add(Kind::no_cast_on, name.span, "there are no stitches on the needle")
          .try_this("hold them under a name, and say that name");
      return {};
    }
    if (!at_an_edge(name.span, "so not all stitches can be joined")) return {};
    Stretch there;
    there.of = Stretch::Of::held;
    there.stitches = needles_.width().base;
    out.stretches.push_back(std::move(there));
    out.loops.push_back(&needles_.left);
    out.on_needle = out.held = true;
    return out;
  }
  bool own = false;
  const Piece* piece = piece_called(name, own);
  if (!piece) return {};
  if (!own) out.copies = piece->copies;
  // Edges and pieces are looked through one by one.
  shelf_.effort.stitches +=
      static_cast<long long>((piece->edges.size() + shelf_.pattern.pieces.size()) / looked_at_in_a_stitch);
  if (!within_reason(name.span)) return {};
  const auto& edges = piece->edges;
  const Stretch* before = nullptr;
  for (const Stretch& each : edges) {
    if (!chosen(each, name)) continue;
    const bool same =
        before && before->where == each.where && before->outer == each.outer && before->name == each.name;
    if (!same) out.keys.push_back(edge_key(piece->name, each));
    before = &each;
  }
  std::sort(out.keys.begin(), out.keys.end());
  out.keys.erase(std::unique(out.keys.begin(), out.keys.end()), out.keys.end());
  // Down the left side, across, and up the right side.
  for (auto each = edges.rbegin(); each != edges.rend(); ++each)
    if (each->where == Where::left && chosen(*each, name)) out.stretches.push_back(*each);
  out.loops.resize(out.stretches.size(), nullptr);
  find_held(name, *piece, own, out);
  for (auto each = edges.rbegin(); each != edges.rend(); ++each)
    if (each->where != Where::left && each->where != Where::right && chosen(*each, name))
      out.stretches.push_back(*each);
  for (const Stretch& each : edges)
    if (each.where == Where::right && chosen(each, name)) out.stretches.push_back(each);
  out.loops.resize(out.stretches.size(), nullptr);
  out.held &= out.stretches.size() == 1;
  if (!out.stretches.empty()) return out;
  unknown_edge(name, *piece, own);
  return {};
}

bool PieceWorker::unknown_edge(const tree::EdgeName& name, const Piece& piece, bool own) {
  using Form = tree::EdgeName::Form;
  const std::string where = own ? "here" : "in " + piece.name;
  if (name.form != Form::named) {
    diagnostics_.add(Kind::unknown_edge, name.span, fmt::format("there is no such edge {}", where))
        .note(name.form == Form::left || name.form == Form::right
                  ? "sides have only pieces that are worked flat"
                  : "a cast-on edge needs a cast-on, a bound-off edge stitches that are bound off");
    return false;
  }
  std::vector<std::string> names;
  for (const Stretch& each : piece.edges)
    if (!each.name.empty() && std::find(names.begin(), names.end(), each.name) == names.end())
      names.push_back(each.name);
  if (own)
    for (const auto& [holder, held] : held_) names.push_back(holder);
  else
    for (const auto& [holder, held] : piece.held) names.push_back(holder);
  const bool used = std::any_of(shelf_.pattern.pieces.begin(), shelf_.pattern.pieces.end(),
                                [&](const Piece& each) {
                                  return each.uses.count(held_key(piece.name, name.name.text)) > 0;
                                }) ||
                    out_.uses.count(held_key(piece.name, name.name.text)) > 0;
  if (used) {
    diagnostics_.add(Kind::edge_used, name.span,
                     fmt::format("`{}` has been picked up or joined before", name.name.text));
    return false;
  }
  Diagnostic& added =
      diagnostics_.add(Kind::unknown_edge, name.name.span,
                       fmt::format("no edge and no held stitches are called `{}` {}", name.name.text, where));
  if (added.try_nearest(name.name.span, name.name.text, names)) return false;
  if (!names.empty())
    added.try_this(fmt::format("names {}: {}", where, fmt::join(names, ", ")));
  else
    added.try_this(fmt::format("name it while it is knitted: call the left edge {}", name.name.text));
  return false;
}

/// Notes that the edge is used; false where it has been before. A piece that is made several times has it as
/// often, and so does one that uses it; `of_each`: all of them at once.
bool PieceWorker::use_up(Found& found, const tree::EdgeName& name, bool of_each) {
  found.taken = of_each ? found.copies : found.on_needle || !name.piece ? 1 : out_.copies;
  for (const std::string& key : found.keys) {
    const Span* before = nullptr;
    long long used = 0;
    const auto look = [&](const Piece& piece) {
      for (auto each = piece.uses.lower_bound(key); each != piece.uses.end(); ++each) {
        if (each->first != key && !each->first.starts_with(key + '#')) break;
        before = &each->second;
        ++used;
      }
    };
    for (const Piece& piece : shelf_.pattern.pieces) look(piece);
    look(out_);
    found.used = std::max(found.used, used);
    if (used + found.taken <= found.copies) continue;
    if (!before) {
      diagnostics_
          .add(Kind::edge_used, name.span,
               fmt::format("`{}` is made {} times, and this is there {}", out_.name, out_.copies,
                           found.copies == 1 ? "once" : fmt::format("{} times", found.copies)))
          .try_this("make a piece of its own for each edge");
      return false;
    }
    diagnostics_
        .add(Kind::edge_used, name.span, "this has been picked up or joined before, all of it or a part")
        .label(*before, "here")
        .try_this("give the part that is still free a name of its own: call the left edge collar");
    return false;
  }
  for (const std::string& key : found.keys)
    for (long long i = 0; i < found.taken; ++i) {
      const long long number = found.used + i;
      out_.uses.emplace(number == 0 ? key : fmt::format("{}#{}", key, number), name.span);
    }
  return true;
}

/// The stitches are no longer where they were.
void PieceWorker::take_away(const Found& found, const tree::EdgeName& name) {
  if (found.on_needle) {
    needles_ = Needles();
    on_needle_ = false;
    standing_.reset();
    ends_.bind_off();
    return;
  }
  if (found.elsewhere || name.form != tree::EdgeName::Form::named) return;
  ends_.drop(name.name.text);
  held_.erase(name.name.text);
}

std::string PieceWorker::edge_words(const tree::EdgeName& name, const Found& found) const {
  using Form = tree::EdgeName::Form;
  if (found.on_needle) return "the sts on the needle";
  const char* which = found.copies == 1                ? "the"
                      : found.taken == found.copies    ? "each"
                      : found.used == 0                ? "one"
                      : found.used + 1 == found.copies ? "the other"
                                                       : "the next";
  std::string of;
  if (name.piece && name.piece->text != out_.name)
    of.append(" of ").append(which).append(" ").append(name.piece->text);
  switch (name.form) {
    case Form::left:
      return "the left edge" + of;
    case Form::right:
      return "the right edge" + of;
    case Form::cast_on:
      return "the cast-on edge" + of;
    case Form::bound_off:
      return "the bound-off edge" + of;
    case Form::named:
      break;
  }
  return (found.held ? "the sts held as " : "the ") + name.name.text + of;
}

/// The gauge of the fabric that is worked after this step, else the file's first.
const Gauge* PieceWorker::gauge_of_next_work(Span after) const {
  const Gauge* out = shelf_.scope.gauge;
  bool behind = false, found = false;
  walk(source_.steps, [&](const tree::Step& step) {
    const auto* work = std::get_if<tree::Work>(&step.what);
    if (behind && !found && work && !work->layout.empty()) {
      found = true;
      if (const Gauge* own = shelf_.pattern.gauge_for(work->layout.front().fabric.text)) out = own;
    }
    behind |= step.head == after;
  });
  return out;
}

/// `join sleeve`: stitches that wait come onto the needle, after those of the row to come.
bool PieceWorker::do_take_up(const tree::JoinName& source, Step& out) {
  out.kind = Step::Kind::take_up;
  tree::EdgeName name;
  name.name = source.name;
  name.piece = source.piece;
  name.span = source.piece ? join(source.name.span, source.piece->span) : source.name.span;
  if (!on_needle_ && held_.count(source.name.text) > 0 && (!source.piece || source.piece->text == out_.name))
    return do_resume(tree::Resume{source.name}, out);
  auto found = find_edge(name);
  if (!found) return false;
  if (!found->held || found->on_needle) {
    diagnostics_
        .add(Kind::cannot_join, name.span,
             found->on_needle
                 ? "these stitches are on the needle already"
                 : "this is an edge, and no stitches wait there to be joined to those on the needle")
        .try_this(fmt::format("pick up along {}", source.name.text));
    return false;
  }
  if (on_needle_ && !at_an_edge(out.span, "and stitches are joined beside the last one")) return false;
  const bool own = !found->elsewhere;
  const Side side = own ? held_.at(source.name.text).side : found->elsewhere->side;
  const wale::Form form = on_needle_ ? form_ : out_.form;
  const Side wanted = form == wale::Form::round ? Side::right : on_needle_ ? side_ : side;
  if (side != wanted) {
    diagnostics_
        .add(Kind::starts_on_wrong_side, name.span,
             fmt::format("these stitches wait with the {} side facing, and here the {} side faces you",
                         side == Side::right ? "right" : "wrong", wanted == Side::right ? "right" : "wrong"))
        .try_this("work one row more or one row less before they are held");
    return false;
  }
  if (!use_up(*found, name)) return false;
  AtEdges at;
  at.words.push_back(edge_words(name, *found));
  at.count = found->count();
  at.onto_needle = on_needle_;
  const Needle loops = *found->loops.front();
  take_away(*found, name);
  if (on_needle_) {
    needles_.left.append(loops);
    (side_ == Side::right || form_ == wale::Form::round ? edges_.left : edges_.right) = EdgeNow();
  } else {
    needles_ = Needles();
    needles_.left = loops;
    form_ = out.form = form;
    side_ = out.side = wanted;
    on_needle_ = true;
    ends_.cut(in_hand_);
    edges_ = {{true, ""}, {true, ""}};
    out.joins = true;
  }
  standing_.reset();
  picked_up_ = false;
  out.at_edges = std::move(at);
  return true;
}

bool PieceWorker::do_unite(const tree::Unite& source, Step& out) {
  using How = tree::Unite::How;
  out.kind = source.how == How::bind_off ? Step::Kind::bind_off_together
             : source.how == How::graft  ? Step::Kind::graft
                                         : Step::Kind::seam;
  auto first = find_edge(source.first);
  if (!first) return false;
  auto second = find_edge(source.second);
  if (!second) return false;
  if (first->on_needle && second->on_needle) {
    diagnostics_.add(Kind::cannot_join, source.second.span, "stitches cannot be joined to themselves")
        .try_this("hold half of them under a name, and join all to it");
    return false;
  }
  const bool live = source.how != How::seam;
  // A sleeve that is made twice is sewn twice.
  const bool both_of_one =
      source.first.piece && source.second.piece && source.first.piece->text == source.second.piece->text;
  for (const auto& [found, name] : {std::pair{&*first, &source.first}, std::pair{&*second, &source.second}}) {
    if (found->held != live) {
      diagnostics_
          .add(Kind::cannot_join, name->span,
               live ? "this is an edge, and no stitches wait there to be joined"
                    : "these are stitches that wait, and only edges are sewn together")
          .try_this(live ? "sew it: seam ... to ..." : "join them: join ... to ...")
          .try_this(live ? "or hold the stitches in place of binding them off" : "or bind them off first");
      return false;
    }
    if (!use_up(*found, *name, both_of_one)) return false;
  }
  AtEdges at;
  if (both_of_one) at.each = first->copies;
  at.words = {edge_words(source.first, *first), edge_words(source.second, *second)};
  for (const tree::EdgeName& name : source.more) {
    auto more = find_edge(name);
    if (!more || !use_up(*more, name)) return false;
    if (more->held) {
      diagnostics_
          .add(Kind::cannot_join, name.span, "these are stitches that wait, and only edges are sewn together")
          .try_this("bind them off first");
      return false;
    }
    at.words[1] += " and " + edge_words(name, *more);
    second->stretches.insert(second->stretches.end(), more->stretches.begin(), more->stretches.end());
  }
  out.at_edges = std::move(at);
  if (!live) return unite_edges(source, *first, *second, out);
  const long long here = first->count(), there = second->count();
  if (here != there) {
    const long long more = std::abs(here - there);
    diagnostics_
        .add(Kind::cannot_join, join(source.first.span, source.second.span),
             fmt::format("{} - {} = {}: the two sets of stitches are not as many", std::max(here, there),
                         std::min(here, there), more))
        .label(source.first.span, count_of(here, "stitch", "stitches"))
        .label(source.second.span, count_of(there, "stitch", "stitches"))
        .note("each stitch of the one is worked together with one stitch of the other")
        .try_this(fmt::format("spread {} fewer over the last row of `{}`", more,
                              here > there ? at_name(source.first) : at_name(source.second)));
    return false;
  }
  out.at_edges->count = here;
  take_away(*first, source.first);
  take_away(*second, source.second);
  return true;
}

bool PieceWorker::unite_edges(const tree::Unite& source, const Found& first, const Found& second, Step& out) {
  AtEdges& at = *out.at_edges;
  const bool measured = first.measured() && second.measured();
  const double here = first.length(), there = second.length();
  if (measured) at.first_length = here, at.second_length = there;
  const auto straight = [](const Found& found) {
    return std::all_of(found.stretches.begin(), found.stretches.end(), [](const Stretch& each) {
      return each.of == Stretch::Of::rows && each.stitches == 0;
    });
  };
  const auto rows = [](const Found& found) {
    long long all = 0;
    for (const Stretch& each : found.stretches) all = add_counts(all, each.rows);
    return all;
  };
  at.row_for_row = straight(first) && straight(second) && rows(first) == rows(second);
  if (std::abs(here - there) <= most_easing * std::max(here, there)) return true;
  const char* unit = measured ? "cm" : "stitches";
  diagnostics_
      .add(Kind::uneven_seam, join(source.first.span, source.second.span),
           fmt::format("the edges are {:.1f} and {:.1f} {} long, {:.0f} in 100 apart", here, there, unit,
                       100 * std::abs(here - there) / std::max(here, there)))
      .label(source.first.span, fmt::format("{:.1f} {}", here, unit))
      .label(source.second.span, fmt::format("{:.1f} {}", there, unit))
      .note("a seam takes up about 1 row in 10; beyond that it puckers");
  return true;
}

}  // namespace wale
