// The page that tells what became of the published patterns, `tests/published/README.md`, is held against the
// files.
//
// Its prose is written by hand; what can be counted or quoted stands between two marks and is made here from
// the heads of the files and from what the program says of them:
//
//     <!-- misprints -->
//     | [Beeton 1870, no. 321](beeton-321-border-printed.wale), row 7 | 36 × 6 = 216 of 220 | in row 7 here
//     ... |
//     <!-- end -->
//
// `tests/published/renew` writes these parts anew. The test fails where page and files differ.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <map>
#include <regex>
#include <set>

#include "tests/unit/published.hpp"

using namespace wale;
using published::Finding, published::Head;

namespace {

constexpr const char* page_path = "tests/published/README.md";

/// What a pattern can be an example of, in the order of the page.
const std::vector<std::string> techniques{"plain knitting",
                                          "rib",
                                          "moss and basket",
                                          "brioche",
                                          "cables",
                                          "lace",
                                          "lace that changes its count",
                                          "edgings",
                                          "in the round",
                                          "from the centre",
                                          "short rows",
                                          "shaping",
                                          "picked-up stitches",
                                          "colour",
                                          "slipped and dropped loops",
                                          "stitches of its own",
                                          "gloves and mittens",
                                          "socks, boots and leggings",
                                          "hoods and caps",
                                          "sweaters",
                                          "shawls and scarfs",
                                          "household things"};

struct Found {
  Finding finding;
  std::string file, source, said;  ///< what the program says of it, in one line
  std::string whole;               ///< all of it, with what would fit
};

/// A pattern and all its files: the one that comes out, and those that are as printed.
struct Transcribed {
  std::string name;
  Head head;  ///< of the file that comes out
  std::vector<Found> found;
  std::size_t counts = 0;

  long misprints() const {
    return std::count_if(found.begin(), found.end(), [](const Found& each) { return each.finding.misprint; });
  }
  std::string verdict() const {
    return misprints() > 0 ? "misprinted" : found.empty() ? "comes out" : "leaves something open";
  }
};

/// `socks, boots and leggings` has a comma of its own.
std::vector<std::string> shown_by(const Head& head) {
  std::string all = fmt::format("{}", fmt::join(head.shows, ", "));
  std::vector<std::string> out;
  for (const std::string& each : techniques) {
    const std::size_t at = (", " + all + ",").find(", " + each + ",");
    if (at == std::string::npos) continue;
    out.push_back(each);
  }
  return out;
}

std::vector<Found> found_in(const PatternFile& file, const Head& head) {
  const Compiled compiled = compile(file);
  const std::vector<Diagnostic> all = compiled.checked.diagnostics.all();
  REQUIRE_MESSAGE(all.size() == head.findings.size(), file.name, " has a line of its head for each `--!`");
  std::vector<Found> out;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Diagnostic& each = all[i];
    const std::string& detail = !each.at.empty() || each.help.empty() ? each.at : each.help.front();
    out.push_back({head.findings[i], file.name, head.source,
                   detail.empty() ? each.message : fmt::format("{} ({})", each.message, detail),
                   fmt::format("{} {} {}", each.message, each.at, fmt::join(each.help, " "))});
  }
  return out;
}

const std::vector<Transcribed>& patterns() {
  static const std::vector<Transcribed> made = [] {
    std::map<std::string, Transcribed> by_name;
    for (const PatternFile& file : published::files()) {
      const auto head = published::head_of(file);
      REQUIRE_MESSAGE(head.has_value(), file.name, " does not begin with its source and what it shows");
      Transcribed& pattern = by_name[published::pattern_name(file)];
      pattern.name = published::pattern_name(file);
      pattern.counts += published::figures_in(file).size();
      if (!published::is_printed(file))
        pattern.head = *head;
      else
        for (Found& each : found_in(file, *head)) pattern.found.push_back(std::move(each));
    }
    std::vector<Transcribed> out;
    for (auto& [name, pattern] : by_name) out.push_back(std::move(pattern));
    return out;
  }();
  return made;
}

long with_verdict(const std::string& verdict, const std::string& book = "") {
  return std::count_if(patterns().begin(), patterns().end(), [&](const Transcribed& each) {
    return each.head.source.starts_with(book) && each.verdict() == verdict;
  });
}

long misprints_in(const std::string& book = "") {
  long out = 0;
  for (const Transcribed& each : patterns())
    if (each.head.source.starts_with(book)) out += each.misprints();
  return out;
}

std::size_t counts_in(const std::string& book = "") {
  std::size_t out = 0;
  for (const Transcribed& each : patterns())
    if (each.head.source.starts_with(book)) out += each.counts;
  return out;
}

/// The numbers, figures and titles of the books: several patterns may stand under one.
std::set<std::string> sources() {
  std::set<std::string> out;
  for (const Transcribed& each : patterns()) out.insert(each.head.source);
  return out;
}

std::vector<std::string> summary() {
  std::vector<std::string> out{
      fmt::format("**{} patterns of {} numbers, figures and titles, {} files. {} come out as they are "
                  "printed, {} hold {} misprints, {} leave "
                  "something open. {} counts are held against the program.**",
                  patterns().size(), sources().size(), published::files().size(), with_verdict("comes out"),
                  with_verdict("misprinted"), misprints_in(), with_verdict("leaves something open"),
                  counts_in()),
      "", "| book | patterns | come out | misprinted | misprints | leave something open | counts |",
      "| --- | --- | --- | --- | --- | --- | --- |"};
  for (const std::string book : {"Beeton 1870", "Dillmont 1886", "Handbook 1918"}) {
    const long come_out = with_verdict("comes out", book), misprinted = with_verdict("misprinted", book),
               open = with_verdict("leaves something open", book);
    out.push_back(fmt::format("| {} | {} | {} | {} | {} | {} | {} |", book, come_out + misprinted + open,
                              come_out, misprinted, misprints_in(book), open, counts_in(book)));
  }
  return out;
}

