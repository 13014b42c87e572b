#include "compiler/fit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "compiler/fit_search.hpp"
#include "compiler/fit_trial.hpp"

namespace wale {

namespace {

/// Below a number that the yarn allows and the rest of the piece does not, so many are tried.
constexpr long long numbers_below = 72;

bool by_yarn(const tree::Step& step) {
  const auto* repeat = std::get_if<tree::Repeat>(&step.what);
  return repeat &&
         (repeat->form == tree::Repeat::Form::until_half || repeat->form == tree::Repeat::Form::until_out);
}

/// The repeats of one piece that go by yarn, one after the other.
class Solver {
 public:
  Solver(const Workshop& shop, Pattern& pattern, std::size_t index, Instead& instead, bool unclear,
         Diagnostics& diagnostics)
      : shop_(shop),
        pattern_(pattern),
        index_(index),
        instead_(instead),
        unclear_(unclear),
        diagnostics_(diagnostics),
        trials_(shop, pattern, index) {}

  /// Whether all are solved; otherwise it has been said why not.
  bool run() {
    for (const tree::Step& step : shop_.pieces[index_]->steps)
      if (by_yarn(step) && !solve(step, std::get<tree::Repeat>(step.what))) return false;
    return true;
  }

  /// Writes what they come to into the piece.
  void note(Piece& piece) const {
    for (Step& step : piece.steps)
      if (const auto found = facts_.find(step.span.begin); step.until_yarn && found != facts_.end()) {
        const short strand = step.until_yarn->strand;
        step.until_yarn = found->second;
        step.until_yarn->strand = strand;
      }
  }

 private:
  /// How hard a number presses on what there is, and by which yarn and bound.
  struct Pressure {
    double most = 0;
    int yarn = -1;
    bool by_upper_bound = false;
  };

  bool fail(Kind kind, Span span, std::string message, std::string help) {
    Diagnostic& added = diagnostics_.add(kind, span, std::move(message));
    if (!help.empty()) added.try_this(std::move(help));
    return false;
  }

  /// Grams on hand; where the stash has none of it, one ball, or as many as it takes to work the repeat once.
  double there_is(int yarn) const {
    const auto balls = balls_.find(yarn);
    return on_hand(pattern_, yarn)
        .value_or(pattern_.yarns[static_cast<std::size_t>(yarn)].grams *
                  static_cast<double>(balls == balls_.end() ? 1 : balls->second));
  }

  /// Balls of the yarns that the stash does not have.
  void take_balls(const tree::Repeat& source, const std::vector<int>& yarns, bool half) {
    constexpr long long most_balls = 1000;
    for (;;) {
      const Pressure press = pressure(once_, yarns, half);
      if (press.most <= 1 || on_hand(pattern_, press.yarn)) break;
      long long& balls = balls_.try_emplace(press.yarn, 1).first->second;
      if (++balls > most_balls) break;
    }
    for (const int yarn : yarns) {
      if (on_hand(pattern_, yarn)) continue;
      const Yarn& ball = pattern_.yarns[static_cast<std::size_t>(yarn)];
      diagnostics_
          .add(Kind::one_ball, source.strand->span,
               fmt::format("the stash has no {}, so this is reckoned for {} of it, {:g} g", ball.name,
                           count_of(balls_.contains(yarn) ? balls_.at(yarn) : 1, "ball", "balls"),
                           there_is(yarn)))
          .try_this(fmt::format("stash {{ {} {:g} g }}", ball.name, 2 * there_is(yarn)));
    }
  }

  /// What the strand is made of, if there is so much known of it that the repeat can be solved.
  std::optional<std::vector<int>> yarns_to_go_by(const tree::Repeat& source) {
    const std::string& name = source.strand->text;
    const Span span = source.strand->span;
    const auto strand = std::find_if(pattern_.strands.begin(), pattern_.strands.end(),
                                     [&](const Strand& s) { return s.name == name; });
    std::vector<int> yarns = yarns_of(pattern_, strand == pattern_.strands.end()
                                                    ? short{-1}
                                                    : static_cast<short>(strand - pattern_.strands.begin()));
    // What could not be read may be what is missing here.
    if (unclear_) return {};
    if (yarns.empty()) {
      fail(Kind::no_stash, span,
           fmt::format("{} is of no yarn that the pattern names, so nobody knows how much there is of it",
                       name),
           fmt::format("strand {} = {}", name, pattern_.yarns.empty() ? "kelp" : pattern_.yarns[0].name));
      return {};
    }
    if (pattern_.gauges.empty()) {
      if (!shop_.scope.gauge_unclear)
        fail(Kind::no_gauge, span, "how much yarn a repeat takes can only be told with a gauge",
             "gauge 20 st x 28 rows = 10 cm");
      return {};
    }
    return yarns;
  }

