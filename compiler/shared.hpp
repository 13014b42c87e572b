/// A value that its copies share, until one of them is changed: that one has its own from then on.
///
///     Shared<Needle> entry = needle;    copied with every fabric, and there once
///     rows.own().push_back(row);        the others do not see it
#pragma once

#include <memory>
#include <utility>

namespace wale {

template <typename T>
class Shared {
 public:
  Shared() = default;
  Shared(T value) : value_(std::make_shared<T>(std::move(value))) {}  // NOLINT: a value is a shared one

  /// A value of its kind with nothing in it where none was put in.
  const T& operator*() const {
    static const T none{};
    return value_ ? *value_ : none;
  }
  const T* operator->() const { return &**this; }
  operator const T&() const { return **this; }  // NOLINT: and to be read as one

  /// To change it.
  T& own() {
    if (!value_ || value_.use_count() > 1) value_ = std::make_shared<T>(**this);
    return *value_;
  }

 private:
  std::shared_ptr<T> value_;
};

}  // namespace wale
