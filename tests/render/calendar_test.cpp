// Calendars: what stands where, and that nothing overlaps or leaves the page.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <random>

#include "render/calendar_layout.hpp"
#include "render/document_layout.hpp"
#include "render/markdown.hpp"
#include "render/text.hpp"
#include "tests/render/geometry_check.hpp"

using namespace wale::render;
using std::chrono::days;

namespace {

Day day(int year, unsigned month, unsigned number) {
  return Day{std::chrono::year{year} / static_cast<int>(month) / static_cast<int>(number)};
}

Calendar watch() {
  Calendar out;
  out.title = "Ice watch";
  out.first = day(2026, 12, 1);
  out.last = day(2027, 1, 10);
  CalendarBand cowl{"1", "Cowl", "Cowl: seven days", {31, 48, 68}, {}, day(2026, 12, 20), "due"};
  for (unsigned i = 1; i <= 6; ++i) cowl.parts.push_back({day(2026, 12, i), 0, 1});
  cowl.parts.push_back({day(2026, 12, 7), 0, 0.5});
  CalendarBand hat{"2", "Hat", "Hat", {230, 226, 211}, {}, {}, ""};
  hat.parts.push_back({day(2026, 12, 7), 0.5, 1});
  hat.parts.push_back({day(2026, 12, 8), 0, 1});
  out.bands = {cowl, hat};
  out.rests = {{day(2026, 12, 24), day(2027, 1, 2), "away"}};
  out.weeks = {"5.1", "6.0"};
  return out;
}

std::vector<Box> bands_of(const Drawing& drawing) {
  std::vector<Box> out;
  bool inside = false;
  for (const Item& item : drawing.items) {
    if (std::holds_alternative<GroupStart>(item)) inside = true;
    if (std::holds_alternative<GroupEnd>(item)) inside = false;
    if (const auto* path = std::get_if<PathItem>(&item); path && inside) out.push_back(bounds(path->path));
  }
  return out;
}

bool has_text(const Drawing& drawing, const std::string& words) {
  const auto texts = check::texts_of(drawing);
  return std::any_of(texts.begin(), texts.end(), [&](const TextItem* each) { return each->text == words; });
}

}  // namespace

TEST_CASE("a calendar has a line for each week, bands on their days, and a flag where something is due") {
  const Calendar calendar = watch();
  const std::vector<Fragment> weeks = lay_out_calendar(calendar, a4_page());
  REQUIRE(weeks.size() == 1 + 6);  // the names of the days, and six weeks from 30 November on
  const Drawing &first = weeks[1].drawing, &second = weeks[2].drawing, &third = weeks[3].drawing;
  CHECK(has_text(first, "Dec 2026"));
  CHECK(has_text(first, "W49"));
  CHECK(has_text(first, "1 Cowl"));
  CHECK(has_text(first, "5.1"));
  CHECK(has_text(third, "1 due"));
  CHECK(!has_text(second, "1 due"));
  CHECK(has_text(weeks[5].drawing, "Jan 2027"));
  CHECK(has_text(weeks[5].drawing, "W53"));
  // Six of seven days; half a day, and then the other one and a half.
  REQUIRE(bands_of(first).size() == 1);
  const double a_day = bands_of(first)[0].width / 6;
  REQUIRE(bands_of(second).size() == 2);
  CHECK(bands_of(second)[0].width == doctest::Approx(a_day / 2));
  CHECK(bands_of(second)[1].x == doctest::Approx(bands_of(second)[0].right()));
  CHECK(bands_of(second)[1].width == doctest::Approx(1.5 * a_day));
  CHECK(bands_of(third).empty());
}

TEST_CASE("random calendars keep to their pages, and no words stand on each other") {
  std::mt19937 random(23);
  const auto below = [&](unsigned most) { return static_cast<int>(random() % most); };
  for (int round = 0; round < 60; ++round) {
    Calendar calendar;
    calendar.title = "Watch";
    calendar.first = day(2024, 1, 1) + days{below(1500)};
    calendar.last = calendar.first + days{below(120)};
    double now = 0;
    const int bands = below(7);
    for (int i = 0; i < bands; ++i) {
      CalendarBand band;
      band.tag = std::to_string(i + 1 + 7 * below(3));
      band.name = below(2) ? "Harbour Slipover size 3X" : "Hat";
      band.colour = {static_cast<std::uint8_t>(below(256)), static_cast<std::uint8_t>(below(256)), 90};
      const double end = now + 0.05 + below(80) / 4.0;
      while (now < end) {
        const double next = std::min(end, std::floor(now) + 1);
        band.parts.push_back(
            {calendar.first + days{static_cast<int>(now)}, now - std::floor(now), next - std::floor(now)});
        now = next;
      }
      if (below(4)) band.flag = band.parts.back().day + days{below(40)};
      band.flag_words = "due";
      calendar.bands.push_back(std::move(band));
    }
    if (below(2)) {
      const Day from = calendar.last - days{below(20)};
      calendar.rests.push_back({from, from + days{below(9)}, "away from the watch"});
    }
    for (int i = below(12); i > 0; --i) calendar.weeks.emplace_back("12.0 of 12.0");
    Document document;
    document.title = "Watch";
    document.blocks.emplace_back(CalendarBlock{calendar});
    for (const PageStyle& style : {a4_page(), letter_page(), large_print(a4_page())})
      for (const Drawing& page : lay_out(document, style)) CHECK(check::fault_report(page, 20) == "");
    CHECK(check::fault_report(draw_calendar(calendar, a4_page()), 0) == "");
  }
}

TEST_CASE("a calendar that runs over pages names the days on each") {
  Calendar calendar = watch();
  calendar.last = day(2028, 12, 1);
  Document document;
  document.title = "Two winters";
  document.blocks.emplace_back(CalendarBlock{calendar});
  const auto pages = lay_out(document, a4_page());
  CHECK(pages.size() > 3);
  for (const Drawing& page : pages) CHECK(has_text(page, "Wed"));
}

TEST_CASE("a calendar in words has its bands and rests") {
  Document document;
  document.title = "Watch";
  document.blocks.emplace_back(CalendarBlock{watch()});
  for (const std::string& text : {write_text(document), write_markdown(document)}) {
    CAPTURE(text);
    CHECK(text.find("Cowl: seven days") != std::string::npos);
    CHECK(text.find("24 Dec to 2 Jan: away") != std::string::npos);
  }
}

TEST_CASE("Markdown has headings, tables and no markup that the text did not mean") {
  Document document;
  document.title = "A *star* is no emphasis";
  document.blocks.emplace_back(Heading{2, "One | two"});
  document.blocks.emplace_back(Heading{2, "Lot #2 ##"});
  document.blocks.emplace_back(Paragraph{"Lead:", "<b>not bold</b> 5.8 h"});
  document.blocks.emplace_back(Paragraph{"", "1. no list"});
  document.blocks.emplace_back(Paragraph{"", "- no list either"});
  document.blocks.emplace_back(Table{{"Yarn", "g"}, {{"Kelp | wool", "5.8"}, {"", "12"}}, {}, {false, true}});
  CHECK(write_markdown(document) ==
        "# A \\*star\\* is no emphasis\n\n## One \\| two\n\n## Lot #2 \\#\\#\n\n**Lead:** \\<b\\>not "
        "bold\\</b\\> 5.8 h\n\n1\\. "
        "no list\n\n"
        "\\- no list either\n\n| Yarn | g |\n| --- | ---: |\n| Kelp \\| wool | 5.8 |\n| | 12 |\n");
}
