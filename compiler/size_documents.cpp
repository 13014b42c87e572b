#include "compiler/size_documents.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <map>
#include <set>

namespace wale {

namespace {

// --- words

bool digit(char c) {
  return c >= '0' && c <= '9';
}
bool letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || static_cast<unsigned char>(c) >= 0x80;
}

/// A number, or what stands between two of them.
struct Token {
  std::string text;
  bool number = false;
};

/// Digits are a number unless they are part of a stitch's name: `k3` has one, `k2tog`, `2/2 RC` and `m1l`
/// have none. A decimal point belongs to it.
std::vector<Token> tokens_of(std::string_view text) {
  std::vector<Token> out;
  const auto push = [&](std::string_view part, bool number) {
    if (part.empty()) return;
    out.push_back({std::string(part), number});
  };
  for (std::size_t at = 0; at < text.size();) {
    if (letter(text[at]) || digit(text[at])) {
      std::size_t end = at;
      while (end < text.size() && (letter(text[end]) || digit(text[end]) || text[end] == '/' ||
                                   (text[end] == '.' && end > at && digit(text[end - 1]) &&
                                    end + 1 < text.size() && digit(text[end + 1]))))
        ++end;
      const std::string_view word = text.substr(at, end - at);
      std::size_t letters = 0;
      while (letters < word.size() && letter(word[letters])) ++letters;
      const std::string_view rest = word.substr(letters);
      const bool all_digits =
          !rest.empty() && std::all_of(rest.begin(), rest.end(), [](char c) { return digit(c) || c == '.'; });
      const std::size_t ordinal = rest.size() > 2 ? rest.find_first_not_of("0123456789") : 0;
      if (all_digits) {
        push(word.substr(0, letters), false);
        push(rest, true);
      } else if (letters == 0 && ordinal != std::string_view::npos && ordinal > 0 &&
                 std::set<std::string_view>{"st", "nd", "rd", "th"}.count(rest.substr(ordinal)) > 0) {
        push(rest, true);
      } else {
        push(word, false);
      }
      at = end;
      continue;
    }
    push(text.substr(at, 1), false);
    ++at;
  }
  return out;
}

/// The words that a number puts into the plural.
std::string_view plural_of(std::string_view word) {
  static constexpr std::array<std::pair<std::string_view, std::string_view>, 12> plurals{
      {{"st", "sts"},
       {"row", "rows"},
       {"rnd", "rnds"},
       {"time", "times"},
       {"pair", "pairs"},
       {"stitch", "stitches"},
       {"round", "rounds"},
       {"pattern", "patterns"},
       {"end", "ends"},
       {"ball", "balls"},
       {"remains", "remain"},
       {"this", "these"}}};
  for (const auto& [one, many] : plurals)
    if (word == one) return many;
  return word;
}

/// "once", "twice" and "each row" are numbers, too, where sizes differ in them.
std::string counted(std::string text) {
  for (const auto& [word, number] :
       {std::pair{" once", " 1 time"}, {" twice", " 2 times"}, {" for each row", " for every 1 row"}})
    for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
      const std::size_t end = at + std::string_view(word).size();
      if (end == text.size() || !letter(text[end])) text.replace(at, end - at, number);
    }
  return text;
}

/// What is the same in texts that differ in numbers alone.
std::string skeleton(std::string_view text) {
  std::string out;
  for (const Token& token : tokens_of(counted(std::string(text))))
    out += token.number ? "#" : plural_of(token.text);
  return out;
}

std::string number_words(const std::vector<std::string>& numbers, bool in_brackets) {
  if (std::all_of(numbers.begin(), numbers.end(), [&](const std::string& n) { return n == numbers[0]; }))
    return numbers[0];
  const std::vector<std::string> rest(numbers.begin() + 1, numbers.end());
  return fmt::format("{} {}{}{}", numbers[0], in_brackets ? '[' : '(', fmt::join(rest, ", "),
                     in_brackets ? ']' : ')');
}

// --- putting two lists over each other

/// For each of the one, which of the other it goes with, or -1; in order, as many as can be (longest common
/// subsequence). Lists too long for that go by their common beginning and end alone.
std::vector<int> aligned(const std::vector<std::string>& one, const std::vector<std::string>& other) {
  std::vector<int> out(one.size(), -1);
  std::size_t begin = 0, end_one = one.size(), end_other = other.size();
  while (begin < end_one && begin < end_other && one[begin] == other[begin]) {
    out[begin] = static_cast<int>(begin);
    ++begin;
  }
  while (end_one > begin && end_other > begin && one[end_one - 1] == other[end_other - 1]) {
    --end_one, --end_other;
    out[end_one] = static_cast<int>(end_other);
  }
  const std::size_t rows = end_one - begin, columns = end_other - begin;
  constexpr std::size_t most = 4'000'000;
  if (rows == 0 || columns == 0 || rows * columns > most) return out;
  std::vector<int> common((rows + 1) * (columns + 1), 0);
  const auto at = [&](std::size_t i, std::size_t k) -> int& { return common[i * (columns + 1) + k]; };
  for (std::size_t i = rows; i-- > 0;)
    for (std::size_t k = columns; k-- > 0;)
      at(i, k) =
          one[begin + i] == other[begin + k] ? at(i + 1, k + 1) + 1 : std::max(at(i + 1, k), at(i, k + 1));
  for (std::size_t i = 0, k = 0; i < rows && k < columns;) {
    if (one[begin + i] == other[begin + k])
      out[begin + i++] = static_cast<int>(begin + k++);
    else if (at(i + 1, k) >= at(i, k + 1))
      ++i;
    else
      ++k;
  }
  return out;
}

