// Rows that are counted in place of being worked, against the same rows worked: pieces must not tell which it
// was.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include "compiler/check.hpp"
#include "tests/unit/random_piece.hpp"

using namespace wale;

namespace {

Checked checked(const std::string& text, bool for_charts = true) {
  Effort effort;
  effort.for_charts = for_charts;
  return check(Source("p.wale", text, 1), {}, effort);
}

/// All but the rows that are kept for charts and words.
void compare(const std::vector<Step>& counted, const std::vector<Step>& worked) {
  REQUIRE(counted.size() == worked.size());
  for (std::size_t i = 0; i < worked.size(); ++i) {
    CAPTURE(i);
    const Step &a = counted[i], &b = worked[i];
    CHECK(a.kind == b.kind);
    CHECK(a.before == b.before);
    CHECK(a.after == b.after);
    CHECK(a.side == b.side);
    CHECK(a.first_row == b.first_row);
    CHECK(a.row_count == b.row_count);
    CHECK(a.needle == b.needle);
    CHECK(a.tally == b.tally);
    CHECK(a.joins == b.joins);
    CHECK(a.cuts == b.cuts);
    REQUIRE(a.shaping.has_value() == b.shaping.has_value());
    if (a.shaping) CHECK(a.shaping->bare == b.shaping->bare);
    compare(a.steps, b.steps);
    REQUIRE(a.again.size() == b.again.size());
    for (std::size_t k = 0; k < a.again.size(); ++k) compare(a.again[k].steps, b.again[k].steps);
  }
}

/// All but the outline.
void compare(const Pattern& counted, const Pattern& worked) {
  REQUIRE(counted.pieces.size() == worked.pieces.size());
  for (std::size_t i = 0; i < worked.pieces.size(); ++i) {
    const Piece &a = counted.pieces[i], &b = worked.pieces[i];
    CAPTURE(a.name);
    CHECK(a.good == b.good);
    CHECK(a.rows == b.rows);
    CHECK(a.widest == b.widest);
    CHECK(a.tally == b.tally);
    CHECK(a.edges.size() == b.edges.size());
    compare(a.steps, b.steps);
  }
}

/// Returns the rows kept of the first less those of the second.
long long compare_both(const std::string& text) {
  CAPTURE(text);
  const Checked counted = checked(text, false), worked = checked(text, true);
  const std::vector<Source> sources{vocabulary_source(), Source("p.wale", text, 1)};
  CHECK(show(counted.diagnostics, sources) == show(worked.diagnostics, sources));
  compare(counted.pattern, worked.pattern);
  REQUIRE(counted.larger.size() == worked.larger.size());
  for (std::size_t i = 0; i < worked.larger.size(); ++i) compare(counted.larger[i], worked.larger[i]);
  long long fewer = 0;
  for (const Piece& piece : worked.pattern.pieces)
    for (const Step& step : piece.steps) fewer += static_cast<long long>(step.worked.size());
  for (const Piece& piece : counted.pattern.pieces)
    for (const Step& step : piece.steps) fewer -= static_cast<long long>(step.worked.size());
  return fewer;
}

}  // namespace

