#include "compiler/pattern_document.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <set>

#include "compiler/chart.hpp"
#include "compiler/fabric_view.hpp"
#include "compiler/instruction_words.hpp"
#include "compiler/mirror.hpp"
#include "compiler/notions.hpp"
#include "compiler/piece_charts.hpp"
#include "compiler/piece_measures.hpp"
#include "compiler/stash_document.hpp"
#include "compiler/strand_blocks.hpp"
#include "compiler/yarn_document.hpp"

namespace wale {

namespace {

/// Names that differ only in letters without a place in file names are told apart by a number.
void tell_apart(std::vector<render::Chart>& charts) {
  std::set<std::string> names;
  for (render::Chart& chart : charts) {
    const std::string base = chart.name;
    for (int i = 2; !names.insert(chart.name).second; ++i) chart.name = fmt::format("{}-{}", base, i);
  }
}

// Exact by definition: the international yard and the avoirdupois pound of 1959.
constexpr double metres_per_yard = 0.9144, grams_per_ounce = 453.59237 / 16;

std::string range_words(Range range, std::string_view unit) {
  return fmt::format("about {:g} {} ({:g} to {:g})", rounded(range.middle), unit, rounded(range.low),
                     rounded(range.high));
}

/// The vocabulary is source number 0 (`check`).
constexpr std::uint32_t vocabulary_number = 0;

/// "2 sts", "1 st with its yarn over and 1 st".
std::string loops_words(const std::vector<LoopType>& loops) {
  std::string out;
  for (std::size_t i = 0; i < loops.size();) {
    std::size_t end = i;
    while (end < loops.size() && loops[end] == loops[i]) ++end;
    const bool one = end - i == 1;
    out += (out.empty() ? "" : " and ") + sts(static_cast<long long>(end - i));
    if (loops[i] == LoopType::veiled) out += one ? " with its yarn over" : " with their yarn overs";
    if (loops[i] == LoopType::front) out += " of the near layer";
    if (loops[i] == LoopType::back) out += " of the far layer";
    if (loops[i] == LoopType::any) out += " of any kind";
    i = end;
  }
  return out.empty() ? "no st" : out;
}

class Writer {
 public:
  Writer(const Pattern& pattern, const Stitches& stitches, const Estimate& estimate,
         const DocumentSettings& settings, const Family& family, std::vector<render::Chart> charts,
         std::vector<render::PictureBlock::Each> views)
      : pattern_(pattern),
        stitches_(stitches),
        estimate_(estimate),
        settings_(settings),
        family_(family),
        charts_(std::move(charts)),
        views_(std::move(views)) {
    for (const render::Chart& chart : charts_)
      if (!chart.about.empty()) chart_names_.emplace(chart.about, chart.name);
  }

  render::Document write(const std::string& name) {
    out_.title = pattern_.title.empty() ? name : pattern_.title;
    out_.author = pattern_.author;
    parts_ = all_instructions(pattern_, stitches_, settings_);
    for (InstructionPart& each : parts_)
      if (each.fabric) each.chart = chart_of(*each.fabric);
    handedness();
    materials();
    gauge();
    sizes();
    schematic();
    views();
    abbreviations();
    charts();
    safety();
    instructions();
    notes();
    return std::move(out_);
  }

 private:
  void heading(int level, std::string text) {
    out_.blocks.push_back(render::Heading{level, std::move(text)});
  }
  void paragraph(std::string lead, std::string text) {
    render::Paragraph block;
    block.lead = std::move(lead);
    block.text = std::move(text);
    out_.blocks.push_back(std::move(block));
  }

  void handedness() {
    if (!settings_.mirror) return;
    paragraph(
        "Mirrored for left-handed knitting:",
        "Work from left to right, as a right-handed knitter seen in a mirror. The charts are mirrored: RS "
        "rows begin at the left. Row by row the stitches are the same; left and right are exchanged in what "
        "they are called, and the piece comes out as its mirror image, letters and pictures with it.");
  }

  bool inches() const { return settings_.units == Units::inches; }

