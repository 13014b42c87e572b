// What the outputs of one pattern cost in a process that has drawn before, as one that watches a folder has.
//
//     wale_build_stages FILE...      a row for each file: milliseconds for each step, and for all its outputs
//
// Steps are timed in processor time of one thread, the least of several tries; "all" is the time on the clock
// that `make_outputs` takes, for which it may use every core.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <ctime>
#include <filesystem>

#include "compiler/check.hpp"
#include "compiler/fabric_view.hpp"
#include "compiler/files.hpp"
#include "compiler/loading.hpp"
#include "compiler/outputs.hpp"
#include "compiler/pattern_document.hpp"
#include "compiler/schematic.hpp"
#include "compiler/size_documents.hpp"
#include "compiler/yarn_estimate.hpp"
#include "render/chart_layout.hpp"
#include "render/document_layout.hpp"
#include "render/pdf.hpp"
#include "render/png.hpp"
#include "render/svg.hpp"

namespace {

using namespace wale;

constexpr int tries = 7;

double processor_time() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) * 1e3 + static_cast<double>(now.tv_nsec) / 1e6;
}

double clock_time() {
  return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now().time_since_epoch())
      .count();
}

template <class Work>
double least(double (*now)(), const Work& work) {
  double out = 1e9;
  for (int i = 0; i < tries; ++i) {
    const double from = now();
    work();
    out = std::min(out, now() - from);
  }
  return out;
}

void measure(const std::string& path) {
  std::string reason;
  const auto loaded = load_file(path, reason);
  if (!loaded) return;
  const Checked checked = check(*loaded);
  if (checked.diagnostics.has_errors() || (checked.pattern.fabrics.empty() && checked.pattern.pieces.empty()))
    return;
  const std::string stem = std::filesystem::path(path).stem().string();
  const DocumentSettings settings;
  std::vector<const Pattern*> sizes{&checked.pattern};
  for (const Pattern& each : checked.larger) sizes.push_back(&each);
  Family family;
  render::Document document;
  std::vector<render::Drawing> pages;
  std::vector<render::Chart> charts;
  std::vector<render::PictureBlock::Each> views;
  std::vector<render::Drawing> pictures;
  const double checking = least(processor_time, [&] { check(*loaded); });
  const double writing = least(processor_time, [&] {
    family = {};
    std::vector<std::string> names;
    family.sizes = sizes;
    for (const Pattern* each : sizes) {
      names.push_back(each->size);
      family.estimates.push_back(estimate_yarn(*each, *checked.stitches));
    }
    family.charts = make_piece_charts(sizes, *checked.stitches, settings);
    family.schematic = make_schematic(sizes, settings);
    std::vector<render::Document> documents;
    for (std::size_t i = 0; i < sizes.size(); ++i)
      documents.push_back(
          make_document(*sizes[i], *checked.stitches, family.estimates[i], stem, settings, family));
    document = merge_documents(names, std::move(documents));
  });
  const double laying =
      least(processor_time, [&] { pages = render::lay_out(document, page_style(settings)); });
  const double pdf = least(processor_time, [&] { render::write_pdf(pages, {}); });
  const double charting = least(processor_time, [&] {
    charts = make_all_charts(sizes, *checked.stitches, settings);
    for (const render::Chart& chart : charts) render::write_svg(render::draw_chart(chart, {}));
  });
  const double viewing =
      least(processor_time, [&] { views = make_views(checked.pattern, *checked.stitches, false); });
  const double threads = least(processor_time, [&] {
    pictures.clear();
    for (const auto& [picture, caption] : views)
      pictures.push_back(render::draw_threads(picture, points_per_wale));
  });
  const double svg = least(processor_time, [&] {
    for (const render::Drawing& each : pictures) render::write_svg(each);
  });
  const double png = least(processor_time, [&] {
    for (const render::Drawing& each : pictures) render::write_png(each, {.dots_per_inch = 200});
  });
  const double all = least(clock_time, [&] { make_outputs(checked, stem, {}); });
  fmt::print("{:<20}{:8.1f}{:8.1f}{:8.1f}{:8.1f}{:8.1f}{:8.1f}{:8.1f}{:8.1f}{:8.1f}{:8.1f}\n", stem, checking,
             writing, laying, pdf, charting, viewing, threads, svg, png, all);
}

}  // namespace

int main(int count, char** words) {
  fmt::print("{:<20}{:>8}{:>8}{:>8}{:>8}{:>8}{:>8}{:>8}{:>8}{:>8}{:>8}\n", "milliseconds", "check", "words",
             "lay out", "pdf", "charts", "views", "threads", "svg", "png", "all");
  for (int i = 1; i < count; ++i) measure(words[i]);
}