  Pressure pressure(const Trial& trial, const std::vector<int>& yarns, bool half) const {
    Pressure out;
    for (const int yarn : yarns) {
      const auto at = static_cast<std::size_t>(yarn);
      const double there = there_is(yarn);
      const auto press = [&](auto bound, bool upper) {
        const double here = bound(trial.here[at]), others = bound(trials_.before()[at] + trial.later[at]);
        const double whole = trial.good ? bound(trial.piece[at]) : here;
        double found = (whole + others) / there;
        if (half)
          found = std::max(
              found, there > others ? 2 * here / (there - others) : std::numeric_limits<double>::infinity());
        if (found > out.most) out = {found, yarn, upper};
      };
      press([](Range r) { return r.middle * (1 + reserve); }, false);
      press([](Range r) { return r.high; }, true);
    }
    return out;
  }

  bool solve(const tree::Step& step, const tree::Repeat& source) {
    const auto yarns = yarns_to_go_by(source);
    if (!yarns) return false;
    const bool half = source.form == tree::Repeat::Form::until_half;
    const std::uint32_t key = step.head.begin;
    bool uses_it = true;
    const auto work = [&](long long times) {
      instead_[key] = times;
      return trials_.work(instead_, key);
    };
    once_ = work(1);
    if (once_.reached) take_balls(source, *yarns, half);
    const Largest found = largest_that_fits(largest_count_of_repeats, [&](long long times) {
      const Trial trial = work(times);
      if (times == 2 && trial.reached && once_.reached)
        uses_it = std::any_of(yarns->begin(), yarns->end(), [&](int yarn) {
          const auto at = static_cast<std::size_t>(yarn);
          return trial.here[at].middle > once_.here[at].middle * (1 + 1e-12);
        });
      return Probe{trial.reached && uses_it, trial.reached ? pressure(trial, *yarns, half).most : 0,
                   trial.why_not};
    });
    instead_[key] = std::max(1LL, found.number);
    if (shop_.effort.too_much()) return true;  // the piece says so when it is worked
    if (!once_.reached) return true;           // and what is wrong in it
    if (!report(source, found, uses_it, half)) return false;
    return settle(step, *yarns, found.number, half);
  }

  bool report(const tree::Repeat& source, const Largest& found, bool uses_it, bool half) {
    const std::string& name = source.strand->text;
    const Span span = source.strand->span;
    if (!uses_it)
      return fail(Kind::never_reached, span,
                  fmt::format("what is repeated takes none of {}, so it would never end", name),
                  fmt::format("work it in {}, or say how often: repeat 4 times", name));
    if (found.number == 0) return too_little(source, half);
    if (found.ended_by_yarn && !found.tried_out) return true;
    Diagnostic& added = diagnostics_.add(
        Kind::never_reached, span,
        fmt::format("after {} this cannot be worked again, and {}", count_of(found.number, "time", "times"),
                    half ? fmt::format("less than half of {} is used", name)
                         : fmt::format("{} has not run out", name)));
    if (!found.why_not.empty()) added.note("the next time " + found.why_not);
    added.try_this(fmt::format("repeat {} times", found.number));
    return false;
  }

  bool too_little(const tree::Repeat& source, bool half) {
    const std::string& name = source.strand->text;
    const auto yarns = yarns_to_go_by(source);
    if (!yarns) return false;
    const Pressure press = pressure(once_, *yarns, half);
    const auto at = static_cast<std::size_t>(press.yarn);
    const double there = there_is(press.yarn);
    Diagnostic& added = diagnostics_.add(
        Kind::yarn_runs_short, source.strand->span,
        fmt::format(
            "{} does not suffice to work this once: {:g} g of {} would have to be there, and there is {:g} g",
            name, std::ceil(there * press.most), pattern_.yarns[at].name, there));
    added.note(press.by_upper_bound
                   ? "by the upper estimate"
                   : fmt::format("by the middle estimate and {:g} % in reserve", reserve * 100));
    return false;
  }

  /// The number, or the next below it with which the rest of the piece works out; and what it comes to.
  bool settle(const tree::Step& step, const std::vector<int>& yarns, long long number, bool half) {
    const std::uint32_t key = step.head.begin;
    // Where none of them works out it is for another reason, and the piece must still be worked to tell it.
    const long long most_work = shop_.effort.work() + (shop_.effort.most - shop_.effort.work()) / 2;
    for (long long times = number; times > std::max(0LL, number - numbers_below); --times) {
      if (shop_.effort.work() > most_work) break;
      instead_[key] = times;
      const Trial trial = trials_.work(instead_, key);
      const Pressure press = pressure(trial, yarns, half);
      if (!trial.good || press.most > 1 + 1e-9) continue;
      facts_[key] = facts(trial, press, half);
      return true;
    }
    instead_[key] = number;
    return true;
  }

