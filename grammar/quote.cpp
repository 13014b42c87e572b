#include "grammar/quote.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grammar/cells.hpp"
#include "grammar/visible.hpp"

namespace wale {

namespace {

/// Longest stretch of a source line that is quoted where no terminal says how long; a longer line is cut
/// around the marked place.
constexpr std::size_t widest_quote = 100;

/// The number of the line and the bar beside it.
constexpr std::size_t gutter = 9;
constexpr std::string_view dots = "...";

/// What a terminal would obey (see `visible`) as one sign each, so that columns agree; a tab is a blank.
std::string printable(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    const auto byte = static_cast<unsigned char>(text[i]);
    std::size_t end = i + 1;
    while (byte >= 0x80 && end < text.size() && (text[end] & 0xC0) == 0x80) ++end;
    const std::string_view character = text.substr(i, end - i);
    if (byte < 0x20 || byte == 0x7F)
      out += ' ';
    else
      out += byte < 0x80 || visible(character) == character ? character : "\uFFFD";
    i = end;
  }
  return out;
}

std::size_t character_start(std::string_view text, std::size_t byte) {
  while (byte > 0 && byte < text.size() && (text[byte] & 0xC0) == 0x80) --byte;
  return byte;
}

/// Bytes [begin, end) of a line.
struct Stretch {
  std::size_t begin, end;
};

/// What of the line is shown around the place that begins at `from`: as many bytes as there are to be in a
/// file, or as many cells as the terminal has room for, a third of them before the place.
Stretch cut(std::string_view line, std::size_t from, const Look& look) {
  if (look.columns == 0) {
    if (line.size() <= widest_quote) return {0, line.size()};
    const std::size_t begin = character_start(line, from > 30 ? from - 30 : 0);
    return {begin, character_start(line, std::min(line.size(), begin + widest_quote))};
  }
  const std::size_t room = std::max(look.columns, gutter + 20) - gutter;
  // A mark behind the last letter takes a cell, too.
  const std::size_t before = cells(line.substr(0, from));
  if (std::max(cells(line), before + 1) <= room) return {0, line.size()};
  const std::size_t begin = before <= room / 3 ? 0 : tail_within(line.substr(0, from), room / 3);
  const std::size_t rest = room - dots.size() - (begin > 0 ? dots.size() : 0);
  return {begin, begin + head_within(line.substr(begin), rest)};
}

}  // namespace

std::string inked(std::string_view words, Ink ink, const Look& look) {
  if (!look.colour || ink == Ink::plain || words.empty()) return std::string(words);
  // ECMA-48, 8.3.117: 1 is bold, 31 red, 35 magenta, 0 as it was.
  const std::string_view code = ink == Ink::red ? "1;31" : ink == Ink::magenta ? "1;35" : "1";
  return fmt::format("\x1b[{}m{}\x1b[0m", code, words);
}

std::string flowing(std::string_view words, std::size_t at, std::size_t hanging, const Look& look) {
  if (look.columns == 0) return fmt::format("{}\n", words);
  const auto room = [&](std::size_t used) { return look.columns > used ? look.columns - used : 0; };
  const auto lines = wrap(words, room(at), room(hanging));
  return fmt::format("{}\n", fmt::join(lines, fmt::format("\n{:{}}", "", hanging)));
}

std::string quote(const Source& source, const Marked& marked, const Look& look) {
  const std::string words = visible(marked.words);
  const Span span = marked.span;
  const std::string_view line = source.line(span.begin);
  const std::size_t start = source.line_start(span.begin);
  const std::size_t from = std::min<std::size_t>(span.begin - start, line.size());
  const std::size_t to = std::clamp<std::size_t>(span.end - start, from, line.size());
  const Stretch shown = cut(line, from, look);
  const std::size_t before =
      cells(printable(line.substr(shown.begin, from - shown.begin))) + (shown.begin > 0 ? dots.size() : 0);
  const std::string_view under =
      line.substr(std::min(from, shown.end), std::min(to, shown.end) - std::min(from, shown.end));
  const std::string marks(std::max<std::size_t>(1, cells(printable(under))), marked.mark);
  std::string out =
      fmt::format("{:>6} | {}{}{}\n{:>6} | {:{}}{}", source.place(span.begin).line,
                  shown.begin > 0 ? dots : "", printable(line.substr(shown.begin, shown.end - shown.begin)),
                  shown.end < line.size() ? dots : "", "", "", before, inked(marks, marked.ink, look));
  if (words.empty()) return out + "\n";
  const std::size_t wide = cells(words), column = gutter + before;
  if (look.columns == 0 || column + marks.size() + 1 + wide <= look.columns)
    return out + fmt::format(" {}\n", words);
  // No room beside the mark: below it, or as far to the left as they need.
  const std::size_t indent = std::max(gutter, std::min(column, look.columns - std::min(wide, look.columns)));
  const std::string lead = fmt::format("{:>6} | {:{}}", "", "", indent - gutter);
  const auto room = std::max(look.columns, indent + 1) - indent;
  return out + fmt::format("\n{}{}\n", lead, fmt::join(wrap(words, room, room), "\n" + lead));
}

}  // namespace wale
