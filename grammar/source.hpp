/// A pattern file as text, and places in it.
///
/// Everything that Wale says about a pattern points at a place in it, so every token and every node of the
/// tree carries a `Span`: two byte offsets and the number of the source that they count in. Lines and columns
/// are counted only when something is shown to a person; no table of lines is kept, for most files have
/// nothing to be shown.
///
///     k2 p2          Span{0, 2} is "k2"; its place is line 1, column 1
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace wale {

/// Bytes [begin, end) of the source with this number.
struct Span {
  std::uint32_t begin = 0, end = 0;
  std::uint32_t source = 0;
  bool operator==(const Span&) const = default;
};

/// The smallest span that covers both; they must lie in one source.
Span join(Span first, Span last);

/// Line and column, both from 1; the column counts characters (Unicode code points), not bytes.
struct Place {
  std::size_t line = 1, column = 1;
};

/// The largest pattern that is read, in bytes. The longest published patterns are far below it, and it bounds
/// the memory that any input can claim.
inline constexpr std::size_t largest_source = 1 << 20;

class Source {
 public:
  Source(std::string name, std::string text, std::uint32_t number = 0);

  const std::string& name() const { return name_; }
  const std::string& text() const { return text_; }
  std::uint32_t number() const { return number_; }
  std::string_view text(Span span) const;
  Place place(std::uint32_t offset) const;
  /// The whole line that holds this offset, without its line end.
  std::string_view line(std::uint32_t offset) const;
  std::uint32_t line_start(std::uint32_t offset) const;

 private:
  std::string name_, text_;
  std::uint32_t number_;
};

/// The sources of one compilation, by number. Number 0 is always the vocabulary.
using Sources = std::vector<Source>;

/// Characters (code points) of a UTF-8 text; a stray byte counts as one.
std::size_t count_characters(std::string_view text);

/// The first byte that is not part of well-formed UTF-8 (RFC 3629), or `npos`.
std::size_t find_invalid_utf8(std::string_view text);

}  // namespace wale
