/// A value that is made once and then only read: its copies share it.
///
///     Shared<Needle> entry = needle;    copied with every fabric, and there once
#pragma once

#include <memory>
#include <utility>

namespace wale {

template <typename T>
class Shared {
 public:
  Shared() = default;
  Shared(T value) : value_(std::make_shared<const T>(std::move(value))) {}  // NOLINT: a value is a shared one

  /// A value of its kind with nothing in it where none was put in.
  const T& operator*() const {
    static const T none{};
    return value_ ? *value_ : none;
  }
  const T* operator->() const { return &**this; }
  operator const T&() const { return **this; }  // NOLINT: and to be read as one

 private:
  std::shared_ptr<const T> value_;
};

}  // namespace wale
