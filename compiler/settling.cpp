#include "compiler/settling.hpp"

#include <algorithm>

namespace wale {

void Settling::touched(const std::string& path, Time now) {
  if (paths_.empty()) first_ = now;
  paths_.insert(path);
  last_ = now;
}

void Settling::begun(const std::string& path, Time now) {
  touched(path, now);
  open_[path] = now;
}

void Settling::done(const std::string& path, Time now) {
  touched(path, now);
  open_.erase(path);
}

std::optional<Time> Settling::ready() const {
  if (paths_.empty()) return {};
  Time out = last_ + (paths_.size() > few ? quiet_of_many : quiet);
  for (const auto& [path, written] : open_) out = std::max(out, written + quiet_of_open);
  return std::min(out, first_ + longest);
}

bool Doubts::hold_back(const std::string& path, bool there, bool was_there, Time now) {
  if (there || !was_there) {
    since_.erase(path);
    return false;
  }
  const Time since = since_.try_emplace(path, now).first->second;
  if (now < since + grace) return true;
  since_.erase(path);
  return false;
}

std::optional<Time> Doubts::ends() const {
  std::optional<Time> out;
  for (const auto& [path, since] : since_)
    if (!out || since + grace < *out) out = since + grace;
  return out;
}

std::set<std::string> Doubts::ended(Time now) const {
  std::set<std::string> out;
  for (const auto& [path, since] : since_)
    if (since + grace <= now) out.insert(path);
  return out;
}

}  // namespace wale
