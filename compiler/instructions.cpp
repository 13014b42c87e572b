#include "compiler/instructions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

#include "compiler/instruction_words.hpp"

namespace wale {

namespace {

struct Said {
  long long first = 0, last = 0;  ///< row numbers
  std::string key, text, label;
  Side side = Side::right;
  std::string with;  ///< the strands that the label names
};

std::string lead_of(Form form, long long first, long long last, std::string_view side,
                    const std::string& strand) {
  return fmt::format("{} {}{}{}:", row_word(form, first != last), number_range(first, last), side, strand);
}

/// The chart's labels of rows [first, last).
std::vector<std::string> labels(const std::vector<Said>& rows, std::size_t first, std::size_t last) {
  std::vector<std::string> out;
  for (std::size_t i = first; i < last; ++i) out.push_back(rows[i].label);
  return out;
}

/// "Row 2 (WS) and all other WS rows: Purl.": how a fabric's even rows are told once, where all are alike and
/// the others are not. Nothing where they are few or differ.
std::optional<std::vector<Instruction>> even_rows_together(const std::vector<Said>& rows, Form form) {
  constexpr std::size_t least = 6;
  if (rows.size() < least || rows.size() % 2 != 0) return {};
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const bool even = rows[i].first % 2 == 0;
    if (rows[i].first != static_cast<long long>(i) + 1 || !rows[i].with.empty()) return {};
    if (even && rows[i].key != rows[1].key) return {};
    if (form == Form::flat && (rows[i].side == Side::wrong) != even) return {};
    if (form == Form::round && rows[i].side == Side::wrong) return {};
  }
  std::set<std::string> odd;
  for (std::size_t i = 0; i < rows.size(); i += 2) odd.insert(rows[i].key);
  // Where they come again and again, "Rep rows 1-4" is shorter.
  if (odd.size() < 2 || 4 * odd.size() < rows.size()) return {};
  std::vector<Instruction> out;
  std::vector<std::string> even_labels;
  for (std::size_t i = 1; i < rows.size(); i += 2) even_labels.push_back(rows[i].label);
  for (std::size_t i = 0; i < rows.size(); i += i == 0 ? 1 : i == 1 ? 1 : 2) {
    const Said& row = rows[i];
    if (i == 1) {
      out.push_back(
          {fmt::format("{} 2{} and all other {}:", row_word(form, false), side_words(form, row.side),
                       form == Form::flat ? "WS rows" : "even-numbered rnds"),
           row.text, even_labels});
      continue;
    }
    std::size_t earlier = i;
    for (std::size_t k = 0; k < i && earlier == i; k += 2)
      if (rows[k].key == row.key && row.text.size() > 24) earlier = k;
    out.push_back({lead_of(form, row.first, row.first, side_words(form, row.side), ""),
                   earlier < i
                       ? fmt::format("As {} {}.", form == Form::round ? "rnd" : "row", rows[earlier].first)
                       : row.text,
                   {row.label}});
  }
  return out;
}

bool alike(const std::vector<Said>& rows) {
  return std::all_of(rows.begin(), rows.end(),
                     [&](const Said& row) { return row.key == rows[0].key && row.with.empty(); });
}

/// Rows with passes are not merged: their order matters more than brevity.
/// `endless`: they are a fabric's, which goes on and on.
std::vector<Instruction> merged(const std::vector<Said>& rows, Form form, bool endless) {
  std::vector<Instruction> out;
  const auto same = [&](std::size_t a, std::size_t b) {
    return rows[a].key == rows[b].key && rows[a].side == rows[b].side && rows[a].with == rows[b].with;
  };
  if (endless && alike(rows))
    return {{form == Form::round ? "Every rnd:" : "Every row:", rows[0].text, labels(rows, 0, rows.size())}};
  if (endless)
    if (auto together = even_rows_together(rows, form)) return std::move(*together);
  for (std::size_t i = 0; i < rows.size();) {
    const bool passes = (i + 1 < rows.size() && rows[i + 1].first == rows[i].first) || !rows[i].with.empty();
    // A stretch that says again the rows right before it.
    std::size_t best_block = 0, best_length = 0;
    for (std::size_t block = 2; block <= i && !passes; ++block) {
      std::size_t length = 0;
      while (i + length < rows.size() && same(i + length, i - block + length % block) &&
             rows[i + length].with.empty())
        ++length;
      length -= length % block;
      if (length > best_length) best_length = length, best_block = block;
    }
    if (best_length >= 2) {
      const Said &from = rows[i - best_block], &to = rows[i - 1];
      out.push_back({lead_of(form, rows[i].first, rows[i + best_length - 1].last, "", ""),
                     fmt::format("Rep {} {}.", form == Form::round ? "rnds" : "rows",
                                 number_range(from.first, to.last)),
                     labels(rows, i, i + best_length)});
      i += best_length;
      continue;
    }
    std::size_t end = i + 1;
    while (!passes && end < rows.size() && rows[end].key == rows[i].key && rows[end].with.empty()) ++end;
    const bool several = end - i >= 2;
    std::size_t earlier = i;
    for (std::size_t k = 0; k < i && !passes && earlier == i; ++k)
      if (same(k, i) && rows[k].text.size() > 24 && (!several || form == Form::round)) earlier = k;
    const std::string text =
        earlier < i ? fmt::format("As {} {}.", form == Form::round ? "rnd" : "row", rows[earlier].first)
                    : rows[i].text;
    const std::string lead =
        several ? lead_of(form, rows[i].first, rows[end - 1].last, "", "")
                : lead_of(form, rows[i].first, rows[i].last, side_words(form, rows[i].side), rows[i].with);
    out.push_back({lead, text, labels(rows, i, end)});
    i = end;
  }
  return out;
}

/// What a row leaves: ": 50 sts", " (inc 2 sts)", " (3 sts in each repeat and 2 more)".
std::string change_words(const CheckedRow& checked, const Stitches& stitches, bool counts) {
  const Linear change = checked.after - checked.before;
  if (checked.after.constant() && counts) return ": " + sts(checked.after.base);
  if (change.constant())
    return fmt::format(" ({} {})", change.base > 0 ? "inc" : "dec", sts(std::abs(change.base)));
  // The repeat that is meant is the one that stands between the stars.
  const Op* fill = find_fill(checked.row.ops);
  const long long each = fill ? balance(fill->ops, stitches).gives : 0;
  const Linear beside = checked.after - checked.fills * each;
  if (each > 0 && beside.constant() && beside.base >= 0)
    return fmt::format(" ({} in each repeat{})", sts(each),
                       beside.base > 0 ? fmt::format(" and {} more", beside.base) : "");
  return fmt::format(" (multiple of {} {} {})", sts(checked.after.per_n), checked.after.base < 0 ? "-" : "+",
                     std::abs(checked.after.base));
}

/// Sentences of rows; `counts` writes the number of stitches where it changes.
std::vector<Said> said(const std::vector<CheckedRow>& rows, Form form, const Stitches& stitches,
                       const std::vector<Strand>& strands, bool counts) {
  std::vector<Said> out;
  // Beside rows that name their strand, one that names none is not worked in the last one named.
  const bool named =
      std::any_of(rows.begin(), rows.end(), [](const CheckedRow& row) { return row.row.strand >= 0; });
  for (const CheckedRow& checked : rows) {
    Said one;
    one.first = one.last = checked.row.number;
    one.side = checked.row.side;
    one.label = row_label(checked.row, strands);
    one.with = with_words(checked.row, strands);
    if (named && one.with.empty() && strands.size() > 1) one.with = ", with the yarn of the piece";
    one.text = row_sentence(checked.row, stitches, strands);
    if (!(checked.before == checked.after)) {
      one.text.pop_back();
      one.text += change_words(checked, stitches, counts) + ".";
    }
    if (form == Form::flat && checked.row.slides)
      one.text += " Do not turn; slide the sts back to the other end of the needle.";
    if (checked.resolves.wraps) one.text += " Work each wrap together with its st.";
    if (checked.resolves.doubles) one.text += " Work both legs of a double st together as one st.";
    // In the round nobody turns unless it is said; back at the beginning of the round it must be.
    if (form == Form::round && checked.row.side == Side::wrong && !find_turn(checked.row.ops))
      one.text += " Turn.";
    one.key = one.text;
    out.push_back(std::move(one));
  }
  return out;
}

}  // namespace

