// A yarn that runs short, and what the stash would suffice for instead.
//
// The stretch that takes most of the yarn and has a number (a repeat, or a fabric for so many rows or so
// long) is made shorter until the yarn suffices: the pieces are worked with fewer of it, not scaled, so what
// comes after it is right, too.
//
//     rib for 52 cm takes too much       up to 48 cm

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "compiler/fit_search.hpp"
#include "compiler/fit_trial.hpp"

namespace wale {

namespace {

/// Below a number that the yarn allows and the rest of the piece does not, so many are tried.
constexpr long long numbers_below = 36;
/// Stretches that are tried, the thirstiest first.
constexpr std::size_t most_stretches_tried = 3;

/// A step of a piece that could be shorter.
struct Stretch {
  std::size_t piece = 0;
  const Step* step = nullptr;
  const tree::Expression* amount = nullptr;
  bool repeat = false, times = false;  ///< otherwise rows, or a length
  double grams = 0;
  long long unit = 1;  ///< rows that it is lengthened or shortened by
  long long said() const { return repeat ? step->times : step->row_count; }
};

/// With as many digits as it takes to see that it is more than there is.
double beyond(double grams, double there) {
  for (int digits = 2; digits < 6; ++digits)
    if (rounded(grams, digits) > there) return rounded(grams, digits);
  return grams;
}

class Shortage {
 public:
  Shortage(const Workshop& shop, const Pattern& pattern, const Instead& instead, const StashUse& use)
      : shop_(shop),
        pattern_(pattern),
        instead_(instead),
        use_(use),
        yarn_(static_cast<std::size_t>(use.yarn)) {}

  void report(Diagnostics& diagnostics) {
    const Yarn& yarn = pattern_.yarns[yarn_];
    Diagnostic& added = diagnostics.add(
        Kind::yarn_runs_short, lot_span(),
        fmt::format("{} runs short: about {:g} g are needed ({:g} to {:g}), and there are {:g} g", yarn.name,
                    beyond(use_.used.middle, use_.there), rounded(use_.used.low), rounded(use_.used.high),
                    shown(use_.there)));
    added.note(use_.used.low > use_.there ? "even the lower estimate is more than there is"
                                          : "by the middle estimate; the lower one would suffice");
    const bool answered = answer(added);
    added.try_this(fmt::format("{}{} more of {}, which leaves something in reserve", answered ? "or " : "",
                               count_of(use_.balls, "ball", "balls"), yarn.label));
  }

  /// To a gram, and to a tenth below 10.
  static double shown(double grams) { return grams < 10 ? std::round(grams * 10) / 10 : std::round(grams); }

  Span lot_span() const {
    for (const Lot& lot : pattern_.stash)
      if (lot.yarn == use_.yarn) return lot.span;
    return {};
  }

 private:
  std::vector<Stretch> stretches() const {
    const LoopLengths lengths(pattern_, shop_.stitches);
    std::vector<Stretch> out;
    for (std::size_t piece = 0; piece < pattern_.pieces.size(); ++piece) {
      std::map<std::uint32_t, const Step*> made;
      for (const Step& step : pattern_.pieces[piece].steps) made[step.span.begin] = &step;
      Piece alone;
      alone.fabrics = pattern_.pieces[piece].fabrics;
      for (const tree::Step& source : shop_.pieces[piece]->steps) {
        const auto step = made.find(source.head.begin);
        if (step == made.end()) continue;
        auto each = stretch_of(source, *step->second, piece);
        if (!each || each->said() <= each->unit) continue;
        alone.steps = {*step->second};
        each->grams = need_of({alone}, lengths, pattern_)[yarn_].middle;
        if (each->grams > 0) out.push_back(*each);
      }
    }
    std::stable_sort(out.begin(), out.end(),
                     [](const Stretch& a, const Stretch& b) { return a.grams > b.grams; });
    return out;
  }

