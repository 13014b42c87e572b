#include "compiler/outputs.hpp"

#include <fmt/format.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <functional>
#include <iterator>

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

void add(Outputs& outputs, Outputs more) {
  if (!outputs.failure.empty()) return;
  outputs.failure = std::move(more.failure);
  std::move(more.files.begin(), more.files.end(), std::back_inserter(outputs.files));
}

using Part = std::function<Outputs()>;

/// Makes parts on as many cores as the program may use; they stand in their order. Who waits for the last one
/// does nothing else meanwhile, and so begins no other pattern.
Outputs side_by_side(const std::vector<Part>& parts) {
  std::vector<Outputs> made(parts.size());
  tbb::this_task_arena::isolate([&] {
    tbb::parallel_for(
        tbb::blocked_range<std::size_t>(0, parts.size()),
        [&](const tbb::blocked_range<std::size_t>& range) {
          for (std::size_t i = range.begin(); i < range.end(); ++i) made[i] = parts[i]();
        },
        tbb::simple_partitioner());
  });
  Outputs out;
  for (Outputs& each : made) add(out, std::move(each));
  return out;
}

/// A pattern in all sizes, and what more than one of its files shows.
struct Subject {
  const Checked& checked;
  const std::string& stem;
  const DocumentSettings& settings;
  DrawnFiles* drawn;
  Family family;
  std::vector<std::string> sizes;  ///< their names

  std::string name(std::string_view part, std::string_view kind) const { return name_of(stem, part, kind); }

  /// A file of these drawings, written as `how` says: drawn now, or before.
  render::Bytes file(const std::vector<const render::Drawing*>& drawings, const std::string& how,
                     const std::function<render::Bytes()>& draw) const {
    return drawn ? drawn->file(fingerprint_of(drawings, how), draw) : draw();
  }
};

Subject subject_of(const Checked& checked, const std::string& stem, const DocumentSettings& settings,
                   const Originals& originals, DrawnFiles* drawn) {
  Subject out{checked, stem, settings, drawn, {}, {}};
  Family& family = out.family;
  family.sizes = sizes_of(checked);
  const Checked* written = originals.at_written_gauge;
  if (written && !checked.pattern.pieces.empty() && !written->pattern.gauges.empty())
    family.written = sizes_of(*written);
  if (originals.as_written) {
    family.as_written.sizes = sizes_of(*originals.as_written);
    for (const Pattern* each : family.as_written.sizes)
      family.as_written.estimates.push_back(estimate_yarn(*each, *originals.as_written->stitches));
  }
  for (const Pattern* each : family.sizes) {
    out.sizes.push_back(each->size);
    family.estimates.push_back(estimate_yarn(*each, *checked.stitches));
  }
  family.charts = make_piece_charts(family.sizes, *checked.stitches, settings);
  family.schematic = make_schematic(family.sizes, settings);
  family.views = make_views(checked.pattern, *checked.stitches, settings.mirror);
  return out;
}

render::PdfInfo pdf_info(const Subject& subject, const render::Document& document,
                         std::optional<std::int64_t> date) {
  render::PdfInfo info;
  info.title = document.title;
  info.author = document.author;
  info.subject = "Knitting pattern";
  const auto keyword = [&](const std::string& word) {
    info.keywords += (info.keywords.empty() ? "" : ", ") + word;
  };
  for (const Piece& piece : subject.checked.pattern.pieces) keyword(piece.name);
  for (const std::string& size : subject.sizes)
    if (!size.empty()) keyword("size " + size);
  info.date = date;
  return info;
}

render::Bytes pdf_file(const Subject& subject, const std::vector<render::Drawing>& pages,
                       const render::PdfInfo& info) {
  const auto& [title, author, about, keywords, date] = info;
  std::string how = fmt::format("PDF of {} pages", pages.size());
  for (const std::string& each : {title, author, about, keywords, date ? std::to_string(*date) : ""})
    how += fmt::format("\n{} {}", each.size(), each);
  std::vector<const render::Drawing*> drawings;
  for (const render::Drawing& page : pages) drawings.push_back(&page);
  return subject.file(drawings, how, [&] { return render::write_pdf(pages, info); });
}

