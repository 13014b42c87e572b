// Fabrics side by side: who gets which stitches, and the rows they make together.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <span>

#include "compiler/piece_worker.hpp"

namespace wale {

namespace {

/// Joint cycles longer than this are not looked for; the rows are then worked one by one.
constexpr long long longest_joint_cycle = 1'000'000;

/// The width of the fabric nearest to `width` from below and above.
std::string nearest_widths(const Fabric& fabric, long long width) {
  if (fabric.width.constant()) return fmt::format("{} st", fabric.width.base);
  const long long n =
      std::max(fabric.smallest_n, floor_divide(width - fabric.width.base, fabric.width.per_n));
  const long long below = fabric.width.at(n), above = fabric.width.at(n + 1);
  return below > width ? fmt::format("{} st", below) : fmt::format("{} or {} st", below, above);
}

/// A row that may be left out: one pass to the row's end, part by part as many stitches given as taken.
bool keeps_width(const CheckedRow& checked, const Stitches& stitches) {
  const Row& row = checked.row;
  if (row.slides || find_turn(row.ops)) return false;
  const Balance outside = balance(row.ops, stitches);
  const Op* fill = find_fill(row.ops);
  if (outside.takes != outside.gives) return false;
  if (!fill || fill->form != Op::Form::fill) return true;
  const Balance inside = balance(fill->ops, stitches);
  return inside.takes == inside.gives;
}

}  // namespace

std::optional<int> PieceWorker::use_fabric(const tree::Name& name) {
  for (std::size_t i = 0; i < out_.fabrics.size(); ++i)
    if (out_.fabrics[i].name == name.text && out_.fabrics[i].form == form_) return static_cast<int>(i);
  for (const Fabric& fabric : shelf_.pattern.fabrics) {
    if (fabric.name != name.text) continue;
    if (!fabric.good) return {};  // what is wrong with it has been said
    const Fabric* before = nullptr;
    if (converted_before)
      for (const Fabric& each : *converted_before)
        if (each.name == name.text && each.form == form_) before = &each;
    if (out_.fabrics.empty()) out_.fabrics.reserve(4);
    out_.fabrics.push_back(before ? *before
                                  : converted(fabric, form_, shelf_.stitches, shelf_.strands, shelf_.effort));
    if (!within_reason(name.span)) return {};
    if (out_.fabrics.back().good) return static_cast<int>(out_.fabrics.size() - 1);
    diagnostics_.add(
        Kind::layout_does_not_fit, name.span,
        fmt::format("{} cannot be worked {}", name.text, form_ == Form::round ? "in the round" : "flat"));
    return {};
  }
  std::vector<std::string> names;
  for (const Fabric& fabric : shelf_.pattern.fabrics) names.push_back(fabric.name);
  Diagnostic& added =
      diagnostics_.add(Kind::unknown_fabric, name.span, fmt::format("no fabric is called `{}`", name.text));
  if (!added.try_nearest(name.span, name.text, names) && !names.empty())
    added.try_this(fmt::format("fabrics here: {}", fmt::join(names, ", ")));
  return {};
}

bool PieceWorker::fits(const Fabric& fabric, long long width, Span span) {
  const bool good = fabric.width.constant()
                        ? width == fabric.width.base
                        : width >= fabric.width.at(fabric.smallest_n) &&
                              floor_rest(width - fabric.width.base, fabric.width.per_n) == 0;
  if (good) return true;
  diagnostics_
      .add(Kind::layout_does_not_fit, span,
           fmt::format("{} is {} st wide, and here it gets {}", fabric.name, to_string(fabric.width), width))
      .try_this(fmt::format("the nearest widths of {}: {}", fabric.name, nearest_widths(fabric, width)));
  return false;
}

std::optional<std::vector<Step::Part>> PieceWorker::lay_out(const tree::Work& source) {
  std::vector<Step::Part> out;
  const long long total = needles_.width().base;
  long long given = 0;
  std::optional<std::size_t> open;
  out.reserve(source.layout.size());
  for (const tree::LayoutPart& part : source.layout) {
    const auto fabric = use_fabric(part.fabric);
    if (!fabric) return {};
    long long width = 0;
    if (part.width) {
      const auto count = evaluate_count(*part.width, shelf_.scope, 1, "a width", diagnostics_);
      if (!count) return {};
      width = *count;
    } else if (open) {
      diagnostics_
          .add(Kind::layout_does_not_fit, part.fabric.span,
               "two fabrics here have no width, so it cannot be told how they share the stitches")
          .label(source.layout[*open].fabric.span, "the first one")
          .try_this(fmt::format("{} 12 | ...", source.layout[*open].fabric.text));
      return {};
    } else {
      open = out.size();
    }
    given = add_counts(given, width);
    out.push_back({*fabric, width});
  }
  if (open) out[*open].width = total - given;
  if (given > total || (!open && given != total) || (open && total == given)) {
    std::string sum;
    for (std::size_t i = 0; i < out.size(); ++i)
      if (source.layout[i].width) sum += fmt::format("{}{}", sum.empty() ? "" : " + ", out[i].width);
    diagnostics_.add(Kind::layout_does_not_fit, source.layout_span,
                     fmt::format("the fabrics take {} and the needle holds {}",
                                 sum.find('+') == std::string::npos ? fmt::format("{}", given)
                                                                    : fmt::format("{} = {}", sum, given),
                                 total));
    return {};
  }
  for (std::size_t i = 0; i < out.size(); ++i)
    if (!fits(out_.fabrics[static_cast<std::size_t>(out[i].fabric)], out[i].width,
              source.layout[i].fabric.span))
      return {};
  return out;
}

/// Every fabric's row has to fall on its own side; a fabric of one kind of row may begin anywhere.
bool PieceWorker::starts_right(const std::vector<Step::Part>& parts, const tree::Work& source) {
  if (form_ == Form::round || side_ == Side::right) return true;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(parts[i].fabric)];
    if (fabric.every_row_alike) continue;
    // Stitches picked up are its first row, where that row neither gains nor loses any.
    if (picked_up_ && !fabric.needs_set_up && keeps_width(fabric.rows.front(), shelf_.stitches)) continue;
    diagnostics_
        .add(Kind::starts_on_wrong_side, source.layout[i].fabric.span,
             fmt::format(
                 "{} begins with a right-side row, but {} have been worked, so the wrong side faces you",
                 fabric.name, count_of(row_, "row", "rows")))
        .try_this("work one row more or one row less before it");
    return false;
  }
  return true;
}

