#include "compiler/swatch_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "compiler/instruction_words.hpp"
#include "compiler/strands.hpp"
#include "render/document_layout.hpp"
#include "render/pdf.hpp"
#include "render/text.hpp"
#include "render/true_size.hpp"

namespace wale {

namespace {

constexpr long long garter_stitches = 3, garter_rows = 6;
/// Of a pattern that gives no gauge and no yarn: a worsted yarn's (Craft Yarn Council: Medium, 16-20 st).
constexpr double usual_stitches = 20, rows_for_stitches = 1.4;
/// Room at the foot of a page for the rulers, in points.
constexpr double ruler_room = 52;
/// Beyond this no one knits a swatch; what is planned sticks there.
constexpr double most_stitches = 1000;

struct Expected {
  double stitches = 0, rows = 0;
  bool guessed = false;
};

/// The gauge of the fabric, or what the first strand's weight lets expect.
Expected expected_gauge(const Pattern& pattern, const Fabric& fabric) {
  if (const Gauge* gauge = pattern.gauge_for(fabric.name))
    return {10 * gauge->wales_per_cm(), 10 * gauge->rows_per_cm, false};
  const auto facts = facts_of(pattern, pattern.strands.empty() ? short{-1} : short{0});
  const double stitches = facts ? facts->stitches : usual_stitches;
  return {stitches, stitches * rows_for_stitches, true};
}

bool is_layered(const Fabric& fabric) {
  return !fabric.rows.empty() && fabric.rows.front().row.back_strand >= 0;
}

SwatchPlan plan(const Pattern& pattern, const Fabric& fabric) {
  SwatchPlan out;
  out.fabric = &fabric;
  const Expected gauge = expected_gauge(pattern, fabric);
  out.stitches_to_10cm = gauge.stitches;
  out.rows_to_10cm = gauge.rows;
  out.by_guess = gauge.guessed;
  const long long layers = is_layered(fabric) ? 2 : 1;
  const auto least = [](double to_10cm) {
    return static_cast<long long>(std::ceil(std::min(most_stitches, to_10cm * least_swatch_cm / 10) - 1e-9));
  };
  const long long wanted = least(gauge.stitches) * layers;
  if (fabric.width.constant()) {
    out.copies = std::max(1LL, (wanted + fabric.width.base - 1) / std::max(1LL, fabric.width.base));
    out.stitches = fabric.width.base * out.copies / layers;
  } else {
    const long long n = std::max(fabric.smallest_n, smallest_n(fabric.width, wanted));
    out.stitches = fabric.width.at(n) / layers;
  }
  const long long cycle = std::max(1LL, fabric.cycle_rows());
  out.rows = (least(gauge.rows) + cycle - 1) / cycle * cycle;
  if (fabric.form == Form::flat && layers == 1 && !fabric.needs_set_up) {
    out.edge_stitches = garter_stitches;
    out.edge_rows = garter_rows;
  }
  return out;
}

class Page {
 public:
  Page(const SwatchPlan& plan, const Pattern& pattern, const Stitches& stitches, Units units)
      : plan_(plan), fabric_(*plan.fabric), pattern_(pattern), stitches_(stitches), units_(units) {}

  render::Document write() {
    out_.title = fmt::format("Swatch of {}{}", fabric_.name,
                             pattern_.title.empty() ? "" : fmt::format(" for {}", pattern_.title));
    out_.author = pattern_.author;
    aim();
    how();
    rows();
    measuring();
    blanks();
    return std::move(out_);
  }

 private:
  void heading(std::string text) { out_.blocks.push_back(render::Heading{2, std::move(text)}); }
  void paragraph(std::string lead, std::string text) {
    render::Paragraph block;
    block.lead = std::move(lead);
    block.text = std::move(text);
    out_.blocks.push_back(std::move(block));
  }

  bool layered() const { return is_layered(fabric_); }
  std::string unit() const { return layered() ? "pairs" : "sts"; }
  bool round() const { return fabric_.form == Form::round; }