std::vector<std::string> by_technique() {
  std::vector<std::string> out{"| shows | patterns | misprinted | for example |",
                               "| --- | --- | --- | --- |"};
  for (const std::string& technique : techniques) {
    std::vector<std::string> examples;
    int all = 0, misprinted = 0;
    for (const Transcribed& each : patterns()) {
      const std::vector<std::string> shown = shown_by(each.head);
      if (std::find(shown.begin(), shown.end(), technique) == shown.end()) continue;
      ++all;
      if (each.misprints() > 0) ++misprinted;
      if (examples.size() < 2) examples.push_back(fmt::format("[{0}]({0}.wale)", each.name));
    }
    CHECK_MESSAGE(all > 0, "no pattern shows ", technique);
    out.push_back(
        fmt::format("| {} | {} | {} | {} |", technique, all, misprinted, fmt::join(examples, ", ")));
  }
  return out;
}

std::vector<std::string> findings(bool misprints) {
  std::vector<std::string> out{"| where | by hand | what the program says |", "| --- | --- | --- |"};
  for (const Transcribed& pattern : patterns())
    for (const Found& each : pattern.found)
      if (each.finding.misprint == misprints)
        out.push_back(fmt::format("| [{}]({}), {} | {} | {} |", each.source, each.file, each.finding.where,
                                  each.finding.sum, each.said));
  return out;
}

std::vector<std::string> table() {
  std::vector<std::string> out{"| source | pattern | shows | verdict | what was found |",
                               "| --- | --- | --- | --- | --- |"};
  for (const Transcribed& each : patterns()) {
    std::vector<std::string> found;
    for (const Found& one : each.found)
      found.push_back(fmt::format("{}: {}", one.finding.where, one.finding.sum));
    found.push_back(
        fmt::format("{} counts hold{}", each.counts, each.found.empty() ? "" : " in what comes out"));
    out.push_back(fmt::format("| {} | [{}]({}.wale) | {} | {} | {} |", each.head.source, each.head.subject,
                              each.name, fmt::join(shown_by(each.head), ", "), each.verdict(),
                              fmt::join(found, "; ")));
  }
  return out;
}

/// The page with its counted parts made anew.
std::string renewed(std::string page) {
  const std::map<std::string, std::vector<std::string>> parts{{"summary", summary()},
                                                              {"techniques", by_technique()},
                                                              {"misprints", findings(true)},
                                                              {"open", findings(false)},
                                                              {"patterns", table()}};
  for (const auto& [name, lines] : parts) {
    const std::string begin = fmt::format("<!-- {} -->\n", name), end = "<!-- end -->";
    const std::size_t from = page.find(begin);
    REQUIRE_MESSAGE(from != std::string::npos, "the page has no part ", name);
    const std::size_t to = page.find(end, from);
    REQUIRE(to != std::string::npos);
    page.replace(from + begin.size(), to - from - begin.size(), fmt::format("{}\n", fmt::join(lines, "\n")));
  }
  return page;
}

}  // namespace

TEST_CASE("the page of the published patterns is what the files and the program make it") {
  const std::string page = read_project_file(page_path), wanted = renewed(page);
  if (std::getenv("WALE_RENEW") != nullptr)
    std::ofstream(std::string(WALE_SOURCE_DIR) + "/" + page_path, std::ios::binary) << wanted;
  const bool same = page == wanted;
  CHECK_MESSAGE(same, "tests/published/renew makes it so");
}

TEST_CASE(
    "there are at least sixty published patterns, of all three books and of everything that these hold") {
  CHECK(patterns().size() >= 60);
  CHECK(sources().size() >= 50);
  for (const Transcribed& each : patterns()) {
    INFO(each.name, " shows ", fmt::format("{}", fmt::join(each.head.shows, ", ")));
    CHECK(fmt::format("{}", fmt::join(shown_by(each.head), "; ")).size() > 0);
    std::size_t named = 0;
    for (const std::string& one : shown_by(each.head)) named += std::count(one.begin(), one.end(), ',') + 1;
    CHECK(named == each.head.shows.size());
  }
}

TEST_CASE("the sums by hand come out, and the program names the same two numbers") {
  static const std::regex sum(R"((.+) = (\d+) (?:of|for each|by)\b(\D*(\d+))?.*)");
  const auto names = [](const std::string& text, const std::string& number) {
    return std::regex_search(text, std::regex("(^|[^0-9])" + number + "([^0-9]|$)"));
  };
  int with_sum = 0;
  for (const Transcribed& pattern : patterns())
    for (const Found& each : pattern.found) {
      INFO(each.file, ", ", each.finding.where, ": ", each.finding.sum, "\n", each.whole);
      std::smatch found;
      const bool has_sum = std::regex_match(each.finding.sum, found, sum);
      CHECK((has_sum || !each.finding.misprint));
      if (!has_sum) continue;
      ++with_sum;
      CHECK(published::worked_out(found[1].str()) == std::stoll(found[2].str()));
      CHECK(names(each.whole, found[2].str()));
      if (found[4].matched && each.finding.sum.find(" row ") == std::string::npos)
        CHECK(names(each.whole, found[4].str()));
    }
  CHECK(with_sum >= 35);
}

TEST_CASE("the project's own page says how many misprints were found in print") {
  const std::string wanted =
      fmt::format("{} patterns from three books, 1870 to 1918, with {} misprints found in print",
                  patterns().size(), misprints_in());
  INFO("README.md should say: ", wanted);
  CHECK(read_project_file("README.md").find(wanted) != std::string::npos);
}
