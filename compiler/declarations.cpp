#include "compiler/declarations.hpp"

namespace wale {

/// `each_of_them` calls what it is given for every declaration in order.
template <typename All>
void Declarations::sort(const All& each_of_them) {
  std::size_t count = 0;
  each_of_them([&](const tree::Declaration& each) {
    ++starts_[each.what.index() + 1];
    ++count;
  });
  for (std::size_t kind = 0; kind < kinds; ++kind) starts_[kind + 1] += starts_[kind];
  by_kind_.resize(count);
  std::array<std::size_t, kinds + 1> next = starts_;
  each_of_them([&](const tree::Declaration& each) { by_kind_[next[each.what.index()]++] = &each; });
}

Declarations::Declarations(const tree::Pattern& file) : whole_(file.whole) {
  sort([&](const auto& take) {
    for (const tree::Declaration& each : file.declarations) take(each);
  });
}

Declarations::Declarations(std::span<const tree::Declaration* const> all, std::vector<tree::Declaration> made,
                           bool whole)
    : made_(std::move(made)), whole_(whole) {
  sort([&](const auto& take) {
    for (const tree::Declaration* each : all) take(*each);
    for (const tree::Declaration& each : made_) take(each);
  });
}

}  // namespace wale