std::string set_up_words(const Fabric& fabric, const Stitches& stitches) {
  (void)stitches;
  const auto words = [&](const Needle& needle, bool purl) {
    std::string out;
    for (const Segment& segment : needle.segments()) {
      std::string run;
      for (std::size_t i = 0; i < segment.word.size();) {
        std::size_t end = i;
        while (end < segment.word.size() && segment.word[end] == segment.word[i]) ++end;
        const bool veiled = segment.word[i].type == LoopType::veiled;
        if (!run.empty()) run += ' ';
        if (veiled) {
          for (; i < end; ++i) run += i + 1 < end ? "sl1yo " : "sl1yo";
        } else {
          run += fmt::format("{}{}", purl ? "p" : "k", end - i > 1 ? fmt::format("{}", end - i) : "");
        }
        i = end;
      }
      if (!out.empty()) out += ' ';
      const bool many = !segment.times.constant() || segment.times.base > 1;
      out += many ? "<" + run + ">" : run;
    }
    return out;
  };
  if (fabric.form == Form::round) return fmt::format("rows {{ 1: {} }}", words(fabric.entry, false));
  Needle reversed = fabric.entry;
  reversed.reverse();
  reversed.normalise();
  return fmt::format("rows {{ 1: <k>  2: {} }}", words(reversed, true));
}

/// How to come to pairs, in the strands of the fabric: all of the needle's where every fabric begins on them,
/// else opened out of single stitches.
std::string PieceWorker::pairs_words(const std::vector<Step::Part>& parts, const Fabric& fabric) const {
  std::string strands;
  for (const CheckedRow& each : fabric.rows) {
    const Row& row = each.row;
    if (row.strand < 0 || row.back_strand < 0) continue;
    strands = fmt::format(" with {} {}", shelf_.strands[static_cast<std::size_t>(row.strand)].name,
                          shelf_.strands[static_cast<std::size_t>(row.back_strand)].name);
    break;
  }
  long long stitches = 0;
  bool all_pairs = true;
  for (const Step::Part& part : parts) {
    stitches += part.width;
    const auto& entry = out_.fabrics[static_cast<std::size_t>(part.fabric)].entry->segments();
    all_pairs &= std::any_of(entry.begin(), entry.end(), [](const Segment& segment) {
      return !segment.word.empty() && segment.word.front().type == LoopType::front;
    });
  }
  if (all_pairs) return fmt::format("cast on in pairs: cast on {} pairs{}", stitches / 2, strands);
  return fmt::format("open single stitches into the pairs of {} in the row before: dkopen", fabric.name);
}

