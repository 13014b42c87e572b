/// A large value in a small place.
///
/// A step of a piece is one of nineteen kinds, and as large as the largest of them, though most are of the
/// small ones. So a kind that is large and rare lies in a box: the step holds where it is, and what holds
/// many steps stays small. A box is copied with what is in it. One that was moved from is empty, and may only
/// be given a value or dropped.
///
/// What is mostly not there at all takes no more room than that either.
///
///     std::variant<CastOn, Boxed<Shape>>      as large as a CastOn
///     MaybeBoxed<Shaping>                     as large as a pointer
#pragma once

#include <memory>
#include <utility>

namespace wale {

/// An optional value in a box.
template <typename T>
class MaybeBoxed {
 public:
  MaybeBoxed() = default;
  MaybeBoxed(T value) : value_(std::make_unique<T>(std::move(value))) {}  // NOLINT: as for an optional
  MaybeBoxed(const MaybeBoxed& other) : value_(other ? std::make_unique<T>(*other) : nullptr) {}
  MaybeBoxed(MaybeBoxed&& other) noexcept = default;
  MaybeBoxed& operator=(const MaybeBoxed& other) { return *this = MaybeBoxed(other); }
  MaybeBoxed& operator=(MaybeBoxed&& other) noexcept = default;
  ~MaybeBoxed() = default;

  /// With a new value, whether there was one or not.
  T& emplace() { return *(value_ = std::make_unique<T>()); }
  bool has_value() const { return value_ != nullptr; }
  explicit operator bool() const { return has_value(); }
  T& operator*() { return *value_; }
  const T& operator*() const { return *value_; }
  T* operator->() { return value_.get(); }
  const T* operator->() const { return value_.get(); }

 private:
  std::unique_ptr<T> value_;
};

/// A box that is never without.
template <typename T>
class Boxed : MaybeBoxed<T> {
 public:
  Boxed() { this->emplace(); }
  using MaybeBoxed<T>::operator*;
  using MaybeBoxed<T>::operator->;
};

}  // namespace wale
