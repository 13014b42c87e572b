// Fit to stash: what repeats that go by yarn come to, and what a yarn that runs short suffices for. Held
// against the knitter who works row by row and weighs after each repeat.
#include "compiler/fit.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <random>

#include "compiler/check.hpp"
#include "compiler/fit_search.hpp"
#include "compiler/loop_lengths.hpp"
#include "compiler/pattern_document.hpp"
#include "compiler/stash.hpp"
#include "render/text.hpp"
#include "tests/unit/naive.hpp"

using namespace wale;

namespace {

Checked compiled(const std::string& text, const Settings& settings = {}) {
  return check(Source("pattern.wale", text, 1), settings);
}

std::string shown(const Checked& checked, const std::string& text) {
  return show(checked.diagnostics, {vocabulary_source(), Source("pattern.wale", text, 1)});
}

/// A triangle that grows until half of the yarn is used, between borders of so many rows.
std::string triangle(double grams, int border) {
  const std::string rows = border > 0 ? fmt::format("  work border for {} rows\n", border) : "";
  return fmt::format(
      "yarn rockpool \"Rockpool\" 100 g = 420 m\nstrand A = rockpool\n"
      "gauge 22 st x 44 rows = 10 cm\nmeasure amount = {} g\nstash {{ rockpool amount }}\n"
      "fabric border flat n st {{ every: <k> }}\n"
      "fabric rising flat n st {{\n 1: k2 yo <k>\n 2: <k>\n}}\n"
      "fabric falling flat n st {{\n 1: k k2tog <k>\n 2: <k>\n}}\n"
      "piece shawl flat {{\n  cast on 4 with A\n{}  repeat until half of A {{ work rising for 2 rows }}\n{}"
      "  repeat until 4 st {{ work falling for 2 rows }}\n  bind off\n}}\n",
      grams, rows, rows);
}

const Step& until_of(const Piece& piece) {
  for (const Step& step : piece.steps)
    if (step.until_yarn) return step;
  FAIL("no repeat goes by yarn");
  return piece.steps.front();
}

/// She has the rows of the fabrics and a needle of loops, and adds up what each row takes.
class Knitter {
 public:
  explicit Knitter(const Checked& checked)
      : checked_(checked), lengths_(checked.pattern, *checked.stitches), piece_(checked.pattern.pieces[0]) {
    add(taken_, lengths_.of(piece_.steps.front(), piece_));
    add(taken_, lengths_.ends_of(piece_));
    loops_.assign(4, {LoopType::plain, Face::knit, 0, -1});
  }

  void work(const std::string& fabric, int rows) {
    for (const Fabric& each : checked_.pattern.fabrics) {
      if (each.name != fabric) continue;
      for (int i = 0; i < rows; ++i) {
        const Row& row = each.rows[static_cast<std::size_t>(i) % each.rows.size()].row;
        const naive::Outcome worked = naive::work({row}, Form::flat, loops_, *checked_.stitches);
        REQUIRE_MESSAGE(worked.good, worked.why);
        // Turned, the loop given last is the first to be worked.
        loops_.assign(worked.given.rbegin(), worked.given.rend());
        Tally tally;
        for (const auto& [key, count] : worked.tally) tally[{key.first, short{0}}] = Linear(count);
        add(taken_, lengths_.of_tally(tally, lengths_.of_fabric(each)));
      }
    }
  }
  void bind_off() { add(taken_, lengths_.of(piece_.steps.back(), piece_)); }

  std::size_t width() const { return loops_.size(); }
  Range grams() const {
    Range out;
    for (const auto& [strand, metres] : taken_) out = out + metres * (100.0 / 420);
    return out;
  }

 private:
  const Checked& checked_;
  LoopLengths lengths_;
  const Piece& piece_;
  std::vector<Loop> loops_;
  StrandMetres taken_;
};

double bound(Range grams) {
  return std::max(grams.middle * (1 + reserve), grams.high);
}

/// What is on the scales after so many repeats, and when all is done.
std::pair<Range, Range> knitted(const Checked& checked, long long times, int border) {
  Knitter knitter(checked);
  if (border > 0) knitter.work("border", border);
  for (long long i = 0; i < times; ++i) knitter.work("rising", 2);
  const Range half = knitter.grams();
  if (border > 0) knitter.work("border", border);
  while (knitter.width() > 4) knitter.work("falling", 2);
  knitter.bind_off();
  return {half, knitter.grams()};
}

}  // namespace

