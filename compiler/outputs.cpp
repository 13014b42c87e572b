#include "compiler/outputs.hpp"

#include <fmt/format.h>

#include "compiler/fabric_view.hpp"
#include "compiler/pattern_document.hpp"
#include "compiler/schematic.hpp"
#include "compiler/size_documents.hpp"
#include "compiler/yarn_document.hpp"
#include "render/chart_layout.hpp"
#include "render/document_layout.hpp"
#include "render/markdown.hpp"
#include "render/pdf.hpp"
#include "render/png.hpp"
#include "render/schematic_layout.hpp"
#include "render/svg.hpp"
#include "render/text.hpp"

namespace wale {

namespace {

/// Dots to the inch of a view as PNG: 33 a wale.
constexpr double view_dots = 200;

std::vector<const Pattern*> sizes_of(const Checked& checked) {
  std::vector<const Pattern*> out{&checked.pattern};
  for (const Pattern& each : checked.larger) out.push_back(&each);
  return out;
}

/// What each kind of file is called.
std::string name_of(const std::string& stem, std::string_view part, std::string_view kind) {
  return fmt::format("{}.{}.{}", stem, part, kind);
}

void add_picture(std::string name, render::Bytes png, Outputs& out) {
  if (auto* bytes = std::get_if<std::string>(&png))
    out.files.push_back({std::move(name), std::move(*bytes)});
  else
    out.failure = std::get<render::RenderError>(png).message;
}

void add_schematic(const render::Schematic& schematic, const std::string& stem,
                   const DocumentSettings& settings, double scale, Outputs& out) {
  const render::Drawing drawing = render::draw_schematic(schematic, render::enlarged_schematic({}, scale));
  out.files.push_back({name_of(stem, "schematic", "svg"), render::write_svg(drawing)});
  if (!settings.png) return;
  render::Bytes png = render::write_png(drawing, {.dots_per_inch = chart_dots_per_inch});
  add_picture(name_of(stem, "schematic", "png"), std::move(png), out);
}

}  // namespace

render::PageStyle page_style(const DocumentSettings& settings) {
  const render::PageStyle page = settings.paper == Paper::letter ? render::letter_page() : render::a4_page();
  return settings.large_print ? render::large_print(page) : page;
}

Outputs make_outputs(const Checked& checked, const std::string& stem, std::optional<std::int64_t> date,
                     const DocumentSettings& settings, const Originals& originals) {
  Outputs out;
  const Pattern& pattern = checked.pattern;
  Family family;
  family.sizes = sizes_of(checked);
  const Checked* written = originals.at_written_gauge;
  if (written && !pattern.pieces.empty() && !written->pattern.gauges.empty())
    family.written = sizes_of(*written);
  if (originals.as_written) {
    family.as_written.sizes = sizes_of(*originals.as_written);
    for (const Pattern* each : family.as_written.sizes)
      family.as_written.estimates.push_back(estimate_yarn(*each, *originals.as_written->stitches));
  }
  std::vector<std::string> sizes;
  for (const Pattern* each : family.sizes) {
    sizes.push_back(each->size);
    family.estimates.push_back(estimate_yarn(*each, *checked.stitches));
  }
  family.charts = make_piece_charts(family.sizes, *checked.stitches, settings);
  family.schematic = make_schematic(family.sizes, settings);
  std::vector<render::Document> documents;
  for (std::size_t i = 0; i < family.sizes.size(); ++i)
    documents.push_back(
        make_document(*family.sizes[i], *checked.stitches, family.estimates[i], stem, settings, family));
  const render::Document document = merge_documents(sizes, std::move(documents));
  const render::PageStyle page = page_style(settings);
  render::PdfInfo info;
  info.title = document.title;
  info.author = document.author;
  info.subject = "Knitting pattern";
  const auto keyword = [&](const std::string& word) {
    info.keywords += (info.keywords.empty() ? "" : ", ") + word;
  };
  for (const Piece& piece : pattern.pieces) keyword(piece.name);
  for (const std::string& size : sizes)
    if (!size.empty()) keyword("size " + size);
  info.date = date;
  render::Bytes pdf = render::write_pdf(render::lay_out(document, page), info);
  if (const auto* error = std::get_if<render::RenderError>(&pdf)) {
    out.failure = error->message;
    return out;
  }
  out.files.push_back({stem + ".pdf", std::move(std::get<std::string>(pdf))});
  out.files.push_back({stem + ".txt", render::write_text(document)});
  out.files.push_back({stem + ".json", yarn_report(family.sizes, *checked.stitches, family.estimates, stem)});
  std::vector<render::Document> yarn;
  for (std::size_t i = 0; i < family.sizes.size(); ++i)
    yarn.push_back(
        make_yarn_document(*family.sizes[i], *checked.stitches, family.estimates[i], stem, settings.units));
  out.files.push_back({stem + ".yarn.md", render::write_markdown(merge_documents(sizes, std::move(yarn)))});
  const render::ChartStyle style = render::enlarged({}, page.scale());
  for (const render::Chart& chart : make_all_charts(family.sizes, *checked.stitches, settings)) {
    const render::Drawing drawing = render::draw_chart(chart, style);
    out.files.push_back({name_of(stem, chart.name, "svg"), render::write_svg(drawing)});
    if (!settings.png) continue;
    render::Bytes picture = render::write_png(drawing, {.dots_per_inch = chart_dots_per_inch});
    if (std::holds_alternative<render::RenderError>(picture)) {
      out.failure = fmt::format(
          "{} has {} columns and {} rows, too many for one PNG picture at {:g} dots to the inch; leave out "
          "--png, its SVG has no such limit",
          chart.title, chart.columns, chart.rows.size(), chart_dots_per_inch);
      return out;
    }
    out.files.push_back({name_of(stem, chart.name, "png"), std::move(std::get<std::string>(picture))});
  }
  if (family.schematic) add_schematic(*family.schematic, stem, settings, page.scale(), out);
  for (const auto& [picture, caption] : make_views(pattern, *checked.stitches, settings.mirror)) {
    const render::Drawing drawing = render::draw_threads(picture, points_per_wale);
    const std::string part = picture.name + ".view";
    out.files.push_back({name_of(stem, part, "svg"), render::write_svg(drawing)});
    render::Bytes png = render::write_png(drawing, {.dots_per_inch = view_dots});
    add_picture(name_of(stem, part, "png"), std::move(png), out);
  }
  return out;
}

std::vector<std::string> output_names(const Checked& checked, const std::string& stem,
                                      const DocumentSettings& settings) {
  std::vector<std::string> out{stem + ".pdf", stem + ".txt", stem + ".json", stem + ".yarn.md"};
  const auto add = [&](const std::string& part, bool png) {
    out.push_back(name_of(stem, part, "svg"));
    if (png) out.push_back(name_of(stem, part, "png"));
  };
  const std::vector<const Pattern*> sizes = sizes_of(checked);
  for (const render::Chart& chart : make_all_charts(sizes, *checked.stitches, settings))
    add(chart.name, settings.png);
  if (make_schematic(sizes, settings)) add("schematic", settings.png);
  for (const auto& [fabric, name] : viewed_fabrics(checked.pattern)) add(name + ".view", true);
  return out;
}

}  // namespace wale
