#include "grammar/source.hpp"

#include <algorithm>

namespace wale {

Span join(Span first, Span last) {
  return {std::min(first.begin, last.begin), std::max(first.end, last.end), first.source};
}

Source::Source(std::string name, std::string text, std::uint32_t number)
    : name_(std::move(name)), text_(std::move(text)), number_(number), line_starts_{0} {
  for (std::size_t i = 0; i < text_.size(); ++i)
    if (text_[i] == '\n') line_starts_.push_back(static_cast<std::uint32_t>(i + 1));
}

std::string_view Source::text(Span span) const {
  const std::size_t begin = std::min<std::size_t>(span.begin, text_.size());
  const std::size_t end = std::clamp<std::size_t>(span.end, begin, text_.size());
  return std::string_view(text_).substr(begin, end - begin);
}

std::uint32_t Source::line_start(std::uint32_t offset) const {
  return *(std::upper_bound(line_starts_.begin(), line_starts_.end(), offset) - 1);
}

Place Source::place(std::uint32_t offset) const {
  const auto next = std::upper_bound(line_starts_.begin(), line_starts_.end(), offset);
  const std::uint32_t start = *(next - 1);
  return {static_cast<std::size_t>(next - line_starts_.begin()),
          count_characters(text({start, offset, number_})) + 1};
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

std::size_t find_invalid_utf8(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const auto lead = static_cast<unsigned char>(text[i]);
    if (lead < 0x80) {
      ++i;
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
