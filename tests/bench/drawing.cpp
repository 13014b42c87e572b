// What drawing a chart costs, by ratio in one run.
//
//     wale_drawing_cost              the table: a chart of 40 x 60 squares as PDF and SVG, against cairo
//     called
//                                    barely and against TikZ; and the memory of 400 x 600; exit 1 where a
//                                    bound is broken
//     wale_drawing_cost WHAT COLUMNS ROWS FILE
//                                    one of them once, for a profiler: wale-pdf, wale-svg, wale-tiles,
//                                    wale-pages, cairo-pdf, cairo-svg; or the chart as a source for pdflatex:
//                                    tikz
//
// The bare program has every number ready before the clock starts: it calls cairo and pango for the same
// lines, boxes, symbols and words, and nothing else. What Wale takes more is what it costs to lay the chart
// out. TikZ is timed as a whole program, and so is then Wale. Times are processor time, the least of many
// tries.
#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <fmt/format.h>
#include <pango/pangocairo.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <functional>
#include <memory>

#include "render/chart_layout.hpp"
#include "render/document_layout.hpp"
#include "render/measure.hpp"
#include "render/pdf.hpp"
#include "render/svg.hpp"

using namespace wale::render;

namespace {

constexpr double most_beyond_cairo = 1.5, least_before_tikz = 20, most_megabytes = 64;

/// A lace with a cable on stripes of two colours: half of its squares carry a symbol.
Chart chart_of(int columns, int rows) {
  Chart chart;
  chart.name = chart.title = "bench";
  chart.columns = columns;
  chart.marks = {{"k", 1, "", "", "knit on RS rows; purl on WS rows", "k, p"},
                 {"p", 1, "M.24 .5 L.76 .5", "", "purl on RS rows; knit on WS rows", "p, k"},
                 {"yo", 1, "M.24 .5 A.26 .26 0 1 1 .76 .5 A.26 .26 0 1 1 .24 .5 Z", "", "yarn over", "yo"},
                 {"k2tog", 1, "M.2 .82 L.8 .18", "", "knit 2 together", "k2tog"},
                 {"2-2rc", 4, "M.28 .86 L2.28 .14 M1.72 .86 L3.72 .14 M3.72 .86 L2.6 .66 M.28 .14 L1.4 .34",
                  "", "slip 2 to a cable needle and hold it at the back, knit 2, knit 2 from it", "2/2rc"}};
  chart.tints = {{"A", "Skerry Worsted, Kelp", {47, 93, 80}}, {"B", "Skerry Worsted, Foam", {242, 239, 228}}};
  for (int r = 0; r < rows; ++r) {
    ChartRow row;
    row.label = std::to_string(r + 1);
    row.label_right = r % 2 == 0;
    row.words = "Row " + row.label;
    for (int c = 0; c < columns;) {
      const bool cable = r % 8 == 2 && c % 10 == 0 && c + 4 <= columns;
      Cell cell;
      cell.column = c;
      cell.span = cable ? 4 : 1;
      cell.mark = cable                        ? 4
                  : c % 10 == 4 || c % 10 == 9 ? 1
                  : r % 4 == 0 && c % 2 == 1   ? 2
                  : r % 4 == 0                 ? 3
                                               : c % 3 == 0;
      cell.tint = r / 4 % 2;
      row.cells.push_back(cell);
      c += cell.span;
    }
    row.repeat = ChartRow::Span{0, std::min(10, columns)};
    chart.rows.push_back(std::move(row));
  }
  chart.repeat_meaning = "repeat these 10 stitches";
  return chart;
}

double milliseconds_of(const timeval& user, const timeval& system) {
  return 1e3 * static_cast<double>(user.tv_sec + system.tv_sec) +
         1e-3 * static_cast<double>(user.tv_usec + system.tv_usec);
}

double least_milliseconds(int tries, const std::function<std::size_t()>& work) {
  double least = 1e9;
  for (int i = 0; i < tries; ++i) {
    timespec begin{}, end{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &begin);
    if (work() == 0) std::abort();
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &end);
    least = std::min(least, 1e3 * static_cast<double>(end.tv_sec - begin.tv_sec) +
                                1e-6 * static_cast<double>(end.tv_nsec - begin.tv_nsec));
  }
  return least;
}

std::string wale_pdf(const Chart& chart) {
  std::vector<Drawing> pages;
  pages.push_back(draw_chart(chart));
  return std::get<std::string>(write_pdf(pages));
}
/// Tiled over pages of a document.
std::vector<Drawing> tiled(Chart chart) {
  Document document;
  document.title = chart.title;
  document.blocks.emplace_back(ChartBlock{std::move(chart)});
  return lay_out(document);
}
/// As the program writes it.
std::string wale_pages(Chart chart) {
  return std::get<std::string>(write_pdf(tiled(std::move(chart))));
}
std::string wale_svg(const Chart& chart) {
  return write_svg(draw_chart(chart));
}

