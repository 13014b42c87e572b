#include "compiler/swatch_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/strands.hpp"
#include "compiler/swatch.hpp"

namespace wale {

namespace {

class Reader {
 public:
  Reader(const tree::Swatch& source, const Scope& scope, Diagnostics& diagnostics)
      : source_(source), scope_(scope), diagnostics_(diagnostics) {
    out_.fabric = source.fabric.text;
    out_.span = source.fabric.span;
  }

  std::optional<Swatch> read() {
    if (!is_complete() || !counts() || !edges() || !weight_and_needle() || !sides()) return {};
    return is_possible() ? std::optional(out_) : std::nullopt;
  }

 private:
  bool missing(std::string_view line, std::string_view why, std::string example) {
    diagnostics_
        .add(Kind::swatch_incomplete, source_.fabric.span,
             fmt::format("the swatch of {} has no `{}` line", source_.fabric.text, line))
        .note(std::string(why))
        .try_this(std::move(example));
    return false;
  }

  bool is_complete() {
    // What seems to be missing may stand in a line that could not be read.
    if (!source_.whole) return false;
    if (!source_.stitches)
      return missing(
          "made", "it says how many stitches and rows were measured, what the swatch weighs, and its needle",
          "made 40 st x 56 rows, 21 g, needle 4.5 mm");
    if (source_.before.empty())
      return missing("before", "the size off the needle tells how the fabric grows in the wash",
                     "before 20.5 x 19.0 cm");
    if (source_.after.empty())
      return missing("after", "the gauge is that of the swatch washed and dried: its width, then its height",
                     "after 21.0 x 20.5 cm");
    return true;
  }

  std::optional<long long> count(const tree::Expression& source, std::string_view what) {
    const auto found = evaluate_count(source, scope_, 1, what, diagnostics_);
    if (!found || *found >= fewest_measured) return found;
    diagnostics_.add(Kind::bad_measure, source.span, fmt::format("no gauge can be read from {}", *found))
        .note(fmt::format("each end is read to half a stitch, so {} might as well be {} or {}", *found,
                          *found - 1, *found + 1))
        .try_this("measure 40 stitches and as many rows, 20 at the least");
    return {};
  }

  bool counts() {
    const auto stitches = count(*source_.stitches, "the number of stitches measured");
    const auto rows = count(*source_.rows, "the number of rows measured");
    if (!stitches || !rows) return false;
    out_.stitches = *stitches;
    out_.rows = *rows;
    out_.layers = source_.pairs ? 2 : 1;
    return true;
  }

  bool edges() {
    if (source_.edges.empty()) return true;
    const auto stitches =
        evaluate_count(source_.edges[0], scope_, 0, "the number of edge stitches", diagnostics_);
    const auto rows = evaluate_count(source_.edges[1], scope_, 0, "the number of edge rows", diagnostics_);
    if (!stitches || !rows) return false;
    out_.edge_stitches = *stitches;
    out_.edge_rows = *rows;
    return true;
  }

  bool weight_and_needle() {
    if (source_.mass) {
      const auto grams = evaluate_mass(*source_.mass, scope_, "a swatch's weight", diagnostics_);
      if (!grams) return false;
      out_.grams = *grams;
    }
    if (!source_.needle) return true;
    const auto needle = evaluate_length(*source_.needle, scope_, "a needle's size", diagnostics_);
    if (!needle) return false;
    if (*needle > 10 || *needle < 0.05) {
      diagnostics_
          .add(Kind::bad_measure, source_.needle->span, "a needle is from half a millimetre to 100 mm thick")
          .try_this("needle 4.5 mm");
      return false;
    }
    out_.needle_mm = *needle * 10;
    return true;
  }

  std::optional<Swatch::Size> size(const std::vector<tree::Expression>& source) {
    const auto width = evaluate_length(source[0], scope_, "a swatch's width", diagnostics_);
    const auto height = evaluate_length(source[1], scope_, "a swatch's height", diagnostics_);
    if (!width || !height) return {};
    return Swatch::Size{*width, *height};
  }

  bool sides() {
    const auto before = size(source_.before), after = size(source_.after);
    if (!before || !after) return false;
    out_.before = *before;
    out_.after = *after;
    return true;
  }

  static Span whole(const std::vector<tree::Expression>& sides) { return join(sides[0].span, sides[1].span); }