  /// "100 g = 200 m", or "3.5 oz = 219 yd (100 g = 200 m)".
  std::string put_up(const Yarn& yarn) const {
    const std::string metric = fmt::format("{:g} g = {:g} m", yarn.grams, yarn.metres);
    if (!inches()) return metric;
    return fmt::format("{:.3g} oz = {:.0f} yd ({})", yarn.grams / grams_per_ounce,
                       yarn.metres / metres_per_yard, metric);
  }

  std::string need(const YarnEstimate& yarn) const {
    const std::string metric =
        fmt::format("{:g} g, {:g} m", rounded(yarn.grams.middle), rounded(yarn.metres.middle));
    if (!inches()) return metric;
    return fmt::format("{:g} oz, {:g} yd ({})", rounded(yarn.grams.middle / grams_per_ounce),
                       rounded(yarn.metres.middle / metres_per_yard), metric);
  }

  static const YarnEstimate* estimate_of(const Estimate& estimate, std::size_t yarn) {
    const auto found = std::find_if(estimate.yarns.begin(), estimate.yarns.end(),
                                    [&](const YarnEstimate& e) { return e.yarn == static_cast<int>(yarn); });
    return found == estimate.yarns.end() ? nullptr : &*found;
  }

  /// A column for each size: the weight, and the balls to buy in brackets.
  void yarn_by_size() {
    render::Table table;
    table.header.push_back(inches() ? "You need, oz (balls)" : "You need, g (balls)");
    table.numeric.push_back(false);
    for (const Pattern* each : family_.sizes) {
      table.header.push_back(each->size);
      table.numeric.push_back(true);
    }
    for (std::size_t yarn = 0; yarn < pattern_.yarns.size(); ++yarn) {
      std::vector<std::string> cells{pattern_.yarns[yarn].label};
      for (const Estimate& estimate : family_.estimates) {
        const YarnEstimate* found = estimate_of(estimate, yarn);
        const double unit = inches() ? grams_per_ounce : 1;
        cells.push_back(found ? fmt::format("{:g} ({})", rounded(found->grams.middle / unit), found->balls)
                              : "-");
      }
      table.rows.push_back(std::move(cells));
    }
    out_.blocks.push_back(std::move(table));
  }

  void materials() {
    if (pattern_.yarns.empty()) return;
    heading(2, "Materials");
    render::Table table;
    table.header = {"Yarn", "Put-up", "Used for", "You need", "Buy"};
    table.numeric = {false, false, false, false, true};
    // In several sizes what is needed has a table of its own.
    const bool several = family_.sizes.size() > 1;
    if (several) table.header.resize(3), table.numeric.resize(3);
    for (std::size_t i = 0; i < pattern_.yarns.size(); ++i) {
      const Yarn& yarn = pattern_.yarns[i];
      std::string strands;
      for (const Strand& strand : pattern_.strands) {
        const auto ends = std::count(strand.yarns.begin(), strand.yarns.end(), static_cast<int>(i));
        if (ends > 0)
          strands += fmt::format("{}{}{}", strands.empty() ? "" : ", ", strand.name,
                                 ends > 1 ? fmt::format(" ({} ends)", ends) : "");
      }
      std::vector<std::string> cells{yarn.label, put_up(yarn), strands};
      if (!several) {
        const YarnEstimate* found = estimate_of(estimate_, i);
        cells.push_back(found ? need(*found) : "-");
        cells.push_back(found ? fmt::format("{}", found->balls) : "-");
      }
      table.rows.push_back(std::move(cells));
      table.swatches.push_back(
          yarn.colour ? std::optional(render::Colour{yarn.colour->red, yarn.colour->green, yarn.colour->blue})
                      : std::nullopt);
    }
    out_.blocks.push_back(std::move(table));
    if (several && estimate_.missing.empty()) yarn_by_size();
    const std::vector<std::string> also = notions(pattern_, settings_.units);
    if (!also.empty()) paragraph("Also:", fmt::format("{}.", fmt::join(also, "; ")));
    stash();
    // A file of nothing but yarn is the list of what is on the shelf.
    if (!estimate_.missing.empty() && (!pattern_.pieces.empty() || pattern_.stash.empty()))
      paragraph("", fmt::format("No amounts are given: {}.", estimate_.missing));
    append(strand_blocks(pattern_, stitches_, settings_.units));
  }