  /// A repeat or a fabric that has a number, if the step is one.
  std::optional<Stretch> stretch_of(const tree::Step& source, const Step& made, std::size_t piece) const {
    Stretch out{piece, &made, nullptr, false, false, 0, 1};
    if (const auto* repeat = std::get_if<tree::Repeat>(&source.what)) {
      if (repeat->form != tree::Repeat::Form::times) return {};
      out.amount = &*repeat->amount;
      out.repeat = true;
      return out;
    }
    const auto* work = std::get_if<tree::Work>(&source.what);
    if (!work) return {};
    out.amount = &work->extent.amount;
    out.times = work->extent.form == tree::Extent::Form::times;
    out.unit = made.form == Form::flat ? 2 : 1;
    if (!out.times) return out;
    out.unit = 1;
    for (const Step::Part& part : made.parts)
      out.unit =
          std::max(out.unit, pattern_.pieces[piece].fabrics[static_cast<std::size_t>(part.fabric)].height);
    return out;
  }

  /// Whether something shorter suffices; if so, it is said.
  bool answer(Diagnostic& out) {
    const std::vector<Stretch> all = stretches();
    for (std::size_t i = 0; i < std::min(all.size(), most_stretches_tried); ++i)
      if (const auto number = shorter(all[i])) return say(all[i], *number, out), true;
    return false;
  }

  /// The largest number with which the upper estimate is no more than there is.
  std::optional<long long> shorter(const Stretch& stretch) {
    Trials trials(shop_, pattern_, stretch.piece);
    const long long rest = stretch.said() % stretch.unit, most = stretch.said() / stretch.unit - 1;
    const auto number = [&](long long units) { return rest + units * stretch.unit; };
    const auto probe = [&](long long units) {
      Instead instead = instead_;
      instead[stretch.step->span.begin] = number(units);
      const Trial trial = trials.work(instead, stretch.step->span.begin);
      const double high = (trials.before()[yarn_] +
                           (trial.good ? trial.piece[yarn_] + trial.later[yarn_] : trial.here[yarn_]))
                              .high;
      return std::pair{Probe{trial.reached, high / use_.there, trial.why_not}, trial.good};
    };
    if (most < 1) return {};
    const Largest found = largest_that_fits(most, [&](long long units) { return probe(units).first; });
    for (long long units = found.number; units > std::max(0LL, found.number - numbers_below); --units) {
      const auto [tried, good] = probe(units);
      if (good && tried.pressure <= 1) return number(units);
    }
    return {};
  }

  void say(const Stretch& stretch, long long number, Diagnostic& out) const {
    const Step& step = *stretch.step;
    std::string most, write;
    if (stretch.repeat) {
      most = fmt::format("{} instead of {}", count_of(number, "repeat", "repeats"), step.times);
      write = fmt::format("repeat {} times", number);
    } else if (step.length_cm) {
      // To the half centimetre below, so that the rows that it makes are no more.
      const double cm = std::max(0.5, std::floor(*step.length_cm * static_cast<double>(number) /
                                                     static_cast<double>(step.row_count) * 2 +
                                                 1e-9) /
                                          2);
      most = fmt::format("up to {:g} cm instead of {:g}", cm, std::round(*step.length_cm * 10) / 10);
      write = fmt::format("for {:g} cm", cm);
      if (stretch.amount->form == tree::Expression::Form::name)
        write = fmt::format("measure {} = {:g} cm", stretch.amount->word, cm);
    } else if (stretch.times) {
      most = fmt::format("{} instead of {}", count_of(number / stretch.unit, "time", "times"),
                         step.row_count / stretch.unit);
      write = fmt::format("for {} times", number / stretch.unit);
    } else {
      const bool round = step.form == Form::round;
      most = fmt::format("{} instead of {}",
                         round ? count_of(number, "round", "rounds") : count_of(number, "row", "rows"),
                         step.row_count);
      write = fmt::format("for {} {}", number, round ? "rounds" : "rows");
    }
    out.label(step.span, fmt::format("{} would suffice here, by the upper estimate", most));
    out.try_this(std::move(write));
  }

