// Whether a row uses up the needle: the sum, part by part, and what would fit.

#include <fmt/format.h>

#include "compiler/row_worker.hpp"

namespace wale {

namespace {

/// "2 + 13 x 4 + 1" as far as there are such parts; `fills` < 0 writes the fill without a number.
std::string sum_words(const Parts& parts, const std::string& fills) {
  std::string out;
  const auto term = [&](const std::string& text) { out += out.empty() ? text : " + " + text; };
  for (const long long part : parts.before) term(fmt::format("{}", part));
  if (parts.fill > 0) term(fmt::format("{} × {}", fills, parts.fill));
  for (const long long part : parts.after) term(fmt::format("{}", part));
  return out.empty() ? "0" : out;
}

/// "2 + 6 + 13 = 21"; a sum of one part is that part.
std::string sum_and_total(const Parts& parts, long long total) {
  const std::string sum = sum_words(parts, ""), number = fmt::format("{}", total);
  return sum == number ? number : sum + " = " + number;
}

std::string width_words(Linear width) {
  return fmt::format("{} st", to_string(width));
}

/// "cast on ..." is the piece's to say; here the row says which widths it can use.
void offer_widths(Diagnostic& diagnostic, const Parts& parts, Linear width) {
  if (width.constant()) {
    const std::vector<long long> near = nearest_fits(parts, width.base);
    if (near.size() == 1) diagnostic.try_this(fmt::format("the row works on {} st", near[0]));
    if (near.size() == 2) diagnostic.try_this(fmt::format("the row works on {} or {} st", near[0], near[1]));
    return;
  }
  if (parts.fill == 0) {
    diagnostic.try_this(fmt::format("the row works on {} st; put the part that repeats into a fill: <...>",
                                    add_counts(parts.before_total, parts.after_total)));
    return;
  }
  const long long ends = add_counts(parts.before_total, parts.after_total);
  const long long step = width.per_n % parts.fill == 0 ? width.per_n : parts.fill;
  const long long lower = width.base - floor_rest(width.base - ends, parts.fill);
  // With another repeat the smallest such width says enough; with the author's there is one on either side.
  std::string offer =
      width_words(step == width.per_n ? Linear(step, lower) : Linear(step, floor_rest(lower, parts.fill)));
  if (step == width.per_n && lower != width.base)
    offer += " or " + width_words(Linear(step, lower + parts.fill));
  diagnostic.try_this(fmt::format("the row fits a fabric of {}", offer));
}

/// The sum of a row without a fill at the first n from `from_n` at which it is wrong; nothing where no n is
/// in it. `over`: stitches on the needle that the row does not work.
void note_an_n(Diagnostic& diagnostic, Linear width, Linear over, long long ends, long long from_n) {
  if (width.constant()) return;
  long long n = std::max(from_n, smallest_n(over, 1));
  if (over.at(n) == 0) ++n;
  diagnostic.note(fmt::format("for n = {}: {} on the needle, and the row works {}", n, width.at(n), ends));
}

/// The same for a row with a fill.
std::string fill_at(long long n, Linear width, long long ends) {
  return fmt::format("for n = {}: {} on the needle, {} beside the repeat, {} left for it", n, width.at(n),
                     ends, width.at(n) - ends);
}

}  // namespace

std::vector<long long> nearest_fits(const Parts& parts, long long width) {
  const long long ends = add_counts(parts.before_total, parts.after_total);
  if (parts.fill == 0) return {ends};
  if (width < ends) return {ends > 0 ? ends : parts.fill};
  const long long below = width - floor_rest(width - ends, parts.fill);
  if (below == width) return {width};
  if (below <= 0) return {below + parts.fill};
  return {below, below + parts.fill};
}

std::optional<Linear> fit_row(const std::vector<Op>& ops, Linear width, const Stitches& stitches, Span span,
                              const RowName& row_name, Diagnostics& diagnostics, long long from_n) {
  const RowSum sum = sum_of(ops, stitches);
  const long long ends = sum.ends;
  const auto needle = [&] { return to_string(width); };
  if (ends >= largest_work || sum.fill >= largest_work) {
    diagnostics.add(Kind::too_much_work, span,
                    fmt::format("{} counts more stitches than anyone could knit", row_name()));
    return {};
  }
  const Op* fill = sum.fill_op;
  if (fill && sum.fill == 0) {
    diagnostics.add(Kind::empty_fill, fill->span, "this fill uses up no stitch, so it would never end")
        .try_this("give it a stitch that takes one from the needle, such as <yo k>");
    return {};
  }
  const Op* turn = find_turn(ops);
  if (turn && turn->turn == Turn::wrap && turn->leaves < 1 && (fill || width == Linear(ends))) {
    diagnostics.add(Kind::ends_mid_row, turn->span, fmt::format("{} has no stitch left to wrap", row_name()))
        .try_this("wt3 wraps and turns with 3 stitches left")
        .try_this("at the end of a row the work is turned anyway");
    return {};
  }
  if (!fill && width == Linear(ends)) return Linear(0);
  const Linear left = width - Linear(ends);
  if (fill && !(left.constant() && left.base < 0) && left.per_n % sum.fill == 0 &&
      floor_rest(left.base, sum.fill) == 0)
    return Linear(left.per_n / sum.fill, left.base / sum.fill);

  // It does not come out: which parts make the sum is part of what is told.
  const Parts parts = parts_of(ops, stitches);
  if (!fill) {
    const Linear& over = left;
    if (turn && turn->leaves < 0 && over.per_n >= 0 && smallest_n(over, 0) >= 0 &&
        (over.per_n > 0 || over.base > 0))
      return Linear(0);
    if (over.per_n >= 0 && (over.per_n > 0 || over.base > 0)) {
      Diagnostic& added = diagnostics.add(Kind::row_leaves_stitches, span,
                                          fmt::format("{} works {} and leaves {} on the needle", row_name(),
                                                      count_of(ends, "stitch", "stitches"), to_string(over)));
      added.under(fmt::format("{}, on the needle {}", sum_and_total(parts, ends), needle()));
      note_an_n(added, width, over, ends, from_n);
      offer_widths(added, parts, width);
    } else {
      Diagnostic& added = diagnostics.add(Kind::row_needs_stitches, span,
                                          fmt::format("{} asks for {}, and the needle holds {}", row_name(),
                                                      count_of(ends, "stitch", "stitches"), needle()));
      added.under(fmt::format("{}, on the needle {}", sum_and_total(parts, ends), needle()));
      note_an_n(added, width, over, ends, from_n);
      offer_widths(added, parts, width);
    }
    return {};
  }
  if (left.constant() && left.base < 0) {
    Diagnostic& added =
        diagnostics.add(Kind::row_needs_stitches, span,
                        fmt::format("{} asks for {} before and after its repeat, and the needle holds {}",
                                    row_name(), count_of(ends, "stitch", "stitches"), needle()));
    added.under(fmt::format("{} = {}, on the needle {}", sum_words(parts, "0"), ends, needle()));
    offer_widths(added, parts, width);
    return {};
  }
  const Linear times(left.per_n / sum.fill, floor_divide(left.base, sum.fill));
  const long long over = floor_rest(left.base, sum.fill);
  if (left.constant()) {
    Diagnostic& added = diagnostics.add(
        Kind::fill_does_not_divide, fill->span,
        fmt::format("in {} the repeat of {} does not come out: it fits {} and leaves {} over", row_name(),
                    sum.fill, count_of(times.base, "time", "times"), count_of(over, "stitch", "stitches")));
    added.under(fmt::format("{} = {}, on the needle {}", sum_words(parts, fmt::format("{}", times.base)),
                            ends + times.base * sum.fill, needle()));
    offer_widths(added, parts, width);
    return {};
  }
  if (left.per_n % sum.fill != 0) {
    // Name an n at which it goes wrong: the first that is wide enough.
    long long n = std::max(from_n, smallest_n(left, 0));
    while (floor_rest(left.at(n), sum.fill) == 0) ++n;
    Diagnostic& added = diagnostics.add(
        Kind::fill_does_not_divide, fill->span,
        fmt::format("in {} the repeat of {} does not come out for every n", row_name(), sum.fill));
    added.under(fill_at(n, width, ends));
    offer_widths(added, parts, width);
    return {};
  }
  Diagnostic& added =
      diagnostics.add(Kind::fill_does_not_divide, fill->span,
                      fmt::format("in {} the repeat of {} leaves {} over, whatever n is", row_name(),
                                  sum.fill, count_of(over, "stitch", "stitches")));
  added.under(fmt::format("{} leave {} for it, of {} on the needle",
                          ends == 0 ? "no stitches beside it" : fmt::format("the {} beside it", ends),
                          to_string(left), needle()));
  added.note(fill_at(std::max(from_n, smallest_n(left, 0)), width, ends));
  offer_widths(added, parts, width);
  return {};
}

}  // namespace wale
