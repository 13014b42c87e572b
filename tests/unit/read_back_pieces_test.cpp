// Shaped pieces made at random, in three sizes, read back from the words that all sizes share: after every
// step the loops must be those that were checked.
#include <doctest/doctest.h>

#include "tests/unit/random_piece.hpp"
#include "tests/unit/read_back_compare.hpp"

using namespace wale;
using namespace wale::naive;

TEST_CASE(
    "shaped pieces of several sizes are read back from their words, step by step, as they were checked") {
  const int many = 320 * read_back::scale();
  read_back::Count count;
  int wrong = 0, patterns = 0;
  std::map<Step::Kind, long long> kinds;
  for (int i = 0; i < many && wrong < 3; ++i) {
    Dice dice(700'000 + static_cast<std::uint64_t>(i));
    const auto pattern = random_pattern(dice);
    if (!pattern) continue;
    ++patterns;
    for (const Piece& piece : pattern->checked.pattern.pieces)
      for (const Step& step : piece.steps) ++kinds[step.kind];
    // A third of them in inches, a third for a left-handed knitter.
    DocumentSettings settings;
    if (i % 3 == 1) settings.units = Units::inches;
    settings.mirror = i % 3 == 2;
    const std::vector<std::string> found = read_back::compare_instructions(pattern->checked, settings, count);
    if (found.empty()) continue;
    ++wrong;
    // What is left of it may be wrong in another way.
    MESSAGE("seed ", 700'000 + i, ": ", found.front());
    const auto fails = [&](const Checked& checked) {
      read_back::Count ignored;
      return !read_back::compare_instructions(checked, settings, ignored).empty();
    };
    const std::string small = shrunk_text(pattern->text, fails);
    const Checked checked = check(Source("p.wale", small, 1));
    read_back::Count ignored;
    std::string why;
    for (const std::string& each : read_back::compare_instructions(checked, settings, ignored))
      why += each + "\n";
    FAIL_CHECK("seed ", 700'000 + i, "\n", small, "\n", read_back::printed_instructions(checked, settings),
               "\n", why);
  }
  MESSAGE(patterns, " patterns: ", count.pieces, " pieces are read back, ", count.places, " steps, ",
          count.rows, " lines of rows, ", count.sentences, " sentences");
  CHECK(count.pieces > 5 * many);
  // Every kind of step has had its turn.
  for (const Step::Kind kind :
       {Step::Kind::cast_on, Step::Kind::layout, Step::Kind::rows, Step::Kind::repeat, Step::Kind::bind_off,
        Step::Kind::hold, Step::Kind::resume, Step::Kind::join_strand, Step::Kind::join_round,
        Step::Kind::into_rows, Step::Kind::even, Step::Kind::shape, Step::Kind::pick_up, Step::Kind::take_up,
        Step::Kind::call_edge, Step::Kind::seam, Step::Kind::cord, Step::Kind::graft,
        Step::Kind::bind_off_together}) {
    INFO("kind ", static_cast<int>(kind));
    CHECK(kinds[kind] > many / 100);
  }
}
