#include "compiler/check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "compiler/bring_in.hpp"
#include "compiler/contrast.hpp"
#include "compiler/declared_names.hpp"
#include "compiler/fabric.hpp"
#include "compiler/fit.hpp"
#include "compiler/floats.hpp"
#include "compiler/gauge_reading.hpp"
#include "compiler/piece.hpp"
#include "compiler/resolve.hpp"
#include "compiler/sizes.hpp"
#include "compiler/stash.hpp"
#include "compiler/strands.hpp"
#include "compiler/swatch_check.hpp"
#include "compiler/values.hpp"
#include "compiler/yarn_reading.hpp"
#include "grammar/vocabulary.hpp"

namespace wale {

namespace {

/// What all sizes share.
struct Common {
  const Loaded& loaded;
  const Declarations& declarations;
  const DeclaredNames& names;
  const Asked& asked;
  const std::vector<std::string>& sizes;
  Stitches& stitches;
  Effort& effort;
  Diagnostics& diagnostics;             ///< what has nothing to do with a size
  const std::set<std::string>& wanted;  ///< stitches that pieces take up from others
  KnownFabrics* known;                  ///< null where the pattern is wanted, and not only whether it is well
  bool doubtful = false;                ///< something could not be read
  Effort help{known ? -1 : effort.most / 4};  ///< goes into looking for what would fit
  /// Fabrics are the same in every size: proved once, copied from then on.
  std::optional<std::vector<Fabric>> fabrics = {};
  std::vector<Strand> strands = {};  ///< declared, and introduced by the fabrics
  FabricFloats floats = {};          ///< of the fabrics
};

/// One size, from its declarations to its pieces.
class Checker {
 public:
  Checker(Common& common, Pattern& pattern, Diagnostics& diagnostics)
      : common_(common), pattern_(pattern), diagnostics_(diagnostics) {}

  void run(std::size_t size) {
    scope_.sizes = common_.sizes;
    scope_.size = size;
    if (!common_.sizes.empty()) pattern_.size = common_.sizes[size];
    declarations();
    if (common_.fabrics)
      fabrics_of_the_first();
    else
      fabrics();
    find_strands_of_swatches(pattern_, swatches_, declares_strands_, diagnostics_);
    warn_of_swatches(pattern_, common_.stitches, common_.asked.gauge.has_value(), diagnostics_);
    warn_of_other_weights(pattern_, diagnostics_);
    if (!seen_in_the_first()) warn_of_contrast(pattern_, diagnostics_);
    if (is_answered()) return;
    pieces();
    warn_of_floats(pattern_, common_.floats, common_.stitches, diagnostics_);
  }

 private:
  using Of = DeclaredNames::Of;

  template <typename What, typename Use>
  void for_each(const Use& use) const {
    common_.declarations.for_each<What>(use);
  }

  void once(std::string& field, const tree::Text& text, std::string_view what) {
    if (!field.empty())
      diagnostics_.add(Kind::duplicate_name, text.span, fmt::format("the pattern has {} already", what));
    else
      field = text.text;
  }

  /// Where only the question is whether the pattern is well: what is the same in every size need not be
  /// asked again.
  bool seen_in_the_first() const { return common_.known && scope_.size > 0; }

  /// Where only that is the question: the pattern is not well, and what else is wrong with it is not asked.
  bool is_answered() const {
    return common_.known && !(diagnostics_.all().empty() && common_.diagnostics.all().empty());
  }

  bool is_new(const tree::Name& name, Of what) {
    if (seen_in_the_first() || common_.names.is_first(what, name)) return true;
    diagnostics_
        .add(Kind::duplicate_name, name.span,
             fmt::format("there are two {} called `{}`", DeclaredNames::words(what), name.text))
        .label(*common_.names.first(what, name.text), "the first one")
        .try_this(fmt::format("call the other by a name of its own, such as `{}-two`", name.text));
    return false;
  }

  /// The names of these things that are declared.
  std::vector<std::string> names_of(Of what) const {
    return diagnostics_.full() ? std::vector<std::string>() : common_.names.names(what);
  }

