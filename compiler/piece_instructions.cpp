// A piece step by step, in the trade's words.

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "compiler/instruction_words.hpp"
#include "compiler/stash_document.hpp"

namespace wale {

namespace {

class PieceWriter {
 public:
  PieceWriter(const Piece& piece, const Pattern& pattern, const Stitches& stitches,
              const DocumentSettings& settings)
      : piece_(piece), pattern_(pattern), stitches_(stitches), settings_(settings) {}

  InstructionPart write() {
    InstructionPart out;
    out.piece = &piece_;
    const bool joined = std::any_of(piece_.steps.begin(), piece_.steps.end(),
                                    [](const Step& step) { return step.kind == Step::Kind::join_round; });
    out.heading = fmt::format("{}, {}", piece_.name,
                              piece_.form == Form::round ? "in the round"
                              : joined                   ? "flat, then in the round"
                                                         : "flat");
    // A piece in which nothing is knitted puts others together.
    if (piece_.widest == 0) out.heading = piece_.name;
    if (piece_.copies > 1) out.heading += fmt::format(" (make {})", piece_.copies);
    capitalise(out.heading);
    steps(piece_.steps, out.lines, false);
    return out;
  }

 private:
  static void put(std::vector<Instruction> lines, std::vector<Instruction>& out) {
    std::move(lines.begin(), lines.end(), std::back_inserter(out));
  }
  static bool round(const Step& step) { return step.form == Form::round; }
  static std::string rows_words(const Step& step, long long count) {
    return round(step) ? count_of(count, "rnd", "rnds") : count_of(count, "row", "rows");
  }
  std::string name_of(short strand) const { return pattern_.strands[static_cast<std::size_t>(strand)].name; }
  /// The strand in hand where there are several to tell apart: "A", else "the yarn".
  std::string yarn(short strand) const {
    return strand < 0 || pattern_.strands.size() < 2 ? "the yarn" : name_of(strand);
  }

  std::string in_hand(const Step& step) {
    const short strand = step.strand;
    // What is repeated may find another strand in hand the second time: it is said whenever the pattern does.
    const bool again = in_repeat_ && step.names_strand;
    if (strand < 0 || (strand == last_strand_ && !again)) return "";
    last_strand_ = strand;
    if (pattern_.strands.size() < 2) return "";
    return fmt::format("With {}, ", name_of(strand));
  }

  void steps(const std::vector<Step>& list, std::vector<Instruction>& out, bool repeated) {
    for (const Step& step : list) {
      switch (step.kind) {
        case Step::Kind::cast_on:
          cast_on(step, out);
          break;
        case Step::Kind::layout:
          layout(step, out, repeated);
          break;
        case Step::Kind::rows:
          rows(step, out, repeated);
          break;
        case Step::Kind::repeat:
          repeat(step, out, repeated);
          break;
        case Step::Kind::bind_off:
          bind_off(step, out, repeated);
          break;
        case Step::Kind::hold:
          hold(step, out, repeated);
          break;
        case Step::Kind::resume:
          resume(step, out);
          break;
        case Step::Kind::join_strand:
          // Stitches taken up again have said so.
          if (&step == &list.front() || !(&step - 1)->joins || (&step - 1)->kind != Step::Kind::resume ||
              (&step - 1)->strand != step.strand)
            join_strand(step, out);
          break;
        case Step::Kind::join_round:
          // Where the piece has been in the round all along, the cast-on has said so.
          if (piece_.form == Form::flat || in_rows_)
            out.push_back({"", "Join in the round; place a marker for the beginning of the rnd."});
          break;
        case Step::Kind::into_rows:
          in_rows_ = true;
          out.push_back({"", "Work back and forth in rows from here, beginning with a RS row."});
          break;
        case Step::Kind::cord:
          cord(step, out);
          break;
        case Step::Kind::even:
          even(step, out);
          break;
        case Step::Kind::pick_up:
        case Step::Kind::take_up:
        case Step::Kind::call_edge:
        case Step::Kind::bind_off_together:
        case Step::Kind::graft:
        case Step::Kind::seam:
          at_edges(step, out);
          break;
        case Step::Kind::markers:
        case Step::Kind::buttonholes:
        case Step::Kind::cord_bind_off:
        case Step::Kind::divide: {
          const bool none = step.kind == Step::Kind::markers;
          put(step_instructions(step, none ? "" : in_hand(step), settings_.mirror), out);
          if (step.kind == Step::Kind::buttonholes || step.kind == Step::Kind::divide) cut_words(step, out);
          break;
        }
        case Step::Kind::shape: {
          const std::string with = in_hand(step);
          if (!with.empty()) out.push_back({"", with.substr(0, with.size() - 2) + ":"});
          put(shape_instructions(step, stitches_, pattern_.strands, !repeated), out);
          cut_words(step, out);
          break;
        }
      }
    }
  }

