#include "compiler/needle.hpp"

#include <algorithm>
#include <numeric>

namespace wale {

Needle Needle::of(Loop loop, Linear count) {
  Needle out;
  out.push(loop, count);
  return out;
}

Linear Needle::loops_ahead() const {
  return segments_[first_].times * static_cast<long long>(period()) - Linear(static_cast<long long>(begun_));
}

void Needle::push(std::span<const Loop> word, Linear times) {
  if (word.empty() || times == Linear(0)) return;
  if (!spent()) {
    Segment& last = segments_.back();
    if (std::equal(last.word.begin(), last.word.end(), word.begin(), word.end())) {
      last.times = last.times + times;
      return;
    }
  }
  if (segments_.empty()) segments_.reserve(8);
  segments_.push_back({{word.begin(), word.end()}, times});
}

void Needle::push(const Loop& loop, Linear times) {
  if (times == Linear(0)) return;
  if (!spent()) {
    Segment& last = segments_.back();
    if (last.word.size() == 1 && last.word[0] == loop) {
      last.times = last.times + times;
      return;
    }
  }
  if (segments_.empty()) segments_.reserve(8);
  segments_.push_back({{loop}, times});
}

long long Needle::ahead_of(LoopType type, long long most) const {
  const auto alike = [&](const std::vector<Loop>& word, std::size_t from, std::size_t to) {
    std::size_t at = from;
    while (at < to && word[at].type == type) ++at;
    return at - from;
  };
  long long out = 0;
  for (std::size_t i = first_; i < segments_.size() && out < most; ++i) {
    const Segment& segment = segments_[i];
    if (!segment.times.constant()) break;
    const std::size_t begun = i == first_ ? begun_ : 0, length = segment.word.size();
    // The rest of the copy that was begun, and then, where there is another one, what stands before it.
    const std::size_t rest = alike(segment.word, begun, length);
    const std::size_t before = rest < length - begun ? 0 : alike(segment.word, 0, begun);
    out += static_cast<long long>(rest);
    if (rest < length - begun) break;
    if (segment.times.base == 1) continue;
    if (before < begun) {
      out += static_cast<long long>(before);
      break;
    }
    out = add_counts(out, multiply_counts(segment.times.base - 1, static_cast<long long>(length)));
  }
  return std::min(out, most);
}

void Needle::drop(long long count) {
  while (count > 0) {
    Segment& segment = segments_[first_];
    const auto length = static_cast<long long>(segment.word.size());
    if (begun_ == 0 && count >= length) {
      const long long copies = std::min(segment.times.base, count / length);
      segment.times = segment.times - Linear(copies);
      count -= copies * length;
    } else {
      const long long some = std::min(count, length - static_cast<long long>(begun_));
      begun_ += static_cast<std::size_t>(some);
      count -= some;
      if (begun_ == segment.word.size()) {
        begun_ = 0;
        segment.times = segment.times - Linear(1);
      }
    }
    drop_spent();
  }
}

void Needle::push(Segment&& segment) {
  if (segment.word.empty() || segment.times == Linear(0)) return;
  if (!spent() && segments_.back().word == segment.word)
    segments_.back().times = segments_.back().times + segment.times;
  else
    segments_.push_back(std::move(segment));
}

void Needle::append(const Needle& other) {
  if (other.begun_ > 0) return append(Needle(other));
  for (std::size_t i = other.first_; i < other.segments_.size(); ++i) push(other.segments_[i]);
}

void Needle::append(Needle&& other) {
  other.trim();
  if (segments_.empty()) {
    segments_ = std::move(other.segments_);
    return;
  }
  for (Segment& segment : other.segments_) push(std::move(segment));
}

void Needle::drop_spent() {
  while (!spent() && segments_[first_].times == Linear(0)) ++first_;
}

/// Where a copy was begun, the rest of the needle repeats on from there: "(a b c)x5" without "a" becomes
/// "(b c a)x4 b c", so that what is worked next meets whole copies.
void Needle::settle() {
  if (begun_ == 0) return;
  const auto cut = static_cast<std::ptrdiff_t>(begun_);
  begun_ = 0;
  Segment& front = segments_[first_];
  Segment rest{{front.word.begin() + cut, front.word.end()}, 1};
  front.times = front.times - Linear(1);
  if (front.times == Linear(0)) {
    front = std::move(rest);
    return;
  }
  std::rotate(front.word.begin(), front.word.begin() + cut, front.word.end());
  if (first_ == 0) {
    segments_.insert(segments_.begin() + 1, std::move(rest));
    return;
  }
  segments_[first_ - 1] = std::move(front);
  segments_[first_--] = std::move(rest);
}

std::vector<Loop> Needle::take_copies(Linear copies) {
  settle();
  std::vector<Loop> out = segments_[first_].word;
  segments_[first_].times = segments_[first_].times - copies;
  drop_spent();
  return out;
}

std::vector<Loop> Needle::take(std::size_t count, std::vector<Linear>& must_be_positive) {
  std::vector<Loop> out;
  while (out.size() < count && !spent()) {
    Segment& segment = segments_[first_];
    const std::size_t want = count - out.size(), length = segment.word.size();
    if (begun_ == 0 && want >= length) {
      std::size_t copies = want / length;
      if (segment.times.constant())
        copies = std::min<std::size_t>(copies, static_cast<std::size_t>(segment.times.base));
      else
        must_be_positive.push_back(segment.times - Linear(static_cast<long long>(copies)));
      for (std::size_t i = 0; i < copies; ++i)
        out.insert(out.end(), segment.word.begin(), segment.word.end());
      segment.times = segment.times - Linear(static_cast<long long>(copies));
    } else {
      if (begun_ == 0 && !segment.times.constant()) must_be_positive.push_back(segment.times - Linear(1));
      const auto begin = segment.word.begin() + static_cast<std::ptrdiff_t>(begun_);
      const std::size_t some = std::min(want, length - begun_);
      out.insert(out.end(), begin, begin + static_cast<std::ptrdiff_t>(some));
      begun_ += some;
      if (begun_ < length) break;
      begun_ = 0;
      segment.times = segment.times - Linear(1);
    }
    drop_spent();
  }
  return out;
}

Needle Needle::split(long long count) {
  Needle out;
  settle();
  while (count > 0 && !spent()) {
    const auto length = static_cast<long long>(period());
    const long long copies = std::min(whole_copies().base, count / length);
    if (copies > 0) {
      out.push(take_copies(copies), copies);
      count -= copies * length;
      continue;
    }
    std::vector<Linear> unused;
    out.push(take(static_cast<std::size_t>(count), unused), 1);
    count = 0;
  }
  return out;
}

std::vector<Segment> Needle::segments() const {
  Needle settled = *this;
  settled.settle();
  return {settled.segments_.begin() + static_cast<std::ptrdiff_t>(settled.first_), settled.segments_.end()};
}

void Needle::trim() {
  settle();
  segments_.erase(segments_.begin(), segments_.begin() + static_cast<std::ptrdiff_t>(first_));
  first_ = 0;
}

long long Needle::written_out() const {
  long long out = 0;
  for (std::size_t i = first_; i < segments_.size(); ++i)
    out += static_cast<long long>(segments_[i].word.size());
  return out;
}

void Needle::reverse() {
  trim();
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
  each_run([&](std::span<const Loop> word, Linear times) { out.push(word, times.at(n)); });
  return out;
}

namespace {

/// The least p for which each loop of the word is as the one p before it.
std::size_t smallest_period(const std::vector<Loop>& word) {
  // Failure function of Knuth, Morris and Pratt.
  std::vector<std::size_t> border(word.size() + 1, 0);
  for (std::size_t i = 1, k = 0; i < word.size(); ++i) {
    while (k > 0 && !(word[i] == word[k])) k = border[k];
    if (word[i] == word[k]) ++k;
    border[i + 1] = k;
  }
  return word.size() - border[word.size()];
}

/// How long the shortest word is of which this one is a power.
std::size_t primitive_length(const std::vector<Loop>& word) {
  const std::size_t period = smallest_period(word);
  return word.size() % period == 0 ? period : word.size();
}

/// Plain segments of so many loops at most are spelled out, so that a repeat can be found across them. Each
/// row works them one by one.
constexpr std::size_t spelled_out = 128;

/// Cuts the long repeats out of a word: "a a b, 100 times (k p), a" is three segments. Needles that grow in
/// pattern at an edge hold such words. Looks at windows, one of which lies in every run longer than two of
/// them; costs what the word is long.
void cut_runs(const std::vector<Loop>& word, std::vector<Segment>& out) {
  constexpr std::size_t window = spelled_out / 2;
  std::size_t done = 0;
  const auto part = [&](std::size_t begin, std::size_t end) {
    return std::vector<Loop>(word.begin() + static_cast<std::ptrdiff_t>(begin),
                             word.begin() + static_cast<std::ptrdiff_t>(end));
  };
  for (std::size_t at = 0; at + window <= word.size(); at += window) {
    if (at < done) continue;
    const std::size_t period = smallest_period(part(at, at + window));
    if (2 * period > window) continue;
    std::size_t begin = at, end = at + window;
    while (begin > done && word[begin - 1] == word[begin - 1 + period]) --begin;
    while (end < word.size() && word[end] == word[end - period]) ++end;
    if (end - begin <= spelled_out) continue;
    const std::size_t copies = (end - begin) / period;
    if (begin > done) out.push_back({part(done, begin), 1});
    out.push_back({part(begin, begin + period), static_cast<long long>(copies)});
    done = begin + copies * period;
  }
  if (done < word.size()) out.push_back({part(done, word.size()), 1});
}

/// Short plain segments spelled out and joined, words made primitive, long repeats in words found.
std::vector<Segment> joined_segments(std::vector<Segment> in) {
  std::vector<Segment> out;
  std::vector<Loop> spelled;
  const auto flush = [&] {
    cut_runs(spelled, out);
    spelled.clear();
  };
  for (Segment& segment : in) {
    const bool once = segment.times == Linear(1);
    if (const std::size_t period = once ? segment.word.size() : primitive_length(segment.word);
        period < segment.word.size()) {
      segment.times = segment.times * static_cast<long long>(segment.word.size() / period);
      segment.word.resize(period);
    }
    const bool single =
        once || (segment.times.constant() &&
                 multiply_counts(segment.times.base, static_cast<long long>(segment.word.size())) <=
                     static_cast<long long>(spelled_out));
    if (!single) {
      flush();
      out.push_back(std::move(segment));
      continue;
    }
    if (spelled.size() + segment.word.size() > longest_word) flush();
    for (long long i = 0; i < segment.times.base; ++i)
      spelled.insert(spelled.end(), segment.word.begin(), segment.word.end());
  }
  flush();
  return out;
}

}  // namespace

void Needle::normalise() {
  trim();
  // One loop, or one that repeats, is as short as can be.
  if (segments_.size() <= 1 && (segments_.empty() || segments_[0].word.size() == 1) &&
      (segments_.empty() || !segments_[0].times.constant() ||
       segments_[0].times.base > static_cast<long long>(spelled_out)))
    return;
  std::vector<Segment> joined = joined_segments(std::move(segments_));
  segments_.clear();
  // Each growing or long segment is moved as far left as it goes.
  for (std::size_t i = 0; i < joined.size(); ++i) {
    Segment& big = joined[i];
    if (big.times == Linear(1)) continue;
    const std::size_t length = big.word.size();
    std::vector<Loop> behind;
    if (i > 0 && joined[i - 1].times == Linear(1)) {
      // "a (b a)x3" is "(a b)x3 a".
      std::vector<Loop>& before = joined[i - 1].word;
      std::size_t same = 0;
      while (same < before.size() && before.rbegin()[static_cast<std::ptrdiff_t>(same)] ==
                                         big.word.rbegin()[static_cast<std::ptrdiff_t>(same % length)])
        ++same;
      before.resize(before.size() - same);
      big.times = big.times + Linear(static_cast<long long>(same / length));
      const auto turn = static_cast<std::ptrdiff_t>(same % length);
      behind.assign(big.word.end() - turn, big.word.end());
      std::rotate(big.word.rbegin(), big.word.rbegin() + turn, big.word.rend());
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
      while ((copies + 1) * length <= after.size() &&
             std::equal(self.word.begin(), self.word.end(),
                        after.begin() + static_cast<std::ptrdiff_t>(copies * length)))
        ++copies;
      after.erase(after.begin(), after.begin() + static_cast<std::ptrdiff_t>(copies * length));
      self.times = self.times + Linear(static_cast<long long>(copies));
    }
  }
  for (Segment& segment : joined) push(std::move(segment));
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
  if (width() != other.width()) return false;
  const auto first = segments_.begin() + static_cast<std::ptrdiff_t>(first_);
  const auto others = other.segments_.begin() + static_cast<std::ptrdiff_t>(other.first_);
  if (begun_ == other.begun_ && std::equal(first, segments_.end(), others, other.segments_.end()))
    return true;
  Walk a(segments()), b(other.segments());
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
  for (const Segment& segment : segments())
    for (long long copy = 0; copy < segment.times.base && out.size() < most; ++copy)
      out.insert(out.end(), segment.word.begin(), segment.word.end());
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