  void append(std::vector<render::Block> blocks) {
    for (render::Block& block : blocks) out_.blocks.push_back(std::move(block));
  }

  void stash() {
    const bool alone = family_.sizes.empty();
    const std::vector<const Pattern*> sizes = alone ? std::vector{&pattern_} : family_.sizes;
    const auto here = std::find(sizes.begin(), sizes.end(), &pattern_) - sizes.begin();
    for (render::Block& block : stash_blocks(sizes, alone ? std::vector{estimate_} : family_.estimates,
                                             static_cast<std::size_t>(here), settings_.units))
      out_.blocks.push_back(std::move(block));
  }

  void gauge() {
    if (pattern_.gauges.empty()) return;
    heading(2, "Gauge and needles");
    for (const Gauge& each : pattern_.gauges) {
      std::string text =
          fmt::format("{:g} {} and {:g} rows to {}", std::round(each.wales_per_cm() * 100) / 10,
                      each.layers == 2 ? "pairs" : "sts", std::round(each.rows_per_cm * 100) / 10,
                      inches() ? "4 in (10 cm)" : "10 cm (4 in)");
      if (!each.fabric.empty()) text += fmt::format(" in {}", each.fabric);
      if (each.needle_mm)
        text += fmt::format(", on {:g} mm needles or the size that gives this gauge", *each.needle_mm);
      paragraph("", text + ".");
    }
    append(swatch_blocks(pattern_, stitches_, settings_.units));
  }

  void sizes() {
    if (pattern_.pieces.empty() || pattern_.gauges.empty()) return;
    heading(2, family_.sizes.size() > 1 ? "Finished sizes" : "Finished size");
    if (family_.sizes.size() > 1) {
      out_.blocks.push_back(finished_sizes(family_.sizes, settings_.units));
    } else {
      for (const Piece& piece : pattern_.pieces) {
        if (!has_finished_size(piece)) continue;
        const PieceMeasures measures = measures_of(piece, pattern_);
        paragraph(capitalised(piece.name) + ":",
                  fmt::format("{} {}, {} long, at this gauge.",
                              length_words(std::round(measures.width * 2) / 2, settings_.units),
                              piece.form == Form::round ? "around at the widest" : "wide at the widest",
                              length_words(std::round(measures.length * 2) / 2, settings_.units)));
      }
    }
    compared();
  }

  /// Another gauge or other measures: what they change, and whose numbers to follow in a printed copy.
  void compared() {
    if (!family_.as_written.sizes.empty()) {
      render::Table changed =
          what_changed(family_.as_written, {family_.sizes, family_.estimates}, settings_.units);
      if (!changed.rows.empty()) {
        heading(3, "What changed from the numbers as written");
        out_.blocks.push_back(std::move(changed));
      }
    }
    if (family_.written.empty()) return;
    heading(3, "If you follow the numbers of the written gauge");
    out_.blocks.push_back(written_numbers_at(family_.written, family_.sizes, settings_.units));
  }

  void schematic() {
    if (!family_.schematic) return;
    heading(2, "Schematic");
    out_.blocks.push_back(render::SchematicBlock{*family_.schematic});
  }

  /// What a stitch of the pattern's own takes and leaves: nobody can know it.
  static std::string sum_of(const Stitch& stitch) {
    if (stitch.span.source == vocabulary_number) return "";
    return fmt::format(" (over {}, leaves {}{})", loops_words(stitch.takes),
                       stitch.passes_on ? std::string("them as they are") : loops_words(stitch.gives),
                       stitch.shows_purl ? ", purl side towards you" : "");
  }