/// One primitive with all its numbers; symbols are shapes moved to where they stand.
struct Primitive {
  Path path;
  std::optional<Stroke> stroke;
  std::optional<Colour> fill;
  std::string words;
  Point at;
  double size = 0;
  bool bold = false;
  Colour colour;
};

std::vector<Primitive> primitives_of(const Drawing& drawing) {
  std::vector<Primitive> out;
  const auto shape = [&](Path path, const std::optional<Stroke>& stroke, const std::optional<Colour>& fill) {
    if (!path.segments.empty()) out.push_back({std::move(path), stroke, fill, "", {}, 0, false, {}});
  };
  for (const Item& item : drawing.items) {
    if (const auto* path = std::get_if<PathItem>(&item)) shape(path->path, path->stroke, path->fill);
    if (const auto* rect = std::get_if<RectItem>(&item)) {
      Path box;
      box.add_box(rect->box);
      shape(std::move(box), rect->stroke, rect->fill);
    }
    if (const auto* line = std::get_if<LineItem>(&item)) {
      Path path;
      path.move_to(line->from);
      path.line_to(line->to);
      shape(std::move(path), line->stroke, std::nullopt);
    }
    if (const auto* use = std::get_if<SymbolItem>(&item)) {
      const Symbol& symbol = drawing.symbols[use->symbol];
      shape(scaled(symbol.stroke, 1, 1, use->at), Stroke{symbol.stroke_width, use->colour}, std::nullopt);
      shape(scaled(symbol.fill, 1, 1, use->at), std::nullopt, use->colour);
    }
    if (const auto* text = std::get_if<TextItem>(&item)) {
      const double share = text->anchor == Anchor::start ? 0 : text->anchor == Anchor::middle ? 0.5 : 1;
      out.push_back({{},
                     {},
                     {},
                     text->text,
                     {text->at.x - share * text->width, text->at.y},
                     text->size,
                     text->bold,
                     text->colour});
    }
  }
  return out;
}