/// Whether the loops on the needle are those that the fabrics begin on.
bool PieceWorker::is_set_up(const std::vector<Step::Part>& parts) const {
  // Plain stitches under fabrics that want no others are the common case.
  const bool plain = std::none_of(parts.begin(), parts.end(), [&](const Step::Part& part) {
    const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
    return fabric.needs_set_up || fabric.n_of(part.width) < fabric.looked_at_until();
  });
  long long wide = 0;
  for (const Step::Part& part : parts) wide += part.width;
  if (plain && all_plain_here(wide)) return true;
  Needle wanted;
  const bool reversed = form_ == Form::flat && side_ == Side::wrong;
  for (std::size_t k = 0; k < parts.size(); ++k) {
    const Step::Part& part = parts[reversed ? parts.size() - 1 - k : k];
    const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
    // Only a fabric of one kind of row begins on the wrong side: its row asks for the same loops in the same
    // order.
    wanted.append(fabric.entry_at(fabric.n_of(part.width)));
  }
  wanted.normalise();
  return types_only(needles_.left, types_) == wanted;
}

bool PieceWorker::set_up(const std::vector<Step::Part>& parts, const tree::Work& source) {
  if (is_set_up(parts)) return true;
  const bool special = std::any_of(parts.begin(), parts.end(), [&](const Step::Part& part) {
    return out_.fabrics[static_cast<std::size_t>(part.fabric)].needs_set_up;
  });
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(parts[i].fabric)];
    if (special && !fabric.needs_set_up) continue;
    const auto& entry = fabric.entry->segments();
    if (std::any_of(entry.begin(), entry.end(), [](const Segment& segment) {
          return !segment.word.empty() && segment.word.front().type == LoopType::front;
        })) {
      diagnostics_
          .add(Kind::set_up_missing, source.layout[i].fabric.span,
               fmt::format("{} begins on pairs of double knitting, and those on the needle are no such pairs",
                           fabric.name))
          .note("each pair is a front stitch in one strand and a back stitch in the other")
          .try_this(pairs_words(parts, fabric));
      return false;
    }
    Diagnostic& added = diagnostics_.add(
        Kind::set_up_missing, source.layout[i].fabric.span,
        special ? fmt::format(
                      "{} begins on stitches that carry their yarn overs, and those on the needle are others",
                      fabric.name)
                : fmt::format("{} begins on plain stitches, and some on the needle carry their yarn overs",
                              fabric.name));
    if (special)
      added
          .note(
              "a brioche stitch is worked on a stitch that was slipped with its yarn over in the row before")
          .try_this("work first: " + set_up_words(fabric, shelf_.stitches));
    return false;
  }
  return true;
}

std::optional<long long> PieceWorker::extent_rows(const tree::Work& source, Step& out) {
  using Extent = tree::Extent::Form;
  // Half of the rows of a length is a whole number at one gauge and none at the next: the nearest will do.
  Diagnostics quiet;
  if (source.extent.form == Extent::rows && source.extent.amount.form == tree::Expression::Form::binary)
    if (const auto rows = evaluate(source.extent.amount, shelf_.scope, quiet);
        rows && rows->dimension == Dimension::count && rows->value >= 0.5 && rows->value < 1e9)
      return std::llround(rows->value);
  if (source.extent.form == Extent::rows)
    return evaluate_count(source.extent.amount, shelf_.scope, 1, "the number of rows", diagnostics_);
  if (source.extent.form == Extent::times) {
    const auto times =
        evaluate_count(source.extent.amount, shelf_.scope, 1, "the number of times", diagnostics_);
    if (!times) return {};
    long long height = 1;
    for (const Step::Part& part : out.parts)
      height = std::min(std::lcm(height, out_.fabrics[static_cast<std::size_t>(part.fabric)].height),
                        largest_work);
    return std::min(multiply_counts(*times, height), largest_work);
  }
  const Gauge* gauge = shelf_.pattern.gauges.empty() ? nullptr : &shelf_.pattern.gauges.front();
  for (auto part = out.parts.rbegin(); part != out.parts.rend(); ++part)
    for (const Gauge& each : shelf_.pattern.gauges)
      if (each.fabric == out_.fabrics[static_cast<std::size_t>(part->fabric)].name) gauge = &each;
  const auto length = rows_of_length(source.extent.amount, gauge, out);
  if (!length) return {};
  const double rows = *length;
  // In flat work a length ends after a wrong-side row, so that what follows begins on the right side.
  if (form_ == Form::round) return std::max(1LL, static_cast<long long>(std::llround(rows)));
  const long long odd = side_ == Side::wrong ? 1 : 0;
  return std::max(2LL - odd,
                  2 * static_cast<long long>(std::llround((rows - static_cast<double>(odd)) / 2)) + odd);
}

