#include "compiler/yarn_ends.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace wale {

namespace {

std::string place_words(const YarnPlace& at) {
  return at.where == YarnPlace::Where::mid     ? "in mid-row"
         : at.where == YarnPlace::Where::right ? "at the right edge"
                                               : "at the left edge";
}

/// What a knitter can do about a strand that the row cannot reach.
void offer(Diagnostic& to, const YarnEnds::Row& row, const std::string& strand, long long between) {
  if (between > 0 && between % 2 == 1) {
    const std::string fewer = between > 1 ? fmt::format("{} or ", between - 1) : "";
    to.try_this(fmt::format("make the stripe between an even number of rows: {}{} in place of {}", fewer,
                            between + 1, between));
  }
  const char* also = to.help.empty() ? "" : "or ";
  if (row.in_piece) {
    to.try_this(strand.empty()
                    ? "give the yarn a name (cast on ... with A), and cut and join it before: join A"
                    : fmt::format("{}cut it and join it anew, a step before: join {}", also, strand));
    return;
  }
  if (between <= 0 || between % 2 == 0) to.try_this("work an even number of rows before the yarn is changed");
  to.try_this(
      "or slide the stitches back and work this as a second pass over the row before (1 A: ... 1 B: ...)");
}

}  // namespace

void YarnEnds::row(const Row& row, const std::vector<Strand>& known, Diagnostics& diagnostics) {
  for (const short strand : row.strands) {
    const auto found = at_.find(strand);
    const bool reached = found == at_.end() || found->second.hangs_at(row.begins);
    if (!reached) {
      const End& end = found->second;
      const std::string name = strand < 0 ? "" : known[static_cast<std::size_t>(strand)].name;
      const std::string words = name.empty() ? "the yarn in hand" : "strand " + name;
      Diagnostic& added = diagnostics.add(
          Kind::yarn_at_other_edge, row.span,
          fmt::format("{} begins {}, but {} hangs {}", row.name(), place_words(row.begins), words,
                      end.holder.empty() ? place_words(end.place)
                                         : fmt::format("at the stitches held as `{}`", end.holder)));
      if (end.span.end > end.span.begin && !(end.span == row.span))
        added.label(end.span, fmt::format("{} was worked last here", words));
      added.note("the yarn stays where its last row ended");
      if (!row.when.empty()) added.note(row.when);
      offer(added, row, name, end.holder.empty() ? row.number - end.number - 1 : 0);
    }
    End& now = reached && found != at_.end() ? found->second : at_[strand];
    now.place = row.ends;
    now.holder.clear();
    now.number = row.number;
    now.span = row.span;
  }
}

bool YarnEnds::reaches(short strand, const YarnPlace& begins) const {
  const auto found = at_.find(strand);
  return found == at_.end() || found->second.hangs_at(begins);
}

void YarnEnds::worked_to(short strand, YarnPlace place, long long number) {
  const auto found = at_.find(strand);
  if (found == at_.end()) return;
  found->second.place = place;
  found->second.number = number;
}

void YarnEnds::draw_to(short strand, YarnPlace place) {
  const auto found = at_.find(strand);
  if (found != at_.end()) found->second.place = place;
}

void YarnEnds::hold(const std::string& holder, YarnPlace::Where edge) {
  for (auto& [strand, end] : at_)
    if (end.holder.empty() && end.place.where == edge) end.holder = holder;
}

void YarnEnds::hold_all(const std::string& holder) {
  for (auto& [strand, end] : at_)
    if (end.holder.empty()) end.holder = holder;
}

void YarnEnds::resume(const std::string& holder) {
  for (auto& [strand, end] : at_)
    if (end.holder == holder) end.holder.clear();
}

void YarnEnds::drop(const std::string& holder) {
  at_.erase_if([&](const auto& each) { return each.second.holder == holder; });
}

void YarnEnds::bind_off() {
  at_.erase_if([](const auto& each) { return each.second.holder.empty(); });
}

void YarnEnds::skip(long long from, long long rows) {
  for (auto& [strand, end] : at_)
    if (end.number > from) end.number = add_counts(end.number, rows);
}

bool YarnEnds::operator==(const YarnEnds& other) const {
  return std::equal(
      at_.begin(), at_.end(), other.at_.begin(), other.at_.end(), [](const auto& a, const auto& b) {
        return a.first == b.first && a.second.place == b.second.place && a.second.holder == b.second.holder;
      });
}

}  // namespace wale
