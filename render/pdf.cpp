#include "render/pdf.hpp"

#include <cairo-pdf.h>
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <map>
#include <set>

#include "render/cairo_draw.hpp"
#include "render/measure.hpp"
#include "render/svg.hpp"

namespace wale::render {

namespace {

/// "2026-12-01T08:30:00Z". Years beyond four digits do not fit the format, so the time is held within them.
std::string iso_time(std::int64_t seconds) {
  using namespace std::chrono;
  const std::int64_t held = std::clamp<std::int64_t>(seconds, 0, 253402300799);
  const sys_seconds time{std::chrono::seconds{held}};
  const sys_days day = floor<days>(time);
  const year_month_day date{day};
  const hh_mm_ss clock{time - day};
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                     clock.hours().count(), clock.minutes().count(), clock.seconds().count());
}

void set_metadata(cairo_surface_t* surface, const PdfInfo& info) {
  const auto set = [surface](cairo_pdf_metadata_t field, const std::string& value) {
    if (!value.empty()) cairo_pdf_surface_set_metadata(surface, field, value.c_str());
  };
  set(CAIRO_PDF_METADATA_TITLE, clean_text(info.title));
  set(CAIRO_PDF_METADATA_AUTHOR, clean_text(info.author));
  set(CAIRO_PDF_METADATA_SUBJECT, clean_text(info.subject));
  set(CAIRO_PDF_METADATA_KEYWORDS, clean_text(info.keywords));
  set(CAIRO_PDF_METADATA_CREATOR, "Wale");
  // Left alone, cairo takes the time from the clock; an empty date makes it write none.
  const std::string date = info.date ? iso_time(*info.date) : "";
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, date.c_str());
}

/// The places that links lead to, numbered as they come: what cairo calls a place by may hold no quotes.
using Places = std::map<std::string, std::size_t>;

Places find_places(const std::vector<Drawing>& pages) {
  Places places;
  for (const Drawing& page : pages)
    for (const Place& place : page.places)
      if (!place.name.empty()) places.try_emplace(place.name, places.size());
  return places;
}

/// cairo reads numbers with points in every locale; short ones keep the file small.
std::string target(std::size_t page, Point at) {
  return fmt::format("page={} pos=[{} {}]", page, short_number(at.x), short_number(at.y));
}

void add_outline(cairo_surface_t* surface, const std::vector<Drawing>& pages) {
  int section = CAIRO_PDF_OUTLINE_ROOT;
  for (std::size_t i = 0; i < pages.size(); ++i) {
    for (const Place& place : pages[i].places) {
      if (place.level < 1 || place.title.empty()) continue;
      const int parent = place.level == 1 ? CAIRO_PDF_OUTLINE_ROOT : section;
      const int added = cairo_pdf_surface_add_outline(
          surface, parent, place.title.c_str(), target(i + 1, place.at).c_str(),
          place.level == 1 ? CAIRO_PDF_OUTLINE_FLAG_OPEN : cairo_pdf_outline_flags_t{});
      if (place.level == 1) section = added;
    }
  }
}

/// Links go by names: cairo 1.16 loses those that go by page number to a page still to come.
void add_links(cairo_t* context, const Drawing& page, const Places& places, std::set<std::size_t>& placed) {
  for (const Place& place : page.places) {
    const auto found = places.find(place.name);
    // The first place of a name holds.
    if (found == places.end() || !placed.insert(found->second).second) continue;
    const std::string where = fmt::format("name='place-{}' x={} y={}", found->second,
                                          short_number(place.at.x), short_number(place.at.y));
    cairo_tag_begin(context, CAIRO_TAG_DEST, where.c_str());
    cairo_tag_end(context, CAIRO_TAG_DEST);
  }
  for (const Link& link : page.links) {
    const auto found = places.find(link.to);
    if (found == places.end()) continue;
    const std::string where = fmt::format("rect=[{} {} {} {}] dest='place-{}'", short_number(link.area.x),
                                          short_number(link.area.y), short_number(link.area.width),
                                          short_number(link.area.height), found->second);
    cairo_tag_begin(context, CAIRO_TAG_LINK, where.c_str());
    cairo_tag_end(context, CAIRO_TAG_LINK);
  }
}

}  // namespace

Bytes write_pdf(const std::vector<Drawing>& pages, const PdfInfo& info) {
  if (pages.empty()) return RenderError{"there are no pages to write"};
  std::string bytes;
  CairoSurface surface(
      cairo_pdf_surface_create_for_stream(append_bytes, &bytes, pages.front().width, pages.front().height));
  set_metadata(surface.get(), info);
  add_outline(surface.get(), pages);
  const Places places = find_places(pages);
  std::set<std::size_t> placed;
  for (const Drawing& page : pages) {
    cairo_pdf_surface_set_size(surface.get(), page.width, page.height);
    const CairoContext context(cairo_create(surface.get()));
    // Within a part of the document's structure: cairo 1.16 refers to a structure that links have, and writes
    // it only where there is another.
    cairo_tag_begin(context.get(), "Sect", nullptr);
    draw_items(context.get(), page);
    add_links(context.get(), page, places, placed);
    cairo_tag_end(context.get(), "Sect");
    cairo_show_page(context.get());
    if (const cairo_status_t status = cairo_status(context.get()); status != CAIRO_STATUS_SUCCESS) {
      return RenderError{std::string("the PDF cannot be written: ") + cairo_status_to_string(status)};
    }
  }
  cairo_surface_finish(surface.get());
  const cairo_status_t status = cairo_surface_status(surface.get());
  if (status != CAIRO_STATUS_SUCCESS) {
    return RenderError{std::string("the PDF cannot be written: ") + cairo_status_to_string(status)};
  }
  return bytes;
}

}  // namespace wale::render