  void cut_words(const Step& step, std::vector<Instruction>& out) const {
    put(cut_instructions(step, piece_.fabrics, stitches_), out);
  }

  void cast_on(const Step& step, std::vector<Instruction>& out) {
    const std::string with = in_hand(step);
    std::string text = fmt::format("{}{}ast on {}.", with, with.empty() ? "C" : "c", sts(step.after));
    if (step.paired) {
      const auto in = [&](short strand) { return strand < 0 ? "" : " with " + name_of(strand); };
      text = fmt::format(
          "Cast on {} ({}) for double knitting: one st{} for the near layer, one{} for the far "
          "layer, and so on.",
          count_of(step.after / 2, "pair", "pairs"), sts(step.after), in(step.strand), in(step.far_strand));
    }
    if (round(step))
      text += " Join in the round, taking care not to twist; place a marker for the beginning of the rnd.";
    out.push_back({"", std::move(text)});
  }

  void bind_off(const Step& step, std::vector<Instruction>& out, bool repeated) const {
    std::string text =
        step.after > 0
            ? fmt::format("Bind off {} at the beginning of the next {}{}.", sts(step.before - step.after),
                          round(step) ? "rnd" : "row", repeated ? "" : ": " + sts(step.after))
        : step.before == 0 ? "No sts are left to bind off."
                           : fmt::format("Bind off all {}.", sts(step.before));
    if (step.paired) {
      text.pop_back();
      text += ", knitting the 2 sts of each pair together.";
    }
    if (!step.holder.empty()) {
      text.pop_back();
      text += fmt::format("; what is bound off here is the {}.", step.holder);
    }
    out.push_back({"", std::move(text)});
  }

  void hold(const Step& step, std::vector<Instruction>& out, bool repeated) const {
    const long long count = step.before - step.after;
    const std::string which = step.after == 0 ? fmt::format("all {}", sts(count))
                              : step.from_end ? fmt::format("the last {} of the needle", sts(count))
                                              : fmt::format("the next {}", sts(count));
    std::string text = fmt::format("Slip {} onto a holder ({})", which, step.holder);
    if (step.after > 0 && !repeated) text += fmt::format(": {} remain", sts(step.after));
    out.push_back({"", text + "."});
  }

  void resume(const Step& step, std::vector<Instruction>& out) {
    std::string text = fmt::format("Return the {} held as {} to the needle", sts(step.after), step.holder);
    if (!round(step)) text += fmt::format(", with the {} facing", step.side == Side::right ? "RS" : "WS");
    if (step.joins) text += fmt::format(", and join {}", yarn(step.strand));
    last_strand_ = step.strand;
    out.push_back({"", text + "."});
  }

  void join_strand(const Step& step, std::vector<Instruction>& out) {
    last_strand_ = step.strand;
    const std::string edge = round(step) ? "rnd" : "row";
    out.push_back(
        {"", step.cuts ? fmt::format("Cut {} and join it anew at the beginning of the next {}.",
                                     yarn(step.strand), edge)
                       : fmt::format("Join {} at the beginning of the next {}.", yarn(step.strand), edge)});
  }

  void cord(const Step& step, std::vector<Instruction>& out) {
    const std::string with = in_hand(step);
    Step rows = step;
    rows.form = Form::flat;
    const std::string extent = for_rows(rows);
    out.push_back(
        {"", fmt::format("{}{}ork a cord of {}: *knit all sts; do not turn, slide the sts back to the "
                         "{} end of the needle and draw the yarn firmly across the back; rep from * {}.",
                         with, with.empty() ? "W" : "w", sts(step.before),
                         settings_.mirror ? "left" : "right", extent)});
  }

