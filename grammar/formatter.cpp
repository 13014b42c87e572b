#include "grammar/formatter.hpp"

#include <algorithm>
#include <functional>
#include <utility>
#include <vector>

#include "grammar/format_lines.hpp"
#include "grammar/parser.hpp"
#include "grammar/tokens.hpp"

namespace wale {

namespace {

using Words = std::vector<LineWord>;

/// A line of the result.
struct Laid {
  enum class Kind { other, row, more_of_row, picture };
  Kind kind = Kind::other;
  std::size_t depth = 0;  ///< blocks around it
  Words words;
  std::string comment;
  bool empty_before = false;
  std::string text;  ///< of `words`, without the indentation

  bool opens() const { return !words.empty() && words.back().kind == TokenKind::left_curly; }
  bool closes() const { return !words.empty() && words.front().kind == TokenKind::right_curly; }
};

bool named(const LineWord& word, std::string_view text) {
  return word.kind == TokenKind::name && word.text == text;
}

/// "rs", "ws" or "every", which may stand where a row's number does.
bool is_default(const LineWord& word) {
  return named(word, "rs") || named(word, "ws") || named(word, "every");
}

/// Where the label begins whose colon stands at `colon`; `colon` where there is none.
std::size_t label_begin(const Words& words, std::size_t colon) {
  std::size_t at = colon;
  // `3 every:` is row 3, in a strand called so.
  const auto is_strand = [&](std::size_t i) {
    if (is_default(words[i]))
      return i > 0 && (words[i - 1].kind == TokenKind::number || is_default(words[i - 1]));
    return words[i].kind == TokenKind::name && words[i].text[0] >= 'A' && words[i].text[0] <= 'Z';
  };
  for (int strands = 0; strands < 2 && at > 0 && is_strand(at - 1); ++strands) --at;
  if (at == 0) return colon;
  if (is_default(words[at - 1])) return at - 1;
  if (words[at - 1].kind != TokenKind::number) return colon;
  --at;
  while (at >= 2 && (words[at - 1].kind == TokenKind::comma || words[at - 1].kind == TokenKind::range) &&
         words[at - 2].kind == TokenKind::number)
    at -= 2;
  return at;
}

/// Where labels of rows begin.
std::vector<std::size_t> labels(const Words& words) {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < words.size(); ++i)
    if (words[i].kind == TokenKind::colon)
      if (const std::size_t begin = label_begin(words, i); begin != i) out.push_back(begin);
  return out;
}

/// All of a line whose blocks begin and end in it; rows and what the author set apart by two blanks.
std::string one_line(const Words& words) {
  const std::vector<std::size_t> begins = labels(words);
  std::string out;
  Words part;
  const auto flush = [&] {
    if (!out.empty() && !part.empty()) out += part.front().apart ? "  " : " ";
    out += spaced(part, !begins.empty());
    part.clear();
  };
  std::size_t depth = 0;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const bool first = i == 0 || words[i - 1].kind == TokenKind::left_curly;
    const bool label = std::find(begins.begin(), begins.end(), i) != begins.end();
    const bool set_apart = begins.empty() && depth > 0 && words[i].apart;
    if (words[i].kind == TokenKind::right_curly && depth > 0) --depth;
    if (!first && words[i].kind != TokenKind::right_curly && (label || set_apart)) flush();
    part.push_back(words[i]);
    part.back().apart = true;
    if (words[i].kind == TokenKind::left_curly) ++depth;
  }
  flush();
  return out;
}

bool stands_alone(const Words& words) {
  std::size_t depth = 0;
  for (const LineWord& word : words) {
    if (word.kind == TokenKind::picture_row) return false;
    if (word.kind == TokenKind::left_curly) ++depth;
    if (word.kind == TokenKind::right_curly && depth-- == 0) return false;
  }
  return depth == 0;
}

/// Lines as they were written, cut where blocks open and close and where rows begin.
class Cutter {
 public:
  std::vector<Laid> cut(std::vector<TextLine> lines) {
    for (TextLine& line : lines) {
      empty_before_ = line.empty_before;
      const std::size_t from = out_.size();
      if (line.only_comment())
        put({});
      else
        words(std::move(line.words));
      if (out_.size() > from) out_.back().comment = std::move(line.comment);
    }
    return std::move(out_);
  }

 private:
  void put(Words words, Laid::Kind kind = Laid::Kind::other) {
    Laid line{kind, blocks_.size(), std::move(words), {}, empty_before_, {}};
    // Nothing is set apart from the braces around it.
    if (!out_.empty() && out_.back().opens()) line.empty_before = false;
    if (line.closes()) line.empty_before = false;
    empty_before_ = false;
    out_.push_back(std::move(line));
  }