  void aim() {
    std::string text = fmt::format("{:.3g} {} and {:.3g} rows to 10 cm (4 in)", plan_.stitches_to_10cm,
                                   unit(), plan_.rows_to_10cm);
    const Gauge* gauge = pattern_.gauge_for(fabric_.name);
    if (plan_.by_guess) text = "no gauge is given; the numbers below are for about " + text;
    if (gauge && gauge->needle_mm)
      text += fmt::format(", on {:g} mm needles or what gives it", *gauge->needle_mm);
    paragraph("Gauge to meet:", capitalised(text) + ".");
    std::string strands;
    std::set<short> used;
    for (const CheckedRow& row : fabric_.rows)
      for (const auto& [key, count] : row.tally) used.insert(key.second);
    if (used.count(-1) > 0 && !pattern_.strands.empty()) used.insert(0);
    for (const short strand : used) {
      if (strand < 0) continue;
      const Strand& facts = pattern_.strands[static_cast<std::size_t>(strand)];
      std::string yarns;
      for (const int yarn : facts.yarns)
        yarns += (yarns.empty() ? "" : " + ") + pattern_.yarns[static_cast<std::size_t>(yarn)].label;
      strands +=
          fmt::format("{}{}{}", strands.empty() ? "" : "; ", facts.name, yarns.empty() ? "" : ", " + yarns);
    }
    if (strands.empty() && pattern_.yarns.size() == 1) strands = pattern_.yarns.front().label;
    if (!strands.empty()) paragraph("Yarn:", strands + ".");
  }

  void how() {
    heading("Knit");
    const long long cast_on = plan_.stitches + 2 * plan_.edge_stitches;
    paragraph("", fmt::format("Cast on {} {}{}.", cast_on, unit(),
                              plan_.edge_stitches == 0
                                  ? ""
                                  : fmt::format(": {} of the fabric, and {} of garter at each side",
                                                plan_.stitches, plan_.edge_stitches)));
    if (plan_.edge_rows > 0)
      paragraph("", fmt::format("Work {} rows of garter (knit every row).", plan_.edge_rows));
    if (fabric_.needs_set_up)
      paragraph(
          "",
          "This fabric begins on stitches that carry yarn overs: first work the set-up rows that the pattern "
          "works before it, and do not count them.");
    std::string body = fmt::format("Work {} {} of {}", plan_.rows, round() ? "rounds" : "rows", fabric_.name);
    if (plan_.copies > 1) body += fmt::format(", {} times side by side", plan_.copies);
    if (plan_.edge_stitches > 0)
      body +=
          fmt::format(", with {} knitted sts at the beginning and the end of every row", plan_.edge_stitches);
    paragraph("", body + ".");
    if (round())
      paragraph(
          "",
          "The fabric is worked in the round, so work from the right side only: at the end of a row do not "
          "turn, slide "
          "the stitches back, and carry the yarn loosely across the back to where the next row begins.");
    if (plan_.edge_rows > 0) paragraph("", fmt::format("Work {} rows of garter.", plan_.edge_rows));
    paragraph("", "Bind off loosely. Cut the ends to a finger's length.");
  }

  void rows() {
    heading(round() ? "Rounds" : "Rows");
    for (const Instruction& line : fabric_instructions(fabric_, stitches_, pattern_.strands).lines)
      paragraph(line.lead, line.text);
  }

  void measuring() {
    heading("Measure");
    paragraph("1.", fmt::format("Off the needle, lying flat and unstretched: the width of the {} {} and the "
                                "height of the {} rows{}.",
                                plan_.stitches, unit(), plan_.rows,
                                plan_.edge_stitches > 0 ? ", without the garter edges" : ""));
    paragraph("2.",
              "Wash it as you will wash the piece, and dry it lying flat, unpinned unless the piece will be "
              "pinned.");
    paragraph("3.", "The same width and height again.");
    paragraph("4.", round()
                        ? std::string("Do not weigh it: the strands across the back would be weighed, too.")
                        : std::string("Its weight when dry, edges and all."));
    paragraph("", fmt::format("Each end is read to half a stitch: {} {} tell the gauge to 1 in {}. The "
                              "rulers below are true where the page was "
                              "printed at 100 %.",
                              plan_.stitches, unit(), plan_.stitches));
  }

