// Says what a pattern's files ought to hold, for the scripts beside it.
//
//     page_tool words FILE.wale            what must be read in its PDF: title, yarns, key; one a line
//     page_tool key FILE.wale              the meanings in the keys of its charts, one a line
//     page_tool charts FILE.wale FOLDER    each chart as NAME.svg, NAME.pdf and NAME.png, drawn once and
//                                          written thrice, and with its first symbol moved by one square, or
//                                          gone
//     page_tool views FILE.wale FOLDER     the view of each fabric, likewise: NAME.view.svg and so on
//                                          and with some threads in another colour
//     page_tool pages FILE.wale FOLDER     the pages of its document, page-1.svg and so on
//     page_tool symbols FOLDER             every symbol at 3, 6 and 12 mm: symbols.svg, symbols.png
//     page_tool references ROOT FOLDER     the pictures of tests/render/references, as they are drawn today
//     page_tool svg FILE.svg               faults of an SVG, one a line
//     page_tool yarn FILE.wale FILE.json   faults of a yarn report, one a line
//
// Exit status: 0, or 1 where a fault was found or a file could not be used.
#include "tests/pages/page_tool.hpp"

#include <fmt/format.h>

#include <cstdio>

#include "compiler/fabric_view.hpp"
#include "compiler/files.hpp"
#include "compiler/pattern_document.hpp"
#include "compiler/schematic.hpp"
#include "render/chart_layout.hpp"
#include "render/document_layout.hpp"
#include "render/measure.hpp"
#include "render/pdf.hpp"
#include "render/png.hpp"
#include "render/schematic_layout.hpp"
#include "render/svg.hpp"
#include "tests/render/references.hpp"
#include "tests/unit/symbol_sheet.hpp"

