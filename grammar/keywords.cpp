#include "grammar/keywords.hpp"

namespace wale {

namespace {

/// Three times as many as words: most names meet an empty slot, or their own word, at once.
constexpr std::size_t slots = 512;
static_assert(keyword_texts.size() * 2 < slots);

/// Length, both ends and the middle, so weighted that five words alone meet another in their slot (found by
/// trying). `text` is not empty.
constexpr std::size_t slot_of(std::string_view text) {
  const auto letter = [&](std::size_t at) {
    return static_cast<std::size_t>(static_cast<unsigned char>(text[at]));
  };
  return (text.size() * 35 + letter(0) * 85 + letter(text.size() - 1) * 58 + letter(text.size() / 2) * 99) %
         slots;
}

/// The numbers of the words by `slot_of`, from 1; a word whose slot is taken stands in the next free one.
constexpr std::array<std::uint8_t, slots> table = [] {
  std::array<std::uint8_t, slots> out{};
  for (std::size_t i = 0; i < keyword_texts.size(); ++i) {
    std::size_t slot = slot_of(keyword_texts[i]);
    while (out[slot] != 0) slot = (slot + 1) % slots;
    out[slot] = static_cast<std::uint8_t>(i + 1);
  }
  return out;
}();

/// Words are short: their letters are compared sooner than others are called to do it.
bool alike(std::string_view word, std::string_view text) {
  if (word.size() != text.size()) return false;
  std::size_t at = 0;
  while (at < text.size() && word[at] == text[at]) ++at;
  return at == text.size();
}

}  // namespace

Keyword find_keyword(std::string_view text) {
  if (text.empty()) return {};
  for (std::size_t slot = slot_of(text); table[slot] != 0; slot = (slot + 1) % slots)
    if (alike(keyword_texts[table[slot] - 1u], text)) return Keyword::at(table[slot] - 1u);
  return {};
}

std::vector<std::string> texts_of(Keywords words) {
  std::vector<std::string> out;
  out.reserve(words.size());
  for (const Keyword word : words) out.emplace_back(word.text());
  return out;
}

}  // namespace wale
