/// A map of few entries: pairs that lie side by side, sorted by key.
///
/// A row counts a handful of stitches. Kept in one piece of memory they cost one allocation, where a tree
/// costs one for each of them; looking one up goes over a few numbers.
#pragma once

#include <algorithm>
#include <cstddef>
#include <utility>
#include <vector>

namespace wale {

template <typename Key, typename Value>
class FlatMap {
 public:
  using value_type = std::pair<Key, Value>;

  /// The entry, made if it is not there. Adding one moves others.
  Value& operator[](const Key& key) {
    auto at = entries_.begin();
    if (entries_.size() <= 4 * few) {
      // Most are there: whether keys are the same is quicker told than which is the less.
      for (value_type& each : entries_)
        if (each.first == key) return each.second;
      while (at != entries_.end() && at->first < key) ++at;
    } else {
      at = std::lower_bound(entries_.begin(), entries_.end(), key,
                            [](const value_type& each, const Key& wanted) { return each.first < wanted; });
      if (at != entries_.end() && at->first == key) return at->second;
    }
    const auto place = at - entries_.begin();
    if (entries_.empty()) entries_.reserve(few);
    return entries_.insert(entries_.begin() + place, {key, Value{}})->second;
  }
  /// The entry, or the end.
  auto find(const Key& key) const {
    return std::find_if(entries_.begin(), entries_.end(),
                        [&](const value_type& each) { return each.first == key; });
  }
  auto find(const Key& key) {
    return std::find_if(entries_.begin(), entries_.end(),
                        [&](const value_type& each) { return each.first == key; });
  }
  bool contains(const Key& key) const { return find(key) != end(); }
  /// How many went.
  template <typename Which>
  std::size_t erase_if(const Which& which) {
    return std::erase_if(entries_, which);
  }
  /// By place, from 0.
  const value_type& entry(std::size_t place) const { return entries_[place]; }
  void erase(std::size_t place) { entries_.erase(entries_.begin() + static_cast<std::ptrdiff_t>(place)); }

  auto begin() const { return entries_.begin(); }
  auto end() const { return entries_.end(); }
  auto begin() { return entries_.begin(); }
  auto end() { return entries_.end(); }
  std::size_t size() const { return entries_.size(); }
  bool empty() const { return entries_.empty(); }
  void clear() { entries_.clear(); }
  bool operator==(const FlatMap&) const = default;

 private:
  static constexpr std::size_t few = 4;
  std::vector<value_type> entries_;
};

}  // namespace wale
