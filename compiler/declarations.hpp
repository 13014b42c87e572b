/// What a pattern consists of, by kind: its own declarations, and those that it brings in from other files.
///
/// They stay where they were read: these are views of the trees of its files, which other patterns may share.
///
///     yarn kelp ...  fabric rib ...  yarn lamp ...     for_each<tree::Yarn>     kelp, lamp
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <type_traits>
#include <variant>
#include <vector>

#include "grammar/tree.hpp"

namespace wale {

class Declarations {
 public:
  /// All of one file, which must outlive this.
  explicit Declarations(const tree::Pattern& file);
  /// Those of several, which must outlive this, in their order; `made` belong to no file, and stand behind
  /// those of their kind. `whole`: none is left out because it could not be read.
  Declarations(std::span<const tree::Declaration* const> all, std::vector<tree::Declaration> made,
               bool whole);

  /// Calls `use(what, span)` for those of a kind, in their order.
  template <typename What, typename Use>
  void for_each(const Use& use) const {
    constexpr std::size_t kind = place_of<What>();
    for (std::size_t at = starts_[kind]; at < starts_[kind + 1]; ++at)
      use(*std::get_if<What>(&by_kind_[at]->what), by_kind_[at]->span);
  }
  template <typename What>
  std::size_t count() const {
    constexpr std::size_t kind = place_of<What>();
    return starts_[kind + 1] - starts_[kind];
  }
  std::size_t size() const { return by_kind_.size(); }
  bool whole() const { return whole_; }

 private:
  using Kinds = decltype(tree::Declaration::what);
  static constexpr std::size_t kinds = std::variant_size_v<Kinds>;

  template <typename What, std::size_t At = 0>
  static constexpr std::size_t place_of() {
    if constexpr (std::is_same_v<What, std::variant_alternative_t<At, Kinds>>)
      return At;
    else
      return place_of<What, At + 1>();
  }
  template <typename All>
  void sort(const All& each_of_them);

  std::vector<tree::Declaration> made_;
  std::vector<const tree::Declaration*> by_kind_;
  std::array<std::size_t, kinds + 1> starts_{};  ///< of each kind in `by_kind_`
  bool whole_ = true;
};

}  // namespace wale