Outputs document_files(const Subject& subject, std::optional<std::int64_t> date) {
  const auto& [checked, stem, settings, drawn, family, sizes] = subject;
  std::vector<render::Document> documents;
  for (std::size_t i = 0; i < family.sizes.size(); ++i)
    documents.push_back(
        make_document(*family.sizes[i], *checked.stitches, family.estimates[i], stem, settings, family));
  const render::Document document = merge_documents(sizes, std::move(documents));
  render::Bytes pdf =
      pdf_file(subject, render::lay_out(document, page_style(settings)), pdf_info(subject, document, date));
  if (const auto* error = std::get_if<render::RenderError>(&pdf)) return {{}, error->message};
  return {
      {{stem + ".pdf", std::move(std::get<std::string>(pdf))}, {stem + ".txt", render::write_text(document)}},
      ""};
}

Outputs report_files(const Subject& subject) {
  const auto& [checked, stem, settings, drawn, family, sizes] = subject;
  std::vector<render::Document> yarn;
  for (std::size_t i = 0; i < family.sizes.size(); ++i)
    yarn.push_back(
        make_yarn_document(*family.sizes[i], *checked.stitches, family.estimates[i], stem, settings.units));
  return {{{stem + ".json", yarn_report(family.sizes, *checked.stitches, family.estimates, stem)},
           {stem + ".yarn.md", render::write_markdown(merge_documents(sizes, std::move(yarn)))}},
          ""};
}

/// The SVG, and the PNG if there are to be dots; `too_large` says of a PNG that it is.
Outputs drawing_files(const Subject& subject, std::string_view part, const render::Drawing& drawing,
                      double dots_per_inch, const std::string& too_large = "") {
  Outputs out;
  render::Bytes svg =
      subject.file({&drawing}, "SVG", [&] { return render::Bytes(render::write_svg(drawing)); });
  out.files.push_back({subject.name(part, "svg"), std::move(std::get<std::string>(svg))});
  if (dots_per_inch == 0) return out;
  render::Bytes png = subject.file({&drawing}, fmt::format("PNG {}", dots_per_inch), [&] {
    return render::write_png(drawing, {.dots_per_inch = dots_per_inch});
  });
  if (auto* bytes = std::get_if<std::string>(&png))
    out.files.push_back({subject.name(part, "png"), std::move(*bytes)});
  else
    out.failure = too_large.empty() ? std::get<render::RenderError>(png).message : too_large;
  return out;
}

Outputs chart_files(const Subject& subject, const render::Chart& chart) {
  const render::ChartStyle style = render::enlarged({}, page_style(subject.settings).scale());
  return drawing_files(
      subject, chart.name, render::draw_chart(chart, style), subject.settings.png ? chart_dots_per_inch : 0,
      fmt::format(
          "{} has {} columns and {} rows, too many for one PNG picture at {:g} dots to the inch; leave out "
          "--png, its SVG has no such limit",
          chart.title, chart.columns, chart.rows.size(), chart_dots_per_inch));
}

Outputs charts_files(const Subject& subject) {
  const Checked& checked = subject.checked;
  const std::vector<render::Chart> charts =
      make_all_charts(checked.pattern, *checked.stitches, subject.settings, subject.family.charts);
  std::vector<Part> parts;
  for (const render::Chart& chart : charts) parts.emplace_back([&] { return chart_files(subject, chart); });
  return side_by_side(parts);
}

Outputs schematic_files(const Subject& subject) {
  if (!subject.family.schematic) return {};
  const double scale = page_style(subject.settings).scale();
  const render::Drawing drawing =
      render::draw_schematic(*subject.family.schematic, render::enlarged_schematic({}, scale));
  return drawing_files(subject, "schematic", drawing, subject.settings.png ? chart_dots_per_inch : 0);
}

Outputs view_files(const Subject& subject, const render::ThreadPicture& view) {
  return drawing_files(subject, view.name + ".view", render::draw_threads(view, points_per_wale), view_dots);
}

}  // namespace

render::PageStyle page_style(const DocumentSettings& settings) {
  const render::PageStyle page = settings.paper == Paper::letter ? render::letter_page() : render::a4_page();
  return settings.large_print ? render::large_print(page) : page;
}

Outputs make_outputs(const Checked& checked, const std::string& stem, std::optional<std::int64_t> date,
                     const DocumentSettings& settings, const Originals& originals, DrawnFiles* drawn) {
  const Subject subject = subject_of(checked, stem, settings, originals, drawn);
  std::vector<Part> parts{[&] { return document_files(subject, date); },  // takes longest
                          [&] { return report_files(subject); }, [&] { return charts_files(subject); },
                          [&] { return schematic_files(subject); }};
  for (const render::PictureBlock::Each& each : *subject.family.views)
    parts.emplace_back([&] { return view_files(subject, each.picture); });
  return side_by_side(parts);
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