  void at_edges(const Step& step, std::vector<Instruction>& out) {
    const bool yarn = step.kind != Step::Kind::call_edge && !step.at_edges->onto_needle;
    const bool explain =
        step.kind == Step::Kind::bind_off_together && !std::exchange(three_needles_told_, true);
    put(edge_instructions(step, yarn ? in_hand(step) : "", settings_, explain), out);
  }

  void even(const Step& step, std::vector<Instruction>& out) {
    const std::string with = in_hand(step);
    const std::string extent = for_rows(step);
    out.push_back({"", fmt::format("{}{}ork even in pattern {}.", with, with.empty() ? "W" : "w", extent)});
    long long width = 0;
    for (const Step::Part& part : step.parts) width += part.width;
    if (width != step.before) cut_words(step, out);
  }

  /// "for 16 rows, about 6 cm (2.25 in)": the rows decide, and the tape tells whether the gauge is kept.
  std::string for_rows(const Step& step) const {
    return fmt::format("for {}{}", rows_words(step, step.row_count),
                       step.length_cm ? ", about " + tape_words(*step.length_cm, settings_.units) : "");
  }

  std::string end_words(const Step& step) const {
    const Side last = step.row_count % 2 == 1 ? step.side : other(step.side);
    return round(step) ? "" : fmt::format(", ending with a {} row", last == Side::right ? "RS" : "WS");
  }

  /// Whether a fabric begins with its second row, as the wrong side faces: stitches that were picked up stand
  /// for its first, or it was written for the round as one row that is another from the wrong side.
  bool begins_later(const Step& step) const {
    return !round(step) && step.side == Side::wrong &&
           std::any_of(step.parts.begin(), step.parts.end(), [&](const Step::Part& part) {
             const Fabric& fabric = piece_.fabrics[static_cast<std::size_t>(part.fabric)];
             const auto words = [&](const CheckedRow& row) {
               return row_sentence(row.row, stitches_, pattern_.strands);
             };
             return std::any_of(fabric.rows.begin(), fabric.rows.end(), [&](const CheckedRow& row) {
               return words(row) != words(fabric.rows.front());
             });
           });
  }

  /// Whether some of the fabrics side by side have passes that others do not have.
  bool passes_differ(const Step& step) const {
    bool one = false, several = false;
    for (const Step::Part& part : step.parts) {
      const Fabric& fabric = piece_.fabrics[static_cast<std::size_t>(part.fabric)];
      const bool slides = std::any_of(fabric.rows.begin(), fabric.rows.end(),
                                      [](const CheckedRow& row) { return row.row.slides; });
      (slides ? several : one) = true;
    }
    return one && several;
  }

  void layout(const Step& step, std::vector<Instruction>& out, bool repeated) {
    const std::string with = in_hand(step);
    const std::string extent = for_rows(step) + (step.length_cm && !repeated ? end_words(step) : "");
    const auto name = [&](const Step::Part& part) {
      return piece_.fabrics[static_cast<std::size_t>(part.fabric)].name;
    };
    std::string text;
    if (step.parts.size() == 1) {
      text = fmt::format("{}{}ork in {}{} {}.", with, with.empty() ? "W" : "w", name(step.parts[0]),
                         begins_later(step) ? ", beginning with its row 2 (WS)," : "", extent);
    } else {
      std::string line;
      for (const Step::Part& part : step.parts)
        line += fmt::format("{}{} in {}", line.empty() ? "" : ", ", sts(part.width), name(part));
      text = fmt::format("{}{}et up the fabrics on {}: {}. Work in this way {}: each fabric in its own rows",
                         with, with.empty() ? "S" : "s",
                         round(step)                ? "the next rnd"
                         : step.side == Side::right ? "the next row (RS)"
                         : begins_later(step)       ? "the next row (WS), with row 2 of each"
                                                    : "the next row (WS)",
                         line, extent);
      text += round(step) ? "." : ", on WS rows in the opposite order.";
      if (passes_differ(step))
        text +=
            " Where a row is worked twice, the fabrics that have it once are worked the first time and "
            "slipped "
            "the second.";
      if (step.before != step.after && !repeated) text += fmt::format(" There are now {}.", sts(step.after));
      out.push_back({"", std::move(text)});
      return;
    }
    if (step.before != step.after && !repeated) {
      text.pop_back();
      text += fmt::format(": {}.", sts(step.after));
    }
    Instruction line{"", std::move(text)};
    for (const Step::Part& part : step.parts) line.fabrics.push_back({"in " + name(part), part.fabric});
    out.push_back(std::move(line));
  }

