#include "compiler/needle.hpp"

#include <algorithm>
#include <numeric>

namespace wale {

Needle Needle::of(Loop loop, Linear count) {
  Needle out;
  out.push({loop}, count);
  return out;
}

Linear Needle::width() const {
  Linear out = 0;
  for (std::size_t i = first_; i < segments_.size(); ++i)
    out = out + segments_[i].times * static_cast<long long>(segments_[i].word.size());
  return out;
}

void Needle::push(const std::vector<Loop>& word, Linear times) {
  if (word.empty() || times == Linear(0)) return;
  if (segments_.size() > first_) {
    Segment& last = segments_.back();
    if (last.word == word) {
      last.times = last.times + times;
      return;
    }
  }
  segments_.push_back({word, times});
}

void Needle::append(const Needle& other) {
  for (std::size_t i = other.first_; i < other.segments_.size(); ++i) push(other.segments_[i]);
}

void Needle::drop_spent() {
  while (first_ < segments_.size() && segments_[first_].times == Linear(0)) ++first_;
}

std::vector<Loop> Needle::take(std::size_t count, std::vector<Linear>& must_be_positive) {
  std::vector<Loop> out;
  while (out.size() < count && !spent()) {
    Segment& segment = front();
    const std::size_t want = count - out.size(), length = segment.word.size();
    const std::size_t whole = want / length;
    if (whole > 0) {
      std::size_t copies = whole;
      if (segment.times.constant())
        copies = std::min<std::size_t>(copies, static_cast<std::size_t>(segment.times.base));
      else
        must_be_positive.push_back(segment.times - Linear(static_cast<long long>(copies)));
      for (std::size_t i = 0; i < copies; ++i)
        out.insert(out.end(), segment.word.begin(), segment.word.end());
      segment.times = segment.times - Linear(static_cast<long long>(copies));
      drop_spent();
      continue;
    }
    // Part of a copy is taken: the rest of the needle repeats on from there, "(a b c)x5" without "a" being
    // "(b c a)x4 b c", so that the next copies begin where this one ended.
    const auto cut = segment.word.begin() + static_cast<std::ptrdiff_t>(want);
    out.insert(out.end(), segment.word.begin(), cut);
    Segment rest{{cut, segment.word.end()}, 1};
    segment.times = segment.times - Linear(1);
    if (!segment.times.constant()) must_be_positive.push_back(segment.times);
    if (segment.times == Linear(0)) {
      segment = std::move(rest);
      continue;
    }
    std::rotate(segment.word.begin(), segment.word.begin() + static_cast<std::ptrdiff_t>(want),
                segment.word.end());
    segments_.insert(segments_.begin() + static_cast<std::ptrdiff_t>(first_) + 1, std::move(rest));
  }
  return out;
}

Needle Needle::split(long long count) {
  Needle out;
  while (count > 0 && !spent()) {
    Segment& segment = front();
    const auto length = static_cast<long long>(segment.word.size());
    const long long copies = std::min(segment.times.base, count / length);
    if (copies > 0) {
      out.push(segment.word, copies);
      segment.times = segment.times - Linear(copies);
      count -= copies * length;
      drop_spent();
      continue;
    }
    std::vector<Linear> unused;
    out.push(take(static_cast<std::size_t>(count), unused), 1);
    count = 0;
  }
  return out;
}

void Needle::reverse() {
  segments_.erase(segments_.begin(), segments_.begin() + static_cast<std::ptrdiff_t>(first_));
  first_ = 0;
  std::reverse(segments_.begin(), segments_.end());
  for (Segment& segment : segments_) std::reverse(segment.word.begin(), segment.word.end());
}

void Needle::swap_layers() {
  for (Segment& segment : segments_)
    for (Loop& loop : segment.word) {
      loop.type = from_behind(loop.type);
      loop.turned = loop.variable >= 0 && !loop.turned;
    }
}

Needle Needle::at(long long n) const {
  Needle out;
  for (std::size_t i = first_; i < segments_.size(); ++i)
    out.push(segments_[i].word, segments_[i].times.at(n));
  return out;
}

namespace {

/// The shortest word of which this one is a power.
std::size_t primitive_length(const std::vector<Loop>& word) {
  // Failure function of Knuth, Morris and Pratt.
  std::vector<std::size_t> border(word.size() + 1, 0);
  for (std::size_t i = 1, k = 0; i < word.size(); ++i) {
    while (k > 0 && !(word[i] == word[k])) k = border[k];
    if (word[i] == word[k]) ++k;
    border[i + 1] = k;
  }
  const std::size_t period = word.size() - border[word.size()];
  return word.size() % period == 0 ? period : word.size();
}

}  // namespace

void Needle::normalise() {
  std::vector<Segment> in(segments_.begin() + static_cast<std::ptrdiff_t>(first_), segments_.end());
  segments_.clear();
  first_ = 0;
  // Plain segments that are short are spelled out and joined, then each growing or long one is made primitive
  // and moved as far left as it goes.
  std::vector<Segment> joined;
  for (Segment& segment : in) {
    const std::size_t period = primitive_length(segment.word);
    if (period < segment.word.size()) {
      segment.times = segment.times * static_cast<long long>(segment.word.size() / period);
      segment.word.resize(period);
    }
    const bool single =
        segment.times.constant() &&
        multiply_counts(segment.times.base, static_cast<long long>(segment.word.size())) <= 256;
    if (single) {
      std::vector<Loop> spelled;
      for (long long i = 0; i < segment.times.base; ++i)
        spelled.insert(spelled.end(), segment.word.begin(), segment.word.end());
      const bool onto = !joined.empty() && joined.back().times == Linear(1) &&
                        joined.back().word.size() + spelled.size() <= longest_word;
      if (onto)
        joined.back().word.insert(joined.back().word.end(), spelled.begin(), spelled.end());
      else
        joined.push_back({std::move(spelled), 1});
    } else {
      joined.push_back(std::move(segment));
    }
  }
  for (std::size_t i = 0; i < joined.size(); ++i) {
    Segment& big = joined[i];
    if (big.times == Linear(1)) continue;
    // Rotate left: "a (b a)x3" is "(a b)x3 a".
    std::vector<Loop>* before = i > 0 && joined[i - 1].times == Linear(1) ? &joined[i - 1].word : nullptr;
    std::vector<Loop> behind;
    while (before && !before->empty() && before->back() == big.word.back()) {
      behind.insert(behind.begin(), big.word.back());
      std::rotate(big.word.rbegin(), big.word.rbegin() + 1, big.word.rend());
      before->pop_back();
      if (behind.size() == big.word.size()) {
        big.times = big.times + Linear(1);
        behind.clear();
      }
    }
    if (i + 1 < joined.size() && joined[i + 1].times == Linear(1))
      joined[i + 1].word.insert(joined[i + 1].word.begin(), behind.begin(), behind.end());
    else if (!behind.empty())
      joined.insert(joined.begin() + static_cast<std::ptrdiff_t>(i) + 1, Segment{behind, 1});
    // Whole copies behind it belong to it.
    if (i + 1 < joined.size() && joined[i + 1].times == Linear(1)) {
      std::vector<Loop>& after = joined[i + 1].word;
      Segment& self = joined[i];
      std::size_t copies = 0;
      while ((copies + 1) * self.word.size() <= after.size() &&
             std::equal(self.word.begin(), self.word.end(),
                        after.begin() + static_cast<std::ptrdiff_t>(copies * self.word.size())))
        ++copies;
      after.erase(after.begin(), after.begin() + static_cast<std::ptrdiff_t>(copies * self.word.size()));
      self.times = self.times + Linear(static_cast<long long>(copies));
    }
  }
  for (const Segment& segment : joined)
    if (!segment.word.empty()) push(segment.word, segment.times);
}

namespace {

/// A place on a needle: so many loops are left in this segment, and the next one stands here in its word.
class Walk {
 public:
  explicit Walk(std::vector<Segment> segments) : segments_(std::move(segments)) { begin(); }

