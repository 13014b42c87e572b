// The explanations that `wale explain` prints: there for every kind, and true.
#include "grammar/explanations.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <set>

#include "compiler/check.hpp"
#include "compiler/explain.hpp"
#include "render/text.hpp"
#include "scratch.hpp"

using namespace wale;

namespace {

/// Kinds that no pattern in a text can show: one would be a megabyte long, one is not a text, and the others
/// take several files.
const std::set<Kind> shown_by_no_text{Kind::file_too_large,   Kind::not_text,
                                      Kind::use_cycle,        Kind::project_has_errors,
                                      Kind::season_too_short, Kind::season_yarn_short};

}  // namespace

TEST_CASE("every kind of diagnostic is explained, and nothing else is") {
  std::set<std::string_view> explained;
  for (const ExplanationText& each : explanation_texts()) {
    CAPTURE(each.slug);
    CHECK(explained.insert(each.slug).second);
    CHECK(find_kind(each.slug).has_value());
  }
  for (const Kind kind : all_kinds()) {
    INFO("grammar/explanations/", facts(kind).slug, ".md is missing, or is not of the form that others have");
    CHECK(explanation(kind).has_value());
  }
}

TEST_CASE(
    "an explanation's pattern is told what it explains and nothing else, and mended it is told nothing") {
  for (const Kind kind : all_kinds()) {
    const auto explained = explanation(kind);
    if (!explained) continue;
    CAPTURE(facts(kind).slug);
    if (shown_by_no_text.count(kind) > 0) {
      CHECK(explained->shows.empty());
      continue;
    }
    REQUIRE(!explained->shows.empty());
    const Source wrong("wrong.wale", explained->shows, 1), right("right.wale", explained->mended, 1);
    const Checked checked = check(wrong);
    CHECK(!checked.diagnostics.all().empty());
    for (const Diagnostic& each : checked.diagnostics.all()) {
      INFO(show(each, {vocabulary_source(), wrong}));
      CHECK(each.kind == kind);
    }
    const Diagnostics left = check(right).diagnostics;
    INFO(show(left, {vocabulary_source(), right}));
    CHECK(left.all().empty());
  }
}

TEST_CASE("an explanation is printed whole, in lines that a terminal holds") {
  for (const Kind kind : all_kinds()) {
    const auto explained = explanation(kind);
    if (!explained) continue;
    const std::string text = explain(kind);
    CAPTURE(text);
    std::string flat;
    bool prose = true;
    for (const std::string& line : lines_of(text)) {
      if (line == "Shows it:") prose = false;
      if (!prose) continue;
      CHECK(render::text_columns(line) <= 90);
      flat += (flat.empty() ? "" : " ") + line;
    }
    CHECK(flat.find(facts(kind).summary) != std::string::npos);
    for (const std::string& each : explained->paragraphs) {
      CHECK(flat.find(each) != std::string::npos);
      CHECK(each.find('~') == std::string::npos);  // compiler/explain.cpp has a use for it
    }
    for (const std::string* pattern : {&explained->shows, &explained->mended})
      for (const std::string& line : lines_of(*pattern))
        CHECK(text.find(fmt::format("    {}\n", line)) != std::string::npos);
    if (!explained->shows.empty())
      CHECK(text.find(fmt::format("[{}]", facts(kind).slug)) != std::string::npos);
  }
}

TEST_CASE("the list of kinds has each of them once, in its group, with what it means") {
  const std::string list = list_kinds();
  std::string flat;
  for (const std::string& line : lines_of(list)) {
    CHECK(render::text_columns(line) <= 100);
    flat += line.substr(std::min(line.find_first_not_of(' '), line.size())) + " ";
  }
  std::size_t before = 0;
  for (const Kind kind : all_kinds()) {
    CAPTURE(facts(kind).slug);
    CHECK(!group_of(kind).empty());
    CHECK(flat.find(facts(kind).summary) != std::string::npos);
    const std::size_t at = list.find(fmt::format("\n  {} ", facts(kind).slug));
    REQUIRE(at != std::string::npos);
    const std::size_t group = list.rfind(fmt::format("{}\n\n", group_of(kind)), at);
    REQUIRE(group != std::string::npos);
    CHECK(at > before);
    before = at;
  }
}

TEST_CASE("explanations and their list fit a narrow terminal, and say what they say elsewhere") {
  const auto words_of = [](const std::string& text) {
    std::string out;
    for (const std::string& line : lines_of(text))
      out += line.substr(std::min(line.find_first_not_of(' '), line.size())) + " ";
    return out;
  };
  for (const std::string& line : lines_of(list_kinds(40))) CHECK(render::text_columns(line) <= 40);
  for (const Kind kind : all_kinds()) {
    CAPTURE(facts(kind).slug);
    CHECK(words_of(list_kinds(40)).find(facts(kind).summary) != std::string::npos);
    const auto explained = explanation(kind);
    if (!explained) continue;
    const std::string text = explain(kind, 40);
    // What Wale says of a pattern keeps to the columns, too; the pattern itself is shown as it is.
    const std::vector<std::string> patterns{explained->shows, explained->mended};
    for (const std::string& line : lines_of(text)) {
      const bool kept = line.find('`') != std::string::npos || line.find(" try ") != std::string::npos ||
                        line.find(facts(kind).slug) != std::string::npos ||
                        std::any_of(patterns.begin(), patterns.end(), [&](const std::string& pattern) {
                          return line.size() > 4 && pattern.find(line.substr(4)) != std::string::npos;
                        });
      INFO(line);
      CHECK((kept || render::text_columns(line) <= 40));
    }
    for (const std::string& each : explained->paragraphs)
      CHECK(words_of(text).find(each) != std::string::npos);
  }
}

TEST_CASE("a text that is no explanation is not read as one") {
  const std::string good =
      "# a-slug\n\nProse\nof two lines.\n\nShows it:\n\n```wale\nk\n```\n\nMended:\n\n```wale\np\n```\n";
  const auto read = read_explanation(good, "a-slug");
  REQUIRE(read.has_value());
  CHECK(read->paragraphs == std::vector<std::string>{"Prose of two lines."});
  CHECK(read->shows == "k\n");
  CHECK(read->mended == "p\n");
  CHECK(read_explanation("# a-slug\n\nProse alone.\n", "a-slug").has_value());
  CHECK(!read_explanation(good, "another-slug"));
  CHECK(!read_explanation("", "a-slug"));
  CHECK(!read_explanation("# a-slug\n\n", "a-slug"));
  // Cut off at any line's end, only the prose alone is whole.
  for (std::size_t end = good.find("Shows"); end != std::string::npos && end < good.size() - 1;
       end = good.find('\n', end + 1))
    if (end > good.find("Shows")) CHECK(!read_explanation(good.substr(0, end + 1), "a-slug").has_value());
}

TEST_CASE("a run ends with how its first error is explained, or else its first warning") {
  CHECK(explain_hint({}).empty());
  CHECK(explain_hint({Kind::left_on_needle}) == "why, and an example: wale explain left-on-needle\n");
  CHECK(explain_hint({Kind::expected, Kind::expected}) == "why, and an example: wale explain expected\n");
  CHECK(explain_hint({Kind::left_on_needle, Kind::wrong_loop}) ==
        "why, and an example: wale explain wrong-loop (or another name in brackets)\n");
}
