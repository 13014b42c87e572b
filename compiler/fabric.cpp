#include "compiler/fabric.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "compiler/yarn_ends.hpp"

namespace wale {

namespace {

/// Widest repeat or exact fabric whose loops are told apart one by one.
constexpr long long widest_entry = 4096;
/// Smaller n looked at one by one before giving up.
constexpr long long most_small_n = 4096;
/// Past the smallest n, those looked at for one that shows what is wrong.
constexpr long long most_named_n = 256;

struct Run {
  bool good = true, mid_row = false;
  Side side = Side::right;  ///< that faces the worker when the cycle is done
  EntryTypes types;
  Needle entry, end;
  bool anew = true;           ///< each row makes every loop anew
  std::vector<Needle> after;  ///< of each row, as long as they do
  std::vector<CheckedRow> rows;
  std::vector<Linear> must_not_be_negative;
  long long from_n = 0;  ///< the smallest n for which every row so far has room for its fill
};

Needle unknown_loops(long long count, EntryTypes& types) {
  Needle out;
  std::vector<Loop> word;
  for (long long i = 0; i < count; ++i) word.push_back({LoopType::any, Face::unknown, -1, types.fresh()});
  out.push(word, 1);
  return out;
}

/// Head, repeat, tail: wide enough that every row's beginning and end lies in head and tail.
Needle symbolic_entry(const std::vector<CheckedRow>& rows, Linear width, const Stitches& stitches,
                      EntryTypes& types) {
  long long ends = 0, period = std::max(1LL, width.per_n);
  for (const CheckedRow& row : rows) {
    const Parts parts = parts_of(row.row.ops, stitches);
    ends = std::max({ends, parts.before_total, parts.after_total});
    if (width.constant() && parts.fill > 0) period = std::lcm(period, parts.fill);
    if (period > widest_entry || ends > widest_entry) return Needle::of(Loop{}, width);
  }
  const long long times = floor_divide(width.base - 2 * ends, period);
  const long long tail = width.base - ends - period * times;
  Needle out = unknown_loops(ends, types);
  std::vector<Loop> word;
  for (long long i = 0; i < period; ++i) word.push_back({LoopType::any, Face::unknown, -1, types.fresh()});
  const Linear copies = width.constant() ? Linear(times) : Linear(width.per_n / period, times);
  out.push(word, copies);
  out.append(unknown_loops(tail, types));
  return out;
}

Needle entry_needle(const std::vector<CheckedRow>& rows, Linear width, const Stitches& stitches,
                    EntryTypes& types) {
  if (width.constant() && width.base <= widest_entry) return unknown_loops(width.base, types);
  return symbolic_entry(rows, width, stitches, types);
}

/// A second pass needs all stitches back at the end where the first one began.
bool slides_mid_row(const Needles& needles, const Row& row, const RowName& name, Diagnostics& diagnostics) {
  if (!row.slides || (!needles.mid_row() && !find_turn(row.ops))) return false;
  diagnostics
      .add(Kind::ends_mid_row, row.label,
           fmt::format("{} is to be followed by a second pass, but it is a short row", name()))
      .try_this("work both strands to the end of the row before you turn in mid-row");
  return true;
}

/// The smallest n for which the row has room for its fill, and loops ahead to turn before; -1: none.
long long from_n(const Row& row, Linear fills, Linear unworked) {
  const Op* turn = find_turn(row.ops);
  const long long room = smallest_n(fills, 0);
  const long long ahead = smallest_n(unworked, turn && turn->turn == Turn::wrap ? 1 : 0);
  return room < 0 || ahead < 0 ? -1 : std::max(room, ahead);
}

/// Whether what is on the needle after the row is a matter of the rows alone: see `Fabric::anew`.
bool row_makes_anew(const Row& row, const Needle& after) {
  if (row.slides || find_turn(row.ops)) return false;
  bool all = true;
  after.each_run([&](std::span<const Loop> word, Linear) {
    // What is slipped, or worked as seen, shows the face that it had.
    for (const Loop& loop : word)
      all &= loop.type != LoopType::any && loop.variable < 0 && loop.face != Face::unknown;
  });
  return all;
}

/// One cycle on a needle of this width (with n in it, or for one n). What it tells of the rows does not have
/// the rows themselves: they need not be copied.
Run work_cycle(const std::vector<CheckedRow>& rows, Form form, Linear width, const std::string& suffix,
               const Stitches& stitches, const std::string& fabric, const std::vector<Strand>& strands,
               Diagnostics& diagnostics, Effort& effort) {
  Run run;
  run.entry = entry_needle(rows, width, stitches, run.types);
  run.rows.reserve(rows.size());
  run.after.reserve(rows.size());
  run.from_n = std::max(0LL, smallest_n(width, 1));
  effort.stitches += run.entry.written_out();
  Needles needles{run.entry, {}};
  RowWorker worker(stitches, run.types, diagnostics);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const Row& row = rows[i].row;
    CheckedRow& checked = run.rows.emplace_back();
    const auto refused = [&] {
      run.rows.pop_back();
      run.good = false;
      return std::move(run);
    };
    checked.before = needles.width();
    const Linear reach = needles.left.width();
    checked.waiting = needles.behind.width();
    checked.begins = begins_at(needles, row.side, form == Form::round);
    const auto name = [&] { return fmt::format("{} of {}{}", row_name(row, form, strands), fabric, suffix); };
    const RowSetting setting{row.side, row.strand, row.back_strand, name};
    const auto fills = fit_row(row.ops, reach, stitches, row.span, setting.name, diagnostics, run.from_n);
    if (!fills || slides_mid_row(needles, row, setting.name, diagnostics)) return refused();
    const RowPart whole{&row.ops, reach, *fills};
    RowOutcome outcome = worker.work(std::move(needles.left), {&whole, 1}, setting);
    effort.row(worker.worked(), outcome.needle.written_out() + outcome.unworked.written_out());
    if (outcome.good && effort.too_much()) {
      diagnostics.add(Kind::too_much_work, row.span,
                      fmt::format("{} is more than can be worked out", name()));
      outcome.good = false;
    }
    if (!outcome.good) return refused();
    run.from_n = std::max(run.from_n, from_n(row, *fills, outcome.unworked.width()));
    checked.work = worker.worked();
    checked.fills = *fills;
    checked.unworked = outcome.unworked.width();
    checked.resolves = outcome.resolves;
    Side side = row.side;
    checked.ends = worker.end_row(needles, outcome, row, form == Form::round, side);
    run.must_not_be_negative.insert(run.must_not_be_negative.end(), worker.must_not_be_negative.begin(),
                                    worker.must_not_be_negative.end());
    checked.after = needles.width();
    checked.tally = std::move(outcome.tally);
    run.side = side;
    const bool only_its_own = outcome.alike && !row.slides && checked.waiting == Linear(0);
    if (run.anew && (only_its_own || row_makes_anew(row, needles.left)))
      run.after.push_back(needles.left);
    else
      run.anew = false;
    if (checked.after.too_large()) {
      diagnostics.add(Kind::too_much_work, row.span, "the fabric grows beyond all measure");
      run.good = false;
      return run;
    }
  }
  run.mid_row = needles.mid_row();
  run.end = std::move(needles.left);
  return run;
}

std::string it_is_so(const Fabric& fabric, long long n) {
  return fmt::format("it is so for n = {}, with {}", n, count_of(fabric.width.at(n), "stitch", "stitches"));
}

bool turns_in_mid_row(const Fabric& fabric) {
  return std::any_of(fabric.rows.begin(), fabric.rows.end(),
                     [](const CheckedRow& row) { return find_turn(row.row.ops); });
}

/// What was reported and has no sum with an n in it is told with the first n at which the same row meets it.
/// What is found with n in the row holds for every n that is large enough: there is one to find, and it is
/// small.
void note_an_n(const Run& refused, const std::vector<CheckedRow>& rows, const Fabric& fabric,
               const Stitches& stitches, const std::vector<Strand>& strands, Diagnostics& diagnostics,
               Effort& effort) {
  const Kind kind = diagnostics.last().kind;
  if (fabric.width.constant() || (kind != Kind::wrong_loop && kind != Kind::ends_mid_row)) return;
  long long n = std::max(0LL, smallest_n(fabric.width, 1));
  for (const long long last = n + most_named_n; n <= last && !effort.too_much(); ++n) {
    Diagnostics quiet;
    const Run small =
        work_cycle(rows, fabric.form, fabric.width.at(n), "", stitches, fabric.name, strands, quiet, effort);
    if (small.good || small.rows.size() != refused.rows.size() || quiet.last().kind != kind) continue;
    diagnostics.last().note(it_is_so(fabric, n));
    return;
  }
}

/// Whether the next cycle would find what this one found, which was `entry`.
bool comes_back(const Run& run, const Needle& entry) {
  return !run.mid_row && run.side == Side::right && types_only(run.end, run.types) == entry;
}

/// The smallest n for which every row has room for its fill and the fabric has a stitch; -1: none.
long long find_smallest_n(const Fabric& fabric, const Run& run) {
  long long out = std::max(0LL, smallest_n(fabric.width, 1));
  for (std::size_t i = 0; i < run.rows.size(); ++i) {
    const long long least = from_n(fabric.rows[i].row, run.rows[i].fills, run.rows[i].unworked);
    if (least < 0) return -1;
    out = std::max(out, least);
  }
  return out;
}

void check_yarn_ends(const Fabric& fabric, const std::vector<Strand>& strands, const std::string& when,
                     Diagnostics& diagnostics) {
  YarnEnds ends;
  // The second time round shows whether the yarns end where the first row wants them.
  for (int cycle = 0; cycle < 2; ++cycle)
    for (const CheckedRow& row : fabric.rows) {
      StrandSet used;
      for (const auto& [key, count] : row.tally)
        if (count != Linear(0)) used.insert(key.second);
      const std::size_t before = diagnostics.errors();
      const auto name = [&] {
        return fmt::format("{} of {}", row_name(row.row, fabric.form, strands), fabric.name);
      };
      ends.row({used, row.begins, row.ends, cycle * fabric.cycle_rows() + row.row.number, name, row.row.label,
                false, when},
               strands, diagnostics);
      if (diagnostics.errors() > before) return;
    }
}

/// What was found of the rows, and the rows.
std::vector<CheckedRow> with_rows(std::vector<CheckedRow> found, const std::vector<CheckedRow>& rows) {
  for (std::size_t i = 0; i < found.size(); ++i) found[i].row = rows[i].row;
  return found;
}

/// An n at which a yarn is out of reach, in words, where it is a matter of n: where a turn leaves the yarn in
/// mid-row, or where a strand is not worked at all while n is small.
std::string when_out_of_reach(const Fabric& fabric, const Stitches& stitches,
                              const std::vector<Strand>& strands, Effort& effort) {
  if (fabric.width.constant()) return "";
  Fabric small = fabric;
  for (long long n = fabric.smallest_n; n <= fabric.smallest_n + most_named_n && !effort.too_much(); ++n) {
    Diagnostics quiet;
    small.rows = with_rows(work_cycle(fabric.rows, fabric.form, fabric.width.at(n), "", stitches, fabric.name,
                                      strands, quiet, effort)
                               .rows,
                           fabric.rows);
    check_yarn_ends(small, strands, "", quiet);
    if (quiet.has_errors())
      return n > fabric.smallest_n || turns_in_mid_row(fabric) ? it_is_so(fabric, n) : "";
  }
  return "";
}

/// What such rows come to.
std::shared_ptr<const Anew> anew_of(const Fabric& fabric, std::vector<Needle> after) {
  const auto out = std::make_shared<Anew>();
  out->after = std::move(after);
  bool one_strand = true;
  const short strand = fabric.rows.front().row.strand;
  out->always_worked = true;
  for (const CheckedRow& row : fabric.rows) {
    add(out->cycle, row.tally);
    out->work += row.work;
    if (std::find(out->widths.begin(), out->widths.end(), row.after) == out->widths.end())
      out->widths.push_back(row.after);
    out->most.per_n = std::max(out->most.per_n, row.after.per_n);
    out->most.base = std::max(out->most.base, row.after.base);
    one_strand &= row.row.strand == strand;
    bool worked = false;
    for (const auto& [key, count] : row.tally) {
      one_strand &= key.second == strand;
      const long long at_first = fabric.width.constant() ? count.base : count.per_n + count.base;
      worked |= count.per_n >= 0 && count.base >= 0 && at_first > 0;
    }
    out->always_worked &= worked;
  }
  if (one_strand) out->strand = strand;
  return out;
}

}  // namespace