  void declarations() {
    for_each<tree::Title>([&](const tree::Title& t, Span) { once(pattern_.title, t.text, "a title"); });
    for_each<tree::By>([&](const tree::By& t, Span) { once(pattern_.author, t.text, "an author"); });
    early_measures();
    for_each<tree::Gauge>([&](const tree::Gauge& g, Span span) { gauge(g, span); });
    for_each<Boxed<tree::Swatch>>([&](const Boxed<tree::Swatch>& s, Span) { swatch(*s); });
    add_swatch_gauges(pattern_);
    if (common_.asked.gauge) other_gauge(*common_.asked.gauge, common_.asked.gauge_span);
    scope_.gauge = pattern_.gauges.empty() ? nullptr : &pattern_.gauges.front();
    for_each<tree::Gauge>([&](const tree::Gauge&, Span) { scope_.gauge_unclear = !scope_.gauge; });
    scope_.gauge_unclear |= (!common_.declarations.whole() || swatch_unclear_) && !scope_.gauge;
    measures();
    pattern_.yarns.reserve(common_.declarations.count<tree::Yarn>());
    for_each<tree::Yarn>([&](const tree::Yarn& y, Span) { yarn(y); });
    std::sort(yarns_.begin(), yarns_.end());
    pattern_.strands.reserve(common_.declarations.count<tree::Strand>());
    for_each<tree::Strand>([&](const tree::Strand& s, Span) { strand(s); });
    for_each<tree::Stash>([&](const tree::Stash& s, Span) {
      read_stash(s, scope_, names_of(Of::yarns), pattern_, diagnostics_);
    });
    for_each<tree::WrittenFor>([&](const tree::WrittenFor& w, Span span) { written_for(w, span); });
  }

  void swatch(const tree::Swatch& source) {
    if (!is_new(source.fabric, Of::swatches)) return;
    swatches_.push_back(&source);
    if (auto read = read_swatch(source, scope_, diagnostics_))
      pattern_.swatches.push_back(std::move(*read));
    else
      swatch_unclear_ = true;
  }

  /// The pattern's own, for every strand that says no other.
  void written_for(const tree::WrittenFor& source, Span span) {
    if (written_for_) {
      diagnostics_.add(Kind::duplicate_name, span, "the pattern says already what it was written for")
          .label(*written_for_, "here")
          .try_this("say it behind the strand: strand A = kelp written for 75 m / 50 g");
      return;
    }
    written_for_ = span;
    const auto yardage = read_yardage(source, span, scope_, diagnostics_);
    for (Strand& strand : pattern_.strands)
      if (!strand.written_for) strand.written_for = yardage;
  }

  /// A gauge may be given in measures, and measures may need the gauge: those that do not are known before
  /// it.
  void early_measures() {
    for (const DeclaredNames::Declared& each : common_.names.all(Of::measures))
      scope_.measures.push_back({each.name, each.where});
    for_each<tree::Measure>([&](const tree::Measure& source, Span) {
      Diagnostics quiet;
      early_.push_back(evaluate(value_of(source), scope_, quiet));
      known_now(source, early_.back());
    });
  }

  void known_now(const tree::Measure& source, std::optional<Quantity> value) {
    const std::size_t place =
        static_cast<std::size_t>(scope_.find(source.name.text) - scope_.measures.data());
    Scope::Measure& measure = scope_.measures[place];
    if (value)
      measure.value = value;
    else
      measure.unclear = true;
  }

  /// What the measure is, or what it was asked to be in its place.
  const tree::Expression& value_of(const tree::Measure& source) const {
    const tree::Expression* out = &source.value;
    for (const tree::Measure& asked : common_.asked.measures)
      if (asked.name.text == source.name.text) out = &asked.value;
    return *out;
  }

  /// All of them, now that the gauge is known. What was known without it stays as it was.
  void measures() {
    for (Scope::Measure& each : scope_.measures) each.value.reset(), each.unclear = false;
    auto early = early_.begin();
    for_each<tree::Measure>([&](const tree::Measure& source, Span) {
      const std::optional<Quantity>& before = *early++;
      if (!is_new(source.name, Of::measures)) return;
      const auto now = before ? before : evaluate(value_of(source), scope_, diagnostics_);
      known_now(source, now && can_stand_for(source, *now) ? now : std::nullopt);
    });
  }