  bool in_rows() const { return !blocks_.empty() && blocks_.back(); }

  void words(Words all) {
    const bool alone = stands_alone(all) && std::any_of(all.begin(), all.end(), [](const LineWord& word) {
                         return word.kind == TokenKind::left_curly;
                       });
    if (alone && count_characters(one_line(all)) + 2 * blocks_.size() <= longest_line)
      return put(std::move(all));
    const std::vector<std::size_t> begins = labels(all);
    Words part;
    const auto flush = [&] {
      if (part.empty()) return;
      const auto kind = !in_rows()             ? Laid::Kind::other
                        : labels(part).empty() ? Laid::Kind::more_of_row
                                               : Laid::Kind::row;
      const bool opens = part.back().kind == TokenKind::left_curly;
      put(std::move(part), opens ? Laid::Kind::other : kind);
      part.clear();
    };
    for (std::size_t i = 0; i < all.size(); ++i) {
      const TokenKind kind = all[i].kind;
      if (kind == TokenKind::right_curly) {
        flush();
        if (!blocks_.empty()) blocks_.pop_back();
        put({std::move(all[i])});
        continue;
      }
      if (kind == TokenKind::picture_row) {
        flush();
        put({std::move(all[i])}, Laid::Kind::picture);
        continue;
      }
      if (std::find(begins.begin(), begins.end(), i) != begins.end()) flush();
      part.push_back(std::move(all[i]));
      if (kind != TokenKind::left_curly) continue;
      const bool rows = named(part.front(), "fabric") || named(part.front(), "rows");
      flush();
      blocks_.push_back(rows);
    }
    flush();
  }

  std::vector<Laid> out_;
  std::vector<bool> blocks_;  ///< that are open: whether rows stand in them
  bool empty_before_ = false;
};

/// A row's words in parts that stand in columns: its stitches and groups, each with its prefix.
std::vector<std::string> elements(const Words& words) {
  std::vector<std::string> out;
  Words part;
  std::size_t depth = 0;
  for (const LineWord& word : words) {
    const bool goes_on = depth > 0 || (word.touches && word.kind == TokenKind::left_round);
    if (!goes_on && !part.empty()) {
      out.push_back(spaced(part, true));
      part.clear();
    }
    part.push_back(word);
    if (word.kind == TokenKind::left_round || word.kind == TokenKind::less) ++depth;
    if ((word.kind == TokenKind::right_round || word.kind == TokenKind::greater) && depth > 0) --depth;
  }
  if (!part.empty()) out.push_back(spaced(part, true));
  return out;
}

/// A row's label and its stitches.
struct RowWords {
  std::string label;   ///< with its colon
  std::string number;  ///< the label without its strands
  std::vector<std::string> elements;
};

RowWords row_words(const Words& words) {
  const auto colon = std::find_if(words.begin(), words.end(),
                                  [](const LineWord& word) { return word.kind == TokenKind::colon; });
  RowWords out;
  out.label = spaced({words.begin(), colon + 1}, true);
  auto number_end = colon;
  while (number_end != words.begin() && (number_end - 1)->kind == TokenKind::name &&
         (number_end - 1)->text[0] >= 'A' && (number_end - 1)->text[0] <= 'Z')
    --number_end;
  out.number = spaced({words.begin(), number_end}, true);
  out.elements = elements({colon + 1, words.end()});
  return out;
}

std::string padded(std::string text, std::size_t width) {
  const std::size_t length = count_characters(text);
  if (length < width) text.append(width - length, ' ');
  return text;
}

std::string joined(const std::vector<std::string>& parts, const std::vector<std::size_t>& widths = {}) {
  std::string out;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) out += ' ';
    out += i < widths.size() && i + 1 < parts.size() ? padded(parts[i], widths[i]) : parts[i];
  }
  return out;
}

/// Rows of one block: stitches begin in one column, a row too long goes on below it, and passes over one row
/// stand stitch above stitch.
class RowLayout {
 public:
  explicit RowLayout(std::vector<Laid> lines) : lines_(std::move(lines)) {
    for (const Laid& line : lines_) {
      rows_.push_back(line.kind == Laid::Kind::row ? row_words(line.words)
                                                   : RowWords{"", "", elements(line.words)});
      const std::size_t length = count_characters(rows_.back().label);
      if (length <= longest_label) indent_ = std::max(indent_, length + 1);
    }
  }

