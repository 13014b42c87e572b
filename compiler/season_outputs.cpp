#include "compiler/season_outputs.hpp"

#include <fmt/format.h>

#include "compiler/season_document.hpp"
#include "render/document_layout.hpp"
#include "render/markdown.hpp"
#include "render/pdf.hpp"
#include "render/svg.hpp"
#include "render/text.hpp"

namespace wale {

namespace {

/// A page cut off below what stands on it, for a picture that no paper bounds.
render::Drawing trimmed(render::Drawing page, double margin) {
  double lowest = 0;
  for (const render::Item& item : page.items) {
    if (const auto* line = std::get_if<render::LineItem>(&item)) lowest = std::max(lowest, line->to.y);
    if (const auto* box = std::get_if<render::RectItem>(&item))
      lowest = std::max(lowest, box->box.y + box->box.height);
  }
  page.height = std::min(page.height, lowest + margin);
  return page;
}

}  // namespace

Outputs make_season_outputs(const Season& season, const std::string& stem, std::optional<std::int64_t> date,
                            const DocumentSettings& settings) {
  Outputs out;
  const render::PageStyle page = page_style(settings);
  const render::Document document = make_season_document(season);
  std::vector<render::Drawing> pages = render::lay_out_calendar(make_calendar(season), page);
  for (std::size_t i = 0; i < pages.size(); ++i) {
    const std::string number = pages.size() == 1 ? "" : fmt::format("-{}", i + 1);
    out.files.push_back({fmt::format("{}.season.calendar{}.svg", stem, number),
                         render::write_svg(trimmed(pages[i], page.margin / 2))});
  }
  for (render::Drawing& each : render::lay_out(document, page)) pages.push_back(std::move(each));
  render::PdfInfo info;
  info.title = season.name;
  info.subject = "Knitting season";
  info.date = date;
  render::Bytes pdf = render::write_pdf(pages, info);
  if (const auto* error = std::get_if<render::RenderError>(&pdf)) {
    out.failure = error->message;
    return out;
  }
  out.files.push_back({stem + ".season.pdf", std::move(std::get<std::string>(pdf))});
  out.files.push_back({stem + ".season.txt", render::write_text(document)});
  out.files.push_back({stem + ".season.md", render::write_markdown(document)});
  out.files.push_back({stem + ".season.json", season_report(season)});
  return out;
}

}  // namespace wale
