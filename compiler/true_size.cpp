#include "compiler/true_size.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/chart.hpp"
#include "compiler/pattern_document.hpp"
#include "render/pdf.hpp"
#include "render/true_size.hpp"

namespace wale {

namespace {

constexpr double points_per_centimetre = 72 / 2.54;

/// "20 sts x 28 rows = 10 cm (in rib): a stitch is 5 mm wide, a row 3.57 mm high."
std::string gauge_words(const Gauge& gauge, render::CellSize cell, bool several_lines) {
  const auto millimetres = [](double points) {
    return fmt::format("{:.3g} mm", points / points_per_centimetre * 10);
  };
  return fmt::format("{:g} {} x {:g} rows = 10 cm{}: a square is {} wide and {} high{}.",
                     gauge.wales_per_cm() * 10, gauge.layers == 2 ? "pairs" : "sts", gauge.rows_per_cm * 10,
                     gauge.fabric.empty() ? "" : " in " + gauge.fabric, millimetres(cell.width),
                     millimetres(cell.height), several_lines ? ", a row several squares" : "");
}

}  // namespace

void require_gauge(Checked& checked) {
  const Pattern& pattern = checked.pattern;
  const auto drawn = std::find_if(pattern.fabrics.begin(), pattern.fabrics.end(),
                                  [](const Fabric& fabric) { return fabric.good; });
  if (drawn == pattern.fabrics.end() || !pattern.gauges.empty()) return;
  checked.diagnostics
      .add(Kind::no_gauge, drawn->span,
           fmt::format("the chart of {} can be printed at its true size only with a gauge", drawn->name))
      .note("how wide a stitch is and how high a row is has to be said in the pattern")
      .try_this("gauge 20 st x 28 rows = 10 cm, with what your washed swatch has");
}

render::CellSize true_cell(const Fabric& fabric, const Gauge& gauge) {
  const double rows_a_line = static_cast<double>(fabric.cycle_rows()) /
                             static_cast<double>(std::max<std::size_t>(fabric.rows.size(), 1));
  return {points_per_centimetre / gauge.wales_per_cm(),
          points_per_centimetre / gauge.rows_per_cm * rows_a_line};
}

namespace {

/// A chart that is printed, with the fabric that it shows.
struct Printed {
  render::Chart chart;
  const Fabric& fabric;
  const Gauge& gauge;
  std::string name;  ///< of the file
};

std::vector<Printed> printed(const Checked& checked, const std::string& stem) {
  std::vector<Printed> out;
  const Pattern& pattern = checked.pattern;
  for (render::Chart& chart : make_charts(pattern, *checked.stitches)) {
    const auto fabric = std::find_if(pattern.fabrics.begin(), pattern.fabrics.end(), [&](const Fabric& each) {
      return each.good && each.name == chart.about;
    });
    if (fabric == pattern.fabrics.end()) continue;
    const Gauge* gauge = pattern.gauge_for(fabric->name);
    if (!gauge) continue;
    std::string name = stem + "." + chart.name + ".true-size.pdf";
    out.push_back({std::move(chart), *fabric, *gauge, std::move(name)});
  }
  return out;
}

}  // namespace

std::vector<std::string> true_size_names(const Checked& checked, const std::string& stem) {
  std::vector<std::string> out;
  for (Printed& each : printed(checked, stem)) out.push_back(std::move(each.name));
  return out;
}

Outputs make_true_size(const Checked& checked, const std::string& stem, std::optional<std::int64_t> date) {
  Outputs out;
  for (const auto& [chart, fabric, gauge, name] : printed(checked, stem)) {
    const render::CellSize cell = true_cell(fabric, gauge);
    const bool several_lines = static_cast<long long>(fabric.rows.size()) > fabric.cycle_rows();
    auto pages = render::lay_out_true_size(chart, cell, gauge_words(gauge, cell, several_lines));
    if (const auto* error = std::get_if<render::RenderError>(&pages)) {
      out.failure = fmt::format("the chart of {} at its true size: {}", fabric.name, error->message);
      return out;
    }
    render::PdfInfo info;
    info.title = chart.title + " at its true size";
    info.date = date;
    render::Bytes pdf = render::write_pdf(std::get<std::vector<render::Drawing>>(pages), info);
    if (const auto* error = std::get_if<render::RenderError>(&pdf)) {
      out.failure = error->message;
      return out;
    }
    out.files.push_back({name, std::move(std::get<std::string>(pdf))});
  }
  return out;
}

}  // namespace wale