  void abbreviations() {
    std::map<std::string, std::string> used;
    const auto add = [&](const std::vector<CheckedRow>& rows) {
      for (const CheckedRow& row : rows)
        for (const auto& [key, count] : row.tally) {
          const Stitch& stitch = stitches_[key.first];
          const bool right_side = row.row.side == Side::right;
          std::string& says = used[written_name(stitch)];
          if (says.empty() || right_side)
            says = stitch.says_on(right_side) +
                   (right_side || stitch.says_wrong.empty() ? "" : " (on a WS row)") + sum_of(stitch);
        }
    };
    bool flat = false, round = false;
    for (const Fabric& fabric : pattern_.fabrics) {
      if (fabric.good) add(fabric.rows);
      (fabric.form == Form::round ? round : flat) = true;
    }
    const std::function<void(const Step&)> from_step = [&](const Step& step) {
      add(step.rows);
      for (const Step& inner : step.steps) from_step(inner);
    };
    for (const Piece& piece : pattern_.pieces) {
      (piece.form == Form::round ? round : flat) = true;
      for (const Step& step : piece.steps) from_step(step);
      for (const Fabric& fabric : piece.fabrics) add(fabric.rows);
    }
    if (used.empty()) return;
    if (flat) {
      used["RS"] = "right side";
      used["WS"] = "wrong side";
    }
    if (round) used["rnd(s)"] = "round(s)";
    used["st(s)"] = "stitch(es)";
    used["rep"] = "repeat";
    for (const InstructionPart& each : parts_)
      for (const Instruction& line : each.lines) {
        if (line.lead.find("(WS)") != std::string::npos) used["WS"] = "wrong side";
        if (line.text.find("(inc ") != std::string::npos) used["inc"] = "increase";
        if (line.text.find("(dec ") != std::string::npos) used["dec"] = "decrease";
      }
    out_.blocks.push_back(render::Heading{2, "Abbreviations", true});
    render::Table table;
    for (const auto& [name, says] : used) table.rows.push_back({name, says});
    out_.blocks.push_back(std::move(table));
  }

  void views() {
    if (views_.empty()) return;
    heading(2, views_.size() == 1 ? "The fabric, right side" : "The fabrics, right side");
    out_.blocks.push_back(render::PictureBlock{std::move(views_)});
  }

  void charts() {
    if (charts_.empty()) return;
    heading(2, charts_.size() == 1 ? "Chart" : "Charts");
    for (render::Chart& chart : charts_) out_.blocks.push_back(render::ChartBlock{std::move(chart)});
  }

  void part(const InstructionPart& part) {
    out_.blocks.push_back(render::Heading{3, part.heading, false, part.chart});
    for (const Instruction& line : part.lines) {
      paragraph(line.lead, line.text);
      auto& block = std::get<render::Paragraph>(out_.blocks.back());
      for (const auto& [words, fabric] : line.fabrics)
        if (const std::string chart = chart_of(part.piece->fabrics[static_cast<std::size_t>(fabric)]);
            !chart.empty())
          block.mentions.push_back({words, chart});
      if (part.chart.empty()) continue;
      for (const std::string& row : line.rows) block.chart_rows.push_back(part.chart + "/" + row);
    }
  }

  /// The name of its chart; nothing where it has none, or one that is worked the other way.
  std::string chart_of(const Fabric& fabric) const {
    const auto written = std::find_if(pattern_.fabrics.begin(), pattern_.fabrics.end(),
                                      [&](const Fabric& f) { return f.name == fabric.name; });
    if (written != pattern_.fabrics.end() && written->form != fabric.form) return "";
    const auto found = chart_names_.find(fabric.name);
    return found == chart_names_.end() ? "" : found->second;
  }

  /// What can catch or come off is for those who know whom the piece is for.
  void safety() {
    const std::vector<Caution> all = cautions(pattern_);
    if (all.empty()) return;
    heading(2, "Safety");
    for (const Caution& each : all) paragraph(each.about, each.text);
  }

  void instructions() {
    if (parts_.empty()) return;
    out_.blocks.push_back(render::Heading{2, "Instructions", true});
    for (const InstructionPart& each : parts_) part(each);
  }