  UntilYarn facts(const Trial& trial, const Pressure& press, bool half) const {
    const auto at = static_cast<std::size_t>(press.yarn);
    UntilYarn out{half, -1, press.yarn, 0, 0, press.by_upper_bound};
    out.there = there_is(press.yarn) - trials_.before()[at].middle;
    out.left = out.there - trial.here[at].middle;
    return out;
  }

  static constexpr long long largest_count_of_repeats = 1'000'000'000;

  const Workshop& shop_;
  Pattern& pattern_;
  std::size_t index_;
  Instead& instead_;
  bool unclear_;  ///< a declaration has a mistake that has been reported
  Diagnostics& diagnostics_;
  Trials trials_;
  Trial once_;
  std::map<std::uint32_t, UntilYarn> facts_;
  std::map<int, long long> balls_;
};

}  // namespace

// --- trials

Shelf shelf_of(const Workshop& shop, Pattern& pattern, const Instead& instead) {
  return {pattern,     shop.scope, shop.stitches, pattern.strands, shop.declares_strands,
          shop.effort, shop.help,  shop.doubtful, shop.wanted,     instead};
}

Trials::Trials(const Workshop& shop, const Pattern& pattern, std::size_t index)
    : shop_(shop),
      pattern_(pattern),
      index_(index),
      lengths_(pattern_, shop.stitches),
      converted_(shop.pieces.size()) {
  pattern_.pieces.resize(std::min(index, pattern_.pieces.size()));
  before_ = need_of(pattern_.pieces, lengths_, pattern_);
}

Trial Trials::work(const Instead& instead, std::uint32_t step) {
  Trial out;
  const std::size_t before = pattern_.pieces.size();
  Diagnostics found;
  for (std::size_t at = index_; at < shop_.pieces.size() && !shop_.effort.too_much(); ++at) {
    Diagnostics own;
    const Shelf shelf = shelf_of(shop_, pattern_, instead);
    shop_.effort.stitches += 1000;  // for reading the piece again
    Piece piece =
        try_piece(*shop_.pieces[at], shelf, converted_[at].empty() ? nullptr : &converted_[at], own);
    converted_[at] = piece.fabrics;
    const bool good = piece.good && !own.has_errors();
    if (at == index_) {
      out.good = good;
      for (const Diagnostic& each : own.all())
        if (out.why_not.empty() && facts(each.kind).severity == Severity::error) out.why_not = each.message;
    }
    pattern_.pieces.push_back(std::move(piece));
    if (!good) break;
  }
  std::vector<Piece> later;
  if (pattern_.pieces.size() > before) {
    later.assign(std::make_move_iterator(pattern_.pieces.begin() + static_cast<std::ptrdiff_t>(before) + 1),
                 std::make_move_iterator(pattern_.pieces.end()));
    out.made = std::move(pattern_.pieces[before]);
  }
  pattern_.pieces.resize(before);
  const auto grams = [&](const std::vector<Piece>& pieces) { return need_of(pieces, lengths_, pattern_); };
  out.later = grams(later);
  out.here = out.piece = std::vector<Range>(pattern_.yarns.size());
  if (!out.made) return out;
  out.piece = grams({*out.made});
  Piece part = *out.made;
  const auto last = std::find_if(part.steps.begin(), part.steps.end(),
                                 [&](const Step& each) { return each.span.begin == step; });
  out.reached = last != part.steps.end();
  if (out.reached) {
    part.steps.erase(last + 1, part.steps.end());
    part.tally = {};
    for (const Step& each : part.steps) add(part.tally, each.tally);
    out.here = grams({part});
  }
  return out;
}

// --- pieces

void work_pieces(const Workshop& shop, Pattern& pattern, Instead& instead, Diagnostics& diagnostics) {
  const bool unclear = shop.doubtful || diagnostics.has_errors();
  pattern.pieces.reserve(shop.pieces.size());
  for (std::size_t at = 0; at < shop.pieces.size(); ++at) {
    if (shop.effort.too_much()) return;
    const tree::Piece& source = *shop.pieces[at];
    std::optional<Solver> solver;
    const std::size_t errors = diagnostics.errors();
    bool solved = true;
    if (std::any_of(source.steps.begin(), source.steps.end(), by_yarn)) {
      solver.emplace(shop, pattern, at, instead, unclear, diagnostics);
      solved = solver->run();
    }
    Diagnostics found;
    Shelf shelf = shelf_of(shop, pattern, instead);
    shelf.doubtful |= diagnostics.has_errors();
    pattern.pieces.push_back(work_piece(source, shelf, found));
    // What was not solved stands there once, and what is left of the piece would only repeat it.
    if (diagnostics.errors() == errors) diagnostics.append(found);
    if (!solved) pattern.pieces.back().good = false;
    if (solver) solver->note(pattern.pieces.back());
  }
}

}  // namespace wale