TEST_CASE("a triangle turns at the row where half of the yarn is used, for any weight") {
  std::mt19937 random(11);
  for (int round = 0; round < 10; ++round) {
    const double grams = 12 + static_cast<double>(random() % 600) / 10;
    const int border = round % 2 == 0 ? 0 : 4;
    const std::string text = triangle(grams, border);
    const Checked checked = compiled(text);
    INFO(shown(checked, text));
    REQUIRE(!checked.diagnostics.has_errors());
    const Step& until = until_of(checked.pattern.pieces[0]);
    CAPTURE(grams);
    CAPTURE(until.times);
    const auto fits = [&](long long times) {
      const auto [half, whole] = knitted(checked, times, border);
      return bound(half) <= grams / 2 && bound(whole) <= grams;
    };
    CHECK(fits(until.times));
    CHECK(!fits(until.times + 1));
    // What the scales say by then: used and left are what there was.
    const Range half = knitted(checked, until.times, border).first;
    CHECK(until.until_yarn->left + half.middle == doctest::Approx(until.until_yarn->there));
    CHECK(until.until_yarn->there == doctest::Approx(grams));
    // Without a border in the middle it is half to a ridge.
    if (border == 0) {
      CHECK(2 * bound(knitted(checked, until.times + 1, border).first) > grams);
    }
  }
}

TEST_CASE("more yarn never makes less") {
  long long before = 0, turned = 0;
  for (double grams = 6; grams < 80; grams += 1.7) {
    const Checked checked = compiled(triangle(grams, 4));
    REQUIRE(!checked.diagnostics.has_errors());
    const long long times = until_of(checked.pattern.pieces[0]).times;
    CHECK(times >= before);
    turned += times > before;
    before = times;
  }
  CHECK(turned > 20);
}

TEST_CASE("until it runs out keeps back what is worked afterwards, in this piece and below it") {
  const auto scarf = [](double grams, int border, bool second) {
    return fmt::format(
        "yarn kelp \"Kelp\" 100 g = 200 m\nstrand A = kelp\ngauge 20 st x 28 rows = 10 cm\n"
        "stash {{ kelp {} g }}\nfabric plain flat n st {{ rs: <k>  ws: <p> }}\n"
        "piece scarf flat {{\n  cast on 40 with A\n  repeat until A runs out {{ work plain for 2 rows }}\n"
        "{}  bind off\n}}\n{}",
        grams, border > 0 ? fmt::format("  work plain for {} rows\n", border) : "",
        second ? "piece tie flat {\n  cast on 10 with A\n  work plain for 40 rows\n  bind off\n}\n" : "");
  };
  std::mt19937 random(5);
  for (int round = 0; round < 12; ++round) {
    const double grams = 60 + static_cast<double>(random() % 400);
    const int border = static_cast<int>(2 * (random() % 20));
    const bool second = round % 2 == 1;
    const std::string text = scarf(grams, border, second);
    const Checked checked = compiled(text);
    INFO(shown(checked, text));
    REQUIRE(!checked.diagnostics.has_errors());
    const Estimate estimate = estimate_yarn(checked.pattern, *checked.stitches);
    CHECK(bound(estimate.yarns[0].grams) <= grams);
    // One repeat more, written out, would be too much.
    const long long times = until_of(checked.pattern.pieces[0]).times;
    std::string more = text;
    const std::string from = "until A runs out";
    more.replace(more.find(from), from.size(), fmt::format("{} times", times + 1));
    const Checked larger = compiled(more);
    CHECK(bound(estimate_yarn(larger.pattern, *larger.stitches).yarns[0].grams) > grams);
  }
}