  void notes() {
    if (!estimate_.missing.empty() || estimate_.strands.empty()) return;
    out_.blocks.push_back(render::Heading{2, "How the yarn was reckoned", true});
    for (const StrandEstimate& strand : estimate_.strands) {
      const std::string name =
          strand.strand < 0 ? "Yarn"
                            : "Strand " + pattern_.strands[static_cast<std::size_t>(strand.strand)].name;
      paragraph(name + ":", (inches() ? range_words(strand.metres * (1 / metres_per_yard), "yd")
                                      : range_words(strand.metres, "m")) +
                                ".");
    }
    // A single amount has been said; one for each of many sizes in a cell could not be read. All stand in the
    // yarn's own document.
    if (family_.sizes.size() <= 1)
      if (render::Table table = amounts_by_piece(pattern_, estimate_, settings_.units); table.rows.size() > 1)
        out_.blocks.push_back(std::move(table));
    for (const std::string& assumption : estimate_.assumptions) paragraph("", assumption);
  }

  const Pattern& pattern_;
  const Stitches& stitches_;
  const Estimate& estimate_;
  const DocumentSettings& settings_;
  const Family& family_;
  std::vector<render::Chart> charts_;
  std::map<std::string, std::string> chart_names_;  ///< By what they are about.
  std::vector<render::PictureBlock::Each> views_;
  std::vector<InstructionPart> parts_;
  render::Document out_;
};

}  // namespace

std::vector<render::Chart> make_charts(const Pattern& pattern, const Stitches& stitches,
                                       const DocumentSettings& settings) {
  if (settings.mirror) {
    DocumentSettings plain = settings;
    plain.mirror = false;
    std::vector<render::Chart> out = make_charts(pattern, stitches.mirrored(), plain);
    for (render::Chart& chart : out) chart = mirrored(std::move(chart));
    return out;
  }
  std::vector<render::Chart> out;
  for (const Fabric& fabric : pattern.fabrics)
    if (auto chart = draw_as_worked(fabric, pattern, stitches)) out.push_back(std::move(*chart));
  tell_apart(out);
  return out;
}

std::vector<render::Chart> make_piece_charts(const std::vector<const Pattern*>& sizes,
                                             const Stitches& stitches, const DocumentSettings& settings) {
  if (!settings.mirror) return piece_charts(sizes, stitches);
  std::vector<render::Chart> out = piece_charts(sizes, stitches.mirrored());
  for (render::Chart& chart : out) chart = mirrored(std::move(chart));
  return out;
}

std::vector<render::Chart> make_all_charts(const std::vector<const Pattern*>& sizes, const Stitches& stitches,
                                           const DocumentSettings& settings) {
  return make_all_charts(*sizes.front(), stitches, settings, make_piece_charts(sizes, stitches, settings));
}

std::vector<render::Chart> make_all_charts(const Pattern& smallest, const Stitches& stitches,
                                           const DocumentSettings& settings,
                                           const std::vector<render::Chart>& of_pieces) {
  std::vector<render::Chart> out = make_charts(smallest, stitches, settings);
  out.insert(out.end(), of_pieces.begin(), of_pieces.end());
  tell_apart(out);
  return out;
}

render::Document make_document(const Pattern& pattern, const Stitches& stitches, const Estimate& estimate,
                               const std::string& name, const DocumentSettings& settings,
                               const Family& family) {
  std::vector<render::Chart> charts = make_charts(pattern, stitches, settings);
  std::vector<render::PictureBlock::Each> views =
      family.views ? *family.views : make_views(pattern, stitches, settings.mirror);
  charts.insert(charts.end(), family.charts.begin(), family.charts.end());
  if (!settings.mirror)
    return Writer(pattern, stitches, estimate, settings, family, std::move(charts), std::move(views))
        .write(name);
  const Stitches renamed = stitches.mirrored();
  return Writer(pattern, renamed, estimate, settings, family, std::move(charts), std::move(views))
      .write(name);
}

}  // namespace wale