  /// What was asked for must be a length where the pattern has a length: it would only go wrong further on.
  bool can_stand_for(const tree::Measure& source, const Quantity& value) {
    const tree::Expression& asked = value_of(source);
    if (&asked == &source.value) return true;
    Diagnostics quiet;
    const auto written = evaluate(source.value, scope_, quiet);
    return !written ||
           is_of(written->dimension, value, asked.span, fmt::format("`{}`", source.name.text), diagnostics_);
  }

  void yarn(const tree::Yarn& source) {
    if (!is_new(source.name, Of::yarns)) return;
    auto read = read_yarn(source, scope_, diagnostics_);
    if (!read) return;
    yarns_.emplace_back(source.name.text, static_cast<int>(pattern_.yarns.size()));
    pattern_.yarns.push_back(std::move(*read));
  }

  void strand(const tree::Strand& source) {
    declares_strands_ = true;
    if (!is_new(source.name, Of::strands)) return;
    if (const char first = source.name.text[0]; first < 'A' || first > 'Z') {
      Diagnostic& added =
          diagnostics_.add(Kind::expected, source.name.span, "a strand's name starts with a capital letter");
      std::string capital = source.name.text;
      if (first >= 'a' && first <= 'z') capital[0] = static_cast<char>(first - 'a' + 'A');
      if (capital != source.name.text) added.try_this(capital);
      if (capital != source.name.text && !common_.names.has(Of::strands, capital))
        added.mend(source.name.span, capital);
    }
    if (pattern_.strands.size() >= 100) {
      diagnostics_.add(Kind::unknown_strand, source.name.span, "a pattern has at most 100 strands");
      return;
    }
    Strand out{source.name.text, {}, source.name.span};
    for (const tree::Name& end : source.ends) {
      const auto found =
          std::lower_bound(yarns_.begin(), yarns_.end(), std::pair(std::string_view(end.text), 0));
      if (found != yarns_.end() && found->first == end.text) {
        out.yarns.push_back(found->second);
        continue;
      }
      if (common_.names.has(Of::yarns, end.text)) continue;  // what is wrong with it has been said
      Diagnostic& added =
          diagnostics_.add(Kind::unknown_yarn, end.span, fmt::format("no yarn is called `{}`", end.text));
      if (!added.try_nearest(end.span, end.text, names_of(Of::yarns)))
        added.try_this(fmt::format("yarn {} \"its name\" 100 g = 200 m", end.text));
    }
    if (source.written_for)
      out.written_for = read_yardage(*source.written_for,
                                     join(source.written_for->length.span, source.written_for->mass.span),
                                     scope_, diagnostics_);
    pattern_.strands.push_back(std::move(out));
  }

  void gauge(const tree::Gauge& source, Span span) {
    auto read = read_gauge(source, span, scope_, diagnostics_);
    if (!read) return;
    if (source.fabric) gauge_fabrics_.push_back(*source.fabric);
    pattern_.gauges.push_back(std::move(*read));
  }

  /// A gauge in the place of the first.
  void other_gauge(const tree::Gauge& source, Span span) {
    std::vector<Gauge> written = std::move(pattern_.gauges);
    pattern_.gauges.clear();
    gauge(source, span);
    if (!pattern_.gauges.empty() && !written.empty())
      pattern_.gauges = in_proportion(std::move(pattern_.gauges.front()), std::move(written));
  }

  void fabrics_of_the_first() {
    pattern_.fabrics = *common_.fabrics;
    pattern_.strands = common_.strands;
  }

  /// Takes a fabric that another pattern has in the same words.
  bool is_known(const tree::Fabric& source, Span span, Resolver& resolver) {
    if (!common_.known) return false;
    const Source& file = common_.loaded.files[span.source - 1].source;
    const auto* known =
        common_.known->find(pattern_.strands, file.text({source.name.span.end, span.end, span.source}));
    if (!known || !resolver.has_written(known->written)) return false;
    common_.effort.rows += known->rows;
    common_.effort.stitches += known->stitches;
    pattern_.fabrics.push_back(known->fabric);
    pattern_.fabrics.back().name = source.name.text;
    common_.floats.push_back(known->longest_float);
    return true;
  }