std::string times_words(long long count) {
  return count == 1 ? "once" : count == 2 ? "twice" : fmt::format("{} times", count);
}

std::string sts(long long count) {
  return count_of(count, "st", "sts");
}

std::string capitalised(std::string text) {
  capitalise(text);
  return text;
}

void capitalise(std::string& text) {
  const std::size_t first = text.find_first_not_of("*(");
  if (first != std::string::npos && text[first] >= 'a' && text[first] <= 'z')
    text[first] = static_cast<char>(text[first] - 32);
}

std::string row_word(Form form, bool many) {
  return form == Form::round ? (many ? "Rnds" : "Rnd") : (many ? "Rows" : "Row");
}

std::string number_range(long long first, long long last) {
  if (first == last) return fmt::format("{}", first);
  return last == first + 1 ? fmt::format("{} and {}", first, last) : fmt::format("{}-{}", first, last);
}

std::string side_words(Form form, Side side) {
  if (side == Side::wrong) return " (WS)";
  return form == Form::round ? "" : " (RS)";
}

std::string with_words(const Row& row, const std::vector<Strand>& strands) {
  if (row.strand < 0) return "";
  std::string out = ", with " + strands[static_cast<std::size_t>(row.strand)].name;
  if (row.back_strand >= 0) out += " and " + strands[static_cast<std::size_t>(row.back_strand)].name;
  return out;
}

