#include "compiler/check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "compiler/fabric.hpp"
#include "compiler/floats.hpp"
#include "compiler/piece.hpp"
#include "compiler/resolve.hpp"
#include "compiler/values.hpp"
#include "grammar/parser.hpp"
#include "grammar/vocabulary.hpp"

namespace wale {

namespace {

/// Two strands whose colours have a lower ratio than this are hard to tell apart. 3 : 1 is what WCAG 2.1 asks
/// of graphical objects (success criterion 1.4.11); knitters' own test is the black-and-white photograph
/// (common practice).
constexpr double least_contrast = 3;

class Checker {
 public:
  Checker(const Source& source, Checked& out) : source_(source), out_(out), diagnostics_(out.diagnostics) {}

  void run() {
    const tree::Pattern tree = parse(source_, diagnostics_);
    const tree::Pattern vocabulary = parse(vocabulary_source(), diagnostics_);
    out_.stitches = std::make_unique<Stitches>(vocabulary, diagnostics_);
    for_each<tree::Stitch>(
        tree, [&](const tree::Stitch& stitch, Span) { out_.stitches->add(stitch, diagnostics_); });
    out_.stitches->complete(diagnostics_);
    declarations(tree);
    fabrics(tree);
    pieces(tree);
    contrast();
    warn_of_floats(out_.pattern, *out_.stitches, diagnostics_);
    diagnostics_.sort();
  }

 private:
  template <typename What, typename Use>
  static void for_each(const tree::Pattern& tree, Use use) {
    for (const tree::Declaration& declaration : tree.declarations)
      if (const auto* what = std::get_if<What>(&declaration.what)) use(*what, declaration.span);
  }

  void once(std::string& field, const tree::Text& text, std::string_view what) {
    if (!field.empty())
      diagnostics_.add(Kind::duplicate_name, text.span, fmt::format("the pattern has {} already", what));
    else
      field = text.text;
  }

  bool is_new(const tree::Name& name, std::string_view what) {
    const auto [first, inserted] = names_.insert({{what, name.text}, name.span});
    if (!inserted)
      diagnostics_
          .add(Kind::duplicate_name, name.span, fmt::format("there are two {} called `{}`", what, name.text))
          .label(first->second, "the first one");
    return inserted;
  }

  void declarations(const tree::Pattern& tree) {
    for_each<tree::Title>(tree,
                          [&](const tree::Title& t, Span) { once(out_.pattern.title, t.text, "a title"); });
    for_each<tree::By>(tree,
                       [&](const tree::By& t, Span) { once(out_.pattern.author, t.text, "an author"); });
    for_each<tree::Yarn>(tree, [&](const tree::Yarn& y, Span) { yarn(y); });
    for_each<tree::Strand>(tree, [&](const tree::Strand& s, Span) { strand(s); });
    for_each<tree::Gauge>(tree, [&](const tree::Gauge& g, Span span) { gauge(g, span); });
    scope_.gauge = out_.pattern.gauges.empty() ? nullptr : &out_.pattern.gauges.front();
    for_each<tree::Measure>(tree, [&](const tree::Measure& m, Span) { measure(m); });
    for_each<tree::Sizes>(
        tree, [&](const tree::Sizes&, Span s) { refuse(s, "`sizes`", "write the numbers of one size"); });
    for_each<tree::Use>(
        tree, [&](const tree::Use&, Span s) { refuse(s, "`use`", "copy the declarations into this file"); });
    for_each<tree::Stash>(tree, [&](const tree::Stash&, Span s) { leave_out(s, "the stash"); });
    for_each<tree::Swatch>(tree, [&](const tree::Swatch&, Span s) { leave_out(s, "the swatch"); });
    for_each<tree::Season>(tree, [&](const tree::Season&, Span s) { leave_out(s, "the season"); });
    for_each<tree::WrittenFor>(tree, [&](const tree::WrittenFor&, Span s) {
      leave_out(s, "the yarn that the pattern was written for");
    });
  }

  void measure(const tree::Measure& source) {
    const std::string& name = source.name.text;
    if (!is_new(source.name, "measures")) return;
    if (const auto value = evaluate(source.value, scope_, diagnostics_))
      scope_.measures[name] = *value;
    else
      scope_.unclear.insert(name);
  }

  void refuse(Span span, std::string_view what, std::string help) {
    diagnostics_.add(Kind::not_yet, span, fmt::format("{} is read, but not worked out yet", what))
        .try_this(std::move(help));
  }
  void leave_out(Span span, std::string_view what) {
    diagnostics_.add(Kind::not_yet_used, span,
                     fmt::format("{} is read, but left out of the sums so far", what));
  }