  bool done() const { return at_ == segments_.size(); }
  Linear left() const { return left_; }
  std::size_t period() const { return segments_[at_].word.size(); }
  const Loop& loop(std::size_t ahead) const { return segments_[at_].word[(phase_ + ahead) % period()]; }

  /// Goes on by `count` of the loops that are left. Where that grows with n, the word is known to repeat
  /// after `common` loops, so only the place in those matters.
  void skip(Linear count, std::size_t common) {
    const std::size_t repeat = count.constant() ? period() : common;
    const long long place =
        floor_rest(static_cast<long long>(phase_) + count.base, static_cast<long long>(repeat));
    phase_ = static_cast<std::size_t>(place);
    left_ = left_ - count;
    if (left_ != Linear(0)) return;
    ++at_;
    begin();
  }

 private:
  void begin() {
    phase_ = 0;
    while (!done() && (segments_[at_].times == Linear(0) || segments_[at_].word.empty())) ++at_;
    if (!done()) left_ = segments_[at_].times * static_cast<long long>(period());
  }

  std::vector<Segment> segments_;
  std::size_t at_ = 0, phase_ = 0;
  Linear left_;
};

}  // namespace

bool Needle::operator==(const Needle& other) const {
  const auto rest = [](const Needle& needle) {
    return std::vector<Segment>(needle.segments_.begin() + static_cast<std::ptrdiff_t>(needle.first_),
                                needle.segments_.end());
  };
  Walk a(rest(*this)), b(rest(other));
  while (!a.done() && !b.done()) {
    const bool a_ends_first =
        std::pair(a.left().per_n, a.left().base) < std::pair(b.left().per_n, b.left().base);
    const Linear both = a_ends_first ? a.left() : b.left();
    // Two repeats that agree on as many loops as both words have agree for ever, and repeat after the words'
    // common measure (Fine and Wilf's theorem).
    std::size_t compared = a.period() + b.period();
    if (both.constant()) compared = std::min(compared, static_cast<std::size_t>(std::max(0LL, both.base)));
    for (std::size_t i = 0; i < compared; ++i)
      if (!(a.loop(i) == b.loop(i))) return false;
    const std::size_t common = std::gcd(a.period(), b.period());
    a.skip(both, common);
    b.skip(both, common);
  }
  return a.done() && b.done();
}

std::vector<Loop> Needle::loops(std::size_t most) const {
  std::vector<Loop> out;
  for (std::size_t i = first_; i < segments_.size(); ++i)
    for (long long copy = 0; copy < segments_[i].times.base && out.size() < most; ++copy)
      out.insert(out.end(), segments_[i].word.begin(), segments_[i].word.end());
  if (out.size() > most) out.resize(most);
  return out;
}

int EntryTypes::fresh() {
  types_.emplace_back();
  return static_cast<int>(types_.size()) - 1;
}

LoopType EntryTypes::type_of(const Loop& loop) const {
  if (loop.type != LoopType::any || loop.variable < 0) return loop.type;
  const LoopType type = types_[static_cast<std::size_t>(loop.variable)].value_or(LoopType::any);
  return loop.turned ? from_behind(type) : type;
}

bool EntryTypes::require(const Loop& loop, LoopType type) {
  const LoopType now = type_of(loop);
  if (type == LoopType::any || now == type) return true;
  // A wrap or a doubled leg is worked together with its stitch, which is plain again then.
  if (type == LoopType::plain && (now == LoopType::wrapped || now == LoopType::doubled)) return true;
  if (now != LoopType::any) return false;
  types_[static_cast<std::size_t>(loop.variable)] = loop.turned ? from_behind(type) : type;
  return true;
}

LoopType EntryTypes::final_type(const Loop& loop) const {
  const LoopType known = type_of(loop);
  return known == LoopType::any ? LoopType::plain : known;
}

}  // namespace wale
