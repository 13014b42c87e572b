#include "grammar/spelling.hpp"

#include <algorithm>
#include <array>

namespace wale {

namespace {

/// Longer words are compared with nothing: no name that anyone types is as long.
constexpr std::size_t longest_compared = 40, farthest = 3;

/// Letters, not bytes: one letter of another script is one slip.
std::u32string letters_of(std::string_view text) {
  std::u32string out;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if ((byte & 0xC0) == 0x80 && !out.empty())
      out.back() = out.back() << 6 | (byte & 0x3Fu);
    else
      out += byte;
  }
  return out;
}

/// Edit distance with swapped neighbours (optimal string alignment): the slips that fingers make. Neither
/// word may be longer than `longest_compared + farthest`.
std::size_t distance(const std::u32string& a, const std::u32string& b) {
  constexpr std::size_t size = longest_compared + farthest + 1;
  std::array<std::array<std::size_t, size>, size> d;
  for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j) d[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i)
    for (std::size_t j = 1; j <= b.size(); ++j) {
      d[i][j] =
          std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
    }
  return d[a.size()][b.size()];
}

/// A longer word keeps its face with more letters wrong.
std::size_t reach_of(std::size_t letters) {
  return letters <= 4 ? 1 : letters <= 7 ? 2 : farthest;
}

bool is_digit(char32_t c) {
  return c >= U'0' && c <= U'9';
}
bool joins_parts(char32_t c) {
  return c == U'-' || c == U'/';
}
bool is_letter(char32_t c) {
  return !is_digit(c) && !joins_parts(c);
}

/// Letters on either side, or digits: the place is not the beginning or the end of a part of the name.
bool stands_inside(const std::u32string& word, std::size_t before, std::size_t after) {
  return before < word.size() && after < word.size() && !joins_parts(word[before]) &&
         !joins_parts(word[after]);
}

/// `word` and `meant` are one edit apart. Is it an edit that makes no other name?
bool is_slip(const std::u32string& word, const std::u32string& meant, Candidates what) {
  const auto [in_word, in_meant] = std::mismatch(word.begin(), word.end(), meant.begin(), meant.end());
  const auto at = static_cast<std::size_t>(in_word - word.begin());
  const bool closed = what == Candidates::closed;
  if (word.size() > meant.size())  // one too many
    return is_letter(word[at]) &&
           ((closed && word.size() >= 4) || (word.size() >= 4 && at > 0 && word[at] == word[at - 1]));
  if (word.size() < meant.size()) {  // one missing
    if (!is_letter(meant[at]) || meant.size() < 4) return false;
    const bool doubled = at > 0 && meant[at] == meant[at - 1];
    return closed || doubled || stands_inside(word, at - 1, at);
  }
  const bool wrong = std::equal(in_word + 1, word.end(), in_meant + 1);
  if (wrong)
    return word.size() >= 4 && is_letter(word[at]) && is_letter(meant[at]) &&
           (closed || stands_inside(word, at - 1, at + 1));
  // Two exchanged.
  const char32_t one = word[at], two = word[at + 1];
  return (closed || word.size() >= 3) && !joins_parts(one) && !joins_parts(two) &&
         !(is_digit(one) && is_digit(two));
}

char lower(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

/// Quickly, in bytes: whether the words can be a slip apart, or alike but for capitals. Those of other
/// scripts are left to be looked at more closely.
bool may_be_slip(std::string_view word, std::string_view candidate) {
  const auto foreign = [](char c) { return static_cast<unsigned char>(c) >= 0x80; };
  if (std::any_of(word.begin(), word.end(), foreign)) return true;
  const std::size_t shorter = std::min(word.size(), candidate.size());
  if (std::max(word.size(), candidate.size()) - shorter > 1)
    return std::any_of(candidate.begin(), candidate.end(), foreign);
  std::size_t front = 0, back = 0;
  while (front < shorter && lower(word[front]) == lower(candidate[front])) ++front;
  while (back < shorter - front &&
         lower(word[word.size() - 1 - back]) == lower(candidate[candidate.size() - 1 - back]))
    ++back;
  return shorter - front - back <= 2 || std::any_of(candidate.begin(), candidate.end(), foreign);
}

}  // namespace

std::string lower_case(std::string_view text) {
  std::string out(text);
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

std::vector<std::string> nearest_names(std::string_view word, const std::vector<std::string>& candidates) {
  const std::u32string letters = letters_of(word);
  if (letters.empty() || letters.size() > longest_compared) return {};
  std::size_t least = reach_of(letters.size());
  std::vector<std::string> out;
  for (const std::string& candidate : candidates) {
    const std::u32string other = letters_of(candidate);
    if (other.size() > letters.size() + least || other.size() + least < letters.size()) continue;
    const std::size_t found = distance(letters, other);
    // What has no letter left of the word is not like it.
    if (found > least || found >= std::max(letters.size(), other.size())) continue;
    if (found < least) out.clear();
    least = found;
    if (out.size() < 3) out.push_back(candidate);
  }
  return out;
}

std::optional<std::string> nearest_name(std::string_view word, const std::vector<std::string>& candidates) {
  const std::vector<std::string> found = nearest_names(word, candidates);
  if (found.empty()) return {};
  return found.front();
}

std::optional<std::string> certain_name(std::string_view word, const std::vector<std::string>& candidates,
                                        Candidates what) {
  // Most words are asked after that are what they should be, or nothing like it.
  if (std::find(candidates.begin(), candidates.end(), word) != candidates.end()) return {};
  if (std::none_of(candidates.begin(), candidates.end(),
                   [&](const std::string& candidate) { return may_be_slip(word, candidate); }))
    return {};
  const std::string lower = lower_case(word);
  const std::u32string letters = letters_of(word);
  if (letters.empty() || letters.size() > longest_compared) return {};
  std::vector<std::string> alike, near;
  for (const std::string& candidate : candidates) {
    const std::u32string other = letters_of(candidate);
    if (other.size() > letters.size() + 1 || other.size() + 1 < letters.size()) continue;
    if (lower_case(candidate) == lower)
      alike.push_back(candidate);
    else if (distance(letters, other) == 1)
      near.push_back(candidate);
  }
  if (alike.size() == 1) return alike.front();
  if (!alike.empty() || near.size() != 1) return {};
  if (!is_slip(letters, letters_of(near.front()), what)) return {};
  return near.front();
}

}  // namespace wale