  std::vector<Laid> run() {
    std::vector<Laid> out;
    for (std::size_t i = 0; i < lines_.size();) {
      std::size_t end = i + 1;
      while (end < lines_.size() && is_pass(i, end)) ++end;
      if (end - i > 1 && fits(i, end)) {
        const std::vector<std::size_t> columns = widths(i, end);
        for (; i < end; ++i) put(out, lines_[i], start(i) + joined(rows_[i].elements, columns));
      } else {
        for (; i < end; ++i) fill(out, i);
      }
    }
    return out;
  }

 private:
  /// Longer ones do not push the stitches of the others aside.
  static constexpr std::size_t longest_label = 12;

  std::string start(std::size_t i) const {
    const std::size_t length = count_characters(rows_[i].label);
    return padded(rows_[i].label, length == 0 ? indent_ : std::max(indent_, length + 1));
  }
  std::size_t room() const { return longest_line - 2 * lines_.front().depth; }

  bool goes_on(std::size_t i) const {
    return i + 1 < lines_.size() && lines_[i + 1].kind == Laid::Kind::more_of_row;
  }
  /// Over the same row as row `i`, with as many stitches and groups.
  bool is_pass(std::size_t i, std::size_t next) const {
    return lines_[i].kind == Laid::Kind::row && lines_[next].kind == Laid::Kind::row && !goes_on(i) &&
           !goes_on(next) && rows_[i].number == rows_[next].number && rows_[i].label != rows_[next].label &&
           rows_[i].elements.size() == rows_[next].elements.size();
  }
  std::vector<std::size_t> widths(std::size_t from, std::size_t to) const {
    std::vector<std::size_t> out(rows_[from].elements.size());
    for (std::size_t i = from; i < to; ++i)
      for (std::size_t k = 0; k < out.size(); ++k)
        out[k] = std::max(out[k], count_characters(rows_[i].elements[k]));
    return out;
  }
  bool fits(std::size_t from, std::size_t to) const {
    std::size_t sum = 0;
    for (std::size_t i = from; i < to; ++i) sum = std::max(sum, count_characters(start(i)));
    for (const std::size_t width : widths(from, to)) sum += width + 1;
    return sum <= room() + 1;
  }

  void fill(std::vector<Laid>& out, std::size_t i) const {
    std::string text = start(i);
    bool empty = true;
    Laid line = lines_[i];
    const std::string comment = std::exchange(line.comment, {});
    for (const std::string& element : rows_[i].elements) {
      const bool over = count_characters(text) + 1 + count_characters(element) > room();
      if (!empty && over) {
        put(out, line, text);
        line.empty_before = false;
        text = std::string(indent_, ' ');
        empty = true;
      }
      if (!empty) text += ' ';
      text += element;
      empty = false;
    }
    line.comment = comment;
    put(out, line, text);
  }

  static void put(std::vector<Laid>& out, const Laid& like, std::string text) {
    while (!text.empty() && text.back() == ' ') text.pop_back();
    out.push_back(like);
    out.back().text = std::move(text);
  }

  std::vector<Laid> lines_;
  std::vector<RowWords> rows_;
  std::size_t indent_ = 0;
};

/// Cells that stand in columns with those of the lines around: `yarn`, `strand` and `measure`.
std::vector<Words> cells(const Words& words) {
  const auto at_kind = [&](TokenKind kind) {
    return std::find_if(words.begin(), words.end(), [&](const LineWord& word) { return word.kind == kind; });
  };
  const auto cut = [&](std::vector<Words::const_iterator> at) {
    std::vector<Words> out;
    auto from = words.begin();
    at.push_back(words.end());
    for (const auto& to : at) {
      if (to > from) out.emplace_back(from, to);
      from = std::max(from, to);
    }
    return out;
  };
  if (words.empty()) return {};
  if (named(words[0], "strand") || named(words[0], "measure")) return cut({at_kind(TokenKind::equals)});
  if (!named(words[0], "yarn")) return {};
  const auto label = at_kind(TokenKind::string);
  return cut({label, label == words.end() ? label : label + 1, at_kind(TokenKind::colour)});
}

/// Two blanks part the ball and the colour of a yarn from what stands before them.
std::size_t blanks_before(const Words& cell, bool yarn) {
  return yarn && cell.front().kind != TokenKind::string ? 2 : 1;
}

