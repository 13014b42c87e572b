#include "grammar/cells.hpp"

#include <utf8proc.h>

#include <algorithm>

namespace wale {

namespace {

struct Character {
  std::size_t bytes, cells;
};

/// The first of a text that is not empty.
Character first_of(std::string_view text) {
  utf8proc_int32_t code = 0;
  // No character has more than four bytes; a longer text need not be looked at.
  const auto length = static_cast<utf8proc_ssize_t>(std::min<std::size_t>(text.size(), 4));
  const auto bytes = utf8proc_iterate(reinterpret_cast<const utf8proc_uint8_t*>(text.data()), length, &code);
  if (bytes <= 0) return {1, 1};
  // A blank will stand in its place.
  if (code < 0x20 || (code >= 0x7F && code < 0xA0)) return {static_cast<std::size_t>(bytes), 1};
  return {static_cast<std::size_t>(bytes), static_cast<std::size_t>(std::max(utf8proc_charwidth(code), 0))};
}

}  // namespace

std::size_t cells(std::string_view text) {
  std::size_t out = 0;
  while (!text.empty()) {
    const Character next = first_of(text);
    out += next.cells;
    text.remove_prefix(next.bytes);
  }
  return out;
}

std::size_t head_within(std::string_view text, std::size_t most) {
  std::size_t at = 0, used = 0;
  while (at < text.size()) {
    const Character next = first_of(text.substr(at));
    if (used + next.cells > most) break;
    used += next.cells;
    at += next.bytes;
  }
  return at;
}

std::size_t tail_within(std::string_view text, std::size_t most) {
  const std::size_t all = cells(text);
  std::size_t at = 0, dropped = 0;
  while (at < text.size()) {
    const Character next = first_of(text.substr(at));
    if (next.cells > 0 && all - dropped <= most) break;
    dropped += next.cells;
    at += next.bytes;
  }
  return at;
}

std::vector<std::string> wrap(std::string_view text, std::size_t first, std::size_t rest) {
  std::vector<std::string> lines(1);
  std::size_t used = 0;
  while (!text.empty()) {
    const std::string_view word = text.substr(0, text.find(' '));
    text.remove_prefix(std::min(word.size() + 1, text.size()));
    const std::size_t needed = cells(word);
    const std::size_t room = lines.size() == 1 ? first : rest;
    const bool begun = used > 0 || !lines.back().empty();
    if (begun && used + 1 + needed > room) {
      lines.emplace_back();
      used = 0;
    } else if (begun) {
      lines.back() += ' ';
      ++used;
    }
    lines.back() += word;
    used += needed;
  }
  return lines;
}

}  // namespace wale
