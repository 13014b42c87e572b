#include "grammar/edits.hpp"

#include <algorithm>

namespace wale {

namespace {

bool between_characters(std::string_view text, std::size_t at) {
  return at >= text.size() || (static_cast<unsigned char>(text[at]) & 0xC0) != 0x80;
}

bool possible(std::string_view text, Span span) {
  return span.begin <= span.end && span.end <= text.size() && between_characters(text, span.begin) &&
         between_characters(text, span.end);
}

/// Of two insertions at one place nobody could say which comes first.
bool overlap(Span a, Span b) {
  if (a.begin == a.end && b.begin == b.end) return a.begin == b.begin;
  return a.begin < b.end && b.begin < a.end;
}

bool overlaps_any(Span span, const Mend& edits) {
  return std::any_of(edits.begin(), edits.end(), [&](const Edit& each) { return overlap(span, each.span); });
}

}  // namespace

Edited apply_mends(std::string_view text, const std::vector<Mend>& mends) {
  Edited out;
  Mend taken;
  for (std::size_t i = 0; i < mends.size(); ++i) {
    const Mend& mend = mends[i];
    bool good = !mend.empty();
    for (std::size_t k = 0; k < mend.size() && good; ++k) {
      const Mend before(mend.begin(), mend.begin() + static_cast<std::ptrdiff_t>(k));
      good = possible(text, mend[k].span) && !overlaps_any(mend[k].span, taken) &&
             !overlaps_any(mend[k].span, before);
    }
    if (!good) continue;
    taken.insert(taken.end(), mend.begin(), mend.end());
    out.made.push_back(i);
  }
  // An insertion where a replaced range begins comes before it.
  std::sort(taken.begin(), taken.end(), [](const Edit& a, const Edit& b) {
    return std::pair(a.span.begin, a.span.end) < std::pair(b.span.begin, b.span.end);
  });
  std::size_t at = 0;
  for (const Edit& edit : taken) {
    out.text += text.substr(at, edit.span.begin - at);
    out.text += edit.replacement;
    at = edit.span.end;
  }
  out.text += text.substr(at);
  return out;
}

}  // namespace wale