cairo_status_t keep(void* closure, const unsigned char* data, unsigned length) {
  static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

void trace(cairo_t* context, const Path& path) {
  for (const Segment& s : path.segments) {
    if (s.kind == Segment::Kind::move) cairo_move_to(context, s.to.x, s.to.y);
    if (s.kind == Segment::Kind::line) cairo_line_to(context, s.to.x, s.to.y);
    if (s.kind == Segment::Kind::curve)
      cairo_curve_to(context, s.control1.x, s.control1.y, s.control2.x, s.control2.y, s.to.x, s.to.y);
    if (s.kind == Segment::Kind::close) cairo_close_path(context);
  }
}

/// The same picture by cairo alone.
std::string bare(const std::vector<Primitive>& primitives, double width, double height, bool pdf) {
  std::string bytes;
  cairo_surface_t* surface = pdf ? cairo_pdf_surface_create_for_stream(keep, &bytes, width, height)
                                 : cairo_svg_surface_create_for_stream(keep, &bytes, width, height);
  cairo_t* context = cairo_create(surface);
  PangoLayout* layout = pango_cairo_create_layout(context);
  const auto ink = [&](Colour c) {
    cairo_set_source_rgb(context, c.red / 255.0, c.green / 255.0, c.blue / 255.0);
  };
  for (const Primitive& each : primitives) {
    if (!each.words.empty()) {
      ink(each.colour);
      PangoFontDescription* font =
          pango_font_description_from_string(each.bold ? "DejaVu Sans Bold" : "DejaVu Sans");
      pango_font_description_set_absolute_size(font, each.size * PANGO_SCALE);
      pango_layout_set_font_description(layout, font);
      pango_font_description_free(font);
      pango_layout_set_text(layout, each.words.c_str(), -1);
      cairo_move_to(context, each.at.x, each.at.y);
      pango_cairo_show_layout_line(context, pango_layout_get_line_readonly(layout, 0));
      cairo_new_path(context);
      continue;
    }
    trace(context, each.path);
    if (each.fill) ink(*each.fill), cairo_fill_preserve(context);
    if (each.stroke) {
      ink(each.stroke->colour);
      cairo_set_line_width(context, each.stroke->width);
      cairo_set_line_cap(context, each.stroke->square ? CAIRO_LINE_CAP_SQUARE : CAIRO_LINE_CAP_ROUND);
      cairo_set_line_join(context, each.stroke->square ? CAIRO_LINE_JOIN_MITER : CAIRO_LINE_JOIN_ROUND);
      cairo_stroke_preserve(context);
    }
    cairo_new_path(context);
  }
  g_object_unref(layout);
  cairo_show_page(context);
  cairo_destroy(context);
  cairo_surface_finish(surface);
  cairo_surface_destroy(surface);
  return bytes;
}

/// The same primitives as a source for pdflatex, with absolute coordinates: the quickest that TikZ can do.
std::string tikz(const std::vector<Primitive>& primitives, double width, double height) {
  std::string out = fmt::format(
      "\\documentclass{{article}}\n\\usepackage{{tikz}}\n\\pagestyle{{empty}}\n\\pdfpagewidth={0:.2f}bp\n"
      "\\pdfpageheight={1:.2f}bp\n\\hoffset=-1in\\voffset=-1in\\oddsidemargin=0pt\\topmargin=0pt\n"
      "\\headheight=0pt\\headsep=0pt\\parindent=0pt\\textwidth={0:.2f}bp\\textheight={1:.2f}bp\n"
      "\\begin{{document}}\n\\begin{{tikzpicture}}[x=1bp,y=-1bp,line cap=round,line join=round]\n"
      "\\useasboundingbox (0,0) rectangle ({0:.2f},{1:.2f});\n",
      width, height);
  const auto colour = [](Colour c) {
    return fmt::format("{{rgb,255:red,{};green,{};blue,{}}}", c.red, c.green, c.blue);
  };
  for (const Primitive& each : primitives) {
    if (!each.words.empty()) {
      std::string words;
      for (const char c : each.words)
        words +=
            std::string("#$%&_{}").find(c) != std::string::npos ? fmt::format("\\{}", c) : std::string(1, c);
      out += fmt::format(
          "\\node[inner sep=0,anchor=base west,font=\\sffamily\\fontsize{{{0:.1f}}}{{{0:.1f}}}\\selectfont] "
          "at "
          "({1:.2f},{2:.2f}) {{{3}}};\n",
          each.size, each.at.x, each.at.y, words);
      continue;
    }
    out += "\\path[";
    if (each.fill) out += "fill=" + colour(*each.fill) + ",";
    if (each.stroke)
      out += fmt::format("draw={},line width={:.2f}bp", colour(each.stroke->colour), each.stroke->width);
    out += "]";
    for (const Segment& s : each.path.segments) {
      if (s.kind == Segment::Kind::move) out += fmt::format(" ({:.2f},{:.2f})", s.to.x, s.to.y);
      if (s.kind == Segment::Kind::line) out += fmt::format(" -- ({:.2f},{:.2f})", s.to.x, s.to.y);
      if (s.kind == Segment::Kind::curve)
        out += fmt::format(" .. controls ({:.2f},{:.2f}) and ({:.2f},{:.2f}) .. ({:.2f},{:.2f})",
                           s.control1.x, s.control1.y, s.control2.x, s.control2.y, s.to.x, s.to.y);
      if (s.kind == Segment::Kind::close) out += " -- cycle";
    }
    out += ";\n";
  }
  return out + "\\end{tikzpicture}\n\\end{document}\n";
}

std::string made(const std::string& what, int columns, int rows) {
  Chart chart = chart_of(columns, rows);
  if (what == "wale-tiles") return std::to_string(tiled(std::move(chart)).size());
  if (what == "wale-pages") return wale_pages(std::move(chart));
  if (what == "wale-pdf") return wale_pdf(chart);
  if (what == "wale-svg") return wale_svg(chart);
  const Drawing drawing = draw_chart(chart);
  const std::vector<Primitive> primitives = primitives_of(drawing);
  if (what == "cairo-pdf" || what == "cairo-svg")
    return bare(primitives, drawing.width, drawing.height, what == "cairo-pdf");
  if (what == "tikz") return tikz(primitives, drawing.width, drawing.height);
  return "";
}

struct Child {
  bool good = false;
  double milliseconds = 0;
  double megabytes = 0;  ///< the most that it held
};

/// Runs a program quietly in `folder`.
Child run(const std::vector<std::string>& words, const std::string& folder) {
  std::fflush(stdout);
  const pid_t child = fork();
  if (child == 0) {
    std::vector<char*> arguments;
    for (const std::string& word : words) arguments.push_back(const_cast<char*>(word.c_str()));
    arguments.push_back(nullptr);
    if (chdir(folder.c_str()) != 0 || !std::freopen("/dev/null", "w", stdout)) _exit(127);
    execvp(arguments[0], arguments.data());
    _exit(127);
  }
  int status = 0;
  rusage used{};
  if (child < 0 || wait4(child, &status, 0, &used) != child) return {};
  return {WIFEXITED(status) && WEXITSTATUS(status) == 0, milliseconds_of(used.ru_utime, used.ru_stime),
          static_cast<double>(used.ru_maxrss) / 1024};
}

bool say(const std::string& what, double first, double second, const char* unit, double ratio, bool held,
         const std::string& aim) {
  fmt::print("{:<34} {:>10.2f} {:>10.2f} {:<3} {:>7.2f}   {}{}\n", what, first, second, unit, ratio, aim,
             held ? "" : "   BROKEN");
  return held;
}

bool measure_times() {
  const Chart chart = chart_of(40, 60);
  const Drawing drawing = draw_chart(chart);
  const std::vector<Primitive> primitives = primitives_of(drawing);
  constexpr int tries = 31;
  bool held = true;
  fmt::print("\n{:<34} {:>10} {:>10} {:<3} {:>7}\n", "40 x 60 squares", "Wale", "cairo", "", "ratio");
  for (const bool pdf : {true, false}) {
    const double ours =
        least_milliseconds(tries, [&] { return (pdf ? wale_pdf(chart) : wale_svg(chart)).size(); });
    const double theirs = least_milliseconds(
        tries, [&] { return bare(primitives, drawing.width, drawing.height, pdf).size(); });
    held &= say(pdf ? "PDF" : "SVG", ours, theirs, "ms", ours / theirs, ours <= most_beyond_cairo * theirs,
                fmt::format("at most {}", most_beyond_cairo));
  }
  return held;
}

bool measure_tikz(const std::string& self, const std::string& folder) {
  std::ofstream(folder + "/chart.tex") << made("tikz", 40, 60);
  const std::vector<std::string> latex{"pdflatex", "-interaction=batchmode", "-halt-on-error", "chart.tex"};
  Child theirs = run(latex, folder);
  if (!theirs.good) {
    fmt::print(
        "\npdflatex with TikZ is not here (Debian: texlive-latex-base, texlive-pictures), so it is not "
        "compared.\n");
    return true;
  }
  double best = theirs.milliseconds, ours = 1e9;
  for (int i = 0; i < 2; ++i) best = std::min(best, run(latex, folder).milliseconds);
  for (int i = 0; i < 9; ++i)
    ours = std::min(ours, run({self, "wale-pdf", "40", "60", "chart.pdf"}, folder).milliseconds);
  fmt::print("\n{:<34} {:>10} {:>10} {:<3} {:>7}\n", "whole programs", "Wale", "TikZ", "", "ratio");
  return say("PDF", ours, best, "ms", best / ours, best >= least_before_tikz * ours,
             fmt::format("at least {:g}", least_before_tikz));
}

bool measure_memory(const std::string& self, const std::string& folder) {
  fmt::print("{:<34} {:>10} {:>10} {:<3} {:>7}\n", "400 x 600 squares, most memory", "drawn", "input", "",
             "beyond");
  const double input = run({self, "input", "400", "600", "none"}, folder).megabytes;
  bool held = true;
  for (const auto& [what, name] : {std::pair{"wale-pdf", "PDF"},
                                   {"wale-svg", "SVG"},
                                   {"wale-tiles", "tiled over pages"},
                                   {"wale-pages", "and written as PDF"}}) {
    const double all = run({self, what, "400", "600", "chart"}, folder).megabytes;
    held &= say(name, all, input, "MB", all - input, all - input <= most_megabytes,
                fmt::format("at most {:g}", most_megabytes));
  }
  return held;
}

}  // namespace

int main(int count, char** words) {
  if (count == 5) {
    const int columns = std::atoi(words[2]), rows = std::atoi(words[3]);
    if (std::string(words[1]) == "input") {
      // The chart, and the fonts that any drawing loads.
      const Chart chart = chart_of(columns, rows);
      return text_width(chart.title, 9) > 0 ? 0 : 1;
    }
    const std::string bytes = made(words[1], columns, rows);
    std::ofstream(words[4], std::ios::binary) << bytes;
    return bytes.empty() ? 1 : 0;
  }
  const std::string self = std::filesystem::read_symlink("/proc/self/exe");
  std::string folder = std::filesystem::temp_directory_path() / ("wale-drawing-" + std::string(6, 'X'));
  if (!mkdtemp(folder.data())) return 1;
  // Memory first: what this process holds when it forks counts for its children.
  const bool memory = measure_memory(self, folder);
  const bool times = measure_times();
  const bool tikz = measure_tikz(self, folder);
  std::filesystem::remove_all(folder);
  return times && tikz && memory ? 0 : 1;
}
