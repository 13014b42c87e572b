#include "compiler/starter.hpp"

#include <cctype>

namespace wale {

namespace {

constexpr std::string_view body = R"(
-- What stands behind two hyphens is for you; Wale passes over it.

-- The yarn: a short name for this file, its full name, the weight and length of a ball, its colour on a screen.
yarn wool "Your Yarn, Your Colour"  100 g = 200 m  #2f5d50

-- What runs through your fingers. Two ends held together would be: strand A = wool + wool
strand A = wool

-- Measured on your own swatch, washed and dried. Every length below follows from it.
gauge 20 st x 28 rows = 10 cm, needle 4.5 mm

-- Numbers that you may want to change. Try them without touching the file:
--     wale build FILE.wale --set "width = 30 cm"
measure width  = 22 cm
measure length = 150 cm

-- A fabric is what you knit over and over. This one works on every multiple of 4 and 2 more:
-- <k2 p2> is worked as often as it fits. Rows of odd numbers are right-side rows.
-- Change a stitch and run: wale check FILE.wale
fabric rib flat 4n + 2 st {
  1: <k2 p2> k2
  2: <p2 k2> p2
}

fabric garter flat n st { every: <k> }

-- A piece is what comes off the needles. `near` finds the stitches for the width that the rib can be worked on,
-- here with 4 stitches of garter at either edge.
piece scarf flat {
  cast on near(width, 4n + 2) with A
  work garter for 6 rows
  work garter 4 | rib | garter 4 for length
  work garter for 6 rows
  bind off
}

-- Next: sizes S M L, more fabrics, colours, charts. Each has its section in the reference of the language.
)";

/// A text stands between quotation marks and on one line.
std::string quotable(std::string_view text) {
  std::string out;
  for (const char c : text)
    if (c != '"' && static_cast<unsigned char>(c) >= 0x20) out += c;
  return out.empty() ? "A New Pattern" : out;
}

}  // namespace

std::string title_of(std::string_view stem) {
  std::string out;
  bool begins = true;
  for (const char c : stem) {
    const bool gap = c == '-' || c == '_' || c == ' ';
    if (!gap) out += begins ? static_cast<char>(std::toupper(static_cast<unsigned char>(c))) : c;
    if (gap && !begins) out += ' ';
    begins = gap;
  }
  while (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

std::string starter(std::string_view title) {
  std::string out = "pattern \"" + quotable(title) + "\"\nby \"You\"\n";
  return out += body;
}

}  // namespace wale