  bool is_possible() {
    for (const auto& [each, sides] :
         {std::pair{out_.before, &source_.before}, std::pair{out_.after, &source_.after}}) {
      const double st = static_cast<double>(out_.stitches) / each.width,
                   rows = static_cast<double>(out_.rows) / each.height;
      if (st > 0.1 && st < 50 && rows > 0.1 && rows < 50) continue;
      diagnostics_
          .add(Kind::bad_measure, whole(*sides),
               fmt::format(
                   "{} st x {} rows of this size are {:.3g} st and {:.3g} rows to 10 cm, which is no gauge "
                   "that anyone could knit",
                   out_.stitches, out_.rows, 10 * st, 10 * rows))
          .note("hand knitting has from 2 to 60 stitches or rows to 10 cm")
          .try_this("before 20.5 x 19.0 cm");
      return false;
    }
    for (const auto& [growth, i] : {std::pair{width_growth(out_), 0u}, std::pair{height_growth(out_), 1u}}) {
      if (growth > -0.6 && growth < 1.5) continue;
      diagnostics_
          .add(Kind::bad_measure, source_.after[i].span,
               fmt::format("this is {:.3g} times what the swatch measured before it was washed", 1 + growth))
          .label(source_.before[i].span, "before")
          .note("the width comes first, then the height, in both lines");
      return false;
    }
    return true;
  }