  void fabrics() {
    common_.floats.clear();
    const std::size_t count = common_.declarations.count<tree::Fabric>();
    common_.floats.reserve(count);
    pattern_.fabrics.reserve(count);
    Resolver resolver(common_.stitches, pattern_.strands, declares_strands_, common_.diagnostics);
    for_each<tree::Fabric>([&](const tree::Fabric& source, Span span) {
      if (!is_new(source.name, Of::fabrics) || is_known(source, span, resolver)) return;
      const Effort before = common_.effort;
      const long long written = resolver.written();
      const std::size_t strands = pattern_.strands.size();
      std::optional<Float> longest_float;
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
        common_.diagnostics.add(Kind::bad_measure, source.width.span, "a fabric has at least one stitch");
      } else if (auto rows = resolver.fabric_rows(source, out.height)) {
        std::vector<CheckedRow>& own = out.rows.own();
        for (Row& row : *rows) {
          own.emplace_back();
          own.back().row = std::move(row);
        }
        // That it is too much is said once.
        if (common_.effort.too_much()) return;
        prove(out, common_.stitches, pattern_.strands, common_.diagnostics, common_.effort);
        longest_float = float_of_fabric(out, common_.stitches);
        if (common_.known && common_.diagnostics.all().empty() && pattern_.strands.size() == strands)
          common_.known->keep({out, common_.effort.rows - before.rows,
                               common_.effort.stitches - before.stitches, resolver.written() - written,
                               longest_float});
      }
      common_.floats.push_back(longest_float);
      pattern_.fabrics.push_back(std::move(out));
    });
    if (common_.sizes.size() > 1) {
      common_.fabrics = pattern_.fabrics;
      common_.strands = pattern_.strands;
    }
    for (const tree::Name& name : gauge_fabrics_) {
      if (common_.names.has(Of::fabrics, name.text)) continue;
      diagnostics_.add(Kind::unknown_fabric, name.span, fmt::format("no fabric is called `{}`", name.text))
          .try_nearest(name.span, name.text, names_of(Of::fabrics));
    }
  }

  void pieces() {
    // A piece refers to its fabrics by what they are proved to be, so they must not move from here on.
    Workshop shop{{},
                  scope_,
                  common_.stitches,
                  declares_strands_,
                  common_.effort,
                  common_.help,
                  common_.doubtful || common_.diagnostics.has_errors(),
                  common_.wanted};
    shop.pieces.reserve(common_.declarations.count<tree::Piece>());
    for_each<tree::Piece>([&](const tree::Piece& source, Span) {
      if (is_new(source.name, Of::pieces)) shop.pieces.push_back(&source);
    });
    Instead instead;
    work_pieces(shop, pattern_, instead, diagnostics_);
    if (!diagnostics_.has_errors() && !shop.doubtful)
      compare_with_stash(shop, pattern_, instead, diagnostics_);
  }