  const Workshop& shop_;
  const Pattern& pattern_;
  const Instead& instead_;
  const StashUse& use_;
  std::size_t yarn_;
};

std::string doubt_words(const StashUse& use) {
  return fmt::format("about {:g} g are needed, at most {:g}", rounded(use.used.middle),
                     beyond(use.used.high, use.there));
}

void warn_of_lots(const Pattern& pattern, const StashUse& use, Diagnostics& diagnostics) {
  if (use.plan.mixed.empty()) return;
  std::vector<const Lot*> lots;
  for (const Lot& lot : pattern.stash)
    if (lot.yarn == use.yarn) lots.push_back(&lot);
  for (const std::size_t piece : use.plan.mixed) {
    std::vector<std::string> from;
    for (const LotPlan::Share& share : use.plan.shares)
      if (share.piece == piece)
        from.push_back(fmt::format("about {:g} g of {}", rounded(share.amount), lot_words(*lots[share.lot])));
    diagnostics
        .add(Kind::mixed_dye_lots, pattern.pieces[piece].span,
             fmt::format("{} must be knitted from {} of {}", pattern.pieces[piece].name,
                         count_of(static_cast<long long>(from.size()), "dye lot", "dye lots"),
                         pattern.yarns[static_cast<std::size_t>(use.yarn)].name))
        .label(lots.front()->span, "the lots stand here")
        .note(fmt::format("it takes {}", fmt::join(from, " and ")))
        .note(use.plan.all_tried ? "no other way to share the pieces out mixes fewer of them"
                                 : "the pieces are so many that not all ways to share them out were tried")
        .try_this("work two rows from each lot in turn where one goes over into the other (common practice)");
  }
}

}  // namespace

void compare_with_stash(const Workshop& shop, const Pattern& pattern, const Instead& instead,
                        Diagnostics& diagnostics) {
  if (pattern.stash.empty() || pattern.pieces.size() != shop.pieces.size()) return;
  const Estimate estimate = estimate_amounts(pattern, shop.stitches);
  for (const StashUse& use : stash_use(pattern, estimate)) {
    Shortage shortage(shop, pattern, instead, use);
    if (use.short_of_yarn())
      shortage.report(diagnostics);
    else if (use.in_doubt())
      diagnostics
          .add(Kind::yarn_may_run_short, shortage.lot_span(),
               fmt::format("{} may run short: {}, and there are {:g} g",
                           pattern.yarns[static_cast<std::size_t>(use.yarn)].name, doubt_words(use),
                           Shortage::shown(use.there)))
          .note("the middle estimate suffices, the upper one does not")
          .try_this("weigh a swatch: swatch NAME { made 40 st x 56 rows, 21 g }")
          .try_this(fmt::format("or have {} more at hand", count_of(use.balls, "ball", "balls")));
    if (!use.short_of_yarn()) warn_of_lots(pattern, use, diagnostics);
  }
}

bool runs_short(const Diagnostics& diagnostics) {
  return std::any_of(diagnostics.all().begin(), diagnostics.all().end(),
                     [](const Diagnostic& each) { return each.kind == Kind::yarn_runs_short; });
}

void name_the_largest_size(const std::vector<std::string>& sizes, const std::vector<bool>& suffices,
                           Diagnostics& diagnostics) {
  if (sizes.size() < 2) return;
  std::string words = "the stash makes none of the sizes", build;
  for (std::size_t i = sizes.size(); i-- > 0;)
    if (suffices[i]) {
      words = fmt::format("size {} is the largest that the stash makes", sizes[i]);
      build = fmt::format("build that size alone: --size {}", sizes[i]);
      break;
    }
  Diagnostics out;
  for (const Diagnostic& each : diagnostics.all()) {
    Diagnostic& added = out.add(each.kind, each.span, each.message);
    added = each;
    if (each.kind != Kind::yarn_runs_short) continue;
    added.note(words);
    if (!build.empty()) added.try_this(build);
  }
  out.count_dropped(diagnostics);
  diagnostics = std::move(out);
}

}  // namespace wale
