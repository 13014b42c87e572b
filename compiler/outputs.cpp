#include "compiler/outputs.hpp"

#include <fmt/format.h>

#include "compiler/pattern_document.hpp"
#include "compiler/size_documents.hpp"
#include "render/chart_layout.hpp"
#include "render/document_layout.hpp"
#include "render/pdf.hpp"
#include "render/png.hpp"
#include "render/svg.hpp"
#include "render/text.hpp"

namespace wale {

namespace {

std::vector<const Pattern*> sizes_of(const Checked& checked) {
  std::vector<const Pattern*> out{&checked.pattern};
  for (const Pattern& each : checked.larger) out.push_back(&each);
  return out;
}

}  // namespace

render::PageStyle page_style(const DocumentSettings& settings) {
  const render::PageStyle page = settings.paper == Paper::letter ? render::letter_page() : render::a4_page();
  return settings.large_print ? render::large_print(page) : page;
}

Outputs make_outputs(const Checked& checked, const std::string& stem, std::optional<std::int64_t> date,
                     const DocumentSettings& settings, const Checked* written) {
  Outputs out;
  const Pattern& pattern = checked.pattern;
  Family family{sizes_of(checked), {}, {}, {}};
  if (written && !pattern.pieces.empty() && !written->pattern.gauges.empty())
    family.written = sizes_of(*written);
  std::vector<std::string> sizes;
  for (const Pattern* each : family.sizes) {
    sizes.push_back(each->size);
    family.estimates.push_back(estimate_yarn(*each, *checked.stitches));
  }
  family.charts = make_piece_charts(family.sizes, *checked.stitches, settings);
  std::vector<render::Document> documents;
  for (std::size_t i = 0; i < family.sizes.size(); ++i)
    documents.push_back(
        make_document(*family.sizes[i], *checked.stitches, family.estimates[i], stem, settings, family));
  const render::Document document = merge_documents(sizes, std::move(documents));
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
  out.files.push_back({stem + ".json", yarn_report(family.sizes, family.estimates, stem)});
  const render::ChartStyle style = render::enlarged({}, page.scale());
  for (const render::Chart& chart : make_all_charts(family.sizes, *checked.stitches, settings)) {
    const render::Drawing drawing = render::draw_chart(chart, style);
    out.files.push_back({stem + "." + chart.name + ".svg", render::write_svg(drawing)});
    if (!settings.png) continue;
    render::Bytes picture = render::write_png(drawing, {.dots_per_inch = chart_dots_per_inch});
    if (std::holds_alternative<render::RenderError>(picture)) {
      out.failure = fmt::format(
          "{} has {} columns and {} rows, too many for one PNG picture at {:g} dots to the inch; leave out "
          "--png, its SVG has no such limit",
          chart.title, chart.columns, chart.rows.size(), chart_dots_per_inch);
      return out;
    }
    out.files.push_back({stem + "." + chart.name + ".png", std::move(std::get<std::string>(picture))});
  }
  return out;
}

}  // namespace wale
