#include "compiler/outputs.hpp"

#include "compiler/pattern_document.hpp"
#include "render/chart_layout.hpp"
#include "render/document_layout.hpp"
#include "render/pdf.hpp"
#include "render/svg.hpp"
#include "render/text.hpp"

namespace wale {

render::PageStyle page_style(const DocumentSettings& settings) {
  const render::PageStyle page = settings.paper == Paper::letter ? render::letter_page() : render::a4_page();
  return settings.large_print ? render::large_print(page) : page;
}

Outputs make_outputs(const Checked& checked, const std::string& stem, std::optional<std::int64_t> date,
                     const DocumentSettings& settings) {
  Outputs out;
  const Pattern& pattern = checked.pattern;
  const Estimate estimate = estimate_yarn(pattern, *checked.stitches);
  const render::Document document = make_document(pattern, *checked.stitches, estimate, stem, settings);
  const render::PageStyle page = page_style(settings);
  render::PdfInfo info;
  info.title = document.title;
  info.author = document.author;
  info.date = date;
  render::Bytes pdf = render::write_pdf(render::lay_out(document, page), info);
  if (const auto* error = std::get_if<render::RenderError>(&pdf)) {
    out.failure = error->message;
    return out;
  }
  out.files.push_back({stem + ".pdf", std::move(std::get<std::string>(pdf))});
  out.files.push_back({stem + ".txt", render::write_text(document)});
  out.files.push_back({stem + ".json", yarn_report(pattern, estimate, stem)});
  const render::ChartStyle style = render::enlarged({}, page.scale());
  for (const render::Chart& chart : make_charts(pattern, *checked.stitches, settings))
    out.files.push_back(
        {stem + "." + chart.name + ".svg", render::write_svg(render::draw_chart(chart, style))});
  return out;
}

}  // namespace wale