  void rows(const Step& step, std::vector<Instruction>& out, bool repeated) {
    in_hand(step);
    put(row_instructions(step.rows, step.form, stitches_, pattern_.strands, !repeated, !repeated), out);
  }

  /// One time through a repeat, in words; `alike` times in a row say the same.
  struct Told {
    const std::vector<Step>* steps = nullptr;
    long long alike = 1;
    std::vector<Instruction> lines;
    short strand_before = -1;
    bool either_side = false;  ///< the rows are the same from both sides, and are worked from both
  };

  /// "Row 1 (RS):" without its side.
  static void forget_sides(std::vector<Instruction>& lines) {
    for (Instruction& line : lines)
      for (const std::string side : {" (RS)", " (WS)"})
        if (const std::size_t at = line.lead.find(side);
            at != std::string::npos && (line.lead.starts_with("Row") || line.lead.starts_with("Next row")))
          line.lead.erase(at, side.size());
  }
  static bool say_the_same(const std::vector<Instruction>& one, const std::vector<Instruction>& other) {
    return std::equal(
        one.begin(), one.end(), other.begin(), other.end(),
        [](const Instruction& a, const Instruction& b) { return a.lead == b.lead && a.text == b.text; });
  }

  /// All times through, those that say the same together.
  std::vector<Told> times_through(const Step& step) {
    std::vector<Told> out;
    long long alike = step.times;
    for (const Step::Again& each : step.again) alike -= each.alike;
    const auto tell = [&](const std::vector<Step>& list, long long times) {
      Told next{&list, times, {}, last_strand_};
      steps(list, next.lines, true);
      if (!out.empty()) {
        Told& before = out.back();
        std::vector<Instruction> one = before.lines, other = next.lines;
        forget_sides(one);
        forget_sides(other);
        if (say_the_same(one, other)) {
          before.either_side |= !say_the_same(before.lines, next.lines);
          before.alike += times;
          if (before.either_side) before.lines = std::move(one);
          return;
        }
      }
      out.push_back(std::move(next));
    };
    tell(step.steps, alike);
    for (const Step::Again& each : step.again) tell(each.steps, each.alike);
    return out;
  }

  /// Whether the first two are worked again and again by turns.
  static bool by_turns(const std::vector<Told>& all) {
    if (all.size() < 4) return false;
    for (std::size_t i = 0; i < all.size(); ++i)
      if (all[i].alike != 1 || !say_the_same(all[i].lines, all[i % 2].lines)) return false;
    return true;
  }

  /// How a repeat ends: "until there are 40 sts", "until half of A is used", and ": 40 sts" behind its
  /// number.
  struct Ending {
    std::string until, count;
    bool by_yarn = false;
  };
  Ending ending(const Step& step, bool repeated) const {
    Ending out;
    if (step.before != step.after && !repeated) out.count = fmt::format(": {}", sts(step.after));
    if (step.until) out.until = fmt::format("until there are {}", sts(step.after));
    if (step.until_yarn) out.until = until_words(*step.until_yarn, pattern_), out.by_yarn = true;
    return out;
  }

  void again_and_again(const std::vector<const Told*>& block, long long times, const Ending& end,
                       std::vector<Instruction>& out) {
    const auto only_rows = [](const Told* told) {
      return told->steps->size() == 1 && told->steps->front().kind == Step::Kind::rows;
    };
    if (std::all_of(block.begin(), block.end(), only_rows)) {
      std::vector<CheckedRow> rows;
      for (const Told* told : block) {
        const long long before = rows.empty() ? 0 : rows.back().row.number;
        for (const CheckedRow& row : told->steps->front().rows) {
          rows.push_back(row);
          rows.back().row.number += before;
        }
      }
      const Step& step = block.front()->steps->front();
      std::vector<Instruction> lines =
          row_instructions(rows, step.form, stitches_, pattern_.strands, false, false);
      if (block.front()->either_side) forget_sides(lines);
      put(std::move(lines), out);
      const long long number = rows.back().row.number;
      if (times > 1)
        out.push_back({"", fmt::format("Rep {} {} more {}{}{}.",
                                       number == 1 ? fmt::format("this {}", round(step) ? "rnd" : "row")
                                                   : fmt::format("these {}", rows_words(step, number)),
                                       times - 1, times == 2 ? "time" : "times",
                                       end.by_yarn ? ", " + end.until : "", end.count)});
      return;
    }
    out.push_back({"", end.until.empty()
                           ? fmt::format("Work the following {}:", times_words(times))
                           : fmt::format("Work the following {} ({}):", end.until, times_words(times))});
    for (const Told* told : block) out.insert(out.end(), told->lines.begin(), told->lines.end());
    out.push_back({"", fmt::format("End of what is worked {}{}.", times_words(times), end.count)});
  }