  const tree::Swatch& source_;
  const Scope& scope_;
  Diagnostics& diagnostics_;
  Swatch out_;
};

std::string gauge_words(const Swatch& swatch) {
  return fmt::format("{:.3g} {} x {:.3g} rows = 10 cm", stitches_of(swatch).count,
                     swatch.layers == 2 ? "pairs" : "st", rows_of(swatch).count);
}

void warn_if_small(const Swatch& swatch, Diagnostics& diagnostics) {
  const long long fewest = std::min(swatch.stitches, swatch.rows);
  const double shortest = std::min(swatch.after.width, swatch.after.height);
  if (fewest >= enough_measured && shortest >= shortest_side) return;
  const GaugeReading stitches = stitches_of(swatch);
  const double off = 50 * stitches.plus_minus / stitches.count;
  Diagnostic& added = diagnostics.add(
      Kind::swatch_too_small, swatch.span,
      fmt::format("the swatch of {} is too small to trust: {:.1f} st to 10 cm, give or take {:.1f}",
                  swatch.fabric, stitches.count, stitches.plus_minus));
  added.note(fmt::format(
      "{} st and {} rows were measured, each to half a stitch at either end: what should be 50 cm "
      "wide may come out {:.1f} cm wider or narrower",
      swatch.stitches, swatch.rows, off));
  added.try_this(fmt::format("measure 15 cm or more, here about {:.0f} st and {:.0f} rows",
                             std::ceil(1.5 * stitches.count), std::ceil(1.5 * rows_of(swatch).count)));
}

void warn_if_different(const Swatch& swatch, const Gauge& own, Diagnostics& diagnostics) {
  const GaugeReading stitches = stitches_of(swatch), rows = rows_of(swatch);
  const double want_stitches = 10 * own.wales_per_cm(), want_rows = 10 * own.rows_per_cm;
  if (std::abs(stitches.count - want_stitches) <= stitches.plus_minus &&
      std::abs(rows.count - want_rows) <= rows.plus_minus)
    return;
  Diagnostic& added = diagnostics.add(
      Kind::swatch_differs, swatch.span,
      fmt::format(
          "the swatch of {} has {:.1f} st and {:.1f} rows to 10 cm, the pattern's gauge {:.3g} and {:.3g}",
          swatch.fabric, stitches.count, rows.count, want_stitches, want_rows));
  added.label(own.span, "the gauge that the pattern goes by");
  added.note(fmt::format("what the pattern has as 50 cm wide comes out {:.1f} cm, and 50 cm long {:.1f} cm",
                         50 * want_stitches / stitches.count, 50 * want_rows / rows.count));
  if (const auto needle = needle_for(swatch, own))
    added.try_this(fmt::format("swatch again on a {} needle, about {:g} mm",
                               needle->larger ? "larger" : "smaller", needle->mm));
  added.try_this(fmt::format("or let the pattern follow the swatch: gauge {}, in {}", gauge_words(swatch),
                             swatch.fabric));
}

void warn_of_weight(const Swatch& swatch, const Pattern& pattern, const Stitches& stitches,
                    Diagnostics& diagnostics) {
  const auto fabric = std::find_if(pattern.fabrics.begin(), pattern.fabrics.end(),
                                   [&](const Fabric& f) { return f.name == swatch.fabric; });
  if (!(swatch.grams > 0) || fabric == pattern.fabrics.end() || !fabric->good) return;
  const SwatchYarn yarn = yarn_of(swatch, *fabric, pattern, stitches);
  const double over = weighed_over_gauge(swatch, *fabric, pattern, stitches);
  if (!(yarn.metres > 0) || (over >= least_over_gauge && over <= most_over_gauge)) return;
  diagnostics
      .add(Kind::swatch_weight, swatch.span,
           fmt::format(
               "the swatch of {} weighs {:g} g, {:.2g} times what its stitches should take of this yarn",
               swatch.fabric, swatch.grams, over))
      .note(fmt::format("{:g} g would be {:.2g} m of it; the yarn is reckoned from the gauge instead",
                        swatch.grams, yarn.metres))
      .try_this("look at the weight, and at the yarn's: swatch rib with A says which strand it was made in");
}

}  // namespace

std::optional<Swatch> read_swatch(const tree::Swatch& source, const Scope& scope, Diagnostics& diagnostics) {
  return Reader(source, scope, diagnostics).read();
}

void add_swatch_gauges(Pattern& pattern) {
  for (const Swatch& swatch : pattern.swatches) {
    const bool has_own = std::any_of(pattern.gauges.begin(), pattern.gauges.end(),
                                     [&](const Gauge& gauge) { return gauge.fabric == swatch.fabric; });
    if (!has_own) pattern.gauges.push_back(gauge_of(swatch));
  }
}

void find_strands_of_swatches(Pattern& pattern, const std::vector<const tree::Swatch*>& sources,
                              bool declares_strands, Diagnostics& diagnostics) {
  const auto index_in = [](const auto& list, const std::string& name) {
    return std::find_if(list.begin(), list.end(), [&](const auto& each) { return each.name == name; }) -
           list.begin();
  };
  const auto unknown = [&](const auto& list, Kind kind, std::string_view what, const tree::Name& name) {
    std::vector<std::string> names;
    for (const auto& each : list) names.push_back(each.name);
    diagnostics.add(kind, name.span, fmt::format("no {} is called `{}`", what, name.text))
        .try_nearest(name.span, name.text, names);
  };
  for (const tree::Swatch* source : sources) {
    if (index_in(pattern.fabrics, source->fabric.text) == std::ssize(pattern.fabrics))
      unknown(pattern.fabrics, Kind::unknown_fabric, "fabric", source->fabric);
    short strand = declares_strands && !pattern.strands.empty() ? short{0} : short{-1};
    if (source->strand) {
      const auto found = index_in(pattern.strands, source->strand->text);
      if (found == std::ssize(pattern.strands))
        unknown(pattern.strands, Kind::unknown_strand, "strand", *source->strand);
      else
        strand = static_cast<short>(found);
    }
    for (Swatch& swatch : pattern.swatches)
      if (swatch.fabric == source->fabric.text) swatch.strand = strand;
  }
}

void warn_of_swatches(const Pattern& pattern, const Stitches& stitches, bool own_gauge_asked,
                      Diagnostics& diagnostics) {
  for (const Swatch& swatch : pattern.swatches) {
    warn_if_small(swatch, diagnostics);
    const Gauge* gauge = pattern.gauge_for(swatch.fabric);
    if (!own_gauge_asked && gauge && gauge->fabric == swatch.fabric)
      warn_if_different(swatch, *gauge, diagnostics);
    warn_of_weight(swatch, pattern, stitches, diagnostics);
  }
}

std::optional<Yardage> read_yardage(const tree::WrittenFor& source, Span span, const Scope& scope,
                                    Diagnostics& diagnostics) {
  const auto length = evaluate_length(source.length, scope, "how far the yarn goes", diagnostics);
  const auto grams = evaluate_mass(source.mass, scope, "what so much yarn weighs", diagnostics);
  if (!length || !grams) return {};
  const Yardage out{*length / 100, *grams, span};
  if (is_knitting_yarn(tex_of(out))) return out;
  diagnostics
      .add(Kind::bad_measure, span,
           fmt::format("this is a yarn of {:.3g} g to the kilometre, which is no knitting yarn", tex_of(out)))
      .try_this("written for 75 m / 50 g");
  return {};
}

void warn_of_other_weights(const Pattern& pattern, Diagnostics& diagnostics) {
  for (std::size_t i = 0; i < pattern.strands.size(); ++i) {
    const auto strand = static_cast<short>(i);
    const auto found = substitute_of(pattern, strand);
    if (!found || std::abs(found->heavier) <= another_weight || found->swatched) continue;
    const Strand& facts = pattern.strands[i];
    diagnostics
        .add(Kind::another_weight, facts.span,
             fmt::format("strand {} is {}", facts.name, comparison_words(*found, *facts.written_for)))
        .label(facts.written_for->span, "written for this")
        .try_this(advice_words(*found));
  }
}

}  // namespace wale