std::optional<double> PieceWorker::rows_of_length(const tree::Expression& source, const Gauge* gauge,
                                                  Step& out) {
  Diagnostics quiet;
  const auto plain = evaluate(source, shelf_.scope, quiet);
  if (plain && plain->dimension == Dimension::count) {
    diagnostics_
        .add(Kind::bad_measure, source.span,
             fmt::format("{:g} what: rows, centimetres, times?", plain->value))
        .try_this(fmt::format("for {0:g} rows, for {0:g} cm or for {0:g} times", plain->value));
    return {};
  }
  const auto length = evaluate_length(source, shelf_.scope, "a length", diagnostics_);
  if (!length) return {};
  if (!gauge) {
    if (shelf_.scope.gauge_unclear) return {};
    diagnostics_
        .add(Kind::no_gauge, source.span, "how many rows this length is can only be told with a gauge")
        .try_this("gauge 20 st x 28 rows = 10 cm");
    return {};
  }
  out.length_cm = *length;
  const double rows = *length * gauge->rows_per_cm;
  if (rows > 1e9) {
    diagnostics_.add(Kind::too_much_work, source.span, "this is longer than any knitting");
    return {};
  }
  return rows;
}

bool PieceWorker::do_layout(const tree::Work& source, Step& out) {
  out.kind = Step::Kind::layout;
  if (goes_on(source)) return do_even(source, out);
  if (!take_in_hand(source.strand)) return false;
  if (!at_an_edge(out.span, "and a fabric begins at an edge")) return false;
  auto laid_out = lay_out(source);
  if (!laid_out) return false;
  out.parts = std::move(*laid_out);
  const std::vector<Step::Part>& parts = out.parts;
  if (!starts_right(parts, source) || !set_up(parts, source)) return false;
  auto rows = extent_rows(source, out);
  if (!rows) return false;
  rows = or_instead(out.span, *rows);
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(parts[i].fabric)];
    if (fabric.returns || *rows <= fabric.cycle_rows()) continue;
    const long long gains = fabric.gains.at(
        fabric.width.constant() ? 0 : (parts[i].width - fabric.width.base) / fabric.width.per_n);
    Diagnostic& added = diagnostics_.add(
        Kind::does_not_return, source.layout[i].fabric.span,
        gains == 0
            ? fmt::format(
                  "{} does not end with the kind of stitches it began with, so it cannot be worked {}",
                  fabric.name, count_of(*rows, "row", "rows"))
            : fmt::format("{} {} {} each time, so it cannot be worked {}", fabric.name,
                          gains > 0 ? "gains" : "loses", count_of(std::abs(gains), "stitch", "stitches"),
                          count_of(*rows, "row", "rows")));
    added.try_this(fmt::format("work it once: for {} rows", fabric.cycle_rows()));
    return false;
  }
  standing_.reset();
  const long long before = out.before;
  // A fabric that may begin on either side takes the row of the side that faces.
  const long long offset = form_ == Form::flat && side_ == Side::wrong ? 1 : 0;
  if (!work_layout(parts, offset, *rows, source.layout_span, out.tally)) return false;
  if (needles_.width() == Linear(before)) standing_ = Standing{parts, 0, before, *rows + offset};
  return true;
}

/// `work even`, unless a fabric has that name.
bool PieceWorker::goes_on(const tree::Work& source) const {
  if (source.layout.size() != 1 || source.layout[0].width || source.layout[0].fabric.text != "even")
    return false;
  return std::none_of(shelf_.pattern.fabrics.begin(), shelf_.pattern.fabrics.end(),
                      [](const Fabric& fabric) { return fabric.name == "even"; });
}

/// So many rows, from the fabrics' row `first` on, counted from 0.
bool PieceWorker::work_layout(const std::vector<Step::Part>& parts, long long first, long long rows,
                              Span span, Tally& tally) {
  if (can_evaluate(parts, first, rows)) return evaluate_layout(parts, first, rows, span, tally);
  long long cycle = 1;
  for (const Step::Part& part : parts) {
    const long long own = out_.fabrics[static_cast<std::size_t>(part.fabric)].cycle_rows();
    cycle = cycle > longest_joint_cycle ? cycle : std::lcm(cycle, own);
  }
  std::vector<Linear> widths;
  for (const Step::Part& part : parts) widths.push_back(part.width);
  const bool flips = form_ == Form::flat && cycle % 2 == 1;
  if (flips) cycle *= 2;
  // Whether a cycle found what it left matters only where another one follows.
  std::optional<State> before;
  if (rows >= 2 * cycle)
    before = settled();
  else
    settle();
  for (long long done = 0; done < rows;) {
    const std::vector<Linear> widths_before = widths;
    const long long rows_before = row_;
    Tally once;
    const long long stretch = std::min(cycle, rows - done);
    for (long long i = 0; i < stretch; ++i) {
      if (!work_joint_row(parts, widths, first + done + i, span, once)) return false;
      ++row_;
    }
    done += stretch;
    bool same = false;
    if (rows - done >= cycle) {
      State after = settled();
      same = widths == widths_before && after == *before;
      before = std::move(after);
    } else {
      settle();
    }
    const long long more = same ? (rows - done) / cycle : 0;
    add(tally, once, 1 + more);
    done += more * cycle;
    skip_rows(rows_before, more * cycle);
  }
  return true;
}