  Common& common_;
  Pattern& pattern_;
  Diagnostics& diagnostics_;
  Scope scope_;
  std::vector<std::optional<Quantity>> early_;           ///< of each measure, what it is without a gauge
  std::vector<std::pair<std::string_view, int>> yarns_;  ///< by name, when all are read
  bool declares_strands_ = false;
  std::vector<tree::Name> gauge_fabrics_;
  std::vector<const tree::Swatch*> swatches_;  ///< one of a fabric
  bool swatch_unclear_ = false;
  std::optional<Span> written_for_;
};

bool all_text(const Loaded& loaded) {
  return std::none_of(loaded.files.begin(), loaded.files.end(), [](const LoadedFile& file) {
    const auto& found = file.found.all();
    return std::any_of(found.begin(), found.end(), [](const Diagnostic& each) {
      return each.kind == Kind::file_too_large || each.kind == Kind::not_text;
    });
  });
}

void compile(const Loaded& loaded, const Settings& settings, Checked& out, KnownFabrics* known = nullptr) {
  Diagnostics& diagnostics = out.diagnostics;
  const Asked asked = read_settings(settings, loaded.files.size() + 1, diagnostics);
  for (const LoadedFile& file : loaded.files) diagnostics.append(file.found);
  diagnostics.append(loaded.found);
  // What everything may hang on is not there: all else that could be said would follow from that.
  if (loaded.found.has_errors() || !all_text(loaded)) return diagnostics.sort();
  const Declarations declarations =
      loaded.files.size() > 1 ? bring_in(loaded, diagnostics) : Declarations(loaded.files.front().tree);
  const std::size_t read = diagnostics.all().size();
  if (declarations.count<tree::Stitch>() > 0) known = nullptr;
  if (!known) out.stitches = std::make_unique<Stitches>();
  Stitches& stitches = known ? known->begin() : *out.stitches;
  declarations.for_each<tree::Stitch>(
      [&](const tree::Stitch& stitch, Span) { stitches.add(stitch, diagnostics); });
  stitches.complete(diagnostics);
  const std::vector<std::string> sizes = declared_sizes(declarations, diagnostics);
  const bool wanted = is_declared(asked, declarations, sizes, diagnostics);
  const std::set<std::string> taken_up = held_for_others(declarations);
  const DeclaredNames declared(declarations);
  Common common{loaded,
                declarations,
                declared,
                asked,
                sizes,
                stitches,
                out.effort,
                diagnostics,
                taken_up,
                known,
                diagnostics.has_errors()};
  std::vector<std::string> names;
  std::vector<Diagnostics> found;
  for (std::size_t size = 0; size < std::max<std::size_t>(sizes.size(), 1); ++size) {
    if (wanted && asked.size && sizes[size] != asked.size->text) continue;
    Pattern& pattern = found.empty() ? out.pattern : out.larger.emplace_back();
    Checker(common, pattern, found.emplace_back()).run(size);
    names.push_back(sizes.empty() ? "" : sizes[size]);
  }
  Diagnostics merged = merge_findings(names, found);
  if (runs_short(merged) && !sizes.empty()) {
    std::vector<bool> suffices;
    for (std::size_t size = 0; size < sizes.size(); ++size) {
      const auto worked = std::find(names.begin(), names.end(), sizes[size]);
      Diagnostics own;
      Pattern aside;
      if (worked == names.end()) Checker(common, aside, own).run(size);
      suffices.push_back(
          !runs_short(worked == names.end() ? own : found[static_cast<std::size_t>(worked - names.begin())]));
    }
    name_the_largest_size(sizes, suffices, merged);
  }
  diagnostics.append(merged);
  if (!diagnostics.has_errors() && !loaded.is_project)
    out.season = plan_season(loaded, declarations, out.pattern, diagnostics, out.effort);
  // Where a declaration could not be read, what seems a slip may be its name.
  if (!declarations.whole()) diagnostics.drop_edits(read);
  diagnostics.sort();
}

}  // namespace

Source vocabulary_source() {
  return Source("vocabulary.wale", std::string(vocabulary_text), 0);
}

Checked check(const Loaded& loaded, const Settings& settings, const Effort& effort) {
  Checked out;
  out.effort = effort;
  compile(loaded, settings, out);
  return out;
}

bool finds_nothing(const Loaded& loaded, const Settings& settings, KnownFabrics& known) {
  // So little that no build is refused what is well here: a row that is counted costs 4, and 32 and a few
  // stitches where it is worked.
  constexpr long long quick = 200'000;
  if (loaded.found.has_errors()) return false;
  for (const LoadedFile& file : loaded.files)
    if (!file.found.all().empty()) return false;
  Checked aside;
  aside.effort.most = std::min(aside.effort.most, quick);
  aside.effort.for_charts = aside.effort.keeps_needles = false;
  compile(loaded, settings, aside, &known);
  return aside.diagnostics.all().empty();
}

Checked check(const Source& source, const Settings& settings, const Effort& effort) {
  return check(load(source), settings, effort);
}

}  // namespace wale
