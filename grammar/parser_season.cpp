// Seasons: what is to be knitted by when, at which pace and in which hours. A line is known by its first
// word, or by the number of hours that it begins with.
#include "grammar/parser_internal.hpp"

namespace wale {

bool Parser::season(tree::Season& out) {
  const auto called = string("the season's name in quotes");
  if (!called || !need_word("from")) return false;
  out.name = *called;
  const auto from = date("2026-12-01");
  if (!from) return false;
  out.from = *from;
  return block([&] { return season_line(out); });
}

std::optional<tree::Name> Parser::date(std::string_view example) {
  std::optional<tree::Name> out;
  if (at(TokenKind::date))
    take_as_name(out.emplace());
  else
    wrong("a date such as " + std::string(example));
  return out;
}

bool Parser::season_line(tree::Season& out) {
  // No name begins the hours, so that a slip in a line's first word is found.
  if (at(TokenKind::number)) return hours(out);
  const auto word = one_of("`pace`, `knit`, `away` or a number of hours", {"pace", "knit", "away"});
  if (!word) return false;
  if (*word == "pace") return pace(out);
  if (*word == "knit") return project(out);
  const auto from = date("2026-12-24");
  if (!from) return false;
  tree::Season::Away away{*from, {}};
  if (at_one_of({"to"})) {
    need_word("to");
    if (!(away.to = date("2027-01-02"))) return false;
  }
  out.away.push_back(std::move(away));
  return need_line_end();
}

bool Parser::pace(tree::Season& out) {
  auto stitches = expression();
  if (!stitches || !need_word("st") || !need_word("per") || !need_word("hour")) return false;
  tree::Season::Pace pace{std::move(*stitches), {}};
  if (at_one_of({"in"})) {
    need_word("in");
    if (!(pace.fabric = name("a fabric's name"))) return false;
  }
  out.paces.push_back(std::move(pace));
  return take_if(TokenKind::comma) ? hours(out) : need_line_end();
}

bool Parser::hours(tree::Season& out) {
  auto amount = expression();
  if (!amount || !need_word("hours") || !need_word("per") || !need_word("week")) return false;
  tree::Season::Hours hours{std::move(*amount), {}, {}};
  if (at_one_of({"from"})) {
    need_word("from");
    if (!(hours.from = date("2026-12-21"))) return false;
    if (at_one_of({"to"})) {
      need_word("to");
      if (!(hours.to = date("2027-01-03"))) return false;
    }
  }
  out.hours.push_back(std::move(hours));
  return need_line_end();
}

bool Parser::project(tree::Season& out) {
  const auto file = string("a pattern's file in quotes");
  if (!file) return false;
  tree::Season::Project project{*file, {}, {}, {}};
  while (!at(TokenKind::newline) && !at(TokenKind::right_curly) && !at(TokenKind::end)) {
    const auto word = one_of("`size`, `after` or `by`", {"size", "after", "by"});
    if (!word) return false;
    if ((*word == "size" && project.size) || (*word == "after" && project.after) ||
        (*word == "by" && project.by)) {
      --at_;
      return wrong("each of `size`, `after` and `by` once");
    }
    if (*word == "size") {
      project.size = size_name();
      if (!project.size) return wrong("the name of a size");
    } else {
      auto& when = *word == "after" ? project.after : project.by;
      if (!(when = date("2027-02-06"))) return false;
    }
  }
  out.projects.push_back(std::move(project));
  return need_line_end();
}

}  // namespace wale
