// What the outputs of one pattern cost in a process that has drawn before, as one that watches a folder has.
//
//     wale_build_stages FILE...      a row for each file: milliseconds for each step, and for all its outputs
//
// Steps are timed in processor time of one thread, the least of several tries: checking it; its words, with
// charts of pieces, schematic and views; laying them out; the PDF; the SVG of all charts; and the views once
// more as files of their own, drawn as threads, as SVG and as PNG. "all" is the time on the clock that
// `make_outputs` takes for everything, for which it may use every core.
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

/// A pattern on its way to its files, step by step: each takes what the steps before it made.
class Pattern {
 public:
  Pattern(const Loaded& loaded, std::string stem) : loaded_(loaded), stem_(std::move(stem)) {}

  /// Whether there is anything to draw.
  bool good() const {
    return !checked_.diagnostics.has_errors() &&
           !(checked_.pattern.fabrics.empty() && checked_.pattern.pieces.empty());
  }

  void check() { checked_ = wale::check(loaded_); }

  void words() {
    Family family;
    std::vector<std::string> names;
    sizes_ = {&checked_.pattern};
    for (const wale::Pattern& each : checked_.larger) sizes_.push_back(&each);
    family.sizes = sizes_;
    for (const wale::Pattern* each : sizes_) {
      names.push_back(each->size);
      family.estimates.push_back(estimate_yarn(*each, *checked_.stitches));
    }
    family.charts = make_piece_charts(sizes_, *checked_.stitches, settings_);
    family.schematic = make_schematic(sizes_, settings_);
    family.views = make_views(checked_.pattern, *checked_.stitches, false);
    views_ = *family.views;
    std::vector<render::Document> documents;
    for (std::size_t i = 0; i < sizes_.size(); ++i)
      documents.push_back(
          make_document(*sizes_[i], *checked_.stitches, family.estimates[i], stem_, settings_, family));
    document_ = merge_documents(names, std::move(documents));
  }

  void lay_out() { pages_ = render::lay_out(document_, page_style(settings_)); }
  void pdf() const { render::write_pdf(pages_, {}); }

  void charts() const {
    for (const render::Chart& chart : make_all_charts(sizes_, *checked_.stitches, settings_))
      render::write_svg(render::draw_chart(chart, {}));
  }

  void threads() {
    pictures_.clear();
    for (const auto& [picture, caption] : views_)
      pictures_.push_back(render::draw_threads(picture, points_per_wale));
  }

  void view_svg() const {
    for (const render::Drawing& each : pictures_) render::write_svg(each);
  }

  void view_png() const {
    for (const render::Drawing& each : pictures_) render::write_png(each, {.dots_per_inch = 200});
  }

  void all() const { make_outputs(checked_, stem_, {}); }

 private:
  const Loaded& loaded_;
  const std::string stem_;
  const DocumentSettings settings_;
  Checked checked_;
  std::vector<const wale::Pattern*> sizes_;
  std::vector<render::PictureBlock::Each> views_;
  render::Document document_;
  std::vector<render::Drawing> pages_, pictures_;
};

void measure(const std::string& path) {
  std::string reason;
  const auto loaded = load_file(path, reason);
  if (!loaded) return;
  const std::string stem = std::filesystem::path(path).stem().string();
  Pattern pattern(*loaded, stem);
  const double checking = least(processor_time, [&] { pattern.check(); });
  if (!pattern.good()) return;
  fmt::print("{:<20}{:8.1f}", stem, checking);
  for (const auto step : {&Pattern::words, &Pattern::lay_out})
    fmt::print("{:8.1f}", least(processor_time, [&] { (pattern.*step)(); }));
  for (const auto step : {&Pattern::pdf, &Pattern::charts})
    fmt::print("{:8.1f}", least(processor_time, [&] { (pattern.*step)(); }));
  fmt::print("{:8.1f}", least(processor_time, [&] { pattern.threads(); }));
  for (const auto step : {&Pattern::view_svg, &Pattern::view_png})
    fmt::print("{:8.1f}", least(processor_time, [&] { (pattern.*step)(); }));
  fmt::print("{:8.1f}\n", least(clock_time, [&] { pattern.all(); }));
}

}  // namespace

int main(int count, char** words) {
  fmt::print("{:<20}", "milliseconds");
  for (const char* step : {"check", "words", "lay out", "pdf", "charts", "threads", "svg", "png", "all"})
    fmt::print("{:>8}", step);
  fmt::print("\n");
  for (int i = 1; i < count; ++i) measure(words[i]);
}
