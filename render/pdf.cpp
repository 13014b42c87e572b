#include "render/pdf.hpp"

#include <cairo-pdf.h>
#include <fmt/format.h>

#include <algorithm>
#include <chrono>

#include "render/cairo_draw.hpp"
#include "render/measure.hpp"

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
  set(CAIRO_PDF_METADATA_CREATOR, "Wale");
  // Left alone, cairo takes the time from the clock; an empty date makes it write none.
  const std::string date = info.date ? iso_time(*info.date) : "";
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, date.c_str());
}

}  // namespace

Bytes write_pdf(const std::vector<Drawing>& pages, const PdfInfo& info) {
  if (pages.empty()) return RenderError{"there are no pages to write"};
  std::string bytes;
  CairoSurface surface(
      cairo_pdf_surface_create_for_stream(append_bytes, &bytes, pages.front().width, pages.front().height));
  set_metadata(surface.get(), info);
  for (const Drawing& page : pages) {
    cairo_pdf_surface_set_size(surface.get(), page.width, page.height);
    const CairoContext context(cairo_create(surface.get()));
    draw_items(context.get(), page);
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
