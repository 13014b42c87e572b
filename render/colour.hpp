/// Colours that can be read: how far apart two of them are, and which ink stands out on a ground.
///
///     readable_ink({47, 93, 80})    ->  white     (a dark green ground)
///     readable_ink({233, 180, 76})  ->  black
#pragma once

#include <cstdint>
#include <string>

namespace wale::render {

/// An sRGB colour, 8 bits a channel.
struct Colour {
  std::uint8_t red = 0, green = 0, blue = 0;
  bool operator==(const Colour&) const = default;
};

inline constexpr Colour ink{28, 28, 28};  ///< Text and marks.
inline constexpr Colour quiet_ink{
    98, 98, 98};  ///< Labels and feet: 6 to 1 against white, as computed by contrast_ratio.
inline constexpr Colour grid_ink{165, 165, 165};  ///< Lines that must not be read as marks.
inline constexpr Colour marker_ink{190, 50, 38};
inline constexpr Colour absent_ground{226, 226, 226};
inline constexpr Colour shape_ground{240, 243, 241};  ///< Of outlines: a pale tint.
inline constexpr Colour paper{255, 255, 255};
inline constexpr Colour black{0, 0, 0};  ///< Ink on a colour: of two that are pure, one always stands out.

/// Relative luminance, 0 (black) to 1 (white). Source: WCAG 2.1, "relative luminance".
double relative_luminance(Colour colour);

/// Contrast of two colours, 1 (equal) to 21 (black on white). Source: WCAG 2.1, "contrast ratio".
double contrast_ratio(Colour a, Colour b);

/// The ink that stands out better on `ground`: black or white. Its contrast is at least 4.58, the root of
/// 21, and so more than WCAG 2.1 wants of text (1.4.3: 4.5) and of pictures (1.4.11: 3).
Colour readable_ink(Colour ground);

/// "#rrggbb".
std::string to_hex(Colour colour);

}  // namespace wale::render
