/// How wide words are, and where lines end.
///
/// All text is set in one family, unhinted and with fractional positions, so that a width at 9 points is 9/18
/// of the width at 18 and every exporter agrees with what was measured here. A paragraph becomes lines here
/// and only here; an exporter gets single lines.
///
///     wrap_text("knit to the last two stitches", 9, 80)  ->  "knit to the last", "two stitches"
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace wale::render {

inline constexpr const char* font_family = "DejaVu Sans";

/// The line box of the family above and below the baseline, per point of size: capitals are 0.729 high and
/// the descender 0.236 deep, as the font's own tables say.
inline constexpr double ascent = 0.76, descent = 0.24, cap_height = 0.729;

/// `text` as it may be set: valid UTF-8 in one line. What XML 1.0 forbids (control characters, surrogates,
/// noncharacters), marks that turn the direction of what follows, and broken UTF-8 become U+FFFD; runs of
/// white space become one space, none at the ends.
std::string clean_text(std::string_view text);

/// Width in points of a clean text set in one line.
double text_width(std::string_view text, double size, bool bold = false);

/// A piece of a paragraph in one weight.
struct Run {
  std::string text;
  bool bold = false;
};

/// A piece of a line: its place from the left edge of the paragraph, and its width.
struct PlacedRun {
  double x = 0, width = 0;
  std::string text;
  bool bold = false;
};
using TextLine = std::vector<PlacedRun>;

/// Breaks a paragraph, whose bold runs come first, into lines no wider than `width` points; lines after the
/// first begin at `hanging`. A word that is wider than a line is broken, without a hyphen. The text is
/// cleaned first. No text, no lines.
std::vector<TextLine> wrap_runs(const std::vector<Run>& runs, double size, double width, double hanging = 0);

/// The same for text in one weight.
std::vector<std::string> wrap_text(std::string_view text, double size, double width, bool bold = false);

/// `text` cleaned, and cut with an ellipsis where it is wider than `width`.
std::string fit_text(std::string_view text, double size, double width, bool bold = false);

}  // namespace wale::render