Needle types_only(const Needle& needle, const EntryTypes& entry) {
  Needle out;
  std::vector<Loop> word;
  needle.each_run([&](std::span<const Loop> run, Linear times) {
    word.clear();
    for (const Loop& loop : run) word.push_back({entry.final_type(loop), Face::unknown, -1, -1});
    out.push(word, times);
  });
  out.normalise();
  return out;
}

void prove(Fabric& fabric, const Stitches& stitches, const std::vector<Strand>& strands,
           Diagnostics& diagnostics, Effort& effort) {
  if (fabric.width.per_n > widest_entry) {
    diagnostics
        .add(Kind::too_much_work, fabric.span,
             fmt::format("a fabric's repeat is at most {} st wide", widest_entry))
        .try_this("give the width of a shorter repeat, such as 4n + 2 st");
    return;
  }
  std::vector<CheckedRow>& rows = fabric.rows.own();
  Run run =
      work_cycle(rows, fabric.form, fabric.width, "", stitches, fabric.name, strands, diagnostics, effort);
  if (!run.good) {
    note_an_n(run, rows, fabric, stitches, strands, diagnostics, effort);
    return;
  }
  fabric.smallest_n = fabric.width.constant() ? 0 : find_smallest_n(fabric, run);
  for (std::size_t i = 0; i < rows.size(); ++i) run.rows[i].row = std::move(rows[i].row);
  rows = std::move(run.rows);
  if (fabric.smallest_n < 0) {
    const long long n = std::max(0LL, smallest_n(fabric.width, 1));
    Diagnostics there;
    work_cycle(rows, fabric.form, fabric.width.at(n), fmt::format(" at n = {}", n), stitches, fabric.name,
               strands, there, effort);
    Diagnostic& added = diagnostics.add(Kind::row_needs_stitches, fabric.span,
                                        fmt::format("the rows of {} fit for no n", fabric.name));
    if (!there.all().empty()) added.note(there.all().front().message);
    return;
  }
  bool small_return = true;
  std::vector<Needle> small_entries;
  fabric.anew.reset();
  if (!fabric.width.constant()) {
    long long proved_from = fabric.smallest_n;
    for (const Linear& count : run.must_not_be_negative) {
      const long long least = smallest_n(count, 0);
      proved_from = least < 0 ? most_small_n + fabric.smallest_n + 1 : std::max(proved_from, least);
    }
    if (proved_from - fabric.smallest_n > most_small_n) {
      diagnostics.add(Kind::too_much_work, fabric.span,
                      fmt::format("{} cannot be worked out for every n", fabric.name));
      return;
    }
    for (long long n = fabric.smallest_n; n < proved_from; ++n) {
      const Run small = work_cycle(rows, fabric.form, fabric.width.at(n), fmt::format(" at n = {}", n),
                                   stitches, fabric.name, strands, diagnostics, effort);
      if (!small.good) return;
      small_entries.push_back(types_only(small.entry, small.types));
      small_return &= comes_back(small, small_entries.back());
      // What a row meets of earlier turns is said of it if it does so at any n.
      for (std::size_t i = 0; i < fabric.rows.size(); ++i) {
        rows[i].resolves.wraps |= small.rows[i].resolves.wraps;
        rows[i].resolves.doubles |= small.rows[i].resolves.doubles;
      }
    }
  }
  fabric.good = true;
  if (!small_entries.empty()) fabric.small_entries = std::move(small_entries);
  fabric.entry = types_only(run.entry, run.types);
  fabric.entry->each_run([&](std::span<const Loop> word, Linear) {
    for (const Loop& loop : word) fabric.needs_set_up |= loop.type != LoopType::plain;
  });
  fabric.gains = fabric.rows.back().after - fabric.width;
  fabric.returns = comes_back(run, *fabric.entry) && small_return;
  if (run.anew) fabric.anew = anew_of(fabric, std::move(run.after));
  Diagnostics quiet;
  check_yarn_ends(fabric, strands, "", quiet);
  if (!quiet.has_errors()) return;
  fabric.good = false;
  check_yarn_ends(fabric, strands, when_out_of_reach(fabric, stitches, strands, effort), diagnostics);
}

