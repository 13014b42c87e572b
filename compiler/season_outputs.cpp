#include "compiler/season_outputs.hpp"

#include "compiler/season_document.hpp"
#include "render/calendar_layout.hpp"
#include "render/document_layout.hpp"
#include "render/markdown.hpp"
#include "render/pdf.hpp"
#include "render/svg.hpp"
#include "render/text.hpp"

namespace wale {

std::vector<std::string> season_output_names(const std::string& stem) {
  const std::string season = stem + ".season";
  return {season + ".calendar.svg", season + ".pdf", season + ".txt", season + ".md", season + ".json"};
}

Outputs make_season_outputs(const Season& season, const std::string& stem, std::optional<std::int64_t> date,
                            const DocumentSettings& settings) {
  Outputs out;
  const std::vector<std::string> names = season_output_names(stem);
  const render::PageStyle page = page_style(settings);
  const render::Document document = make_season_document(season);
  out.files.push_back({names[0], render::write_svg(render::draw_calendar(make_calendar(season), page))});
  render::PdfInfo info;
  info.title = season.name;
  info.subject = "Knitting season";
  info.date = date;
  render::Bytes pdf = render::write_pdf(render::lay_out(document, page), info);
  if (const auto* error = std::get_if<render::RenderError>(&pdf)) {
    out.failure = error->message;
    return out;
  }
  out.files.push_back({names[1], std::move(std::get<std::string>(pdf))});
  out.files.push_back({names[2], render::write_text(document)});
  out.files.push_back({names[3], render::write_markdown(document)});
  out.files.push_back({names[4], season_report(season)});
  return out;
}

}  // namespace wale
