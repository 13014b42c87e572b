#include "compiler/body_sizes.hpp"

#include <array>

namespace wale {

namespace {

struct Bust {
  std::string_view size;
  double low, high;  ///< cm
};
constexpr std::array busts{Bust{"XS", 71, 76},      Bust{"S", 81, 86},      Bust{"M", 91.5, 96.5},
                           Bust{"L", 101.5, 106.5}, Bust{"1X", 111.5, 117}, Bust{"2X", 122, 127},
                           Bust{"3X", 132, 137},    Bust{"4X", 142, 147},   Bust{"5X", 152, 158}};

struct Ease {
  std::string_view word;
  double cm;
};
/// close 0; classic 5 to 10; loose 10 to 15; oversized 15 and more (from memory).
constexpr std::array eases{Ease{"close", 0}, Ease{"classic", 7.5}, Ease{"loose", 12.5},
                           Ease{"oversized", 15}};

}  // namespace

std::optional<double> woman_bust_cm(std::string_view size) {
  for (const Bust& each : busts)
    if (each.size == size) return (each.low + each.high) / 2;
  return {};
}

std::vector<std::string> standard_sizes() {
  std::vector<std::string> out;
  for (const Bust& each : busts) out.emplace_back(each.size);
  return out;
}

std::optional<double> ease_cm(std::string_view word) {
  for (const Ease& each : eases)
    if (each.word == word) return each.cm;
  return {};
}

std::vector<std::string> ease_words() {
  std::vector<std::string> out;
  for (const Ease& each : eases) out.emplace_back(each.word);
  return out;
}

}  // namespace wale
