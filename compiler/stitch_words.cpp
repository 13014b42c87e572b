#include "compiler/stitch_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>

#include "grammar/parser.hpp"

namespace wale {

namespace {

/// Abbreviations of the Craft Yarn Council's list, and others that are common practice, which are no stitches
/// here, each with how the same is written.
struct TradeWord {
  std::string_view word, instead;
};
constexpr std::array trade_words{
    TradeWord{"rep", "write a repeat as <k2 p2>, or 3(k2 p2) for three times"},
    TradeWord{"repeat", "write a repeat as <k2 p2>, or 3(k2 p2) for three times"},
    TradeWord{"from", "write a repeat as <k2 p2>, or 3(k2 p2) for three times"},
    TradeWord{"end", "a fill works to the end of the row: <k>"},
    TradeWord{"across", "a fill works to the end of the row: <k>"},
    TradeWord{"pm", "a marker is written |"},
    TradeWord{"sm", "a marker is written |, where it is placed; it is slipped without a word"},
    TradeWord{"knit", "k, or k2 for two of them"},
    TradeWord{"purl", "p, or p2 for two of them"},
    TradeWord{"tog", "k2tog or p2tog, in one word"},
    TradeWord{"tbl", "ktbl or ptbl, in one word"},
    TradeWord{"psso", "skp, sk2p and s2kp pass the slipped stitch over"},
    TradeWord{"inc", "kfb, m1l, m1r or yo: say which"},
    TradeWord{"dec", "k2tog or ssk: say which"},
    TradeWord{"cdd", "s2kp"},
    TradeWord{"yf", "yo makes a stitch; slwyif slips one with the yarn in front"},
    TradeWord{"yfwd", "yo makes a stitch; slwyif slips one with the yarn in front"},
    TradeWord{"yon", "yo"},
    TradeWord{"yrn", "yo"},
    TradeWord{"wyif", "slwyif slips a stitch with the yarn in front"},
    TradeWord{"wyib", "slwyib slips a stitch with the yarn at the back"},
    TradeWord{"k1b", "kb, or kb2 for two of them"},
    TradeWord{"c2f", "1/1lc"},
    TradeWord{"c2b", "1/1rc"},
    TradeWord{"c4f", "2/2lc"},
    TradeWord{"c4b", "2/2rc"},
    TradeWord{"c6f", "3/3lc"},
    TradeWord{"c6b", "3/3rc"},
    TradeWord{"c8f", "4/4lc"},
    TradeWord{"c8b", "4/4rc"},
    TradeWord{"as", "as seen works each stitch as it faces you; 4: as 2 copies a row"},
    TradeWord{"seen", "as seen works each stitch as it faces you"}};

bool is_known(const std::string& word, const Stitches& stitches) {
  Op turn;
  return stitches.knows(word) || read_turn(word, turn);
}

/// Every known word that one slip makes into `word`: they are as good as endless with their counts, so it is
/// the slips that are gone through. Digits change only where the eye takes a letter for one.
std::vector<std::string> known_words_near(const std::string& word, const Stitches& stitches) {
  constexpr std::size_t longest = 24;
  if (word.size() > longest) return {};
  std::vector<std::string> out;
  const auto look_at = [&](const std::string& other) {
    if (other != word && is_known(other, stitches) && std::find(out.begin(), out.end(), other) == out.end())
      out.push_back(other);
  };
  const auto is_letter = [](char c) { return c >= 'a' && c <= 'z'; };
  for (std::size_t i = 0; i <= word.size(); ++i) {
    for (char letter = 'a'; letter <= 'z'; ++letter) {
      look_at(word.substr(0, i) + letter + word.substr(i));
      if (i < word.size() && is_letter(word[i])) look_at(word.substr(0, i) + letter + word.substr(i + 1));
    }
    if (i == word.size()) break;
    look_at(word.substr(0, i) + word.substr(i + 1));
    for (const auto& [one, two] : {std::pair('o', '0'), std::pair('l', '1'), std::pair('i', '1')}) {
      if (word[i] == one) look_at(word.substr(0, i) + two + word.substr(i + 1));
      if (word[i] == two) look_at(word.substr(0, i) + one + word.substr(i + 1));
    }
    std::string swapped = word;
    if (i + 1 < word.size()) std::swap(swapped[i], swapped[i + 1]);
    look_at(swapped);
  }
  return out;
}

/// One byte, a blank, between two items that are one word. Longer gaps may hold a comment.
std::optional<Span> gap(const tree::RowItem& first, const tree::RowItem& second) {
  if (second.span.begin != first.span.end + 1 || first.span.source != second.span.source) return {};
  return Span{first.span.end, second.span.begin, first.span.source};
}

/// `k2 tog`: with its neighbour the word is a stitch. It may also have lost a letter of its own (`p b`, from
/// `p p`): it is certain only where nothing else is near it.
bool try_joined(const tree::RowItem& first, const tree::RowItem& second, const std::string& unknown,
                const Stitches& stitches, Diagnostic& added) {
  const bool words = first.form == tree::RowItem::Form::stitch && second.form == tree::RowItem::Form::stitch;
  const std::string joined = lower_case(first.word + second.word);
  if (!words || !stitches.find(joined)) return false;
  added.try_this(fmt::format("{}, in one word", joined));
  if (const auto blank = gap(first, second); blank && known_words_near(unknown, stitches).empty())
    added.mend(*blank, "");
  return true;
}

/// `A (k2)`, `in1 (k yo k)`.
bool try_touching(const tree::RowItem& word, const tree::RowItem& group, const std::vector<Strand>& strands,
                  Diagnostic& added) {
  const bool strand =
      std::any_of(strands.begin(), strands.end(), [&](const Strand& each) { return each.name == word.word; });
  const bool into = word.word.size() > 2 && word.word.starts_with("in") &&
                    word.word.find_first_not_of("0123456789", 2) == std::string::npos;
  if ((!strand && !into) || group.form != tree::RowItem::Form::group || group.count != 1) return false;
  added.try_this(fmt::format("{}(...), without a blank before the bracket", word.word));
  // In `1(k)` the group's own count stands between.
  const bool bare = !group.items.empty() && group.items.front().span.begin == group.span.begin + 1;
  if (const auto blank = gap(word, group); blank && bare) added.mend(*blank, "");
  return true;
}

/// `2/2rx`: the numbers with the letters of each family.
std::vector<std::string> crossings_of(const std::string& word, const Stitches& stitches) {
  const std::size_t letters = word.find_first_not_of("0123456789/");
  if (letters == std::string::npos || word.find('/') >= letters) return {};
  std::vector<std::string> out;
  for (const std::string& family : stitches.families()) {
    std::string whole = word.substr(0, letters) + family;
    if (stitches.knows(whole)) out.push_back(std::move(whole));
  }
  return out;
}

}  // namespace

bool read_turn(const std::string& word, Op& out) {
  if (!word.starts_with('t') && !word.starts_with('w') && !word.starts_with('d')) return false;
  const std::size_t digits = word.find_last_not_of("0123456789") + 1;
  const std::string_view stem = std::string_view(word).substr(0, digits);
  if (stem != "turn" && stem != "wt" && stem != "ds") return false;
  out.form = Op::Form::turn;
  out.turn = stem == "turn" ? Turn::plain : stem == "wt" ? Turn::wrap : Turn::doubled;
  if (digits == word.size()) return true;
  out.leaves = largest_count;
  std::from_chars(word.data() + digits, word.data() + word.size(), out.leaves);
  out.leaves = std::min(out.leaves, largest_count);
  return true;
}

void report_unknown_stitch(const std::vector<tree::RowItem>& items, std::size_t at, const Stitches& stitches,
                           const std::vector<Strand>& strands, Diagnostics& diagnostics) {
  const tree::RowItem& item = items[at];
  Diagnostic& added =
      diagnostics.add(Kind::unknown_stitch, item.span, fmt::format("no stitch is called `{}`", item.word));
  if (diagnostics.full()) return;
  const tree::RowItem* before = at > 0 ? &items[at - 1] : nullptr;
  const tree::RowItem* after = at + 1 < items.size() ? &items[at + 1] : nullptr;
  if (after && try_touching(item, *after, strands, added)) return;
  const std::string lower = lower_case(item.word);
  // A strand's name alone, where a pattern calls one K, is hardly the stitch k.
  const bool strand =
      std::any_of(strands.begin(), strands.end(), [&](const Strand& each) { return each.name == item.word; });
  if (strand) {
    added.try_this(fmt::format("{0} is a strand: {0}(k2) works stitches in it", item.word));
    return;
  }
  if (is_known(lower, stitches)) {
    added.try_this(lower).mend(item.word_span, lower);
    return;
  }
  if (after && try_joined(item, *after, lower, stitches, added)) return;
  if (before && try_joined(*before, item, lower, stitches, added)) return;
  if (const auto certain = certain_name(lower, known_words_near(lower, stitches))) {
    added.try_this(*certain).mend(item.word_span, *certain);
    return;
  }
  const auto* trade = std::find_if(trade_words.begin(), trade_words.end(),
                                   [&](const TradeWord& each) { return each.word == lower; });
  if (trade != trade_words.end()) {
    added.try_this(std::string(trade->instead));
    return;
  }
  const std::vector<std::string> crossings = crossings_of(lower, stitches);
  if (!crossings.empty())
    added.try_this(fmt::format("{}", fmt::join(crossings, ", ")));
  else
    added.try_nearest(item.word_span, lower, stitches.names());
}

bool report_split_crossing(const tree::RowItem& item, const Stitches& stitches, Diagnostics& diagnostics) {
  if (!stitches.knows(item.word)) return false;
  diagnostics.add(Kind::expected, item.span, "a crossing is one word, without blanks")
      .try_this(item.word)
      .mend(item.span, item.word);
  return true;
}

}  // namespace wale