TEST_CASE(
    "a hundred thousand repeats cost what a few cost; a triangle too large to be worked out is refused") {
  const std::string scarf =
      "yarn kelp \"Kelp\" 100 g = 200 m\nstrand A = kelp\ngauge 20 st x 28 rows = 10 cm\n"
      "stash { kelp 900 kg }\nfabric plain flat n st { rs: <k>  ws: <p> }\n"
      "piece scarf flat {\n  cast on 40 with A\n  repeat until A runs out { work plain for 2 rows }\n"
      "  bind off\n}\n";
  std::string kilos = scarf;
  kilos.replace(kilos.find("900 kg"), 6, "900000 g");
  const Checked checked = compiled(kilos);
  REQUIRE(!checked.diagnostics.has_errors());
  CHECK(until_of(checked.pattern.pieces[0]).times > 100'000);
  CHECK(checked.effort.work() < 200'000);
  const Checked endless = compiled(triangle(9'000'000, 0));
  CHECK(endless.diagnostics.has_errors());
  CHECK(endless.effort.work() < 3 * Effort{}.most);
}

TEST_CASE("the weight of a stash is a measure, and can be set") {
  Settings settings;
  settings.measures = {"amount = 40 g"};
  const Checked small = compiled(triangle(80, 4), settings), large = compiled(triangle(80, 4)),
                written = compiled(triangle(40, 4));
  CHECK(until_of(small.pattern.pieces[0]).times < until_of(large.pattern.pieces[0]).times);
  CHECK(until_of(small.pattern.pieces[0]).times == until_of(written.pattern.pieces[0]).times);
}

TEST_CASE("a measure that is set stays a length, a weight or a number, and is told where it was set") {
  const std::string text =
      "gauge 20 st x 28 rows = 10 cm\nmeasure width = 20 cm\nmeasure times = 3\nfabric rib flat n st { "
      "every: <k> }\npiece pad flat {\n  cast on near(width, n)\n  work rib for times rows\n  bind off\n}\n";
  const auto set = [&](const std::string& measure) {
    Settings settings;
    settings.measures = {measure};
    return compiled(text, settings);
  };
  CHECK(set("width = 12 in").diagnostics.all().empty());
  CHECK(set("times = 5").diagnostics.all().empty());
  const Checked number = set("width = 30"), weight = set("width = 30 g"), length = set("times = 5 cm");
  for (const Checked* wrong : {&number, &weight, &length}) {
    REQUIRE(wrong->diagnostics.all().size() == 1);
    CHECK(wrong->diagnostics.all()[0].kind == Kind::bad_measure);
    CHECK(wrong->diagnostics.all()[0].span.source == 2);  // what was asked for, behind the pattern
    CHECK(wrong->diagnostics.all()[0].help.size() == 1);
  }
  CHECK(number.diagnostics.all()[0].message == "`width` is a length, but this is a plain number");
  CHECK(weight.diagnostics.all()[0].message == "`width` is a length, but this is a weight");
  CHECK(length.diagnostics.all()[0].message == "`times` is a plain number, but this is a length");
}

TEST_CASE("where only some numbers of repeats work out, it is the largest of these") {
  const std::string text =
      "yarn kelp \"Kelp\" 100 g = 200 m\nstrand A = kelp\ngauge 20 st x 28 rows = 10 cm\n"
      "stash { kelp 60 g }\nfabric rib flat 4n st { every: <k2 p2> }\n"
      "fabric rising flat n st {\n 1: k2 yo <k>\n 2: <k>\n}\n"
      "piece point flat {\n  cast on 4 with A\n  repeat until A runs out { work rising for 2 rows }\n"
      "  work rib for 6 rows\n  bind off\n}\n";
  const Checked checked = compiled(text);
  INFO(shown(checked, text));
  REQUIRE(!checked.diagnostics.has_errors());
  const Step& until = until_of(checked.pattern.pieces[0]);
  CHECK(until.after % 4 == 0);
  const auto with = [&](long long times) {
    std::string other = text;
    const std::string from = "until A runs out";
    other.replace(other.find(from), from.size(), fmt::format("{} times", times));
    const Checked made = compiled(other);
    return estimate_yarn(made.pattern, *made.stitches).yarns[0].grams;
  };
  CHECK(bound(with(until.times)) <= 60);
  CHECK(bound(with(until.times + 4)) > 60);
}

TEST_CASE("used and left are the stash, and a yarn that runs short is told what fits") {
  const auto text = [](long long times, double grams) {
    return fmt::format(
        "yarn kelp \"Kelp\" 100 g = 200 m\ngauge 20 st x 28 rows = 10 cm\nstash {{ kelp {} g }}\n"
        "fabric plain flat n st {{ rs: <k>  ws: <p> }}\npiece scarf flat {{\n  cast on 40\n"
        "  repeat {} times {{ work plain for 10 rows }}\n  bind off\n}}\n",
        grams, times);
  };
  long long before = 0;
  for (double grams = 12; grams < 120; grams += 5.5) {
    const Checked checked = compiled(text(25, grams));
    const auto error = std::find_if(checked.diagnostics.all().begin(), checked.diagnostics.all().end(),
                                    [](const Diagnostic& d) { return d.kind == Kind::yarn_runs_short; });
    if (error == checked.diagnostics.all().end()) {
      const Estimate estimate = estimate_yarn(checked.pattern, *checked.stitches);
      for (const StashUse& use : stash_use(checked.pattern, estimate))
        CHECK(use.left + use.used.middle == doctest::Approx(use.there));
      continue;
    }
    REQUIRE(error->help.size() == 2);
    long long times = 0;
    REQUIRE(std::sscanf(error->help[0].c_str(), "repeat %lld times", &times) == 1);
    CHECK(times >= before);
    before = times;
    // What it says works, without so much as a warning, and one repeat more does not.
    CHECK(compiled(text(times, grams)).diagnostics.all().empty());
    CHECK(!compiled(text(times + 1, grams)).diagnostics.all().empty());
  }
  CHECK(before > 5);
}

TEST_CASE("of several sizes the largest is named that the stash makes, also where another is asked for") {
  const std::string text =
      "sizes S M L\nyarn kelp \"Kelp\" 100 g = 200 m\ngauge 20 st x 28 rows = 10 cm\nstash { kelp 80 g }\n"
      "fabric plain round n st { every: <k> }\nmeasure chest = [50 60 90] cm\n"
      "piece band round {\n  cast on near(chest, 4n)\n  rows { every: <k> }\n  bind off\n}\n";
  std::string rows = text;
  rows.replace(rows.find("rows { every"), 19, "work plain for 20 cm");
  const auto says = [&](const Settings& settings) {
    const Checked checked = compiled(rows, settings);
    for (const Diagnostic& each : checked.diagnostics.all())
      if (each.kind == Kind::yarn_runs_short) return each.notes.empty() ? std::string() : each.notes.back();
    return std::string("nothing");
  };
  CHECK(says({}) == "size M is the largest that the stash makes");
  Settings large, small;
  large.size = "L";
  small.size = "S";
  CHECK(says(large) == "size M is the largest that the stash makes");
  CHECK(says(small) == "nothing");
}

TEST_CASE("the largest number that fits is found, whatever the curve, in few tries") {
  std::mt19937 random(3);
  for (int round = 0; round < 300; ++round) {
    const long long most = 1 + static_cast<long long>(random() % 1'000'000);
    const double power = 0.5 + static_cast<double>(random() % 30) / 10;
    const double scale = std::pow(1 + static_cast<double>(random() % 1'000'000), power);
    const long long breaks = round % 3 == 0 ? 1 + static_cast<long long>(random() % 1'000'000) : most + 1;
    long long tries = 0;
    const auto pressure = [&](long long number) {
      return std::pow(static_cast<double>(number), power) / scale;
    };
    const Largest found = largest_that_fits(most, [&](long long number) {
      ++tries;
      CHECK(number >= 1);
      CHECK(number <= most);
      return Probe{number < breaks, pressure(number), "why"};
    });
    const auto fits = [&](long long number) {
      return number <= most && number < breaks && pressure(number) <= 1 + 1e-9;
    };
    CHECK((found.number == 0 || fits(found.number)));
    CHECK(!fits(found.number + 1));
    CHECK(found.tried_out == (found.number == most));
    if (!found.tried_out) CHECK(found.ended_by_yarn == (found.number + 1 < breaks));
    CHECK(tries < 80);
  }
}

TEST_CASE("the instructions give the number and the weight that decides") {
  const Checked checked = compiled(triangle(50, 4));
  const Estimate estimate = estimate_yarn(checked.pattern, *checked.stitches);
  std::string text =
      render::write_text(make_document(checked.pattern, *checked.stitches, estimate, "shawl"), {400});
  const Step& until = until_of(checked.pattern.pieces[0]);
  CHECK(text.find(fmt::format("Work rows 1 and 2 of rising {} times, until half of the yarn is used: {} sts.",
                              until.times, until.after)) != std::string::npos);
  CHECK(text.find(
            fmt::format("Or go by the scales: begin the piece with 50 g of Rockpool, weigh it before each "
                        "time, and go on to what follows when {:g} g or less remains. The number of times is "
                        "what the upper estimate",
                        std::ceil(until.until_yarn->left))) != std::string::npos);
  CHECK(text.find("From the stash") != std::string::npos);
}