  /// Once, as if it stood there by itself; in a repeat, which gives no counts, it has been told so already.
  void once(const Told& told, bool repeated, std::vector<Instruction>& out) {
    if (repeated) {
      out.insert(out.end(), told.lines.begin(), told.lines.end());
      return;
    }
    last_strand_ = told.strand_before;
    steps(*told.steps, out, false);
  }

  void repeat(const Step& step, std::vector<Instruction>& out, bool repeated) {
    if (step.times == 1 && !step.until_yarn) return steps(step.steps, out, repeated);
    const Ending end = ending(step, repeated);
    if (!whole_cycles(step, end, out)) {
      const bool outer = std::exchange(in_repeat_, true);
      const std::vector<Told> all = times_through(step);
      in_repeat_ = outer;
      const short strand_after = last_strand_;
      tell_times(step, all, end, repeated, out);
      last_strand_ = strand_after;
    }
    by_the_scales(step, out);
  }

  void tell_times(const Step& step, const std::vector<Told>& all, const Ending& end, bool repeated,
                  std::vector<Instruction>& out) {
    if (all.size() == 1) return again_and_again({&all[0]}, all[0].alike, end, out);
    const Ending inside{"", end.count};
    if (by_turns(all)) {
      const bool odd = all.size() % 2 == 1;
      const auto pairs = static_cast<long long>(all.size() / 2);
      again_and_again({&all[0], &all[1]}, pairs, odd ? Ending() : end.by_yarn ? inside : end, out);
      if (odd) once(all.back(), repeated, out);
    } else {
      for (const Told& each : all) {
        if (each.alike == 1)
          once(each, repeated, out);
        else
          again_and_again({&each}, each.alike, &each == &all.back() ? inside : Ending(), out);
      }
    }
    if (end.by_yarn)
      out.push_back({"", fmt::format("So it is worked {} in all, {}.", times_words(step.times), end.until)});
  }

  /// "Work rows 1 and 2 of rising 60 times: 64 sts."
  bool whole_cycles(const Step& step, const Ending& end, std::vector<Instruction>& out) {
    const Step& inner = step.steps[0];
    if (step.steps.size() != 1 || inner.kind != Step::Kind::layout || inner.parts.size() != 1) return false;
    const Fabric& fabric = piece_.fabrics[static_cast<std::size_t>(inner.parts[0].fabric)];
    if (inner.row_count != fabric.cycle_rows() || inner.length_cm) return false;
    const std::string with = in_hand(inner);
    const std::string text =
        fmt::format("{}{}ork {} {}{}{}.", with, with.empty() ? "W" : "w",
                    cycle_words(fabric, stitches_, pattern_.strands), times_words(step.times),
                    end.by_yarn ? ", " + end.until : "", end.count);
    out.push_back({"", text, {}, {{"of " + fabric.name, inner.parts[0].fabric}}});
    return true;
  }

  /// Beside the number of times that the estimate gives: the weight that decides whatever the gauge is.
  void by_the_scales(const Step& step, std::vector<Instruction>& out) const {
    if (step.until_yarn && step.until_yarn->yarn >= 0)
      out.push_back({"", scales_sentence(*step.until_yarn, pattern_, settings_.units)});
  }

  const Piece& piece_;
  const Pattern& pattern_;
  const Stitches& stitches_;
  const DocumentSettings& settings_;
  short last_strand_ = -1;
  bool in_repeat_ = false;
  bool in_rows_ = false;             ///< it has gone on in rows
  bool three_needles_told_ = false;  ///< how two needles' stitches are bound off together
};

}  // namespace

InstructionPart piece_instructions(const Piece& piece, const Pattern& pattern, const Stitches& stitches,
                                   const DocumentSettings& settings) {
  return PieceWriter(piece, pattern, stitches, settings).write();
}

}  // namespace wale