TEST_CASE("pieces made at random are the same whether rows of shaping are worked or counted") {
  int patterns = 0;
  for (unsigned seed = 1; seed <= 60; ++seed) {
    CAPTURE(seed);
    naive::Dice dice(910'000 + seed);
    const auto made = naive::random_pattern(dice);
    if (!made) continue;
    ++patterns;
    compare_both(made->text);
  }
  CHECK(patterns > 40);
}

TEST_CASE("shapings of plain fabrics are the same whether their rows are worked or counted") {
  long long fewer = 0;
  for (unsigned seed = 1; seed <= 400; ++seed) {
    CAPTURE(seed);
    naive::Dice dice(seed);
    const auto between = [&](int low, int high) { return static_cast<int>(dice.number(low, high)); };
    const bool round = between(0, 1) == 1, markers = between(0, 3) == 0, named = between(0, 1) == 1;
    const char* flat_rows[] = {"rs: <k>  ws: <p>", "every: <k>", "rs: <p>  ws: <k>",
                               "1: <k>  2: <k>  3: <p>  4: <p>", "1 A: <k>  2 A: <p>  3 B: <k>  4 B: <p>"};
    const char* round_rows[] = {"every: <k>", "every: <p>", "1: <k>  2: <p>", "1 A: <k>  2 B: <k>"};
    std::string text = named ? "yarn kelp \"Kelp\" 100 g = 200 m\nyarn foam \"Foam\" 100 g = 200 m\nstrand A "
                               "= kelp\nstrand B = foam\n"
                             : "";
    text +=
        fmt::format("fabric plain {} n st {{ {} }}\npiece q {} {{\n cast on {}\n work plain for {} rows\n",
                    round ? "round" : "flat",
                    round ? round_rows[between(0, named ? 3 : 2)] : flat_rows[between(0, named ? 4 : 3)],
                    round ? "round" : "flat", between(20, 90), between(1, 5));
    if (markers) text += " place markers line after 5 and 6\n";
    // Not all of it can be worked: what is told then is the same, too.
    for (int shapings = between(1, 3); shapings > 0; --shapings) {
      const char* places[] = {"each side", "at the start", "at the end"};
      const int amount = markers ? 1 : std::max(1, between(-2, 3));
      text += fmt::format(" {} {} {} every {} {} {} times\n", between(0, 1) == 1 ? "widen" : "narrow", amount,
                          markers ? "each side of the markers line" : places[between(0, 2)],
                          between(amount > 1 ? 2 : 1, 5), round ? "rounds" : "rows", between(1, 12));
      if (between(0, 1) == 1) text += fmt::format(" work even for {} rows\n", between(1, 4));
    }
    text += " bind off\n}\n";
    fewer += compare_both(text);
  }
  // Otherwise nothing was counted, and nothing compared.
  CHECK(fewer > 2000);
}

TEST_CASE("fabrics over so many stitches come to what their rows come to, written out in the piece") {
  struct Written {
    const char *form, *width, *rows;
    int stitches, cycle;
  };
  const Written all[] = {
      {"flat", "n st", "1: <k>  2: <p>", 17, 2},
      {"flat", "4n + 2 st", "1: <k2 p2> k2  2: <p2 k2> p2", 38, 2},
      {"flat", "6n + 1 st", "1: k1 <yo ssk k1 k2tog yo k1>  2: <p>  3: k1 <k1 yo sk2p yo k2>  4: <p>", 31, 4},
      {"flat", "8n st", "1: <p2 2/2rc p2>  2: <k2 p4 k2>  3: <p2 k4 p2>  4: <k2 p4 k2>", 24, 4},
      {"round", "3n st", "1: <k2 p1>  2: <k>", 33, 2},
      {"round", "n st", "1: <k>  2: <p>  3: <k>", 12, 3},
      {"round", "4n st", "1: <A(k3) B(k)>  2 A: <k>  3: <B(k) A(k2) B(k)>", 24, 3},
      {"flat", "4n + 1 st", "1 A: <k>  2 A: <p>  3: A(k) <B(k3) A(k)>  4: A(p) <B(p3) A(p)>", 21, 4},
      {"flat", "n st", "1 A: <k>  2 A: <k>  3 B: <k>  4 B: <p>", 11, 4},
  };
  int compared = 0;
  for (const Written& each : all)
    for (int rows = 1; rows <= 3 * each.cycle + 1; ++rows) {
      CAPTURE(each.rows);
      CAPTURE(rows);
      const std::string yarns =
          "yarn kelp \"Kelp\" 100 g = 200 m\nyarn foam \"Foam\" 100 g = 200 m\nstrand A = kelp\nstrand B = "
          "foam\n";
      const std::string fabric =
          fmt::format("{}fabric f {} {} {{ {} }}\n", yarns, each.form, each.width, each.rows);
      const auto piece = [&](const std::string& steps) {
        return checked(fmt::format("{}piece q {} {{\n cast on {}\n {} rows {{ 1: <k> }}\n bind off\n}}\n",
                                   fabric, each.form, each.stitches, steps));
      };
      const Checked laid = piece(fmt::format("work f for {} rows\n", rows));
      // Once for each whole cycle, and the rest of the rows by themselves.
      std::string written;
      for (int done = 0; done < rows; done += each.cycle) {
        std::string some = each.rows;
        for (int row = rows - done + 1; row <= each.cycle; ++row)
          for (const char* label : {"  {}:", "  {} A:", "  {} B:"})
            if (const auto at = some.find(fmt::format(fmt::runtime(label), row)); at != std::string::npos)
              some.resize(at);
        written += fmt::format("rows {{ {} }}\n ", some);
      }
      const Checked out = piece(written);
      // The row behind may be out of its yarn's reach, whichever way those before it are told.
      REQUIRE(laid.diagnostics.errors() == out.diagnostics.errors());
      if (out.diagnostics.has_errors()) continue;
      ++compared;
      const Piece &a = laid.pattern.pieces.at(0), &b = out.pattern.pieces.at(0);
      CHECK(a.rows == b.rows);
      CHECK(a.widest == b.widest);
      CHECK(a.tally == b.tally);
      CHECK(a.steps.at(1).needle == b.steps.at(b.steps.size() - 3).needle);
      CHECK(a.steps.at(2).side == b.steps.at(b.steps.size() - 2).side);
    }
  CHECK(compared > 80);
}