std::string row_label(const Row& row, const std::vector<Strand>& strands) {
  std::string out = fmt::format("{}", row.number);
  for (const short strand : {row.strand, row.back_strand})
    if (strand >= 0) out += " " + strands[static_cast<std::size_t>(strand)].name;
  return out;
}

std::vector<Instruction> row_instructions(const std::vector<CheckedRow>& rows, Form form,
                                          const Stitches& stitches, const std::vector<Strand>& strands,
                                          bool counts, bool next, bool endless) {
  const std::vector<Said> all = said(rows, form, stitches, strands, counts);
  std::vector<Instruction> out = merged(all, form, endless);
  if (next && all.size() == 1)
    out[0].lead = fmt::format("Next {}{}{}:", form == Form::round ? "rnd" : "row",
                              side_words(form, all[0].side), all[0].with);
  return out;
}

std::string cycle_words(const Fabric& fabric, const Stitches& stitches, const std::vector<Strand>& strands) {
  const long long rows = fabric.cycle_rows();
  const std::string word =
      fmt::format("{}{}", fabric.form == Form::round ? "rnd" : "row", rows > 1 ? "s" : "");
  const bool every = fabric.returns && alike(said(fabric.rows, fabric.form, stitches, strands, true));
  return every ? fmt::format("{} {} of {}", rows, word, fabric.name)
               : fmt::format("{} {} of {}", word, number_range(1, rows), fabric.name);
}

std::string width_words(const Fabric& fabric) {
  const Linear& w = fabric.width;
  const auto& entry = fabric.entry->segments();
  const bool paired = std::any_of(entry.begin(), entry.end(), [](const Segment& segment) {
    return std::any_of(segment.word.begin(), segment.word.end(),
                       [](const Loop& loop) { return loop.type == LoopType::front; });
  });
  if (w.constant()) {
    if (!paired) return sts(w.base);
    return fmt::format("{}, {}", count_of(w.base / 2, "pair", "pairs"), sts(w.base));
  }
  std::string out = w.per_n == 1 ? "any number of sts" : fmt::format("multiple of {} sts", w.per_n);
  if (w.per_n > 1 && w.base != 0) out += fmt::format(" {} {}", w.base > 0 ? "+" : "-", std::abs(w.base));
  const long long least = w.at(fabric.smallest_n);
  if (least > w.per_n + std::max(0LL, w.base)) out += fmt::format(", at least {}", least);
  return out;
}

std::string length_words(double cm, Units units) {
  const double inches = cm / 2.54;
  const std::string metric = fmt::format("{:g} cm", std::round(cm * 10) / 10);
  const std::string imperial =
      fmt::format("{:g} in", inches < 20 ? std::round(inches * 4) / 4 : std::round(inches * 2) / 2);
  return units == Units::metric ? fmt::format("{} ({})", metric, imperial)
                                : fmt::format("{} ({})", imperial, metric);
}

std::string tape_words(double cm, Units units) {
  return length_words(cm < 0.5 ? cm : std::round(cm * 2) / 2, units);
}

InstructionPart fabric_instructions(const Fabric& fabric, const Stitches& stitches,
                                    const std::vector<Strand>& strands) {
  InstructionPart out;
  out.heading = fmt::format("{} ({})", fabric.name, width_words(fabric));
  capitalise(out.heading);
  out.lines = row_instructions(fabric.rows, fabric.form, stitches, strands, true, false, fabric.returns);
  const long long rows = fabric.cycle_rows();
  const bool one = out.lines.size() == 1 && out.lines[0].lead.starts_with("Every");
  if (fabric.returns && !one)
    out.lines.push_back(
        {"", rows == 1
                 ? fmt::format("Rep this {} for {}.", fabric.form == Form::round ? "rnd" : "row", fabric.name)
                 : fmt::format("Rep {} {} for {}.", fabric.form == Form::round ? "rnds" : "rows",
                               number_range(1, rows), fabric.name)});
  return out;
}

std::vector<InstructionPart> all_instructions(const Pattern& pattern, const Stitches& stitches,
                                              const DocumentSettings& settings) {
  std::vector<InstructionPart> out;
  for (const Fabric& fabric : pattern.fabrics) {
    if (!fabric.good) continue;
    out.push_back(fabric_instructions(fabric, stitches, pattern.strands));
    out.back().fabric = &fabric;
  }
  std::set<std::string> told;
  for (const Piece& piece : pattern.pieces) {
    for (const Fabric& fabric : piece.fabrics) {
      const auto written = std::find_if(pattern.fabrics.begin(), pattern.fabrics.end(),
                                        [&](const Fabric& f) { return f.name == fabric.name; });
      if (written == pattern.fabrics.end() || written->form == fabric.form) continue;
      InstructionPart turned = fabric_instructions(fabric, stitches, pattern.strands);
      turned.heading += fabric.form == Form::round ? ", worked in the round" : ", worked flat";
      if (told.insert(turned.heading).second) out.push_back(std::move(turned));
    }
    out.push_back(piece_instructions(piece, pattern, stitches, settings));
  }
  return out;
}

}  // namespace wale
