#include "compiler/declared_names.hpp"

#include <algorithm>

#include "compiler/name_order.hpp"

namespace wale {

namespace {

bool before(const DeclaredNames::Declared& a, const DeclaredNames::Declared& b) {
  return a.what != b.what ? a.what < b.what : NameOrder()(a.name, b.name);
}

}  // namespace

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
  std::stable_sort(names_.begin(), names_.end(), before);
  const auto rest = std::unique(names_.begin(), names_.end(), [](const Declared& a, const Declared& b) {
    return a.what == b.what && a.name == b.name;
  });
  any_twice_ = rest != names_.end();
  names_.erase(rest, names_.end());
}

const Span* DeclaredNames::first(Of what, std::string_view name) const {
  const auto found = std::lower_bound(names_.begin(), names_.end(), Declared{what, name, {}}, before);
  return found != names_.end() && found->what == what && found->name == name ? &found->where : nullptr;
}

std::span<const DeclaredNames::Declared> DeclaredNames::all(Of what) const {
  const auto begin =
      std::find_if(names_.begin(), names_.end(), [&](const Declared& d) { return d.what == what; });
  const auto end = std::find_if(begin, names_.end(), [&](const Declared& d) { return d.what != what; });
  return {begin, end};
}

std::vector<std::string> DeclaredNames::names(Of what) const {
  std::vector<std::string> out;
  for (const Declared& each : all(what)) out.emplace_back(each.name);
  std::sort(out.begin(), out.end());
  return out;
}

}  // namespace wale