Fabric converted(const Fabric& fabric, Form form, const Stitches& stitches,
                 const std::vector<Strand>& strands, Effort& effort) {
  if (fabric.form == form || !fabric.good) return fabric;
  Fabric out = fabric;
  out.form = form;
  if (turns_in_mid_row(fabric)) {
    // A row that turns back is where it is; there is no other side to write it for.
    out.good = false;
    return out;
  }
  if (form == Form::flat && fabric.cycle_rows() % 2 == 1) {
    const long long cycle = fabric.cycle_rows();
    for (CheckedRow row : fabric.rows) {
      row.row.number += cycle;
      out.rows.own().push_back(std::move(row));
    }
  }
  for (CheckedRow& row : out.rows.own()) {
    const Side wanted = form == Form::round || row.row.number % 2 == 1 ? Side::right : Side::wrong;
    if (row.row.side != wanted) row.row = mirrored(row.row, stitches);
  }
  Diagnostics quiet;  // the fabric is good as it was written; a misfit shows where it is worked
  out.good = false;
  prove(out, stitches, strands, quiet, effort);
  return out;
}

Needle Fabric::entry_at(long long n) const {
  const long long at = n - smallest_n;
  if (at >= 0 && at < static_cast<long long>(small_entries->size()))
    return (*small_entries)[static_cast<std::size_t>(at)];
  return entry->at(n);
}

std::string row_name(const Row& row, Form form, const std::vector<Strand>& strands) {
  std::string out = fmt::format("{} {}", form == Form::round ? "round" : "row", row.number);
  if (row.strand >= 0) out += " " + strands[static_cast<std::size_t>(row.strand)].name;
  return out;
}

std::optional<Rgb> Pattern::colour_of(short strand) const {
  if (strand < 0) return {};
  const Strand& facts = strands[static_cast<std::size_t>(strand)];
  if (facts.yarns.empty()) return {};
  return yarns[static_cast<std::size_t>(facts.yarns.front())].colour;
}

const Gauge* Pattern::gauge_for(const std::string& fabric) const {
  for (const Gauge& gauge : gauges)
    if (gauge.fabric == fabric) return &gauge;
  return gauges.empty() ? nullptr : &gauges.front();
}

}  // namespace wale
