#include "compiler/declared_names.hpp"

#include <algorithm>
#include <tuple>

namespace wale {

std::string_view DeclaredNames::words(Of what) {
  switch (what) {
    case Of::yarns:
      return "yarns";
    case Of::strands:
      return "strands";
    case Of::measures:
      return "measures";
    case Of::swatches:
      return "swatches";
    case Of::fabrics:
      return "fabrics";
    case Of::pieces:
      return "pieces";
  }
  return "names";
}

DeclaredNames::DeclaredNames(const tree::Pattern& pattern) {
  const auto note = [&](Of what, const tree::Name& name) { names_.push_back({what, name.text, name.span}); };
  names_.reserve(pattern.declarations.size());
  for (const tree::Declaration& each : pattern.declarations) {
    if (const auto* yarn = std::get_if<tree::Yarn>(&each.what)) note(Of::yarns, yarn->name);
    if (const auto* strand = std::get_if<tree::Strand>(&each.what)) note(Of::strands, strand->name);
    if (const auto* measure = std::get_if<tree::Measure>(&each.what)) note(Of::measures, measure->name);
    if (const auto* swatch = std::get_if<Boxed<tree::Swatch>>(&each.what))
      note(Of::swatches, (*swatch)->fabric);
    if (const auto* fabric = std::get_if<tree::Fabric>(&each.what)) note(Of::fabrics, fabric->name);
    if (const auto* piece = std::get_if<tree::Piece>(&each.what)) note(Of::pieces, piece->name);
  }
  std::stable_sort(names_.begin(), names_.end(), [](const Declared& a, const Declared& b) {
    return std::tie(a.what, a.name) < std::tie(b.what, b.name);
  });
  const auto rest = std::unique(names_.begin(), names_.end(), [](const Declared& a, const Declared& b) {
    return a.what == b.what && a.name == b.name;
  });
  any_twice_ = rest != names_.end();
  names_.erase(rest, names_.end());
}

DeclaredNames::Place DeclaredNames::from(Of what, std::string_view name) const {
  return std::lower_bound(names_.begin(), names_.end(), std::tie(what, name),
                          [](const Declared& a, const auto& key) { return std::tie(a.what, a.name) < key; });
}

const Span* DeclaredNames::first(Of what, std::string_view name) const {
  const Place found = from(what, name);
  return found != names_.end() && found->what == what && found->name == name ? &found->where : nullptr;
}

std::vector<std::string> DeclaredNames::all(Of what) const {
  std::vector<std::string> out;
  for (Place at = from(what, {}); at != names_.end() && at->what == what; ++at) out.emplace_back(at->name);
  return out;
}

}  // namespace wale