  void blanks() {
    heading("Write it into the pattern");
    const std::string blank = "______", sides = units_ == Units::inches ? "in" : "cm";
    const Strand* first = pattern_.strands.empty() ? nullptr : &pattern_.strands.front();
    render::Table table;
    table.rows.push_back({fmt::format("swatch {}{} {{", fabric_.name, first ? " with " + first->name : "")});
    table.rows.push_back(
        {fmt::format("made {} {} x {} rows, {}needle {} mm", plan_.stitches, layered() ? "pairs" : "st",
                     plan_.rows, round() ? "" : blank + " g, ", blank)});
    if (plan_.edge_stitches > 0)
      table.rows.push_back({fmt::format("edges {} st x {} rows", plan_.edge_stitches, plan_.edge_rows)});
    table.rows.push_back({fmt::format("before {} x {} {}", blank, blank, sides)});
    table.rows.push_back({fmt::format("after {} x {} {}", blank, blank, sides)});
    table.rows.push_back({"}"});
    out_.blocks.push_back(std::move(table));
  }

  const SwatchPlan& plan_;
  const Fabric& fabric_;
  const Pattern& pattern_;
  const Stitches& stitches_;
  const Units units_;
  render::Document out_;
};

/// The page is laid out on paper that is shorter by the rulers, which stand below its foot.
void add_pages(const render::Document& document, const render::PageStyle& page,
               std::vector<render::Drawing>& out) {
  render::PageStyle shorter = page;
  shorter.height -= ruler_room;
  for (render::Drawing& drawing : render::lay_out(document, shorter)) {
    drawing.height = page.height;
    render::append(drawing, render::ruler(page.content_width()),
                   {page.margin, shorter.height - page.margin / 4});
    out.push_back(std::move(drawing));
  }
}

}  // namespace

std::vector<SwatchPlan> plan_swatches(const Pattern& pattern) {
  std::set<std::string> worked, measured;
  for (const Piece& piece : pattern.pieces)
    for (const Fabric& fabric : piece.fabrics) worked.insert(fabric.name);
  for (const Swatch& swatch : pattern.swatches) measured.insert(swatch.fabric);
  std::vector<SwatchPlan> out;
  for (const Fabric& fabric : pattern.fabrics)
    if (fabric.good && measured.count(fabric.name) == 0 && (worked.empty() || worked.count(fabric.name) > 0))
      out.push_back(plan(pattern, fabric));
  return out;
}

Outputs make_swatch_pages(const Checked& checked, const std::string& stem, std::optional<std::int64_t> date,
                          const DocumentSettings& settings) {
  Outputs out;
  std::vector<render::Drawing> pages;
  std::string text;
  for (const SwatchPlan& plan : plan_swatches(checked.pattern)) {
    const render::Document document = Page(plan, checked.pattern, *checked.stitches, settings.units).write();
    add_pages(document, page_style(settings), pages);
    text += (text.empty() ? "" : "\n\n") + render::write_text(document);
  }
  render::PdfInfo info;
  info.title =
      fmt::format("Swatches{}", checked.pattern.title.empty() ? "" : " for " + checked.pattern.title);
  info.author = checked.pattern.author;
  info.date = date;
  render::Bytes pdf = render::write_pdf(pages, info);
  if (const auto* error = std::get_if<render::RenderError>(&pdf)) {
    out.failure = error->message;
    return out;
  }
  out.files.push_back({stem + ".swatch.pdf", std::move(std::get<std::string>(pdf))});
  out.files.push_back({stem + ".swatch.txt", std::move(text)});
  return out;
}

}  // namespace wale
