#include "render/colour.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace wale::render {

double relative_luminance(Colour colour) {
  const auto linear = [](std::uint8_t channel) {
    const double value = channel / 255.0;
    return value <= 0.03928 ? value / 12.92 : std::pow((value + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * linear(colour.red) + 0.7152 * linear(colour.green) + 0.0722 * linear(colour.blue);
}

double contrast_ratio(Colour a, Colour b) {
  const double first = relative_luminance(a), second = relative_luminance(b);
  return (std::max(first, second) + 0.05) / (std::min(first, second) + 0.05);
}

Colour readable_ink(Colour ground) {
  return contrast_ratio(ground, black) >= contrast_ratio(ground, paper) ? black : paper;
}

std::string to_hex(Colour colour) {
  return fmt::format("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue);
}

}  // namespace wale::render