namespace {

using namespace wale;

std::string bytes_of(const std::string& path) {
  std::string reason;
  auto bytes = read_file(path, reason);
  if (!bytes) throw std::runtime_error(path + ": " + reason);
  return std::move(*bytes);
}

struct Compiled {
  Checked checked;
  render::Document document;
  std::vector<render::Chart> charts;
  std::optional<render::Schematic> schematic;
};

Compiled compile(const std::string& path) {
  std::string reason;
  const auto loaded = load_file(path, reason);
  if (!loaded) throw std::runtime_error(path + ": " + reason);
  Checked checked = check(*loaded);
  if (checked.diagnostics.has_errors()) throw std::runtime_error(path + ": has errors");
  const Estimate estimate = estimate_yarn(checked.pattern, *checked.stitches);
  std::vector<const Pattern*> sizes{&checked.pattern};
  for (const Pattern& each : checked.larger) sizes.push_back(&each);
  Family family;
  family.schematic = make_schematic(sizes, {});
  render::Document document =
      make_document(checked.pattern, *checked.stitches, estimate, "untitled", {}, family);
  std::vector<render::Chart> charts = make_charts(checked.pattern, *checked.stitches);
  return {std::move(checked), std::move(document), std::move(charts), std::move(family.schematic)};
}

void say(const std::string& words) {
  fmt::print("{}\n", render::clean_text(words));
}

void print_key(const Compiled& compiled) {
  for (const render::Chart& chart : compiled.charts) {
    for (const render::Mark& mark : chart.marks) say(mark.meaning);
    for (const render::Tint& tint : chart.tints) say(tint.name);
    for (const auto& meaning : {chart.absent_meaning, chart.marker_meaning, chart.repeat_meaning})
      if (meaning) say(*meaning);
  }
}

void print_words(const Compiled& compiled) {
  say(compiled.document.title);
  if (!compiled.document.author.empty()) say(compiled.document.author);
  if (!compiled.checked.pattern.yarns.empty()) say("Materials");
  for (const Yarn& yarn : compiled.checked.pattern.yarns) say(yarn.label);
  print_key(compiled);
}

/// The place of the first symbol in the squares; those of the key stand after them, in no group.
std::size_t first_symbol(const render::Drawing& drawing) {
  int depth = 0;
  for (std::size_t i = 0; i < drawing.items.size(); ++i) {
    if (std::holds_alternative<render::GroupStart>(drawing.items[i])) ++depth;
    if (std::holds_alternative<render::GroupEnd>(drawing.items[i])) --depth;
    if (depth > 0 && std::holds_alternative<render::SymbolItem>(drawing.items[i])) return i;
  }
  return drawing.items.size();
}

std::string pdf_of(const std::vector<render::Drawing>& pages) {
  render::Bytes pdf = render::write_pdf(pages);
  if (const auto* error = std::get_if<render::RenderError>(&pdf)) throw std::runtime_error(error->message);
  return std::move(std::get<std::string>(pdf));
}

std::string png_of(const render::Drawing& drawing, double dots) {
  render::Bytes png = render::write_png(drawing, {.dots_per_inch = dots});
  if (const auto* error = std::get_if<render::RenderError>(&png)) throw std::runtime_error(error->message);
  return std::move(std::get<std::string>(png));
}

std::vector<OutputFile> chart_files(const Compiled& compiled) {
  std::vector<OutputFile> files;
  for (const render::Chart& chart : compiled.charts) {
    render::Drawing drawing = render::draw_chart(chart);
    files.push_back({chart.name + ".svg", render::write_svg(drawing)});
    files.push_back({chart.name + ".pdf", pdf_of({drawing})});
    files.push_back({chart.name + ".png", png_of(drawing, 192)});
    const std::size_t at = first_symbol(drawing);
    if (at == drawing.items.size()) continue;
    auto& symbol = std::get<render::SymbolItem>(drawing.items[at]);
    symbol.at.x += render::natural_cell(chart, {}).width;
    files.push_back({chart.name + ".moved.pdf", pdf_of({drawing})});
    drawing.items.erase(drawing.items.begin() + static_cast<std::ptrdiff_t>(at));
    files.push_back({chart.name + ".gone.pdf", pdf_of({drawing})});
  }
  if (compiled.schematic) {
    const render::Drawing drawing = render::draw_schematic(*compiled.schematic);
    files.push_back({"schematic.svg", render::write_svg(drawing)});
    files.push_back({"schematic.pdf", pdf_of({drawing})});
    files.push_back({"schematic.png", png_of(drawing, 192)});
  }
  return files;
}

std::vector<OutputFile> view_files(const Compiled& compiled) {
  std::vector<OutputFile> files;
  for (const auto& [picture, caption] :
       make_views(compiled.checked.pattern, *compiled.checked.stitches, false)) {
    render::Drawing drawing = render::draw_threads(picture, points_per_wale);
    files.push_back({picture.name + ".view.svg", render::write_svg(drawing)});
    files.push_back({picture.name + ".view.pdf", pdf_of({drawing})});
    files.push_back({picture.name + ".view.png", png_of(drawing, 192)});
    // Of the last threads, which lie in front.
    auto& threads = std::get<render::PathItem>(drawing.items[drawing.items.size() - 2]);
    threads.stroke->colour = render::readable_ink(threads.stroke->colour);
    files.push_back({picture.name + ".view.gone.pdf", pdf_of({drawing})});
  }
  return files;
}

std::vector<OutputFile> page_files(const Compiled& compiled) {
  std::vector<OutputFile> files;
  std::vector<render::Drawing> pages = render::lay_out(compiled.document);
  for (std::size_t i = 0; i < pages.size(); ++i)
    files.push_back({fmt::format("page-{}.svg", i + 1), render::write_svg(pages[i])});
  files.push_back({"pages.pdf", pdf_of(pages)});
  return files;
}

int write(const std::string& folder, const std::vector<OutputFile>& files) {
  if (const auto failure = write_files(folder, files).failure) throw std::runtime_error(*failure);
  return 0;
}

std::vector<OutputFile> symbol_files() {
  const render::Drawing sheet = symbols::sheet(symbols::all_marks());
  return {{"symbols.svg", render::write_svg(sheet)}, {"symbols.png", png_of(sheet, 144)}};
}

std::vector<OutputFile> reference_files(const std::string& root) {
  std::vector<OutputFile> files;
  for (const render::Drawing& drawing : render::sample::reference_drawings(root))
    files.push_back({drawing.name + ".png", png_of(drawing, render::sample::reference_dots)});
  return files;
}

int tell(const std::string& path, const std::vector<std::string>& faults) {
  for (const std::string& fault : faults) fmt::print("{}: {}\n", path, fault);
  return faults.empty() ? 0 : 1;
}

int run(const std::vector<std::string>& words) {
  const auto is = [&](const char* command, std::size_t count) {
    return words.size() == count + 1 && words[0] == command;
  };
  if (is("svg", 1)) return tell(words[1], pages::svg_faults(bytes_of(words[1])));
  if (is("yarn", 2))
    return tell(words[2], pages::yarn_faults(bytes_of(words[2]), compile(words[1]).checked.pattern));
  if (is("charts", 2)) return write(words[2], chart_files(compile(words[1])));
  if (is("references", 2)) return write(words[2], reference_files(words[1]));
  if (is("views", 2)) return write(words[2], view_files(compile(words[1])));
  if (is("symbols", 1)) return write(words[1], symbol_files());
  if (is("pages", 2)) return write(words[2], page_files(compile(words[1])));
  if (is("key", 1)) {
    print_key(compile(words[1]));
    return 0;
  }
  if (!is("words", 1)) throw std::runtime_error("page_tool: see the head of page_tool.cpp");
  print_words(compile(words[1]));
  return 0;
}

}  // namespace

int main(int count, char** words) {
  try {
    return run({words + 1, words + count});
  } catch (const std::exception& error) {
    fmt::print(stderr, "{}\n", error.what());
    return 1;
  }
}