  void yarn(const tree::Yarn& source) {
    if (!is_new(source.name, "yarns")) return;
    const auto grams = evaluate_mass(source.mass, scope_, "a ball's weight", diagnostics_);
    const auto length = evaluate_length(source.length, scope_, "a ball's length", diagnostics_);
    if (!grams || !length) return;
    Yarn out{source.name.text, source.label.text, *grams, *length / 100, {}, source.name.span};
    // Sewing thread is about 10 tex and rope-thick roving under 20,000: what lies outside is a slip of the
    // pen.
    const double tex = 1000 * out.grams / out.metres;
    if (tex < 5 || tex > 50'000)
      diagnostics_.add(
          Kind::bad_measure, join(source.mass.span, source.length.span),
          fmt::format("this makes a yarn of {:.3g} g to the kilometre, which is no knitting yarn", tex));
    if (source.colour) {
      const unsigned long value = std::stoul(source.colour->text.substr(1), nullptr, 16);
      out.colour = Rgb{static_cast<unsigned char>(value >> 16), static_cast<unsigned char>(value >> 8 & 0xFF),
                       static_cast<unsigned char>(value & 0xFF)};
    }
    yarns_[out.name] = static_cast<int>(out_.pattern.yarns.size());
    out_.pattern.yarns.push_back(std::move(out));
  }

  void strand(const tree::Strand& source) {
    declares_strands_ = true;
    if (!is_new(source.name, "strands")) return;
    if (out_.pattern.strands.size() >= 100) {
      diagnostics_.add(Kind::unknown_strand, source.name.span, "a pattern has at most 100 strands");
      return;
    }
    Strand out{source.name.text, {}, source.name.span};
    for (const tree::Name& end : source.ends) {
      if (const auto found = yarns_.find(end.text); found != yarns_.end()) {
        out.yarns.push_back(found->second);
        continue;
      }
      std::vector<std::string> names;
      if (!diagnostics_.full())
        for (const Yarn& yarn : out_.pattern.yarns) names.push_back(yarn.name);
      Diagnostic& added =
          diagnostics_.add(Kind::unknown_yarn, end.span, fmt::format("no yarn is called `{}`", end.text));
      if (const auto near = nearest_name(end.text, names))
        added.try_this(*near).mend(end.span, *near);
      else
        added.try_this(fmt::format("yarn {} \"its name\" 100 g = 200 m", end.text));
    }
    out_.pattern.strands.push_back(std::move(out));
  }

  void gauge(const tree::Gauge& source, Span span) {
    const auto stitches = evaluate(source.stitches, scope_, diagnostics_);
    const auto rows = evaluate(source.rows, scope_, diagnostics_);
    const auto over =
        evaluate_length(source.over, scope_, "the width that the gauge is measured over", diagnostics_);
    if (!stitches || !rows || !over) return;
    Gauge out;
    out.span = span;
    for (const auto& [value, where] :
         {std::pair{*stitches, source.stitches.span}, std::pair{*rows, source.rows.span}}) {
      const double per_cm = value.value / *over;
      if (value.dimension == Dimension::count && per_cm > 0.1 && per_cm < 50) continue;
      diagnostics_.add(Kind::bad_measure, where, "this is no gauge that anyone could knit")
          .note("hand knitting has from 2 to 60 stitches or rows to 10 cm")
          .try_this("gauge 20 st x 28 rows = 10 cm");
      return;
    }
    out.layers = source.pairs ? 2 : 1;
    out.stitches_per_cm = stitches->value * out.layers / *over;
    out.rows_per_cm = rows->value / *over;
    if (source.needle) {
      const auto needle = evaluate_length(*source.needle, scope_, "a needle's size", diagnostics_);
      if (!needle) return;
      if (*needle > 10) {
        diagnostics_.add(Kind::bad_measure, source.needle->span, "a needle is at most 100 mm thick")
            .try_this("needle 4.5 mm");
        return;
      }
      out.needle_mm = *needle * 10;
    }
    if (source.fabric) {
      out.fabric = source.fabric->text;
      gauge_fabrics_.push_back(*source.fabric);
    }
    out_.pattern.gauges.push_back(std::move(out));
  }

  void fabrics(const tree::Pattern& tree) {
    Resolver resolver(*out_.stitches, out_.pattern.strands, declares_strands_, diagnostics_);
    for_each<tree::Fabric>(tree, [&](const tree::Fabric& source, Span) {
      if (!is_new(source.name, "fabrics")) return;
      Fabric out;
      out.name = source.name.text;
      out.span = source.name.span;
      out.form = source.form == tree::Form::round ? Form::round : Form::flat;
      out.width = {source.width.per_n, source.width.base};
      out.every_row_alike = source.pictures.empty() &&
                            std::all_of(source.rows.begin(), source.rows.end(), [](const tree::Row& row) {
                              return row.label.by_default == tree::RowLabel::Default::every;
                            });
      if (smallest_n(out.width, 1) < 0) {
        diagnostics_.add(Kind::bad_measure, source.width.span, "a fabric has at least one stitch");
      } else if (auto rows = resolver.fabric_rows(source, out.height)) {
        for (Row& row : *rows) {
          out.rows.emplace_back();
          out.rows.back().row = std::move(row);
        }
        // That it is too much is said once.
        if (out_.effort.too_much()) return;
        prove(out, *out_.stitches, out_.pattern.strands, diagnostics_, out_.effort);
      }
      out_.pattern.fabrics.push_back(std::move(out));
    });
    for (const tree::Name& name : gauge_fabrics_) {
      const bool known = names_.count({"fabrics", name.text}) > 0;
      if (!known)
        diagnostics_.add(Kind::unknown_fabric, name.span, fmt::format("no fabric is called `{}`", name.text));
    }
  }

  void pieces(const tree::Pattern& tree) {
    // A piece refers to its fabrics by what they are proved to be, so they must not move from here on.
    for_each<tree::Piece>(tree, [&](const tree::Piece& source, Span) {
      if (!is_new(source.name, "pieces") || out_.effort.too_much()) return;
      const Shelf shelf{out_.pattern,      scope_,      *out_.stitches, out_.pattern.strands,
                        declares_strands_, out_.effort, help_};
      out_.pattern.pieces.push_back(work_piece(source, shelf, diagnostics_));
    });
  }

  /// Strands that stand in one fabric side by side must be told apart.
  void contrast() {
    std::set<std::pair<short, short>> seen;
    for (const Fabric& fabric : out_.pattern.fabrics) {
      std::set<short> used;
      for (const CheckedRow& row : fabric.rows)
        for (const auto& [key, count] : row.tally)
          if (key.second >= 0) used.insert(key.second);
      for (const short a : used)
        for (const short b : used)
          if (a < b && seen.insert({a, b}).second) compare(fabric, a, b);
    }
  }

  std::optional<Rgb> colour_of(short strand) const {
    const Strand& s = out_.pattern.strands[static_cast<std::size_t>(strand)];
    if (s.yarns.empty()) return {};
    return out_.pattern.yarns[static_cast<std::size_t>(s.yarns.front())].colour;
  }

  void compare(const Fabric& fabric, short a, short b) {
    const auto first = colour_of(a), second = colour_of(b);
    if (!first || !second) return;
    const double ratio = contrast_ratio(*first, *second);
    if (ratio >= least_contrast) return;
    const auto& strands = out_.pattern.strands;
    diagnostics_
        .add(Kind::hard_to_tell_apart, fabric.span,
             fmt::format("strands {} and {} are hard to tell apart: contrast {:.1f} : 1",
                         strands[static_cast<std::size_t>(a)].name, strands[static_cast<std::size_t>(b)].name,
                         ratio))
        .note("colours read apart when they differ in lightness, 3 : 1 or more by the WCAG 2.x formula")
        .try_this("look at both in a black-and-white photograph, or choose a lighter and a darker yarn");
  }

  const Source& source_;
  Checked& out_;
  Diagnostics& diagnostics_;
  Scope scope_;
  std::map<std::pair<std::string_view, std::string>, Span> names_;  ///< by what they name
  std::map<std::string, int> yarns_;
  bool declares_strands_ = false;
  Effort help_{2'500'000};
  std::vector<tree::Name> gauge_fabrics_;
};

/// WCAG 2.x relative luminance of an sRGB colour.
double luminance(Rgb colour) {
  const auto linear = [](unsigned char channel) {
    const double c = channel / 255.0;
    return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * linear(colour.red) + 0.7152 * linear(colour.green) + 0.0722 * linear(colour.blue);
}

}  // namespace

double contrast_ratio(Rgb a, Rgb b) {
  const double first = luminance(a), second = luminance(b);
  return (std::max(first, second) + 0.05) / (std::min(first, second) + 0.05);
}

Source vocabulary_source() {
  return Source("vocabulary.wale", std::string(vocabulary_text), 0);
}

Checked check(const Source& source) {
  Checked out;
  if (source.text().size() > largest_source) {
    out.diagnostics
        .add(Kind::file_too_large, {0, 0, source.number()},
             "this file is larger than 1 MiB, and no pattern is")
        .try_this("put the pieces into files of their own");
    return out;
  }
  std::size_t bad = find_invalid_utf8(source.text());
  bad = std::min(bad, source.text().find('\0'));
  if (bad != std::string::npos) {
    const auto at = static_cast<std::uint32_t>(bad);
    out.diagnostics.add(Kind::not_text, {at, at + 1, source.number()}, "this is not UTF-8 text")
        .note(fmt::format("byte {} of the file, counted from 0, is 0x{:02X}", bad,
                          static_cast<unsigned char>(source.text()[bad])))
        .try_this("save the file as UTF-8 in your editor");
    return out;
  }
  Checker(source, out).run();
  return out;
}

}  // namespace wale