/// `<sl>`: what a fabric does in a pass that it does not have.
std::vector<Op> PieceWorker::slip_all(Span span) const {
  Op slip, fill;
  slip.stitch = shelf_.stitches.find("sl").value_or(-1);
  slip.span = fill.span = span;
  fill.form = Op::Form::fill;
  fill.ops.push_back(slip);
  return {fill};
}

bool PieceWorker::work_joint_row(const std::vector<Step::Part>& parts, std::vector<Linear>& widths,
                                 long long row, Span span, Tally& tally) {
  // The passes of this row, part by part.
  std::vector<std::span<const CheckedRow>> passes;
  std::size_t most = 1;
  for (const Step::Part& part : parts) {
    const Fabric& fabric = out_.fabrics[static_cast<std::size_t>(part.fabric)];
    const long long number = row % fabric.cycle_rows() + 1;
    const auto first =
        std::lower_bound(fabric.rows.begin(), fabric.rows.end(), number,
                         [](const CheckedRow& checked, long long n) { return checked.row.number < n; });
    auto last = first;
    while (last != fabric.rows.end() && last->row.number == number) ++last;
    passes.emplace_back(first, last);
    most = std::max(most, passes.back().size());
  }
  const bool reversed = form_ == Form::flat && side_ == Side::wrong;
  std::vector<Op> slipped;
  for (std::size_t pass = 0; pass < most; ++pass) {
    // The row that all are worked as: of the fabric that has this pass, in the strand that any of them names.
    Row joint;
    for (const auto& own : passes)
      if (own.size() == most && joint.ops.empty()) joint = own[pass].row;
    for (const auto& own : passes)
      if (pass < own.size() && joint.strand < 0) joint.strand = own[pass].row.strand;
    const auto part_at = [&](std::size_t k) { return reversed ? parts.size() - 1 - k : k; };
    const auto row_at = [&](std::size_t i) -> const Row& {
      return pass < passes[i].size() ? passes[i][pass].row : joint;
    };
    const auto name_at = [&](std::size_t i) {
      return fmt::format("{} of {}", row_name(row_at(i), form_, shelf_.strands),
                         out_.fabrics[static_cast<std::size_t>(parts[i].fabric)].name);
    };
    const auto name = [&] {
      std::string out;
      for (std::size_t k = 0; k < parts.size(); ++k) out += (k == 0 ? "" : ", ") + name_at(part_at(k));
      return out;
    };
    std::vector<RowPart> line;
    for (std::size_t k = 0; k < parts.size(); ++k) {
      const std::size_t i = part_at(k);
      const Row& own = row_at(i);
      if (pass >= passes[i].size() && slipped.empty()) slipped = slip_all(span);
      const std::vector<Op>& ops = pass < passes[i].size() ? own.ops : slipped;
      const bool alone = parts.size() == 1;
      if (!alone && find_turn(ops)) return not_yet(span, "a fabric that turns in mid-row beside another");
      if (own.strand >= 0 && own.strand != joint.strand)
        return not_yet(span, "fabrics side by side in different strands");
      const auto own_name = [&] { return name_at(i); };
      const Linear width = alone ? needles_.left.width() : widths[i];
      const auto fit = fit_row(ops, width, shelf_.stitches, own.span, own_name, diagnostics_);
      if (!fit) return false;
      line.push_back({&ops, width, *fit});
    }
    Worked worked;
    if (!work_row(line, joint, name, span, tally, worked)) return false;
    std::vector<Linear> given = worked.widths;
    if (parts.size() == 1) given = {needles_.width()};
    for (std::size_t k = 0; k < parts.size(); ++k) widths[reversed ? parts.size() - 1 - k : k] = given[k];
    for (const Linear& width : given) out_.widest = std::max(out_.widest, width.base);
  }
  return true;
}

}  // namespace wale