void lay_columns(std::vector<Laid>& lines, std::size_t from, std::size_t to) {
  std::vector<std::size_t> widths;
  const bool yarn = named(lines[from].words[0], "yarn");
  for (std::size_t i = from; i < to; ++i) {
    const std::vector<Words> all = cells(lines[i].words);
    widths.resize(std::max(widths.size(), all.size()));
    for (std::size_t k = 0; k < all.size(); ++k)
      widths[k] = std::max(widths[k], count_characters(spaced(all[k], false)));
  }
  for (std::size_t i = from; i < to; ++i) {
    const std::vector<Words> all = cells(lines[i].words);
    std::string text;
    for (std::size_t k = 0; k < all.size(); ++k) {
      if (k > 0) text.append(blanks_before(all[k], yarn), ' ');
      text += k + 1 < all.size() ? padded(spaced(all[k], false), widths[k]) : spaced(all[k], false);
    }
    lines[i].text = std::move(text);
  }
}

/// The lines from `i` on that stand together without an empty line, as long as `belongs` says so.
std::size_t run_end(const std::vector<Laid>& lines, std::size_t i,
                    const std::function<bool(const Laid&)>& belongs) {
  std::size_t end = i + 1;
  while (end < lines.size() && !lines[end].empty_before && lines[end].depth == lines[i].depth &&
         belongs(lines[end]))
    ++end;
  return end;
}

/// Gives every line its text.
std::vector<Laid> with_text(std::vector<Laid> lines) {
  std::vector<Laid> out;
  for (std::size_t i = 0; i < lines.size();) {
    const Laid& line = lines[i];
    std::size_t end = i + 1;
    if (line.kind == Laid::Kind::row || line.kind == Laid::Kind::more_of_row) {
      // A comment of its own between rows does not part them.
      end = run_end(lines, i, [](const Laid& l) {
        return l.kind == Laid::Kind::row || l.kind == Laid::Kind::more_of_row || l.words.empty();
      });
      std::vector<Laid> laid =
          RowLayout({lines.begin() + static_cast<long>(i), lines.begin() + static_cast<long>(end)}).run();
      std::move(laid.begin(), laid.end(), std::back_inserter(out));
    } else if (!cells(line.words).empty()) {
      end = run_end(lines, i, [&](const Laid& l) {
        return !l.words.empty() && l.words[0].text == line.words[0].text && !cells(l.words).empty();
      });
      lay_columns(lines, i, end);
      std::move(lines.begin() + static_cast<long>(i), lines.begin() + static_cast<long>(end),
                std::back_inserter(out));
    } else {
      lines[i].text = one_line(line.words);
      out.push_back(std::move(lines[i]));
    }
    i = end;
  }
  return out;
}

/// An empty line before and after every block that stands over several lines, outside of others; comments
/// directly above it belong to it.
void part_blocks(std::vector<Laid>& lines) {
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (lines[i].depth > 0) continue;
    if (lines[i].opens()) {
      std::size_t first = i;
      while (first > 0 && !lines[first].empty_before && lines[first - 1].words.empty()) --first;
      if (first > 0) lines[first].empty_before = true;
    }
    if (lines[i].closes() && i + 1 < lines.size()) lines[i + 1].empty_before = true;
  }
}

/// Comments behind lines that follow each other begin in one column.
std::string written(const std::vector<Laid>& lines) {
  const auto beside = [](const Laid& line) { return !line.words.empty() && !line.comment.empty(); };
  const auto width = [](const Laid& line) { return 2 * line.depth + count_characters(line.text); };
  std::string out;
  for (std::size_t i = 0; i < lines.size();) {
    std::size_t end = i + 1, column = width(lines[i]);
    if (beside(lines[i]))
      for (; end < lines.size() && !lines[end].empty_before && beside(lines[end]); ++end)
        column = std::max(column, width(lines[end]));
    for (; i < end; ++i) {
      const Laid& line = lines[i];
      if (line.empty_before) out += '\n';
      std::string text = line.words.empty() ? "" : std::string(2 * line.depth, ' ') + line.text;
      if (line.words.empty())
        text = std::string(2 * line.depth, ' ') + line.comment;
      else if (!line.comment.empty())
        text = padded(std::move(text), column) + "  " + line.comment;
      out += text + '\n';
    }
  }
  return out;
}

}  // namespace

std::optional<std::string> format(const Source& source, Diagnostics& diagnostics) {
  Diagnostics found;
  if (is_text(source, found)) parse(source, found);
  if (found.has_errors()) {
    diagnostics.append(found);
    return {};
  }
  Diagnostics none;
  std::vector<Laid> lines = with_text(Cutter().cut(text_lines(source, read_tokens(source, none))));
  part_blocks(lines);
  return written(lines);
}

}  // namespace wale
