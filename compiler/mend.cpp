#include "compiler/mend.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "grammar/visible.hpp"

namespace wale {

namespace {

bool is_blank(char c) {
  return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

/// Spaces that look like ordinary ones and signs without width, by their names: else a line would say that
/// something is now the same.
std::string distinct(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    const auto lead = static_cast<unsigned char>(text[i]);
    const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC0 ? 2 : 1;
    std::uint32_t value = length == 1 ? lead : lead & (0xFFu >> (length + 1));
    for (std::size_t k = 1; k < length && i + k < text.size(); ++k)
      value = value << 6 | (static_cast<unsigned char>(text[i + k]) & 0x3Fu);
    const bool shows = value > 0x20 && value != 0x7F && (value < 0x80 || value > 0xA0) && value != 0xAD &&
                       !(value >= 0x2000 && value <= 0x200F) && value != 0x202F && value != 0x205F &&
                       value != 0x2060 && value != 0x3000 && value != 0xFEFF;
    if (shows || value == ' ')
      out += text.substr(i, length);
    else if (value != '\n' && value != '\r')
      out += fmt::format("(U+{:04X})", value);
    i += length;
  }
  return out;
}

/// What belongs to one word, or is written without a blank into it.
bool is_in_word(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return byte >= 0x80 || std::isalnum(byte) != 0 ||
         std::string_view("-/.\"").find(c) != std::string_view::npos;
}

/// From the first edit to the last, with the rest of the words that they touch, at most so much of each.
/// Where nothing but a blank goes or comes, what stands behind it tells the place.
Change change_of(const Source& source, const Mend& edits) {
  constexpr std::uint32_t most = 24;
  const std::string& text = source.text();
  Span whole = edits.front().span;
  for (const Edit& edit : edits) whole = join(whole, edit.span);
  std::uint32_t begin = whole.begin, end = whole.end;
  while (begin > 0 && whole.begin - begin < most && is_in_word(text[begin - 1])) --begin;
  while (end < text.size() && end - whole.end < most && is_in_word(text[end])) ++end;
  const bool of_blanks = std::all_of(edits.begin(), edits.end(), [&](const Edit& edit) {
    const std::string_view old = source.text(edit.span);
    return std::all_of(old.begin(), old.end(), is_blank) &&
           std::all_of(edit.replacement.begin(), edit.replacement.end(), is_blank);
  });
  if (of_blanks && end == whole.end && end < text.size()) ++end;
  const auto inside = [&](std::uint32_t at) {
    return at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0) == 0x80;
  };
  while (begin < whole.begin && inside(begin)) ++begin;
  while (end > whole.end && inside(end)) --end;
  std::vector<Mend> moved{edits};
  for (Edit& edit : moved.front()) {
    edit.span.begin -= begin;
    edit.span.end -= begin;
  }
  const std::string before = text.substr(begin, end - begin);
  return {source.place(whole.begin), distinct(before), distinct(apply_mends(before, moved).text)};
}

}  // namespace

Mended mend(Source source, const FileAccess& access, const Effort& effort) {
  Mended out{std::move(source), {}, {}, {}};
  const auto look = [&] {
    out.loaded = load(out.source, access);
    out.checked = check(out.loaded, {}, effort);
  };
  look();
  for (int round = 1; round < most_rounds; ++round) {
    std::vector<Mend> mends;
    for (const Diagnostic& each : out.checked.diagnostics.all()) {
      const bool here = std::all_of(each.edits.begin(), each.edits.end(), [&](const Edit& edit) {
        return edit.span.source == out.source.number();
      });
      if (here && !each.edits.empty()) mends.push_back(each.edits);
    }
    const Edited edited = apply_mends(out.source.text(), mends);
    if (edited.made.empty() || edited.text == out.source.text() || edited.text.size() > largest_source) {
      out.ended = true;
      break;
    }
    for (const std::size_t made : edited.made) out.changes.push_back(change_of(out.source, mends[made]));
    out.source = Source(out.source.name(), edited.text, out.source.number());
    look();
  }
  // No round adds or takes away a line but at the end, so their lines are those of one text.
  std::stable_sort(out.changes.begin(), out.changes.end(), [](const Change& a, const Change& b) {
    return std::pair(a.place.line, a.place.column) < std::pair(b.place.line, b.place.column);
  });
  return out;
}

std::string show(const std::vector<Change>& changes, const std::string& name) {
  std::string out;
  for (const Change& each : changes) {
    out += fmt::format("{}:{}:{}: ", visible(name), each.place.line, each.place.column);
    if (each.before.empty())
      out += fmt::format("`{}` is put in\n", visible(each.after));
    else if (each.after.empty())
      out += fmt::format("`{}` is taken away\n", visible(each.before));
    else
      out += fmt::format("`{}` is now `{}`\n", visible(each.before), visible(each.after));
  }
  return out;
}

}  // namespace wale
