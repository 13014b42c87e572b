/// The words of the language, each known by a number.
///
/// Of most words that a parser meets it asks many times whether they are this one or that. So a name is
/// looked up once, when tokens are made, and behind that words are compared as numbers. No word is kept from
/// being a name: a yarn may be called `rows`.
///
///     Keyword("rows")         a number, worked out when Wale is compiled
///     Keyword("kelp")         is not in the list, and does not compile
///     find_keyword("rows")    the same number, looked up when a file is read
///     find_keyword("kelp")    no keyword
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

namespace wale {

/// Each once; the order means nothing.
inline constexpr auto keyword_texts = std::to_array<std::string_view>({
    // what declarations begin with
    "pattern",
    "by",
    "yarn",
    "strand",
    "gauge",
    "written",
    "sizes",
    "measure",
    "stash",
    "swatch",
    "season",
    "use",
    "stitch",
    "crossing",
    "fabric",
    "piece",
    // what steps begin with
    "cast",
    "work",
    "rows",
    "repeat",
    "hold",
    "resume",
    "pick",
    "join",
    "cord",
    "bind",
    "go",
    "narrow",
    "widen",
    "spread",
    "call",
    "graft",
    "seam",
    "place",
    "make",
    "divide",
    // units
    "mm",
    "cm",
    "m",
    "in",
    "yd",
    "g",
    "oz",
    // inside of them
    "N",
    "a",
    "across",
    "after",
    "all",
    "along",
    "and",
    "around",
    "as",
    "at",
    "away",
    "ball",
    "balls",
    "before",
    "between",
    "bound",
    "bound-off",
    "buttonhole",
    "buttonholes",
    "cast-on",
    "draw",
    "each",
    "edge",
    "edges",
    "end",
    "ends",
    "every",
    "evenly",
    "eyelet",
    "fewer",
    "firmly",
    "flat",
    "for",
    "from",
    "half",
    "hour",
    "hours",
    "into",
    "knit",
    "knitwise",
    "last",
    "left",
    "loosely",
    "lot",
    "made",
    "marker",
    "markers",
    "more",
    "n",
    "nd",
    "needle",
    "of",
    "off",
    "on",
    "other",
    "out",
    "over",
    "pace",
    "pair",
    "pairs",
    "per",
    "points",
    "purlwise",
    "rd",
    "rep",
    "right",
    "round",
    "rounds",
    "row",
    "rs",
    "runs",
    "seen",
    "side",
    "size",
    "skein",
    "skeins",
    "st",
    "start",
    "sts",
    "th",
    "the",
    "tightly",
    "times",
    "to",
    "twice",
    "until",
    "up",
    "week",
    "with",
    "ws",
    "x",
    // what a yarn is like
    "haloed",
    "drapey",
    "plied",
    "single",
    "slippery",
    "superwash",
});

class Keyword {
 public:
  /// A name that the language has no use for.
  constexpr Keyword() = default;
  consteval Keyword(const char* text) : number_(place_of(text)) {}

  static constexpr Keyword at(std::size_t place) {
    Keyword out;
    out.number_ = static_cast<std::uint8_t>(place + 1);
    return out;
  }
  constexpr std::string_view text() const {
    return number_ == 0 ? std::string_view() : keyword_texts[number_ - 1u];
  }
  constexpr explicit operator bool() const { return number_ != 0; }
  constexpr bool operator==(const Keyword&) const = default;

 private:
  static consteval std::uint8_t place_of(std::string_view text) {
    const auto found = std::find(keyword_texts.begin(), keyword_texts.end(), text);
    if (found == keyword_texts.end()) throw "add the word to keyword_texts";
    return static_cast<std::uint8_t>(found - keyword_texts.begin() + 1);
  }

  std::uint8_t number_ = 0;
};
static_assert(keyword_texts.size() < 256);

/// Some words, in the order in which they are suggested.
using Keywords = std::initializer_list<Keyword>;

constexpr bool contains(Keywords words, Keyword word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

/// The keyword that is written so, if there is one.
Keyword find_keyword(std::string_view text);

std::vector<std::string> texts_of(Keywords words);

}  // namespace wale
