#include "grammar/visible.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>

#include "grammar/source.hpp"

namespace wale {

namespace {

bool is_obeyed(std::uint32_t c) {
  return c < 0x20 || (c >= 0x7F && c <= 0x9F) || c == 0x2028 || c == 0x2029 || (c >= 0x202A && c <= 0x202E) ||
         (c >= 0x2066 && c <= 0x2069);
}

/// Of text that is UTF-8.
void add_shown(std::string& out, std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const auto lead = static_cast<unsigned char>(text[i]);
    const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC0 ? 2 : 1;
    std::uint32_t value = length == 1 ? lead : lead & (0xFFu >> (length + 1));
    for (std::size_t k = 1; k < length; ++k)
      value = value << 6 | (static_cast<unsigned char>(text[i + k]) & 0x3Fu);
    if (is_obeyed(value))
      out += fmt::format("(U+{:04X})", value);
    else
      out += text.substr(i, length);
    i += length;
  }
}

}  // namespace

std::string visible(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t good = std::min(find_invalid_utf8(text), text.size());
    add_shown(out, text.substr(0, good));
    if (good < text.size()) out += fmt::format("(0x{:02X})", static_cast<unsigned char>(text[good]));
    text.remove_prefix(std::min(good + 1, text.size()));
  }
  return out;
}

std::string visible_lines(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    out += visible(text.substr(0, end));
    if (end < text.size()) out += '\n';
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out;
}

}  // namespace wale