/// What stands at one place in the sizes that have it.
template <typename What>
struct Slot {
  std::string key;
  std::vector<std::pair<std::size_t, What>> sizes;  ///< size, and what it says
};

/// Lists of all sizes laid over each other: what has the same key and comes in the same order shares a slot.
template <typename What, typename KeyOf>
std::vector<Slot<What>> overlay(const std::vector<std::pair<std::size_t, std::vector<What>>>& lists,
                                KeyOf key_of) {
  std::vector<Slot<What>> out;
  for (const auto& own : lists) {
    const auto& size = own.first;  // no structured binding: Clang 14 cannot use one in the lambda below
    const auto& list = own.second;
    std::vector<std::string> have, come;
    for (const Slot<What>& slot : out) have.push_back(slot.key);
    for (const What& each : list) come.push_back(key_of(each));
    const std::vector<int> with = aligned(have, come);
    std::vector<Slot<What>> next;
    std::size_t taken = 0;
    const auto take_until = [&](std::size_t end) {
      for (; taken < end; ++taken) next.push_back({come[taken], {{size, list[taken]}}});
    };
    for (std::size_t i = 0; i < out.size(); ++i) {
      if (with[i] >= 0) {
        take_until(static_cast<std::size_t>(with[i]));
        out[i].sizes.push_back({size, list[taken++]});
      }
      next.push_back(std::move(out[i]));
    }
    take_until(list.size());
    out = std::move(next);
  }
  return out;
}

// --- blocks

class Merger {
 public:
  explicit Merger(const std::vector<std::string>& sizes) : sizes_(sizes) {}

  std::vector<render::Block> blocks(
      const std::vector<std::pair<std::size_t, std::vector<render::Block>>>& all) {
    std::vector<render::Block> out;
    for (const Slot<render::Block>& slot : overlay(all, key_of)) add(slot, out);
    return out;
  }

 private:
  static std::string key_of(const render::Block& block) {
    if (const auto* heading = std::get_if<render::Heading>(&block))
      return fmt::format("h{} {}", heading->level, skeleton(heading->text));
    if (const auto* paragraph = std::get_if<render::Paragraph>(&block))
      return fmt::format("p {}|{}", skeleton(paragraph->lead), skeleton(paragraph->text));
    if (const auto* table = std::get_if<render::Table>(&block))
      return fmt::format("t {} {}", table->rows.empty() ? 0 : table->rows[0].size(),
                         fmt::join(table->header, "|"));
    if (const auto* chart = std::get_if<render::ChartBlock>(&block)) return "c " + chart->chart.name;
    return std::holds_alternative<render::SchematicBlock>(block) ? "s" : "v";
  }

  /// "Sizes M, L: " where not every size has it.
  std::string only(const std::vector<std::size_t>& sizes) const {
    if (sizes.size() == sizes_.size()) return "";
    std::string names;
    for (const std::size_t size : sizes) names += (names.empty() ? "" : ", ") + sizes_[size];
    return fmt::format("{} {}:", sizes.size() == 1 ? "Size" : "Sizes", names);
  }

  template <typename What>
  static std::vector<std::size_t> sizes_of(const Slot<What>& slot) {
    std::vector<std::size_t> out;
    for (const auto& [size, what] : slot.sizes) out.push_back(size);
    return out;
  }

  void add(const Slot<render::Block>& slot, std::vector<render::Block>& out) const {
    const render::Block& first = slot.sizes.front().second;
    const std::string only_these = only(sizes_of(slot));
    const auto words = [&](auto text_of) {
      std::vector<std::string> texts;
      for (const auto& [size, block] : slot.sizes) texts.push_back(text_of(block));
      return merge_words(texts).value_or(texts.front());
    };
    if (const auto* heading = std::get_if<render::Heading>(&first)) {
      render::Heading merged = *heading;
      merged.text = words([](const render::Block& b) { return std::get<render::Heading>(b).text; });
      out.push_back(std::move(merged));
    } else if (const auto* paragraph = std::get_if<render::Paragraph>(&first)) {
      render::Paragraph merged = *paragraph;
      merged.lead = words([](const render::Block& b) { return std::get<render::Paragraph>(b).lead; });
      merged.text = words([](const render::Block& b) { return std::get<render::Paragraph>(b).text; });
      if (!only_these.empty()) merged.lead = only_these + (merged.lead.empty() ? "" : " " + merged.lead);
      out.push_back(std::move(merged));
    } else if (std::holds_alternative<render::Table>(first)) {
      out.push_back(table(slot));
    } else if (std::holds_alternative<render::ChartBlock>(first)) {
      chart(slot, out);
    } else {
      // Fabrics look alike in every size, and a schematic is of all of them.
      out.push_back(first);
    }
  }

