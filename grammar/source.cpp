#include "grammar/source.hpp"

#include <algorithm>
#include <cstring>

namespace wale {

Span join(Span first, Span last) {
  return {std::min(first.begin, last.begin), std::max(first.end, last.end), first.source};
}

Source::Source(std::string name, std::string text, std::uint32_t number)
    : name_(std::move(name)), text_(std::move(text)), number_(number) {}

std::string_view Source::text(Span span) const {
  const std::size_t begin = std::min<std::size_t>(span.begin, text_.size());
  const std::size_t end = std::clamp<std::size_t>(span.end, begin, text_.size());
  return std::string_view(text_).substr(begin, end - begin);
}

std::uint32_t Source::line_start(std::uint32_t offset) const {
  if (offset == 0) return 0;
  return static_cast<std::uint32_t>(text_.rfind('\n', offset - 1) + 1);  // no such: npos + 1, which is 0
}

Place Source::place(std::uint32_t offset) const {
  const std::string_view before = text({0, offset, number_});
  const auto ended = std::count(before.begin(), before.end(), '\n');
  return {static_cast<std::size_t>(ended) + 1, count_characters(before.substr(line_start(offset))) + 1};
}

std::string_view Source::line(std::uint32_t offset) const {
  const std::uint32_t start = line_start(offset);
  std::string_view rest = std::string_view(text_).substr(start);
  rest = rest.substr(0, rest.find('\n'));
  if (!rest.empty() && rest.back() == '\r') rest.remove_suffix(1);
  return rest;
}

std::size_t count_characters(std::string_view text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

namespace {

/// The first byte from here on that is not ASCII, or one a little before it: eight bytes are asked at once,
/// for most texts have no other.
std::size_t ascii_end(std::string_view text, std::size_t at) {
  constexpr std::uint64_t high_bits = 0x8080'8080'8080'8080;
  for (std::uint64_t eight = 0; at + sizeof eight <= text.size(); at += sizeof eight) {
    std::memcpy(&eight, text.data() + at, sizeof eight);
    if ((eight & high_bits) != 0) break;
  }
  return at;
}

}  // namespace

std::size_t find_invalid_utf8(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const auto lead = static_cast<unsigned char>(text[i]);
    if (lead < 0x80) {
      i = ascii_end(text, i + 1);
      continue;
    }
    const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
    if (lead < 0xC2 || lead > 0xF4 || i + length > text.size()) return i;
    std::uint32_t code = lead & (0xFFu >> (length + 1));
    for (std::size_t k = 1; k < length; ++k) {
      const auto next = static_cast<unsigned char>(text[i + k]);
      if ((next & 0xC0) != 0x80) return i;
      code = code << 6 | (next & 0x3Fu);
    }
    const bool overlong = (length == 3 && code < 0x800) || (length == 4 && code < 0x10000);
    if (overlong || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return i;
    i += length;
  }
  return std::string_view::npos;
}

}  // namespace wale
