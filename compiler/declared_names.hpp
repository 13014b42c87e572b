/// What a pattern declares, by kind and name: is this the first of its name, and which names are there?
///
/// Names do not depend on a size, so they are put in order once, before the first size is worked out.
///
///     yarn kelp ...  yarn kelp ...     the second is not the first of its name: there are two yarns called
///                                      `kelp`
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "compiler/declarations.hpp"

namespace wale {

class DeclaredNames {
 public:
  enum class Of : unsigned char { yarns, strands, measures, swatches, fabrics, pieces };
  /// "yarns"; "swatches".
  static std::string_view words(Of what);

  struct Declared {
    Of what;
    std::string_view name;
    Span where;
  };

  /// The pattern must outlive what is made of it here.
  explicit DeclaredNames(const Declarations& pattern);

  /// Where the first of this name stands, or null where nothing of the kind is called so.
  const Span* first(Of what, std::string_view name) const;
  bool has(Of what, std::string_view name) const { return first(what, name) != nullptr; }
  /// The first of its name, as nearly all are.
  bool is_first(Of what, const tree::Name& name) const {
    return !any_twice_ || *first(what, name.text) == name.span;
  }
  /// All of a kind in `NameOrder`, each once.
  std::span<const Declared> all(Of what) const;
  /// In the order of letters.
  std::vector<std::string> names(Of what) const;

 private:
  std::vector<Declared> names_;  ///< by kind, and then in `NameOrder`; each once
  bool any_twice_ = false;
};

}  // namespace wale