  render::Table table(const Slot<render::Block>& slot) const {
    struct Line {
      std::vector<std::string> cells;
      std::optional<render::Colour> swatch;
    };
    render::Table out = std::get<render::Table>(slot.sizes.front().second);
    std::vector<std::pair<std::size_t, std::vector<Line>>> all;
    for (const auto& [size, block] : slot.sizes) {
      const render::Table& table = std::get<render::Table>(block);
      std::vector<Line> lines;
      for (std::size_t i = 0; i < table.rows.size(); ++i)
        lines.push_back({table.rows[i], table.swatches.empty() ? std::nullopt : table.swatches[i]});
      all.push_back({size, std::move(lines)});
    }
    out.rows.clear();
    const bool swatches = !out.swatches.empty();
    out.swatches.clear();
    for (const Slot<Line>& line : overlay(all, [](const Line& l) { return l.cells.front(); })) {
      std::vector<std::string> cells;
      for (std::size_t column = 0; column < line.sizes.front().second.cells.size(); ++column) {
        std::vector<std::string> texts;
        for (const auto& [size, each] : line.sizes) texts.push_back(each.cells[column]);
        cells.push_back(cell(texts, sizes_of(line)));
      }
      out.rows.push_back(std::move(cells));
      if (swatches) out.swatches.push_back(line.sizes.front().second.swatch);
    }
    return out;
  }

  /// Where more than numbers differ, each size is said by name.
  std::string cell(const std::vector<std::string>& texts, const std::vector<std::size_t>& sizes) const {
    if (auto merged = merge_words(texts)) return *merged;
    std::string out;
    for (std::size_t i = 0; i < texts.size(); ++i)
      out += fmt::format("{}{}: {}", i == 0 ? "" : "; ", sizes_[sizes[i]], texts[i]);
    return out;
  }

  /// Charts that are alike stand once.
  void chart(const Slot<render::Block>& slot, std::vector<render::Block>& out) const {
    std::vector<std::pair<render::Chart, std::vector<std::size_t>>> different;
    for (const auto& [size, block] : slot.sizes) {
      const render::Chart& chart = std::get<render::ChartBlock>(block).chart;
      const auto same = std::find_if(different.begin(), different.end(),
                                     [&, &chart = chart](const auto& d) { return d.first == chart; });
      if (same == different.end())
        different.push_back({chart, {size}});
      else
        same->second.push_back(size);
    }
    for (auto& [chart, sizes] : different) {
      std::string names = only(sizes);
      if (!names.empty()) {
        names.pop_back();
        names[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(names[0])));
        chart.title += ", " + names;
      }
      out.push_back(render::ChartBlock{std::move(chart)});
    }
  }

  const std::vector<std::string>& sizes_;
};

}  // namespace

std::optional<std::string> merge_words(const std::vector<std::string>& texts) {
  if (std::all_of(texts.begin(), texts.end(), [&](const std::string& t) { return t == texts[0]; }))
    return texts[0];
  std::vector<std::vector<Token>> all;
  for (const std::string& text : texts) {
    all.push_back(tokens_of(counted(text)));
    if (skeleton(text) != skeleton(texts[0]) || all.back().size() != all[0].size()) return {};
  }
  std::string out;
  bool in_brackets = false;
  for (std::size_t i = 0; i < all[0].size(); ++i) {
    std::vector<std::string> each;
    for (const std::vector<Token>& tokens : all) each.push_back(tokens[i].text);
    if (each[0] == "(") in_brackets = true;
    if (each[0] == ")") in_brackets = false;
    if (all[0][i].number)
      out += number_words(each, in_brackets);
    else
      out += std::all_of(each.begin(), each.end(), [&](const std::string& t) { return t == each[0]; })
                 ? each[0]
                 : std::string(plural_of(each[0]));
  }
  return out;
}

render::Document merge_documents(const std::vector<std::string>& sizes,
                                 std::vector<render::Document> documents) {
  if (documents.size() == 1) return std::move(documents.front());
  render::Document out;
  out.title = documents.front().title;
  out.author = documents.front().author;
  std::vector<std::pair<std::size_t, std::vector<render::Block>>> all;
  for (std::size_t i = 0; i < documents.size(); ++i) all.push_back({i, std::move(documents[i].blocks)});
  render::Paragraph note;
  note.lead = "Sizes:";
  note.text = fmt::format(
      "{}. Numbers for the smallest size come first, those for the others in brackets, in "
      "this order; a single number is for every size.",
      number_words(sizes, false));
  out.blocks.push_back(std::move(note));
  for (render::Block& block : Merger(sizes).blocks(all)) out.blocks.push_back(std::move(block));
  return out;
}

}  // namespace wale
